/* The journal in its clearance: shell, oil gap and journal with the gap drawn much too large,
 * and the path of the journal's centre to the scale of the gap. */

import { drawVerdict, verdictMark } from "../figures/marks.js";
import { isDark, mix } from "../figures/mixed_colours.js";
import { element, setText, svg } from "../shared/elements.js";
import { formatNumber, turnText } from "../shared/number_words.js";
import { shownUnit, withShownUnit } from "../shared/shown_units.js";
import {
  angleTrace,
  boxAt,
  centreLines,
  circle,
  DEGREE,
  degreeNames,
  degreeTicks,
  dot,
  drawVector,
  FilmPicture,
  font,
  grooveBand,
  haloText,
  overlap,
  plainTrace,
  polar,
  ring,
  segment,
  stroke,
  within,
  zeroNote,
} from "./film_picture.js";
import { direction, filmText } from "./film_scene.js";

/** Radial clearance as drawn, of the bore's radius. */
const DRAWN_CLEARANCE = 0.48;

export class JournalPicture extends FilmPicture {
  constructor() {
    super("journal", "Journal in its clearance", 2); // the journal moves between the two
  }

  planOf(bearing) {
    const { width, height, letters } = this;
    const outer = Math.max(Math.min(width / 2 - 4.3 * letters, height / 2 - 1.9 * letters), 30);
    const bore = 0.9 * outer;
    return {
      x: width / 2,
      y: height / 2,
      letters,
      outer,
      bore,
      clearance: DRAWN_CLEARANCE * bore,
      journal: (1 - DRAWN_CLEARANCE) * bore,
      cycleDegrees: bearing.film.cycleDegrees,
      zeroWords: zeroWords(bearing),
      ...grounds(this.colours),
    };
  }

  notesOf(bearing, reference) {
    const [bore, gap] = [
      bearing.diameter * shownUnit("mm").si,
      bearing.clearance * shownUnit("um").si,
    ];
    const times = formatNumber((DRAWN_CLEARANCE * bore) / 2 / gap, 2);
    const place = turnText(bearing.leastPlace);
    return [
      note(
        verdictMark(bearing.state),
        `minimum film thickness ${filmText(bearing.least)} ` +
          `at φ ${Math.round(bearing.leastDegrees)}°, on the shell at ${place}: ` +
          bearing.stateWords,
      ),
      note(
        key("limit"),
        `allowed ${filmText(bearing.limit)}`,
        key("touch"),
        "touching",
        pressureKey(),
        "peak oil film pressure",
      ),
      ...(bearing.groove ? [note(bearing.groove.words)] : []),
      note(
        `clearance magnified ${times} times (${filmText(bearing.clearance)})`,
        ...(reference ? [key("reference"), "reference"] : []),
      ),
    ];
  }

  shows() {
    return { row: "eccentricity", words: "eccentricity ratio", unit: "" };
  }

  sentenceAt(at) {
    const { bearing } = this;
    const [, toward] = thinnest(bearing, at);
    const film = filmText(bearing.value("film", at));
    const pressure = withShownUnit(bearing.value("pressure", at), "MPa");
    return (
      `${bearing.title}, journal in its clearance at crank angle ${Math.round(this.degrees)}°: ` +
      `minimum film ${film} at ${turnText(toward)} on the shell, ` +
      `peak oil film pressure ${pressure}. ${bearing.sentence}.`
    );
  }

  // --- what stays ---------------------------------------------------------------------------

  paintStill(context, depth) {
    if (depth === 0) this.paintShell(context);
    else this.paintOrbit(context);
  }

  /** Shell in section, oil, centre lines, angles, and where the film is thinnest in the cycle. */
  paintShell(context) {
    const { plan, colours, bearing } = this;
    ring(context, plan, plan.bore, plan.outer, plan.shell);
    hatchRing(context, plan, colours.zero);
    dot(context, [plan.x, plan.y], plan.bore, { fill: plan.oil, rim: colours.text, width: 1.5 });
    if (bearing.groove) {
      const radii = { inner: plan.bore, outer: plan.bore + 0.45 * (plan.outer - plan.bore) };
      grooveBand(context, plan, radii, bearing.groove, { fill: plan.oil, rim: colours.text });
    }
    circle(context, plan.x, plan.y, plan.outer);
    stroke(context, colours.text, 1.5);
    centreLines(context, plan, plan.outer - 1, colours.zero);
    degreeTicks(context, plan, plan.outer, colours);
    zeroNote(context, plan, colours);
    turningArrow(context, plan, colours);
    const [x, y] = polar(plan, (plan.bore + plan.outer) / 2, bearing.leastPlace);
    drawVerdict(context, [x, y], 7, bearing.state, colours);
  }

  /** Where the centre may go, where it went, and where it was nearest the shell. */
  paintOrbit(context) {
    const { plan, colours, bearing, reference } = this;
    circle(context, plan.x, plan.y, plan.clearance);
    stroke(context, colours.muted, 1);
    circle(context, plan.x, plan.y, plan.clearance * bearing.limitEccentricity);
    stroke(context, colours.bad, 1.5, [5, 4]);
    segment(context, [plan.x - 5, plan.y], [plan.x + 5, plan.y]);
    stroke(context, colours.muted, 1);
    segment(context, [plan.x, plan.y - 5], [plan.x, plan.y + 5]);
    stroke(context, colours.muted, 1);
    if (reference)
      plainTrace(context, plan, reference.vectors("eccentricity"), plan.clearance, {
        colour: colours.reference,
        width: 1.4,
      });
    angleTrace(context, plan, bearing.vectors("eccentricity"), plan.clearance, {
      colours,
      ground: plan.steel,
    });
    const [x, y] = bearing.vector("eccentricity", bearing.leastDegrees / bearing.film.step);
    drawVerdict(
      context,
      [plan.x + x * plan.clearance, plan.y - y * plan.clearance],
      7,
      bearing.state,
      colours,
    );
  }

  // --- what moves ---------------------------------------------------------------------------

  paintMoving(context, at) {
    const { plan, colours, bearing } = this;
    const [ex, ey] = bearing.vector("eccentricity", at);
    const centre = { x: plan.x + ex * plan.clearance, y: plan.y - ey * plan.clearance };
    this.drawLayer(context, 0);
    drawJournal(context, plan, centre, bearing.turned(this.degrees), colours);
    this.drawLayer(context, 1);
    this.drawLoad(context, centre, at);
    dot(context, [centre.x, centre.y], 4.5, { fill: colours.text, rim: colours.paper, width: 1.5 });
    this.drawFilm(context, at);
  }

  drawLoad(context, centre, at) {
    const { plan, colours, bearing } = this;
    const load = bearing.vector("load", at);
    const size = Math.hypot(...load);
    this.peak = this.peakOf === bearing ? this.peak : bearing.peakLoad;
    this.peakOf = bearing;
    const scale = (0.96 * plan.journal) / (this.peak || 1);
    const [dx, dy] = [load[0] * scale, -load[1] * scale];
    drawVector(context, [centre.x, centre.y], [dx, dy], colours.text, 2.4);
    const length = Math.hypot(dx, dy);
    if (length < 0.45 * plan.journal) return; // it would hide the path; the other picture tells it
    const aside = dx >= 0 ? -1 : 1; // the label stands to the left of an arrow to the right
    const [nx, ny] = [(-dy / length) * aside, (dx / length) * aside];
    const [x, y] = [
      centre.x + 0.74 * dx + nx * 2.3 * plan.letters,
      centre.y + 0.74 * dy + ny * 1.1 * plan.letters,
    ];
    context.textAlign = "center";
    haloText(context, withShownUnit(size, "kN"), [x, y], {
      colour: colours.text,
      ground: plan.steel,
    });
  }

  /** The thinnest film and the place of the peak pressure, named outside the shell. */
  drawFilm(context, at) {
    const { plan, colours, bearing } = this;
    const [film, toward] = thinnest(bearing, at);
    const pressed = bearing.place("pressure_place", at);
    segment(context, polar(plan, plan.bore - 2, toward), polar(plan, plan.outer + 9, toward));
    stroke(context, colours.text, 1.8);
    pressureMark(context, plan, pressed, colours.text);
    const pressure = withShownUnit(bearing.value("pressure", at), "MPa");
    const labels = [
      [filmText(film), toward],
      [pressure, pressed],
    ].map(([text, degrees]) => outsideBox(context, this, text, degrees));
    partBoxes(labels);
    degreeNames(context, plan, plan.outer, colours, labels);
    context.textAlign = "center";
    for (const { text, x, y, width, height } of labels) {
      context.fillStyle = colours.paper;
      context.fillRect(x - width / 2, y - height / 2, width, height);
      context.fillStyle = colours.text;
      context.font = font(plan.letters, 600);
      context.fillText(text, x, y + 1);
      context.font = font(plan.letters);
    }
    setText(this.readout, `film ${filmText(film)} at ${turnText(toward)}`);
  }
}

/** The thinnest film and the shell angle of it [°]. */
function thinnest(bearing, at) {
  return [bearing.value("film", at), direction(bearing.vector("eccentricity", at))];
}

export function zeroWords(bearing) {
  return bearing.kind === "big_end" ? ["0° toward the", "piston pin"] : ["0° along", "cylinder 1"];
}

/** The flat fills: steel of the journal, backing of the shell, oil. */
export function grounds(colours) {
  return {
    steel: mix(colours.paper, colours.steel, 0.42),
    shell: colours.panel,
    oil: mix(colours.paper, colours.warn, isDark(colours) ? 0.17 : 0.13),
  };
}

/** The section's hatching between bore and back of the shell. */
function hatchRing(context, { x, y, bore, outer }, colour) {
  context.save();
  context.beginPath();
  context.arc(x, y, outer, 0, 2 * Math.PI);
  context.arc(x, y, bore, 0, 2 * Math.PI, true);
  context.clip();
  context.beginPath();
  for (let at = -2 * outer; at <= 2 * outer; at += 7) {
    context.moveTo(x + at - outer, y + outer);
    context.lineTo(x + at + outer, y - outer);
  }
  stroke(context, colour, 0.8);
  context.restore();
}

/** The journal with its turning centre lines and a mark on its rim. */
function drawJournal(context, { journal, steel }, { x, y }, turned, colours) {
  dot(context, [x, y], journal, { fill: steel, rim: colours.text, width: 1.5 });
  const [sin, cos] = [Math.sin(turned), Math.cos(turned)];
  for (const [ax, ay] of [
    [sin, -cos],
    [cos, sin],
  ]) {
    segment(
      context,
      [x - 0.93 * journal * ax, y - 0.93 * journal * ay],
      [x + 0.93 * journal * ax, y + 0.93 * journal * ay],
    );
    stroke(context, colours.zero, 0.8, [12, 3, 2, 3]);
  }
  context.save();
  context.translate(x, y);
  context.rotate(turned);
  context.beginPath();
  context.moveTo(0, -0.84 * journal);
  context.lineTo(0.06 * journal, -0.985 * journal);
  context.lineTo(-0.06 * journal, -0.985 * journal);
  context.closePath();
  context.fillStyle = colours.text;
  context.fill();
  context.restore();
}

/** The sense of rotation, beside the shell. */
function turningArrow(context, plan, colours) {
  const radius = plan.outer + 12;
  context.beginPath();
  context.arc(plan.x, plan.y, radius, -145 * DEGREE, -128 * DEGREE);
  stroke(context, colours.muted, 1.5);
  pointer(context, polar(plan, radius, -36), -36 + 90, 10, colours.muted);
}

/** A triangle outside the shell that points at the place of the peak oil film pressure. */
function pressureMark(context, plan, degrees, colour) {
  pointer(context, polar(plan, plan.outer + 1, degrees), degrees + 180, 10, colour);
}

/**
 * A triangle with its tip at a point, toward an angle [°].
 * @param {any} context @param {number[]} tip @param {number} degrees
 * @param {number} size @param {string} colour
 */
function pointer(context, [x, y], degrees, size, colour) {
  context.save();
  context.translate(x, y);
  context.rotate(degrees * DEGREE);
  context.beginPath();
  context.moveTo(0, 0);
  context.lineTo(0.55 * size, size);
  context.lineTo(-0.55 * size, size);
  context.closePath();
  context.fillStyle = colour;
  context.fill();
  context.restore();
}

/** The box of a bold label outside the shell at an angle, kept within the picture. */
export function outsideBox(context, { plan, width, height }, text, degrees) {
  context.font = font(plan.letters, 600);
  const box = within(boxAt(context, plan, plan.outer + 11, text, degrees), width, height);
  context.font = font(plan.letters);
  return box;
}

/**
 * Move two labels that lie over one another apart, along the nearer way.
 * @param {any[]} boxes
 */
function partBoxes([one, other]) {
  if (!overlap(one, other)) return;
  const steep = Math.abs(Math.sin(one.degrees * DEGREE)) > 0.6;
  const [axis, size] = steep ? ["y", "height"] : ["x", "width"];
  const by = ((one[size] + other[size]) / 2 + 1 - Math.abs(one[axis] - other[axis])) / 2;
  const sense = one[axis] <= other[axis] ? 1 : -1;
  one[axis] -= sense * by;
  other[axis] += sense * by;
}

// --- notes under a picture --------------------------------------------------------------------

export function note(...parts) {
  return element(
    "p",
    {},
    ...parts.map((part) => (typeof part === "string" ? element("span", {}, part) : part)),
  );
}

/** A short line as it is drawn in the picture. */
export function key(kind) {
  return svg(
    "svg",
    { width: 22, height: 8, class: `key ${kind}`, "aria-hidden": "true" },
    svg("line", { x1: 0, x2: 22, y1: 4, y2: 4 }),
  );
}

function pressureKey() {
  return svg(
    "svg",
    { width: 12, height: 12, class: "key pressure", "aria-hidden": "true" },
    svg("path", { d: "M.5 1H11.5L6 11Z" }),
  );
}
