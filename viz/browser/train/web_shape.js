/* A web with its chamfer and pocket, as seen from the side and from the front, for every picture.
 *
 * Lengths in metres or px alike. Heights count from the main axis toward the pin. The chamfer is a
 * plane from `chamfer_start` on the face at the main to `chamfer_end` on the face at the pin; the
 * pocket is in the face at the main. */

import { Outline } from "../figures/svg_context.js";

const STEPS = 16; // of a chamfer's curved edge, seen at a slant

/** True if a web's chamfer takes anything off it. */
export function isChamfered({ hub_radius, pin_end_radius, chamfer_start }, crankRadius) {
  return chamfer_start < Math.max(hub_radius, crankRadius + pin_end_radius) * (1 - 1e-9);
}

/** Half of how wide a web is at a height over the main axis. */
export function webHalfWidth({ hub_radius: main, pin_end_radius: pin }, crankRadius, height) {
  const onMain = Math.sqrt(Math.max(main ** 2 - height ** 2, 0));
  const onPin = Math.sqrt(Math.max(pin ** 2 - (height - crankRadius) ** 2, 0));
  const sin = (main - pin) / crankRadius;
  if (Math.abs(sin) >= 1) return sin > 0 ? onMain : onPin;
  if (height < main * sin) return onMain;
  if (height > crankRadius + pin * sin) return onPin;
  return (main - height * sin) / Math.sqrt(1 - sin ** 2);
}

/**
 * How high a web reaches from the main axis where its pin stands at an angle [rad] from upright
 * and nothing of it is left beyond a height toward the pin.
 */
function webTop(web, crankRadius, angle, limit) {
  const cos = Math.cos(angle);
  const [onMain, onPin] = [web.hub_radius, crankRadius * cos + web.pin_end_radius];
  const touch = onPin > onMain ? crankRadius + web.pin_end_radius * cos : web.hub_radius * cos;
  if (touch <= limit) return Math.max(onMain, onPin);
  return limit * cos + webHalfWidth(web, crankRadius, limit) * Math.abs(Math.sin(angle));
}

/**
 * A web's outline from the side: corners [distance from the face at the pin, height].
 * @param {number} angle of the pin from upright [rad]
 */
export function webSide(web, crankRadius, angle) {
  const steps = isChamfered(web, crankRadius) ? STEPS : 1;
  const [top, bottom] = [[], []];
  for (let i = 0; i <= steps; i++) {
    const share = i / steps;
    const limit = web.chamfer_end + share * (web.chamfer_start - web.chamfer_end);
    top.push([share * web.thickness, webTop(web, crankRadius, angle, limit)]);
    bottom.unshift([share * web.thickness, -webTop(web, crankRadius, angle + Math.PI, limit)]);
  }
  return [...top, ...bottom];
}

/** How deep the chamfer is at a height over the main axis. */
function chamferDepth({ chamfer_start, chamfer_end, thickness }, height) {
  const share = (height - chamfer_start) / (chamfer_end - chamfer_start);
  return thickness * Math.min(Math.max(share, 0), 1);
}

/**
 * A web from the side as paths in px about the shaft's axis: its outline, and its pocket's edges.
 * Of its place, `toPin` is 1 if the pin is at its rear, and -1 else.
 */
export function sideWeb(web, crankRadius, { z, toPin, angle }, { x, y }, scale) {
  const face = z + (toPin * web.thickness) / 2;
  /** @returns {[number, number]} */
  const at = ([along, height]) => [x + (face - toPin * along) * scale, y - height * scale];
  const outline = new Outline();
  webSide(web, crankRadius, angle).forEach((corner, i) =>
    i ? outline.lineTo(...at(corner)) : outline.moveTo(...at(corner)),
  );
  outline.closePath();
  const pocket = new Outline();
  if (web.pocket_radius > 0) {
    const floor = web.thickness - web.pocket_depth;
    const [upper, lower] = [1, -1].map((side) => {
      const height = web.pocket_height + side * web.pocket_radius * Math.cos(angle);
      const open = Math.max(floor, web.thickness - chamferDepth(web, height));
      return { open, height: web.pocket_height * Math.cos(angle) + side * web.pocket_radius };
    });
    pocket.moveTo(...at([upper.open, upper.height]));
    pocket.lineTo(...at([floor, upper.height]));
    pocket.lineTo(...at([floor, lower.height]));
    pocket.lineTo(...at([lower.open, lower.height]));
  }
  return { outline, pocket };
}

/** The edges of chamfer and pocket on a web's face at the main, the pin above the axis. */
export function webEdges(web, crankRadius) {
  const path = new Outline();
  if (isChamfered(web, crankRadius)) {
    const half = webHalfWidth(web, crankRadius, web.chamfer_start);
    path.moveTo(-half, -web.chamfer_start);
    path.lineTo(half, -web.chamfer_start);
  }
  if (web.pocket_radius > 0) {
    path.moveTo(web.pocket_radius, -web.pocket_height);
    path.arc(0, -web.pocket_height, web.pocket_radius, 0, 2 * Math.PI);
  }
  return path;
}
