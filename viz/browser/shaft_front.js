/* Asking for the least inertia over main load, and picking a point of it. */

export function render({ model, el }) {
  const form = new TradeOff(model);
  el.append(form.node);
  for (const name of ["points", "picked", "loads", "unit", "measure", "words", "title", "answered"]) model.on(name, () => form.show());
}

class TradeOff {
  constructor(model) {
    this.model = model;
    this.asked = model.answered;
    this.measure = element("select", { id: "measure" }, element("option", { value: "peak" }, "peak load"), element("option", { value: "mean" }, "mean load"));
    this.find = element("button", { type: "button", "data-find": "", onclick: () => this.ask() }, "Find the trade-off");
    this.words = element("p", { role: "status" });
    this.points = element("select", { id: "point", onchange: () => model.send_msg({ kind: "pick_choice", index: Number(this.points.value) }) });
    this.use = element("button", { type: "button", "data-use": "", onclick: () => model.send_msg({ kind: "apply_choice", index: Number(this.points.value) }) }, "Use these counterweights");
    this.limit = element("input", { id: "limit", type: "range", min: 0, max: 100, step: 1, oninput: () => this.sayLimit(), onchange: () => model.send_msg({ kind: "limit", share: this.limit.value / 100 }) });
    this.limitWords = element("output", { class: "number", for: "limit" });
    this.limitRow = element("div", { class: "row slider" }, element("label", { for: "limit" }, "No main above"), this.limit, this.limitWords);
    this.pick = element("div", { class: "row" }, element("label", { for: "point" }, "Point"), this.points, this.use);
    this.node = element(
      "div", { class: "trade-off" },
      element("p", { class: "muted" }, "The counterweights of least inertia that keep the worst main below a load, cut at every main. Static moment and moment along the shaft stay what they are."),
      element("div", { class: "row" }, element("label", { for: "measure" }, "Judged by the worst main's"), this.measure, this.find),
      this.words, this.limitRow, this.pick
    );
    this.show();
  }

  get busy() {
    return this.model.answered < this.asked;
  }

  ask() {
    if (this.busy) return;
    this.asked += 1;
    this.show();
    this.model.send_msg({ kind: "front", measure: this.measure.value, serial: this.asked });
  }

  /** The slider's place from the picked load. */
  showLimit() {
    const [low, high, picked] = this.model.loads;
    this.limitRow.hidden = !(high > low);
    if (this.limitRow.hidden) return;
    this.limit.value = Math.round((100 * (picked - low)) / (high - low));
    this.sayLimit();
  }

  sayLimit() {
    const [low, high] = this.model.loads;
    const words = `${shortNumber(low + ((high - low) * this.limit.value) / 100)} ${this.model.unit}`;
    setText(this.limitWords, words);
    this.limit.setAttribute("aria-valuetext", words);
  }

  show() {
    const { model, busy } = this;
    this.find.disabled = busy;
    setText(this.find, busy ? "Searching…" : "Find the trade-off");
    this.node.setAttribute("aria-busy", busy);
    setText(this.words, busy ? "Searching for the least inertia; it takes a moment." : model.words);
    this.pick.hidden = !model.points.length;
    this.showLimit();
    this.points.replaceChildren(...model.points.map((text, place) => element("option", { value: place }, text)));
    if (model.picked >= 0) this.points.value = model.picked;
    const caption = document.querySelector('figure[data-plot="shaft_front"] figcaption span');
    if (caption && model.title) setText(caption, model.title);
  }
}
