/* The balancing card: what the machine shows in two planes, and the holes that bring it in. */

import { pageLines } from "../figures/page_lines.js";
import { pictureButton } from "../figures/picture_button.js";
import { element, setText } from "../shared/elements.js";
import { sendMessage } from "../shared/messages.js";
import { NumberBox, readBoxes } from "../shared/number_box.js";
import { planePicture, webPicture } from "./balancing_pictures.js";

export function render({ model, el }) {
  const card = new BalancingCard(model);
  el.append(card.node);
  model.on("webs", () => card.showWebs());
  for (const name of ["card", "problem", "answered"]) model.on(name, () => card.show());
}

class BalancingCard {
  constructor(model) {
    this.model = model;
    this.asked = model.answered;
    const { fields } = model;
    this.boxes = {}; // of numbers
    this.picks = {};
    this.against = this.tick("against", "angles measured against rotation", fields.against);
    this.light = this.tick("light", "machine indicates the light spot", fields.light);
    this.drills = this.ticks(
      "Drills",
      model.drills.map(([size, words]) => [size, words, fields.drills.includes(size)]),
    );
    this.webs = element("fieldset", { class: "ticks" });
    this.button = element(
      "button",
      { type: "button", "data-plan": "", onclick: () => this.ask() },
      "Plan the holes",
    );
    this.status = element("span", { role: "status", class: "muted" });
    this.problem = element("p", { class: "bad", role: "alert", hidden: true });
    this.result = element("div", { class: "result" });
    this.node = element(
      "div",
      { class: "balancing" },
      this.readings(),
      element("div", { class: "row" }, ...this.pick("grade", "Grade", model.grades)),
      this.drills.node,
      this.webs,
      ...this.drilling(),
      this.problem,
      this.result,
    );
    this.showWebs();
    this.show();
  }

  /** What the balancing machine shows in its two planes. */
  readings() {
    const { unbalance } = this.model.units;
    return element(
      "fieldset",
      { class: "reading" },
      element("legend", {}, "Balancing-machine readings"),
      ...["front", "rear"].map((plane) =>
        element(
          "div",
          { class: "row" },
          ...this.number(`${plane}_amount`, plane, unbalance),
          ...this.number(`${plane}_angle`, "at", "°"),
        ),
      ),
      this.against.node,
      this.light.node,
    );
  }

  /** How deep holes may be, how many, and what is aimed at. */
  drilling() {
    const { length } = this.model.units;
    const aims = [
      ["fewest", "fewest holes"],
      ["lightest", "minimum mass removed"],
    ];
    const counts = [1, 2, 3, 4, 5, 6].map((count) => [count, `${count}`]);
    return [
      element(
        "div",
        { class: "row" },
        ...this.number("depth", "maximum depth", length),
        ...this.number("wall", "minimum wall", length),
      ),
      element(
        "div",
        { class: "row" },
        ...this.pick("aim", "Aim", aims),
        ...this.pick("holes", "at most", counts),
        this.button,
        this.status,
      ),
    ];
  }

  number(name, label, unit) {
    this.boxes[name] = new NumberBox({ id: name, value: this.model.fields[name] });
    const { input, problem } = this.boxes[name];
    return [
      element("label", { for: name }, label),
      input,
      element("span", { class: "muted" }, unit),
      problem,
    ];
  }

  pick(name, label, options) {
    this.picks[name] = element(
      "select",
      { id: name },
      ...options.map(([value, words]) => element("option", { value }, words)),
    );
    this.picks[name].value = this.model.fields[name];
    return [element("label", { for: name }, label), this.picks[name]];
  }

  tick(name, words, checked) {
    const box = element("input", { type: "checkbox", checked });
    return { box, node: element("label", { class: "row" }, box, words) };
  }

  /** A set of things to tick: each [value, words, checked]. */
  ticks(title, things) {
    const boxes = things.map(([value, words, checked]) => [value, this.tick("", words, checked)]);
    const node = element(
      "fieldset",
      { class: "ticks" },
      element("legend", {}, title),
      ...boxes.map(([, { node: label }]) => label),
    );
    return {
      node,
      chosen: () => boxes.filter(([, { box }]) => box.checked).map(([value]) => value),
    };
  }

  showWebs() {
    const made = this.ticks(
      "Webs that may be drilled",
      this.model.webs.map((web) => [web, `${web}`, true]),
    );
    this.webs.replaceWith(made.node);
    this.webs = made.node;
    this.chosenWebs = made.chosen;
  }

  ask() {
    if (this.busy) return;
    const numbers = readBoxes(this.boxes);
    if (!numbers) return;
    this.asked += 1;
    sendMessage(this.model, "plan", {
      serial: this.asked,
      ...numbers,
      grade: this.picks.grade.value,
      aim: this.picks.aim.value,
      holes: Number(this.picks.holes.value),
      against: this.against.box.checked,
      light: this.light.box.checked,
      drills: this.drills.chosen(),
      webs: this.chosenWebs(),
    });
    this.show();
  }

  get busy() {
    return this.model.answered < this.asked;
  }

  show() {
    const { model, busy } = this;
    this.button.disabled = busy;
    setText(this.status, busy ? "Calculating…" : "");
    this.node.setAttribute("aria-busy", busy);
    if (busy) return;
    const stays = model.card ? " The last result stays." : "";
    setText(this.problem, model.problem ? `✕ ${model.problem}.${stays}` : "");
    this.problem.hidden = !model.problem;
    if (model.problem && !model.card) this.result.replaceChildren();
    else if (!model.card)
      this.result.replaceChildren(
        element(
          "p",
          { class: "muted" },
          "Enter the balancing-machine readings, then plan the holes.",
        ),
      );
    else this.result.replaceChildren(...this.parts(JSON.parse(model.card)));
  }

  parts(card) {
    const mark = card.feasible ? "✓" : "✕";
    return [
      element(
        "p",
        { class: `verdict ${card.feasible ? "good" : "bad"}`, role: "status" },
        `${mark} ${card.words}`,
      ),
      ...(card.helps.length
        ? [
            element("p", {}, "What would help:"),
            element("ul", {}, ...card.helps.map((words) => element("li", {}, words))),
          ]
        : []),
      element("p", { class: "muted" }, card.tolerance),
      this.drawn(card),
      ...(card.holes.length
        ? [
            this.table(card),
            element(
              "button",
              { type: "button", onclick: () => sendMessage(this.model, "holes") },
              "Save as CSV",
            ),
          ]
        : []),
      ...card.notes.map((words) => element("p", { class: "muted" }, words)),
    ];
  }

  /** Planes and drilled webs, with the button for their files. */
  drawn(card) {
    const drawn = element(
      "div",
      {},
      element("div", { class: "planes" }, ...card.planes.map((plane) => planePicture(plane))),
      ...(card.webs.length
        ? [element("div", { class: "planes" }, ...card.webs.map((web) => webPicture(web)))]
        : []),
    );
    const figure = () => ({
      title: "Residual and holes",
      words: card.words,
      name: card.design,
      foot: `${card.design}: ${card.tolerance}`,
      table: card.holes.length ? { head: card.heads, rows: card.holes } : null,
      drawing: () => pageLines(drawn),
    });
    return element(
      "div",
      { class: "drawn" },
      pictureButton("Description, table and export of residual and holes", figure),
      drawn,
    );
  }

  table({ heads, holes }) {
    return element(
      "div",
      { class: "scroll", tabindex: 0, role: "region", "aria-label": "Holes to drill" },
      element(
        "table",
        {},
        element(
          "thead",
          {},
          element("tr", {}, ...heads.map((text) => element("th", { scope: "col" }, text))),
        ),
        element(
          "tbody",
          {},
          ...holes.map(([first, ...cells]) =>
            element(
              "tr",
              {},
              element("th", { scope: "row" }, first),
              ...cells.map((text) => element("td", {}, text)),
            ),
          ),
        ),
      ),
    );
  }
}
