/* The strokes of a cylinder over the cycle; `short` names stand where there is little room. */

const STROKES = {
  4: ["power", "exhaust", "intake", "compression"].map((name) => ({ name, short: name })),
  2: [
    { name: "power and exhaust", short: "power" },
    { name: "scavenging and compression", short: "compression" },
  ],
};

/** Strokes of a cylinder as {start, end, index, name, short}, cut at the cycle's ends. */
export function strokesOf(scene, cylinder) {
  const strokes = STROKES[scene.strokes];
  const found = [];
  const fire = scene.firingDegrees[cylinder] + scene.trueTdcDegrees;
  for (let place = -strokes.length; place < 2 * strokes.length; place++) {
    const start = Math.max(fire + 180 * place, 0);
    const end = Math.min(fire + 180 * (place + 1), scene.cycleDegrees);
    const index = ((place % strokes.length) + strokes.length) % strokes.length;
    if (end > start) found.push({ start, end, index, ...strokes[index] });
  }
  return found;
}

/** The stroke that a cylinder is in at a crank angle [°]; the cycle's end is its start. */
export function strokeAt(scene, cylinder, degrees) {
  const at = degrees % scene.cycleDegrees;
  return strokesOf(scene, cylinder).find(({ start, end }) => at >= start && at < end);
}
