/* What is set of the deflected shaft: bending, twist or both, and how much it is magnified. */

import { element, setText } from "../shared/elements.js";
import { formatNumber, formatShort, withUnit } from "../shared/number_words.js";
import { shownUnit } from "../shared/shown_units.js";
import { clearFactor, largestMotions } from "./solid_deflection.js";

const CHOICES = {
  off: "Rigid shaft",
  both: "Bending and twist",
  bending: "Bending",
  twist: "Twist",
};
const STEPS = [1 / 10, 1 / 5, 1 / 2, 1, 2, 5, 10]; // of the factor chosen automatically
const KEY = "m";

export class BendingChoice {
  /** `changed` is called when something is set. */
  constructor(changed) {
    this.changed = changed;
    /** @type {any} */ this.deflection = null;
    /** @type {any} */ this.found = null;
    this.choice = element(
      "select",
      { title: `Shaft, its deflection magnified (${KEY})`, onchange: () => this.set() },
      ...Object.entries(CHOICES).map(([value, words]) => element("option", { value }, words)),
    );
    this.step = element("input", {
      type: "range",
      min: 0,
      max: STEPS.length - 1,
      value: STEPS.indexOf(1),
      oninput: changed,
    });
    this.magnified = element("label", { hidden: true }, "Magnified ", this.step);
    this.nodes = [element("label", {}, "Shaft ", this.choice), this.magnified];
    this.words = element("span", { class: "solid-bending number" });
  }

  get isOn() {
    return this.choice.value !== "off";
  }

  set() {
    this.magnified.hidden = !this.isOn;
    this.changed();
  }

  /** Show it, or the rigid shaft again. */
  toggle() {
    this.choice.value = this.isOn ? "off" : "both";
    this.set();
  }

  isKey(key) {
    return key === KEY;
  }

  /** What is shown of it in a scene: which movement and its factor, or null. */
  shown(scene) {
    const { deflection } = this;
    if (!this.isOn || !deflection || deflection.missing !== undefined) return null;
    if (deflection.place.length !== 4 * scene.parts.throws.length + 1) return null;
    const which = this.choice.value;
    const factor = clearFactor(this.largest(scene, which), scene.parts);
    return { which, factor: factor * STEPS[Number(this.step.value)] };
  }

  /** The largest movements over the cycle, found once for a scene at its speed. */
  largest(scene, which) {
    const { found, deflection } = this;
    const isSame = found?.scene === scene && found.which === which;
    if (!isSame || found.deflection !== deflection)
      this.found = { scene, which, deflection, ...largestMotions(deflection, scene, which) };
    return this.found;
  }

  /** Say how much is magnified, and what the largest movements are. */
  say(shown) {
    if (!shown) {
      const missing = this.isOn && this.deflection?.missing;
      setText(this.words, missing ? `The deflected shaft is not shown. ${missing}` : "");
      return;
    }
    const { shift, turn } = this.found;
    const [small, angle, rpm] = [shownUnit("um"), shownUnit("deg"), shownUnit("rpm")];
    const told = [
      shown.which !== "twist" &&
        `shift up to ${withUnit(formatShort(shift / small.si, 3), small.symbol)}`,
      shown.which !== "bending" &&
        `twist up to ${withUnit(formatNumber(turn / angle.si, 3), angle.symbol)}` +
          (this.deflection.order.length
            ? ` at ${withUnit(formatShort(this.deflection.speed / rpm.si, 4), rpm.symbol)}`
            : ", static"),
    ];
    const factor = formatShort(shown.factor, 3);
    setText(this.words, `Deflection × ${factor}: ${told.filter(Boolean).join(", ")}`);
  }
}
