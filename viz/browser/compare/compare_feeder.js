/* One quantity of two designs over the crank angle: B's curve, and A's as the reference. */

import { course } from "../figures/feeder.js";
import { LineFeeder } from "../figures/line_feeder.js";
import { between } from "../figures/scene.js";
import { formatWhole, withUnit } from "../shared/number_words.js";

/** Heights of a curve's name and of the strokes' names, over the height of the plot, and least. */
const [LABEL, STROKE_NAME] = [0.14, 0.12];
const [LABEL_PX, STROKE_NAME_PX] = [21, 20];

export class ComparedFeeder extends LineFeeder {
  feedScene(scene, reference, cylinder) {
    this.speeds = { A: reference?.rpm, B: scene.rpm };
    super.feedScene(scene, reference, cylinder);
  }

  /** A's curve as it is drawn, or null where there is none to lay over B's. */
  get other() {
    const values = this.source().data.reference0;
    return Number.isNaN(values[0]) ? null : values;
  }

  /**
   * Name both curves where they are well apart and run level, or both at once where they nowhere
   * are.
   */
  labels(angle) {
    this.angle = angle;
    this.followHeight();
    const { start, end } = this.figure.y_range;
    const height = end - start;
    const [label, name] = [this.tall(LABEL, LABEL_PX), this.tall(STROKE_NAME, STROKE_NAME_PX)];
    const room = { low: start + label, high: end - (this.feed.ofCylinder ? name + label : label) };
    const [ours, theirs] = [this.source().data.y0, this.other];
    const at = theirs ? apartAndLevel(ours, theirs, room, 0.04 * height) : null;
    const data = { x: [], y: [], text: [], colour: [] };
    const put = (place, values, text, under, role) => {
      data.x.push(angle[place]);
      data.y.push(values[place] - (under ? label : 0));
      data.text.push(text);
      data.colour.push(this.colours[role]);
    };
    if (at === null) put(highest(ours, room.high), ours, theirs ? "A and B" : "B", false, "text");
    else {
      const above = ours[at] > theirs[at];
      put(at, ours, "B", !above, "text");
      put(at, theirs, "A", above, "muted");
    }
    this.source("labels").data = data;
  }

  /** What a share of the plot's height, and at least so many pixels, are on its axis. */
  tall(share, pixels) {
    const { start, end } = this.figure.y_range;
    const { inner_height: high } = this.figure.properties;
    const least = high.is_unset ? 0 : pixels / Math.max(this.figure.inner_height, 2 * pixels);
    return Math.max(share, least) * (end - start);
  }

  /** Place the names anew where the plot takes another height. */
  followHeight() {
    if (this.follows) return;
    this.follows = true;
    const { change } = this.figure.properties.inner_height;
    this.figure.connect(change, () => this.labels(this.angle));
  }

  readout(scene, cylinder, at) {
    if (!this.curves) return "";
    const there = this.other;
    const other = there ? `A ${this.text(between(there.subarray(0, -1), at))}, ` : "";
    return `${other}B ${this.text(this.valueAt(0, at))}`;
  }

  /** Both curves over the angle. */
  table() {
    const { head, rows } = super.table();
    const there = this.other;
    if (!there) return { head, rows };
    return {
      head: [head[0], `A, ${this.feed.unit}`, head[1]],
      rows: rows.map(([angle, ours], i) => [angle, there[i], ours]),
    };
  }

  describe(scene, cylinder) {
    const whose = this.feed.ofCylinder ? `, cylinder ${cylinder + 1}` : "";
    const named = (name, values) =>
      course(`${name} at ${withUnit(formatWhole(this.speeds[name]), "rpm")}`, values, scene.step);
    const there = this.other;
    const a = there ? `${named("A", there)}; ` : "";
    const axes = `over crank angle 0 to ${scene.cycleDegrees}°, in ${this.feed.unit}`;
    return `${this.feed.title}${whose}, ${axes}: ${a}${named("B", this.curves[0])}.`;
  }
}

/**
 * Where two curves are far apart for their slope there, with room for names; null if they nowhere
 * are.
 */
function apartAndLevel(ours, theirs, room, least) {
  const reach = Math.round(ours.length / 90);
  const rise = (values, i) => Math.abs(values[i + reach] - values[i - reach]);
  let [best, most] = [null, -Infinity];
  for (let i = 2 * reach; i < ours.length - 3 * reach; i++) {
    const [low, high] = [Math.min(ours[i], theirs[i]), Math.max(ours[i], theirs[i])];
    const worth = high - low - 0.8 * (rise(ours, i) + rise(theirs, i));
    if (high - low < least || low < room.low || high > room.high || worth <= most) continue;
    [best, most] = [i, worth];
  }
  return best;
}

/** The highest place of a curve that leaves room for a name over it, else its lowest. */
function highest(values, most) {
  let best = Math.round(values.length / 4);
  for (let i = Math.round(0.03 * values.length); i < 0.94 * values.length; i++) {
    const isBetter = values[best] > most ? values[i] < values[best] : values[i] > values[best];
    if (isBetter && (values[i] <= most || values[best] > most)) best = i;
  }
  return best;
}
