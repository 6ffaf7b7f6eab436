/* Pictures of the balancing card: a plane with its residual, a drilled web with its holes. */

import { element, svg } from "../shared/elements.js";
import { turnText } from "../shared/number_words.js";

const [PLANE_SIZE, CIRCLE] = [210, 52]; // px of a plane's picture, and of what is permissible
const WEB_SIZE = 130; // px of a web's picture
const WEB_RADIUS = 0.4 * WEB_SIZE;

/** A place [px] at an angle from the top and a share of the web's radius. */
export function webPoint(degrees, share) {
  const angle = (degrees * Math.PI) / 180;
  return [WEB_RADIUS * share * Math.sin(angle), -WEB_RADIUS * share * Math.cos(angle)];
}

/** The outline of a counterweight between two angles [°], from a share of the radius outward. */
export function sectorPath([low, high], inner) {
  const at = (degrees, share) =>
    webPoint(degrees, share)
      .map((value) => value.toFixed(2))
      .join(" ");
  const large = high - low > 180 ? 1 : 0;
  const arc = (share, sweep, to) =>
    `A${WEB_RADIUS * share} ${WEB_RADIUS * share} 0 ${large} ${sweep} ${at(to, share)}`;
  const outside = `M${at(low, inner)}L${at(low, 1)}${arc(1, 1, high)}`;
  return `${outside}L${at(high, inner)}${arc(inner, 0, low)}Z`;
}

/**
 * A drilled web from the front: its outline with chamfer and pocket, its pin, its counterweight,
 * and the holes in its outside.
 */
export function webPicture({ web, pin, throw: [crank, pinRadius], hub, cut, face, holes }) {
  const middle = -WEB_SIZE / 2;
  const placed = holes.map(({ number, angle }) => `hole ${number} at ${turnText(angle)}`);
  const [cx, cy] = webPoint(pin, crank);
  const pinKind = cut.behind ? "pin" : "pin behind"; // pin and cuts lie on opposite faces
  return element(
    "figure",
    { class: "plane" },
    element("figcaption", {}, `Web ${web}`),
    svg(
      "svg",
      {
        viewBox: `${middle} ${middle} ${WEB_SIZE} ${WEB_SIZE}`,
        width: WEB_SIZE,
        height: WEB_SIZE,
        role: "img",
        "aria-label": `Web ${web} from the front: ${[...placed, ...cutWords(cut)].join(", ")}`,
      },
      svg("path", { class: "sector", d: sectorPath(face, hub) }),
      svg("path", { class: "web", d: outlinePath(cut.outline), transform: `rotate(${pin})` }),
      svg("circle", { class: pinKind, cx, cy, r: WEB_RADIUS * pinRadius }),
      svg("g", { transform: `rotate(${pin})` }, ...cutEdges(cut)),
      ...holes.flatMap(holeMarks),
    ),
  );
}

/** The outline of a web with its pin at the top, from points of half width and height. */
export function outlinePath(points) {
  const at = (half, height) =>
    [WEB_RADIUS * half, -WEB_RADIUS * height].map((value) => value.toFixed(2)).join(" ");
  const right = points.map(([half, height]) => at(half, height));
  const left = points.map(([half, height]) => at(-half, height)).reverse();
  return `M${[...right, ...left].join("L")}Z`;
}

/** The edges of chamfer and pocket with the pin at the top, dashed where the web hides them. */
function cutEdges({ chamfer, pocket, behind }) {
  const kind = behind ? "cut behind" : "cut";
  const edges = chamfer.map(([half, height]) => {
    const y = -WEB_RADIUS * height;
    return svg("line", {
      class: kind,
      x1: -WEB_RADIUS * half,
      x2: WEB_RADIUS * half,
      y1: y,
      y2: y,
    });
  });
  if (!pocket) return edges;
  const [height, radius] = pocket;
  return [
    ...edges,
    svg("circle", { class: kind, cy: -WEB_RADIUS * height, r: WEB_RADIUS * radius }),
  ];
}

function cutWords({ chamfer, pocket }) {
  return [...(chamfer.length ? ["chamfer"] : []), ...(pocket ? ["pocket"] : [])];
}

/** A hole from the outside of its web inward, and its number. */
function holeMarks({ number, angle, depth, width }) {
  const [x, y] = webPoint(angle, 1.16);
  return [
    svg("rect", {
      class: "hole",
      x: (-WEB_RADIUS * width) / 2,
      y: -WEB_RADIUS,
      width: WEB_RADIUS * width,
      height: WEB_RADIUS * depth,
      transform: `rotate(${angle})`,
    }),
    svg("text", { class: "zero", x, y, dy: 4 }, `${number}`),
  ];
}

/** One plane: the permissible circle, the residual before, each hole's step, and the residual. */
export function planePicture(plane) {
  const { title, permissible, before, after, machine, share, within } = plane;
  return element(
    "figure",
    { class: "plane" },
    element("figcaption", {}, element("strong", {}, title)),
    planeDrawing(plane),
    element("p", {}, `○ ${before}`),
    element("p", {}, `● ${after}`, element("span", { class: "muted" }, ` (${machine})`)),
    element("p", { class: within ? "good" : "bad" }, `${within ? "✓" : "✕"} ${share}`),
    element("p", { class: "muted" }, `circle: ${permissible} permissible`),
  );
}

function planeDrawing({ title, permissible, path, before, after, share, within }) {
  const reach = Math.max(1.25, ...path.map(([x, y]) => 1.08 * Math.hypot(x, y)));
  const scale = Math.min(CIRCLE, (0.86 * PLANE_SIZE) / 2 / reach);
  const middle = PLANE_SIZE / 2;
  const change = `${before} before, ${after} after drilling, ${share}`;
  const points = path.map(([x, y]) => [middle + scale * x, middle - scale * y]);
  const [start, end] = [points[0], points.at(-1)];
  return svg(
    "svg",
    {
      viewBox: `0 0 ${PLANE_SIZE} ${PLANE_SIZE}`,
      width: PLANE_SIZE,
      height: PLANE_SIZE,
      role: "img",
      "aria-label": `${title}: ${change}; permissible ${permissible}`,
    },
    svg("circle", { class: "permissible", cx: middle, cy: middle, r: scale }),
    svg("path", {
      class: "axes",
      d: `M${middle} 14V${PLANE_SIZE - 4}M4 ${middle}H${PLANE_SIZE - 4}`,
    }),
    svg("text", { class: "zero", x: middle, y: 11 }, "0°"),
    svg("text", { class: "zero", x: PLANE_SIZE - 14, y: middle - 4 }, "90°"),
    svg("line", { class: "before", x1: middle, y1: middle, x2: start[0], y2: start[1] }),
    svg("circle", { class: "start", cx: start[0], cy: start[1], r: 4 }),
    ...points.slice(1).map((to, place) => holeStep(points[place], to, place + 1)),
    svg("line", { class: "after", x1: middle, y1: middle, x2: end[0], y2: end[1] }),
    svg("circle", { class: within ? "end good" : "end bad", cx: end[0], cy: end[1], r: 5 }),
  );
}

/** What one hole changes of the residual, and the hole's number. */
function holeStep([x1, y1], [x2, y2], number) {
  return svg(
    "g",
    { class: "step" },
    svg("line", { x1, y1, x2, y2 }),
    svg("text", { x: (x1 + x2) / 2 + 5, y: (y1 + y2) / 2 - 4 }, `${number}`),
  );
}
