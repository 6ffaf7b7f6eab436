/*
 * The shaft on a canvas, in side and end view, each body shaded by its share; nothing is decided
 * here.
 */

import { drawCentreLine } from "../figures/centre_line.js";
import { Outline } from "../figures/svg_context.js";
import { circleOutline, scaledShape, sectorOutline, webOutline } from "../train/train_outlines.js";
import { lengthBar } from "../train/train_plan.js";
import { sideWeb, webEdges } from "../train/web_shape.js";

export const SHADES = 5; // steps of the key

/** Where both views stand on a canvas of a size [px]: their scales [px/m] and origins. */
export function shaftPlan(scene, width, height) {
  const size = Math.max(12, Math.min(16, Math.round(width / 50)));
  const [gap, top, foot] = [1.1 * size, 2.2 * size, 2.6 * size];
  const [long, reach] = [scene.rear - scene.front, scene.reach];
  const beside = Math.min(
    (width - 3 * gap) / (long + 2 * reach),
    (height - top - foot) / (2 * reach),
  );
  const stacked = Math.min((width - 2 * gap) / long, (height - 2 * top - foot) / (4 * reach));
  const isStacked = stacked > 1.05 * beside;
  const scale = Math.max(isStacked ? stacked : beside, 1);
  const plan = { width, height, size, scale, reach: reach * scale, larger: 1 };
  if (isStacked) {
    const room = height - 2 * top - foot - 2 * plan.reach;
    plan.larger =
      [3, 2, 1.5, 1.25, 1].find(
        (factor) => 2 * plan.reach * factor <= Math.min(room, width - 2 * gap),
      ) ?? 1;
    const spare = Math.max(0, room - 2 * plan.reach * plan.larger) / 2;
    plan.side = {
      x: (width - long * scale) / 2 - scene.front * scale,
      y: top + spare / 2 + plan.reach,
    };
    plan.end = { x: width / 2, y: height - foot - spare / 2 - plan.reach * plan.larger };
  } else {
    const spare = (width - (long + 2 * reach) * scale) / 3;
    const y = top + (height - top - foot) / 2;
    plan.side = { x: spare - scene.front * scale, y };
    plan.end = { x: 2 * spare + long * scale + plan.reach, y };
  }
  plan.end.scale = scale * plan.larger;
  plan.end.reach = plan.reach * plan.larger;
  plan.bar = lengthBar(scale);
  plan.paths = new Map(
    scene.bodies.map((body) => [body.name, endOutline(body, scene, plan.end.scale)]),
  );
  plan.edges = new Map(
    scene.bodies
      .filter(({ shape }) => shape.form === "web" && shape.to_pin > 0)
      .map(({ name, shape }) => [
        name,
        webEdges(scaledShape(shape, plan.end.scale), scene.crank_radius * plan.end.scale),
      ]),
  );
  return plan;
}

/** A body's outline in the end view, its own angle upward. */
function endOutline({ shape }, scene, scale) {
  if (shape.form === "web")
    return webOutline(scaledShape(shape, scale), scene.crank_radius * scale);
  if (shape.form === "sector") return sectorOutline({ ...shape, angle: 0 }, scale);
  if (shape.form === "drilling") {
    const path = new Outline();
    const half = Math.max((shape.diameter * scale) / 2, 1);
    path.rect(
      -half,
      -shape.to_height * scale,
      2 * half,
      (shape.to_height - shape.from_height) * scale,
    );
    return path;
  }
  const path = circleOutline(0, -shape.offset * scale, shape.radius * scale);
  if (shape.bore > 0) {
    path.moveTo(shape.bore * scale, -shape.offset * scale);
    path.arc(0, -shape.offset * scale, shape.bore * scale, 0, 2 * Math.PI, true);
  }
  return path;
}

/** What a body spans in the side view at an angle [rad], over the axis [m]: lowest and highest. */
function spanOf({ shape, angle }, scene, turn) {
  const cos = Math.cos(angle + turn);
  if (shape.form === "web") {
    const pin = scene.crank_radius * cos;
    return [
      Math.min(-shape.hub_radius, pin - shape.pin_end_radius),
      Math.max(shape.hub_radius, pin + shape.pin_end_radius),
    ];
  }
  if (shape.form === "sector") return sectorSpan(shape, angle + turn);
  const at = shape.offset * cos;
  return [at - shape.radius, at + shape.radius];
}

/** Heights that a ring sector about an angle from upright spans. */
function sectorSpan({ inner_radius, outer_radius, half_angle }, middle) {
  const angles = [middle - half_angle, middle + half_angle];
  for (let k = Math.ceil((middle - half_angle) / Math.PI); k * Math.PI <= middle + half_angle; k++)
    angles.push(k * Math.PI);
  const heights = angles.flatMap((angle) => [
    inner_radius * Math.cos(angle),
    outer_radius * Math.cos(angle),
  ]);
  return [Math.min(...heights), Math.max(...heights)];
}

/** The box of a body in the side view [px]. */
function sideBox(body, plan, scene, turn) {
  const [low, high] = spanOf(body, scene, turn);
  const { side, scale } = plan;
  return {
    x: side.x + (body.z - body.length / 2) * scale,
    y: side.y - high * scale,
    width: body.length * scale,
    height: (high - low) * scale,
  };
}

/** A web in the side view as paths [px]. */
function webInSide({ shape, z, angle }, plan, scene, turn) {
  const place = { z, toPin: shape.to_pin, angle: angle + turn };
  return sideWeb(shape, scene.crank_radius, place, plan.side, plan.scale);
}

/** How near a body is to who looks from the side. */
function nearness({ shape, angle, kind }, turn) {
  const reach =
    shape.form === "sector"
      ? shape.outer_radius
      : shape.form === "web"
        ? shape.hub_radius * 0.1
        : (shape.offset ?? 0);
  return kind === "oil drilling" ? 9 : reach * Math.sin(angle + turn);
}

/** Draw both views: `shade` gives a body's colour, `selected` is the name that stands out. */
export function drawShaft(context, plan, scene, view) {
  const { turn, selected, colours } = view;
  const { side, end, size, scale } = plan;
  context.font = `${size}px system-ui, sans-serif`;
  context.textBaseline = "middle";
  context.lineJoin = "round";
  drawSide(context, plan, scene, view);
  drawCentreLine(
    context,
    colours.muted,
    [side.x + scene.front * scale - size, side.y],
    [side.x + scene.rear * scale + size, side.y],
  );
  drawEnd(context, plan, scene, view);
  for (const body of scene.bodies)
    if (body.name === selected) drawSelected(context, plan, scene, body, view);
  context.fillStyle = colours.muted;
  context.textAlign = "center";
  numberThrows(context, plan, scene, turn, colours);
  const larger = plan.larger > 1 ? `, ${plan.larger} times as large` : "";
  context.fillStyle = colours.muted;
  context.fillText(`from the front${larger}`, end.x, end.y - end.reach - size);
  drawScaleBar(context, plan, colours);
}

function drawSide(context, plan, scene, { turn, shade, colours }) {
  const solid = scene.bodies.filter((body) => body.kind !== "oil drilling");
  solid.sort((body, other) => nearness(body, turn) - nearness(other, turn));
  for (const body of solid) {
    const { x, y, width, height } = sideBox(body, plan, scene, turn);
    context.fillStyle = shade(body);
    context.strokeStyle = body.shape.fits === false ? colours.bad : colours.muted;
    context.lineWidth = body.shape.fits === false ? 2 : 1;
    if (body.shape.form === "web") {
      const { outline, pocket } = webInSide(body, plan, scene, turn);
      context.fill(outline);
      context.stroke(outline);
      context.setLineDash([3, 2]);
      context.stroke(pocket);
      context.setLineDash([]);
      continue;
    }
    context.fillRect(x, y, width, height);
    context.strokeRect(x, y, width, height);
  }
  context.strokeStyle = colours.text;
  context.lineWidth = 1;
  context.setLineDash([3, 3]);
  for (const { shape, angle, kind } of scene.bodies) {
    if (kind !== "oil drilling") continue;
    const cos = Math.cos(angle + turn) * plan.scale;
    context.beginPath();
    context.moveTo(plan.side.x + shape.from_z * plan.scale, plan.side.y - shape.from_height * cos);
    context.lineTo(plan.side.x + shape.to_z * plan.scale, plan.side.y - shape.to_height * cos);
    context.stroke();
  }
  context.setLineDash([]);
}

/** The end view from the front: the rear is drawn first. */
function drawEnd(context, plan, scene, { turn, shade, colours }) {
  for (let i = scene.bodies.length - 1; i >= 0; i--) {
    const body = scene.bodies[i];
    if (body.kind === "oil drilling") continue;
    inEndView(context, plan, body, turn, (path) => {
      context.fillStyle = shade(body);
      context.fill(path);
      context.strokeStyle = body.shape.fits === false ? colours.bad : colours.muted;
      context.lineWidth = 1;
      context.stroke(path);
      if (plan.edges.has(body.name)) context.stroke(plan.edges.get(body.name));
    });
  }
  const { x, y, reach } = plan.end;
  const far = reach + 0.5 * plan.size;
  drawCentreLine(context, colours.muted, [x, y - far], [x, y + far]);
  drawCentreLine(context, colours.muted, [x - far, y], [x + far, y]);
}

function inEndView(context, plan, body, turn, draw) {
  context.save();
  context.translate(plan.end.x, plan.end.y);
  context.rotate(body.angle + turn);
  draw(plan.paths.get(body.name));
  context.restore();
}

/** The selected body's outline in both views, over all others. */
function drawSelected(context, plan, scene, body, { turn, colours }) {
  context.strokeStyle = colours.focus;
  context.lineWidth = 3;
  if (body.kind === "oil drilling") {
    const { shape } = body;
    const cos = Math.cos(body.angle + turn) * plan.scale;
    context.beginPath();
    context.moveTo(plan.side.x + shape.from_z * plan.scale, plan.side.y - shape.from_height * cos);
    context.lineTo(plan.side.x + shape.to_z * plan.scale, plan.side.y - shape.to_height * cos);
    context.stroke();
  } else if (body.shape.form === "web") {
    context.stroke(webInSide(body, plan, scene, turn).outline);
  } else {
    const { x, y, width, height } = sideBox(body, plan, scene, turn);
    context.strokeRect(x, y, width, height);
  }
  inEndView(context, plan, body, turn, (path) => context.stroke(path));
}

/** Numbers of the throws over the side view, and beside their pins in the end view. */
function numberThrows(context, plan, scene, turn, colours) {
  const { side, end, size, reach, scale } = plan;
  const groups = new Map();
  scene.throws.forEach(({ z, angle }, t) => {
    context.fillText(String(t + 1), side.x + z * scale, side.y - reach - size);
    const key = Math.round((((angle / Math.PI) * 180) % 360) + 360) % 360;
    groups.set(key, [...(groups.get(key) ?? []), t + 1]);
  });
  context.fillStyle = colours.text;
  for (const [degrees, numbers] of groups) {
    const angle = (degrees / 180) * Math.PI + turn;
    const far = scene.crank_radius * end.scale;
    paperText(
      context,
      numbers.join(" "),
      end.x + far * Math.sin(angle),
      end.y - far * Math.cos(angle),
      colours,
    );
  }
}

/** A text on an edge of paper, so that it is read on any shade. */
function paperText(context, text, x, y, colours) {
  context.strokeStyle = colours.paper;
  context.lineWidth = 4;
  context.strokeText(text, x, y);
  context.fillText(text, x, y);
}

function drawScaleBar(context, { bar, height, size }, colours) {
  const [x, y] = [size, height - 0.8 * size];
  context.strokeStyle = colours.text;
  context.lineWidth = 1.5;
  context.beginPath();
  context.moveTo(x, y - 4);
  context.lineTo(x, y + 4);
  context.moveTo(x, y);
  context.lineTo(x + bar.pixels, y);
  context.moveTo(x + bar.pixels, y - 4);
  context.lineTo(x + bar.pixels, y + 4);
  context.stroke();
  context.fillStyle = colours.text;
  context.textAlign = "left";
  context.fillText(bar.text, x + bar.pixels + 8, y);
}

/** The body at a point of the canvas [px], the nearest to who looks; null where there is none. */
export function bodyAt(context, plan, scene, turn, [x, y]) {
  const solid = scene.bodies.filter((body) => body.kind !== "oil drilling");
  const near = [...solid].sort((body, other) => nearness(other, turn) - nearness(body, turn));
  const inSide = near.find((body) => {
    const box = sideBox(body, plan, scene, turn);
    return x >= box.x && x <= box.x + box.width && y >= box.y && y <= box.y + box.height;
  });
  return inSide ?? solid.find((body) => inEnd(context, plan, body, turn, [x, y])) ?? null;
}

function inEnd(context, plan, body, turn, [x, y]) {
  const ratio = context.canvas.width / plan.width;
  let found = false;
  inEndView(
    context,
    plan,
    body,
    turn,
    (path) => (found = context.isPointInPath(path, x * ratio, y * ratio)),
  );
  return found;
}
