/* What is set beside the train in space: view, block, section, explosion, colours; and the key. */

import { element, setText } from "../shared/elements.js";
import { formatShort, withUnit } from "../shared/number_words.js";
import { emit } from "../shared/page_state.js";
import { shownUnit } from "../shared/shown_units.js";
import { arrowScale } from "./solid_arrows.js";
import { BendingChoice } from "./solid_bending.js";
import { VIEWS } from "./solid_camera.js";
import { peakOf, RAMP, rowsOf, valueAt } from "./solid_results.js";

const TURNS = { "[": [-0.12, 0], "]": [0.12, 0], ArrowUp: [0, 0.1], ArrowDown: [0, -0.1] };
const ZOOMS = { "+": 1.15, "=": 1.15, "-": 1 / 1.15 };
const LOOKS = { f: "front", s: "side", t: "threequarter", o: "top" };

/** What a kind of part is called where it has a number. */
const NAMES = {
  "main journal": "Main journal",
  crankpin: "Crankpin",
  crankshaft: "Crankshaft",
  piston: "Piston",
  "piston pin": "Piston pin",
  rod: "Connecting rod",
  "rod cap": "Rod cap",
};

export class SolidPanel {
  /** `changed` is called when something is set, `look` with the name of a view. */
  constructor(changed, look) {
    this.changed = changed;
    this.look = look;
    this.results = [];
    this.words = element("span");
    this.bending = new BendingChoice(changed);
    /** @type {any} the peak last found, and of what */ this.found = null;
    this.boxes = {
      hasBores: this.box("Block", "b", true),
      isCut: this.box("Section", "c", false),
      byUse: this.box("Use of allowable", "u", false),
    };
    this.apart = element("input", {
      type: "range",
      min: 0,
      max: 100,
      value: 0,
      "aria-label": "Explode the train",
      oninput: changed,
    });
    this.legend = element("div", { class: "solid-key", hidden: true });
    this.told = element("output", { class: "solid-told" });
    this.scale = element("span", { class: "solid-scale muted number" });
    this.bar = this.controls();
    this.notes = element(
      "div",
      { class: "solid-notes" },
      this.told,
      this.bending.words,
      this.scale,
      this.legend,
    );
  }

  box(words, key, checked) {
    const input = element("input", { type: "checkbox", checked, onchange: this.changed });
    return { input, key, label: element("label", { title: `key ${key}` }, input, ` ${words}`) };
  }

  controls() {
    const views = Object.entries(VIEWS).map(([name, { words }]) =>
      element("button", { onclick: () => this.look(name) }, words),
    );
    return element(
      "div",
      { class: "solid-controls" },
      element("span", { class: "views", role: "group", "aria-label": "View" }, ...views),
      ...Object.values(this.boxes).map(({ label }) => label),
      element("label", {}, "Explode ", this.apart),
      ...this.bending.nodes,
    );
  }

  hide(isHidden) {
    for (const node of [this.bar, this.notes]) node.hidden = isHidden;
  }

  /** What is set, for the stage, of a scene. */
  shown(scene) {
    const { hasBores, isCut, byUse } = this.boxes;
    this.legend.hidden = !byUse.input.checked;
    const deflected = this.bending.shown(scene);
    this.bending.say(deflected);
    return {
      hasBores: hasBores.input.checked,
      isCut: isCut.input.checked,
      byUse: byUse.input.checked,
      apart: Number(this.apart.value) / 100,
      deflected,
    };
  }

  /** Take the results of a design: the legend names their allowables. */
  setResults(results) {
    this.results = results;
    const bar = element(
      "div",
      {
        class: "solid-ramp",
        role: "img",
        "aria-label": "Colours from 0 to 100 % of the allowable",
      },
      element("span", { class: "ramp", style: `background: linear-gradient(90deg, ${RAMP})` }),
      element("span", { class: "over" }),
    );
    const ticks = element(
      "div",
      { class: "solid-ticks number" },
      ...["0", "50 %", "allowable", "over"].map((words) => element("span", {}, words)),
    );
    const lines = results.map(({ kind, allowable, unit }) =>
      element("span", {}, `${NAMES[kind]} ${withUnit(formatShort(allowable, 3), unit)}`),
    );
    const none = element("span", {}, "This design has no bearing or pin sizes to assess.");
    this.legend.replaceChildren(
      bar,
      ticks,
      element("div", { class: "solid-allowables muted" }, ...(lines.length ? lines : [none])),
    );
  }

  /** Say how long an arrow is for a force, where any is shown. */
  showScale(scene, isShown) {
    const [length, force] = [shownUnit("mm"), shownUnit("kN")];
    const long = formatShort(arrowScale(scene) / length.si, 2);
    const words = `Arrows: ${withUnit(long, length.symbol)} per ${force.symbol}`;
    setText(this.scale, isShown ? words : "");
  }

  // --- the selected part ------------------------------------------------------------------

  /** Select a part, or nothing. */
  pick(part) {
    this.picked = part;
  }

  /** Say what the selected part has at the present angle, and the way to its rung. */
  showPicked(stage, scene) {
    const { picked } = this;
    if (!picked) {
      this.told.replaceChildren();
      return;
    }
    const result = this.results.find(({ kind }) => kind === picked.kind);
    setText(this.words, this.pickedWords(result, stage, scene));
    if (this.toldOf === picked && this.told.childElementCount) return;
    this.toldOf = picked;
    this.told.replaceChildren(this.words, ...(result ? [rungButton(result.rung)] : []));
  }

  /** The part's name, and its result now and at its peak against the allowable. */
  pickedWords(result, stage, scene) {
    const { kind, number } = this.picked;
    const name = number ? `${NAMES[kind]} ${number}` : NAMES[kind];
    if (!result) return name;
    const rows = rowsOf(kind, number, scene.parts);
    const shown = (value) => withUnit(formatShort(value, 3), result.unit);
    const now = shown(valueAt(result, scene, rows, stage.plan.at));
    const peak = this.peak(result, scene, rows);
    const use = Math.round((100 * peak) / result.allowable);
    return `${name}: ${now} now, peak ${shown(peak)}, ${use} % of ${shown(result.allowable)}`;
  }

  /** The peak over the cycle, found once for a part of a scene. */
  peak(result, scene, rows) {
    const { found } = this;
    if (found?.scene !== scene || found.picked !== this.picked || found.result !== result)
      this.found = { scene, picked: this.picked, result, peak: peakOf(result, scene, rows) };
    return this.found.peak;
  }

  // --- keys -------------------------------------------------------------------------------

  /** Do what a key asks for; returns whether it asked for anything. */
  key(event, stage) {
    const box = Object.values(this.boxes).find(({ key }) => key === event.key);
    if (box) {
      box.input.checked = !box.input.checked;
      this.changed();
    } else if (this.bending.isKey(event.key)) this.bending.toggle();
    else if (event.key === "x") {
      this.apart.value = Number(this.apart.value) > 0 ? "0" : "100";
      this.changed();
    } else if (!this.cameraKey(event.key, stage)) return false;
    return true;
  }

  cameraKey(key, stage) {
    if (TURNS[key]) stage.camera.turn(...TURNS[key]);
    else if (ZOOMS[key]) stage.camera.zoom(ZOOMS[key]);
    else if (LOOKS[key]) stage.camera.show(LOOKS[key]);
    else return false;
    stage.draw();
    return true;
  }
}

function rungButton(selected) {
  return element(
    "button",
    { onclick: () => emit("go", { page: "Limits", place: { selected } }) },
    "Show on Limits",
  );
}
