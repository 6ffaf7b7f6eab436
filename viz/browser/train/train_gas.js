/* The gas over the pistons, the stronger its colour the higher its pressure. */

import { mix } from "../figures/mixed_colours.js";

const STRONGEST = 0.75; // share of the gas colour at the highest pressure
const LYING = 0.3; // cosine of a bank's lean below which the side view shows crowns alone

const peaks = new WeakMap(); // of each scene

/** Highest cylinder pressure of a scene, in the unit of its row. */
export function pressurePeak(scene) {
  if (!peaks.has(scene)) peaks.set(scene, highest(scene));
  return peaks.get(scene);
}

function highest(scene) {
  let peak = 0;
  for (let c = 0; c < scene.cylinders; c++) {
    for (const value of scene.curve("cylinder_pressure", "both", c)) peak = Math.max(peak, value);
  }
  return peak;
}

/** The gas of every cylinder in the side view. */
export function drawSideGas(sheet, scene) {
  const { context, plan } = sheet;
  const { parts, side, scale } = plan;
  const wide = parts.block.bore * scale;
  parts.cylinders.forEach(({ z, bank_angle }, c) => {
    const cos = Math.cos(bank_angle) * scale;
    if (Math.abs(cos) <= LYING * scale) return;
    const { head, crown } = chamber(plan, c);
    context.fillStyle = gasColour(sheet, scene, c);
    context.fillRect(
      side.x + z * scale - wide / 2,
      side.y - head * cos,
      wide,
      (head - crown) * cos,
    );
  });
}

/** The gas of the selected cylinder in the view from the front. */
export function drawEndGas(sheet, scene, c) {
  const { context, plan } = sheet;
  const { parts, end, scale } = plan;
  const wide = parts.block.bore * scale;
  const { head, crown } = chamber(plan, c);
  context.save();
  context.translate(end.x, end.y);
  context.rotate(parts.cylinders[c].bank_angle);
  context.fillStyle = gasColour(sheet, scene, c);
  context.fillRect(-wide / 2, -head * scale, wide, (head - crown) * scale);
  context.restore();
}

/** Heights of head and crown over the crank's axis [m], along the bore. */
function chamber({ parts, pinHeight }, c) {
  const { block, piston } = parts;
  return {
    head: block.deck_height + block.chamber_height,
    crown: pinHeight[c] + piston.compression_height,
  };
}

/** By the root of the pressure, for a tenth of the peak is to be seen too. */
function gasColour({ plan, inks }, scene, c) {
  const pressure = Math.max(scene.load("cylinder_pressure", c, null, plan.at), 0);
  return mix(inks.paper, inks.gas, STRONGEST * Math.sqrt(pressure / (pressurePeak(scene) || 1)));
}
