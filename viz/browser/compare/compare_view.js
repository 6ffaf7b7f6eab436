/* Designs A and B over one another: which they are, which plots are shown, and the time bar. */

import { Figures } from "../figures/figures.js";
import { decodeScene } from "../figures/scene.js";
import { strokeAt } from "../figures/strokes.js";
import { themeColours } from "../shared/colours.js";
import { element, setText } from "../shared/elements.js";
import { keyIsTaken } from "../shared/keys.js";
import { sendMessage } from "../shared/messages.js";
import { emit, rememberView, subscribe } from "../shared/page_state.js";
import { TimeBar } from "../shared/time_bar.js";
import { ComparedFeeder } from "./compare_feeder.js";
import { ComparedSide } from "./compare_side.js";
import { ComparedSpeeds, RATED, SHARED } from "./compare_speeds.js";

const NO_PLOT = "";

export function render({ model, el }) {
  const view = new CompareView(model);
  el.append(view.node);
  view.start();
  model.on("remove", () => view.stop());
}

class CompareView {
  constructor(model) {
    this.model = model;
    this.cylinder = 0;
    this.figures = new Figures(model.feeds, (degrees) => this.time.scrub(degrees));
    this.figures.feeders = model.feeds.map((feed) => new ComparedFeeder(feed));
    this.words = element("span", { class: "muted words" });
    this.time = new TimeBar(this.words, (degrees) => this.moved(degrees));
    this.node = element(
      "div",
      { class: "compare" },
      this.sidesRow(),
      this.speedsRow(),
      this.plotsRow(),
      this.time.node,
    );
  }

  // --- making -----------------------------------------------------------------------------

  ask(kind, fields = {}) {
    setText(this.refused, "");
    sendMessage(this.model, kind, fields);
    emit("asked");
  }

  sidesRow() {
    const ask = (kind, fields) => this.ask(kind, fields);
    const refuse = (words) => setText(this.refused, words);
    this.refused = element("span", { class: "refused", role: "alert" });
    const [a, b] = ["a", "b"].map((side) => new ComparedSide(side, this.model.demos, ask, refuse));
    this.sides = { a, b };
    this.swap = element(
      "button",
      { type: "button", class: "swap", onclick: () => ask("swap") },
      "⇄ Swap A and B",
    );
    return element("div", { class: "sides" }, a.node, this.swap, b.node, this.refused);
  }

  speedsRow() {
    this.speeds = new ComparedSpeeds(
      (kind, fields) => this.ask(kind, fields),
      (view) => this.chooseView(view),
    );
    return this.speeds.node;
  }

  plotsRow() {
    const options = () => [
      element("option", { value: NO_PLOT }, "no plot"),
      ...this.model.feeds.map(({ name, title }) => element("option", { value: name }, title)),
    ];
    this.choices = this.model.first.map((name, place) => {
      const choice = element(
        "select",
        { "aria-label": `Plot ${place + 1}`, onchange: () => this.choosePlot(place) },
        ...options(),
      );
      choice.value = name;
      return choice;
    });
    this.shownPlots = [...this.model.first];
    this.picker = element("select", {
      "aria-label": "Cylinder shown in the plots",
      onchange: () => this.pick(Number(this.picker.value)),
    });
    return element(
      "div",
      { class: "plots-row" },
      element("span", { class: "muted" }, "Plots"),
      ...this.choices,
      element(
        "label",
        { class: "pick" },
        element("span", { class: "muted" }, "Cylinder "),
        this.picker,
      ),
    );
  }

  // --- life -------------------------------------------------------------------------------

  start() {
    this.model.on("blob", () => this.newScenes());
    this.model.on("reference_blob", () => this.newScenes());
    this.model.on("sides", () => this.showSides());
    subscribe(this.model, "theme", () => this.recolour());
    subscribe(this.model, "place", ({ angle, cylinder, speeds }) => {
      if (speeds === RATED || speeds === SHARED) this.chooseView(speeds);
      if (Number.isInteger(cylinder)) this.pick(cylinder);
      if (Number.isFinite(angle)) this.time.scrub(angle);
    });
    this.onKey = (event) => this.key(event);
    document.addEventListener("keydown", this.onKey);
    this.showSides();
    this.figures.watch();
    this.arrangePlots();
    this.recolour();
    this.newScenes();
  }

  stop() {
    document.removeEventListener("keydown", this.onKey);
    this.time.stop();
    this.figures.stop();
  }

  recolour() {
    this.figures.recolour(themeColours());
    this.show();
  }

  // --- what is shown ----------------------------------------------------------------------

  showSides() {
    const sides = JSON.parse(this.model.sides);
    this.sides.a.show(sides.a);
    this.sides.b.show(sides.b);
    this.speeds.show(sides);
    this.swap.disabled = sides.a === null;
    this.show();
  }

  /** Show curves and results at other speeds. */
  chooseView(view) {
    this.speeds.choose(view);
    rememberView({ speeds: view });
    emit("speeds", view);
    this.show();
  }

  newScenes() {
    const decoded = (blob) => (blob && blob.length ? decodeScene(blob) : null);
    this.scene = decoded(this.model.blob);
    this.reference = decoded(this.model.reference_blob);
    if (!this.scene) return;
    this.cylinder = Math.min(this.cylinder, this.scene.cylinders - 1);
    this.picker.replaceChildren(
      ...Array.from({ length: this.scene.cylinders }, (_, i) =>
        element("option", { value: i }, `${i + 1}`),
      ),
    );
    this.picker.value = String(this.cylinder);
    this.time.setCycle(this.scene.cycleDegrees);
    this.show();
  }

  show() {
    if (this.scene) {
      this.setSpeeds();
      this.figures.show(this.scene, this.reference, this.cylinder);
      this.time.moveTo(this.time.angle, true);
    }
    this.say();
  }

  /** Give both scenes the view's speeds, and the plots' titles the words for them. */
  setSpeeds() {
    const { a, b } = this.speeds.rpms;
    const set = (scene, rpm) => scene && Object.assign(scene, { speed: (rpm * Math.PI) / 30, rpm });
    set(this.scene, b);
    set(this.reference, a);
    for (const { name, title } of this.model.feeds) {
      const figure = document.querySelector(`figure[data-plot="${name}"]`);
      setText(figure.querySelector("figcaption span"), `${title}, ${this.speeds.words}`);
    }
  }

  pick(cylinder) {
    if (!this.scene || cylinder < 0 || cylinder >= this.scene.cylinders) return;
    this.cylinder = cylinder;
    rememberView({ cylinder });
    this.picker.value = String(cylinder);
    this.show();
  }

  moved(degrees) {
    this.figures.move(degrees);
    this.say();
  }

  /** The stroke of the selected cylinder, or why A is not laid over B. */
  say() {
    if (!this.scene) return;
    const { scene, reference, cylinder } = this;
    const stroke = strokeAt(scene, cylinder, this.time.angle);
    const apart = reference && reference.cycleDegrees !== scene.cycleDegrees;
    const lacks = reference && cylinder >= reference.cylinders;
    if (apart) setText(this.words, "A has a cycle of another length and is not drawn.");
    else if (lacks) setText(this.words, `A has no cylinder ${cylinder + 1}.`);
    else setText(this.words, stroke ? `cylinder ${cylinder + 1} of B: ${stroke.name}` : "");
  }

  // --- plots ------------------------------------------------------------------------------

  /** Show another plot in a place; one that stands elsewhere changes places with it. */
  choosePlot(place) {
    const wanted = this.choices[place].value;
    const elsewhere = wanted === NO_PLOT ? -1 : this.shownPlots.indexOf(wanted);
    if (elsewhere >= 0) this.shownPlots[elsewhere] = this.shownPlots[place];
    this.shownPlots[place] = wanted;
    this.arrangePlots();
  }

  arrangePlots() {
    this.choices.forEach((choice, place) => (choice.value = this.shownPlots[place]));
    for (const { name } of this.model.feeds) {
      const figure = document.querySelector(`figure[data-plot="${name}"]`);
      const place = this.shownPlots.indexOf(name);
      figure.hidden = place < 0;
      figure.style.order = place;
    }
    const shown = this.shownPlots.filter((name) => name !== NO_PLOT);
    rememberView({ plot: shown[0] ?? "" });
    const count = shown.length;
    document.querySelector(".compared-plots").dataset.count = count;
  }

  key(event) {
    if (keyIsTaken(event) || !this.scene) return;
    if (/^[1-9]$/.test(event.key)) this.pick(Number(event.key) - 1);
    else if (!this.time.key(event)) return;
    event.preventDefault();
  }
}
