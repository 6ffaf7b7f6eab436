/* The load on the shell as a polar diagram, and round it how the load is spread over the shell. */

import { mix } from "../figures/mixed_colours.js";
import { niceAbove } from "../figures/feeder.js";
import { between } from "../figures/scene.js";
import { setText, svg } from "../shared/elements.js";
import { formatNumber, turnText } from "../shared/number_words.js";
import { shownUnit, withShownUnit } from "../shared/shown_units.js";
import { grounds, key, note, outsideBox, zeroWords } from "./film_drawing.js";
import {
  angleTrace,
  centreLines,
  circle,
  DEGREE,
  degreeNames,
  degreeTicks,
  dot,
  drawVector,
  FilmPicture,
  font,
  freestBox,
  grooveBand,
  haloText,
  plainTrace,
  polar,
  ring,
  segment,
  stroke,
  zeroNote,
} from "./film_picture.js";
import { direction } from "./film_scene.js";

export class LoadPicture extends FilmPicture {
  constructor() {
    super("load", "Load on the shell", 1);
  }

  planOf(bearing) {
    const { width, height, letters } = this;
    const outer = Math.max(Math.min(width / 2 - 3.4 * letters, height / 2 - 1.9 * letters), 30);
    const peak = Math.max(bearing.peakLoad, this.reference ? this.reference.peakLoad : 0);
    const inner = 0.83 * outer;
    const scale = inner / (1.15 * peak || 1);
    return {
      x: width / 2,
      y: height / 2,
      letters,
      outer,
      inner,
      scale,
      step: niceAbove(peak / 2.6),
      most: Math.max(...bearing.wearShell),
      cycleDegrees: bearing.film.cycleDegrees,
      zeroWords: zeroWords(bearing),
      ...grounds(this.colours),
    };
  }

  notesOf(bearing) {
    const most = formatNumber(Math.max(...bearing.wearShell), 2);
    return [
      note(quietKey(), `least loaded at ${turnText(bearing.quietShell)}: place for an oil hole`),
      note(key("wear"), `spread of a cycle's load, up to ${most} ${shownUnit("kN").symbol}/rad`),
    ];
  }

  shows() {
    return { row: "load", words: "load on the shell", unit: shownUnit("kN").symbol };
  }

  sentenceAt(at) {
    const { bearing } = this;
    const load = bearing.vector("load", at);
    const force = withShownUnit(Math.hypot(...load), "kN");
    const peak = withShownUnit(bearing.peakLoad, "kN");
    return (
      `${bearing.title}, load on the shell at crank angle ${Math.round(this.degrees)}°: ` +
      `${force} toward ${turnText(direction(load))} on the shell; peak of the cycle ${peak}; ` +
      `least loaded at ${Math.round(bearing.quietShell)}°.`
    );
  }

  // --- what stays ---------------------------------------------------------------------------

  paintStill(context) {
    const { plan, colours, bearing, reference } = this;
    ring(context, plan, plan.inner, plan.outer, plan.shell);
    this.paintWear(context);
    this.paintRings(context);
    centreLines(context, plan, plan.inner, colours.zero);
    if (bearing.groove) {
      const radii = { inner: plan.inner - 5, outer: plan.inner };
      grooveBand(context, plan, radii, bearing.groove, { fill: plan.oil, rim: colours.text });
    }
    for (const radius of [plan.inner, plan.outer]) {
      circle(context, plan.x, plan.y, radius);
      stroke(context, colours.text, 1.3);
    }
    degreeTicks(context, plan, plan.outer, colours);
    zeroNote(context, plan, colours);
    if (reference)
      plainTrace(context, plan, reference.vectors("load"), plan.scale, {
        colour: colours.reference,
        width: 1.4,
      });
    const named = angleTrace(context, plan, bearing.vectors("load"), plan.scale, {
      colours,
      ground: colours.paper,
    });
    this.paintPeak(context, named);
    this.paintQuiet(context);
  }

  /** Rings of load with their values, a little below the axis to the right. */
  paintRings(context) {
    const { plan, colours } = this;
    context.textAlign = "center";
    for (let load = plan.step; load * plan.scale < 0.99 * plan.inner; load += plan.step) {
      const radius = load * plan.scale;
      circle(context, plan.x, plan.y, radius);
      stroke(context, colours.grid, 1);
      const [x, y] = polar(plan, Math.min(radius, plan.inner - 1.6 * plan.letters), 108);
      haloText(context, withShownUnit(load, "kN", 2), [x, y], {
        colour: colours.muted,
        ground: colours.paper,
      });
    }
  }

  /** The band of the shell: how far a bar reaches, and how dark it is, tells the load it bears. */
  paintWear(context) {
    const { plan, colours, bearing } = this;
    const count = bearing.wearShell.length;
    for (let degrees = 0; degrees < 360; degrees++) {
      const value = between(bearing.wearShell, (degrees * count) / 360);
      const share = plan.most > 0 ? value / plan.most : 0;
      const [from, to] = [(degrees - 90.5) * DEGREE, (degrees - 88.2) * DEGREE];
      context.beginPath();
      context.arc(plan.x, plan.y, plan.inner + share * (plan.outer - plan.inner - 2), from, to);
      context.arc(plan.x, plan.y, plan.inner, to, from, true);
      context.fillStyle = mix(colours.panel, colours.muted, 0.3 + 0.7 * share);
      context.fill();
    }
  }

  /** The peak of the cycle, named where it hides none of the trace's own labels. */
  paintPeak(context, named) {
    const { plan, colours, bearing } = this;
    const [xs, ys] = bearing.vectors("load");
    const at = xs.reduce(
      (best, _, i) => (Math.hypot(xs[i], ys[i]) > Math.hypot(xs[best], ys[best]) ? i : best),
      0,
    );
    const [x, y] = [plan.x + plan.scale * xs[at], plan.y - plan.scale * ys[at]];
    dot(context, [x, y], 4, { fill: colours.paper, rim: colours.text, width: 1.6 });
    const crowd = Array.from(xs, (_, i) => [
      plan.x + plan.scale * xs[i],
      plan.y - plan.scale * ys[i],
    ]);
    for (let degrees = 0; degrees < 360; degrees += 1) {
      for (const radius of [plan.inner, plan.inner + 8]) crowd.push(polar(plan, radius, degrees));
    }
    const box = freestBox(context, plan, `peak ${withShownUnit(bearing.peakLoad, "kN")}`, [x, y], {
      crowd,
      taken: named,
    });
    context.textAlign = "center";
    haloText(context, box.text, [box.x, box.y], { colour: colours.text, ground: colours.paper });
  }

  /** The least loaded place: a hole in the band, and its angle. */
  paintQuiet(context) {
    const { plan, colours, bearing } = this;
    const middle = polar(plan, (plan.inner + plan.outer) / 2, bearing.quietShell);
    dot(context, middle, Math.min(0.32 * (plan.outer - plan.inner), 8), {
      fill: colours.paper,
      rim: colours.good,
      width: 2.4,
    });
    segment(
      context,
      polar(plan, plan.outer, bearing.quietShell),
      polar(plan, plan.outer + 9, bearing.quietShell),
    );
    stroke(context, colours.good, 2.4);
    const box = outsideBox(context, this, `${turnText(bearing.quietShell)}`, bearing.quietShell);
    degreeNames(context, plan, plan.outer, colours, [box]);
    context.font = font(plan.letters, 600);
    context.fillStyle = colours.good;
    context.fillText(box.text, box.x, box.y + 1);
    context.font = font(plan.letters);
  }

  // --- what moves ---------------------------------------------------------------------------

  paintMoving(context, at) {
    const { plan, colours, bearing } = this;
    this.drawLayer(context, 0);
    const load = bearing.vector("load", at);
    const size = Math.hypot(...load);
    const [dx, dy] = [load[0] * plan.scale, -load[1] * plan.scale];
    drawVector(context, [plan.x, plan.y], [dx, dy], colours.text, 2.4);
    dot(context, [plan.x + dx, plan.y + dy], 4.5, {
      fill: colours.text,
      rim: colours.paper,
      width: 1.5,
    });
    setText(this.readout, `${withShownUnit(size, "kN")} toward ${turnText(direction(load))}`);
  }
}

function quietKey() {
  return svg(
    "svg",
    { width: 14, height: 14, viewBox: "-7 -7 14 14", class: "key quiet", "aria-hidden": "true" },
    svg("circle", { r: 4.5 }),
  );
}
