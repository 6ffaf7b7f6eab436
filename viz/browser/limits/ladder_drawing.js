/* What the ladder draws along its speed axis: the axis itself, and the track of a rung. */

import { svg } from "../shared/elements.js";
import { markOnPatch, misfireSign } from "./ladder_marks.js";
import { bareSpeed, rpmWords } from "./ladder_words.js";

/** The axis over the tracks: ticks, and the names of the rated speed and the red line. */
export function axisParts(scale) {
  return [
    svg("text", { x: "100%", y: 11, "text-anchor": "end" }, "crank speed, rpm"),
    ...scale.ticks.flatMap((rpm) => [
      svg(
        "text",
        { x: `${scale.at(rpm)}%`, y: 57, "text-anchor": "middle", class: "tick" },
        rpmWords(rpm),
      ),
      upright(scale, rpm, { y1: 61, y2: 66, class: "zero" }),
    ]),
    ...scale.lines.flatMap((_, place) => lineHead(scale, place)),
  ];
}

/**
 * A line's name over the axis: the lower speed's to the left of its line, the higher's to the
 * right.
 */
function lineHead(scale, place) {
  const { lines } = scale;
  const [kind, rpm, words] = lines[place];
  const x = scale.at(rpm);
  const toLeft = x > 72 || (place === 0 && lines.length > 1 && x > 28);
  const isRaised = place > 0 && (toLeft || scale.at(lines[0][1]) <= 28);
  const y = 40; // under the axis's own name, and the other line's
  return [
    upright(scale, rpm, { y1: y - 9, y2: 66, class: kind }),
    svg(
      "text",
      {
        x: `${x}%`,
        dx: toLeft ? -4 : 4,
        y: isRaised ? y - 14 : y,
        "text-anchor": toLeft ? "end" : "start",
        class: `line-name ${kind}`,
      },
      words,
    ),
  ];
}

/** What a row draws: grid, stretches that are over, the reference's limit, its line and mark. */
export function trackParts(scale, rung) {
  const reach = Math.min(rung.limit ?? scale.end, scale.end);
  const before = Number.isFinite(rung.reference_limit) ? rung.reference_limit : null;
  return [
    ...uprights(scale),
    ...(rung.guide ? [] : scale.stretches(rung.over).map((stretch) => hatched(scale, stretch))),
    level(scale, [scale.metFrom(rung), reach], "reach"),
    ...(before === null
      ? []
      : [
          level(scale, [before, reach], "moved"),
          spot(scale, before, svg("circle", { r: 4, class: "reference-mark" })),
        ]),
    ...marks(scale, rung),
    ...misfireMark(scale, rung.misfire),
    ...(rung.band ? band(scale, rung.band) : []),
    ...below(scale, rung),
    ...(rung.change_text ? [change(scale, rung.change_text, [reach, before ?? reach])] : []),
  ];
}

/** The grid, and the rated speed and red line, which go through all rows. */
export function uprights(scale) {
  const through = (rpm, kind) => upright(scale, rpm, { y1: 0, y2: "100%", class: kind });
  return [
    ...scale.ticks.map((rpm) => through(rpm, "grid")),
    ...scale.lines.map(([kind, rpm]) => through(rpm, kind)),
  ];
}

function upright(scale, rpm, attributes) {
  return svg("line", { x1: `${scale.at(rpm)}%`, x2: `${scale.at(rpm)}%`, ...attributes });
}

function level(scale, [from, to], kind) {
  const ends = { x1: `${scale.at(from)}%`, x2: `${scale.at(to)}%` };
  return svg("line", { ...ends, y1: "50%", y2: "50%", class: kind });
}

function hatched(scale, { from, to, far }) {
  return svg("rect", {
    x: `${scale.at(from)}%`,
    width: `${Math.max(scale.at(to) - scale.at(from), 0.6)}%`,
    y: "50%",
    height: 9,
    transform: "translate(0 -4.5)",
    class: far ? "stretch far" : "stretch",
    fill: "url(#hatch)",
  });
}

/** The limit by other models: a thin bar under the track, a tick at each end on the axis. */
function band(scale, { low, high, text }) {
  const from = Math.min(low, scale.end);
  const to = Math.min(high, scale.end);
  const tick = (rpm) =>
    svg("rect", {
      x: `${scale.at(rpm)}%`,
      width: 1.6,
      y: "50%",
      height: 6,
      transform: "translate(-0.8 3)",
      class: "band",
    });
  const bar = {
    x: `${scale.at(from)}%`,
    width: `${scale.at(to) - scale.at(from)}%`,
    y: "50%",
    height: 2,
    transform: "translate(0 7)",
    class: "band",
  };
  if (!text) return [];
  return [
    svg("rect", bar, svg("title", {}, text)),
    ...[from, to].filter((rpm) => rpm < scale.end && rpm > scale.start).map(tick),
  ];
}

/** A mark at the limit, a cross where a rung is met from, an arrow past the end. */
function marks(scale, rung) {
  const from = scale.metFrom(rung);
  const limit = scale.limitOf(rung);
  const isCrossed = from > scale.low && from > scale.start && from < scale.end && !rung.guide;
  return [
    ...(isCrossed ? [spot(scale, from, ...markOnPatch("over"))] : []),
    limit > scale.end
      ? spot(scale, scale.end, svg("path", { d: "M-5 -4 L0 0 L-5 4", class: "beyond" }))
      : spot(scale, limit, ...markOnPatch(scale.markOf(rung))),
    ...(limit < scale.start
      ? [spot(scale, limit, svg("path", { d: "M-9 -4 L-14 0 L-9 4", class: "beyond" }))]
      : []),
  ];
}

/** What is over at speeds below the axis, in words at its start. */
function below(scale, rung) {
  const words = scale.belowWords(rung);
  if (!words) return [];
  const place = { x: "0%", y: "50%", "dominant-baseline": "central", class: "change" };
  return [svg("text", place, `‹ ${words}`)];
}

/** The limit with the worst cylinder misfiring: a small triangle above the track. */
function misfireMark(scale, misfire) {
  if (!misfire || misfire.limit === null) return [];
  if (misfire.limit > scale.end || misfire.limit < scale.start) return [];
  return [spot(scale, misfire.limit, misfireSign())];
}

function spot(scale, rpm, ...children) {
  return svg("svg", { x: `${scale.at(rpm)}%`, y: "50%", overflow: "visible" }, ...children);
}

/** What changed, beside the two marks: to their right where there is room, else to their left. */
function change(scale, text, speeds) {
  const places = speeds.map((rpm) => scale.at(rpm));
  const right = Math.max(...places);
  const toRight = right < 84;
  return svg(
    "text",
    {
      x: `${toRight ? right : Math.min(...places)}%`,
      dx: toRight ? 10 : -10,
      y: "50%",
      "dominant-baseline": "central",
      "text-anchor": toRight ? "start" : "end",
      class: "change",
    },
    bareSpeed(text),
  );
}
