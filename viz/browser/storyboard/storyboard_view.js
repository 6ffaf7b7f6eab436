/* The stage: one step at a time, its picture, its headline number and what is said of it. On the
 * page it is a preview; presenting, it fills the screen and keys go from step to step. */

import { Figures } from "../figures/figures.js";
import { decodeScene } from "../figures/scene.js";
import { JournalPicture } from "../film/film_drawing.js";
import { LoadPicture } from "../film/film_load.js";
import { Bearing, decodeFilm, inOrderOf } from "../film/film_scene.js";
import { themeColours } from "../shared/colours.js";
import { element, setText } from "../shared/elements.js";
import { sendMessage } from "../shared/messages.js";
import { withUnit } from "../shared/number_words.js";
import { pageState, subscribe } from "../shared/page_state.js";
import { TrainPicture } from "./storyboard_train.js";
import { LadderPicture } from "./storyboard_ladder.js";
import { printDeck } from "./storyboard_deck.js";
import { stageTable } from "./storyboard_table.js";
import { scaleType } from "./storyboard_type.js";

const TURNS_A_SECOND = 0.2;
const NEXT = ["ArrowRight", "ArrowDown", " ", "PageDown", "Enter"];
const BEFORE = ["ArrowLeft", "ArrowUp", "PageUp", "Backspace"];
const CAUTION = "For teaching and design review. Release needs tests, codes and licensed practice.";

export function render({ model, el }) {
  const view = new StoryboardView(model);
  el.append(view.node);
  view.start();
  model.on("remove", () => view.stop());
}

class StoryboardView {
  constructor(model) {
    this.model = model;
    this.step = null;
    this.angle = 0;
    this.waiting = []; // what is done once a step is shown
    this.caution = CAUTION;
    this.figures = new Figures(model.feeds);
    this.train = new TrainPicture();
    this.ladder = new LadderPicture(model.ladder_styles);
    this.films = { journal: new JournalPicture(), load: new LoadPicture() };
    this.node = this.build();
  }

  build() {
    this.title = element("h2", { class: "title" });
    this.picture = element(
      "div",
      { class: "picture-place" },
      this.train.node,
      this.ladder.node,
      this.films.journal.node,
      this.films.load.node,
      (this.tablePlace = element("div", {
        class: "table-place",
        role: "region",
        "aria-label": "Table of the step",
        tabindex: 0,
      })),
    );
    this.problem = element("p", { class: "problem" });
    this.firing = element("p", { class: "firing" });
    this.label = element("p", { class: "label" });
    this.value = element("p", { class: "value number" });
    this.change = element("p", { class: "change number" });
    this.note = element("p", { class: "note" });
    this.speaker = element("p", { class: "speaker", "aria-label": "Speaker notes" });
    this.end = element(
      "button",
      { type: "button", class: "end", onclick: () => this.leave() },
      "End",
    );
    return element(
      "div",
      { class: "stage", "aria-live": "polite" },
      this.title,
      this.firing,
      this.picture,
      this.problem,
      element(
        "div",
        { class: "foot" },
        element("div", { class: "headline" }, this.label, this.value, this.change),
        this.note,
      ),
      element("p", { class: "caution" }, CAUTION),
      this.speaker,
      this.end,
    );
  }

  // --- life -------------------------------------------------------------------------------

  start() {
    this.place = document.querySelector(".stage-place");
    this.model.on("step", () => this.newStep());
    subscribe(this.model, "theme", () => this.recolour());
    subscribe(this.model, "made", () => this.resized());
    subscribe(this.model, "present", () => this.enter());
    subscribe(this.model, "print-deck", () => this.step && printDeck(this));
    subscribe(this.model, "step-angle", (degrees) => this.move(degrees));
    this.listeners = [
      [document, "keydown", (event) => this.key(event), true],
      [document, "fullscreenchange", () => !document.fullscreenElement && this.leave()],
      [this.place, "click", (event) => this.click(event)],
      [this.place, "pointermove", () => this.wake()],
    ];
    for (const [target, kind, listener, capture] of this.listeners)
      target.addEventListener(kind, listener, capture);
    this.figures.watch();
    this.sizes = new ResizeObserver(() => this.resized());
    this.sizes.observe(this.place);
    this.recolour();
    pageState.painted += 1;
  }

  stop() {
    this.leave();
    for (const [target, kind, listener, capture] of this.listeners)
      target.removeEventListener(kind, listener, capture);
    this.figures.stop();
    this.sizes?.disconnect();
    for (const picture of [this.train, this.ladder, ...Object.values(this.films)]) picture.stop();
  }

  resized() {
    const figures = [...this.place.querySelectorAll("figure[data-plot]")];
    scaleType(
      figures.map(({ dataset }) => dataset.plot),
      this.place.clientWidth,
    );
  }

  recolour() {
    this.colours = themeColours();
    this.figures.recolour(this.colours);
    this.newStep();
  }

  // --- what is shown ----------------------------------------------------------------------

  newStep() {
    if (!this.colours) return;
    this.step = this.model.step ? JSON.parse(this.model.step) : null;
    this.node.hidden = this.step === null;
    this.showPicture();
    if (!this.step) return;
    if (this.step.index === this.wanted) this.wanted = null;
    const { title, note, speaker, headline, problem, reference, firing } = this.step;
    setText(this.title, title);
    setText(this.note, note);
    setText(this.speaker, speaker || "No speaker notes for this step.");
    setText(this.problem, problem);
    setText(this.firing, firing ? `▲ ${firing}.` : "");
    setText(this.label, headline?.label ?? "");
    setText(this.value, headline ? withUnit(headline.text, headline.unit) : "");
    setText(this.change, headline ? against(headline, reference) : "");
    this.node.dataset.step = this.step.index;
    for (const waits of this.waiting.splice(0)) waits();
  }

  /** Show the step's picture and hide all others. */
  showPicture() {
    const { picture = null, problem = "" } = this.step ?? {};
    const shown = problem ? null : picture;
    const table = this.showTable(shown);
    this.train.node.hidden = shown !== "train";
    this.ladder.show((shown && this.step.ladder) || null);
    for (const [name, { node }] of Object.entries(this.films)) node.hidden = shown !== name;
    for (const figure of document.querySelectorAll(".stage-place figure[data-plot]")) {
      figure.hidden = figure.dataset.plot !== (shown === "limit" ? "limit_speed" : shown);
    }
    this.mover = null;
    if (shown && !table) this.drawPicture(shown);
    this.run();
  }

  /** Show the step's table, if that is what it shows; returns it, or null. */
  showTable(shown) {
    const table = (shown && this.step.table) || null;
    this.tablePlace.hidden = !table;
    if (table) this.tablePlace.replaceChildren(stageTable(table));
    return table;
  }

  drawPicture(shown) {
    const { blob, reference_blob } = this.model;
    if (!blob || !blob.length) return;
    const { cylinder, bearing, forces, angle } = this.step;
    const other = reference_blob && reference_blob.length > 0;
    this.angle = angle;
    if (shown in this.films) {
      const film = decodeFilm(blob);
      const index = film.places.get(bearing);
      const before = other ? inOrderOf(film, decodeFilm(reference_blob)) : null;
      const there = before?.like[index] ? new Bearing(before, index) : null;
      this.films[shown].show(new Bearing(film, index), there, this.colours, angle);
      this.films[shown].describe();
      [this.cycleDegrees, this.mover] = [film.cycleDegrees, this.films[shown]];
      return;
    }
    const scene = decodeScene(blob);
    const reference = other ? decodeScene(reference_blob) : null;
    this.cycleDegrees = scene.cycleDegrees;
    this.mover = shown === "train" ? this.train : this.figures;
    if (shown === "train")
      this.train.show(scene, reference, { cylinder, forces, colours: this.colours }, angle);
    else this.figures.show(scene, reference, cylinder);
    this.mover.move(angle);
  }

  move(degrees) {
    this.angle = degrees;
    this.mover?.move(degrees);
  }

  /** Let the crank turn while a moving step is presented, unless the reader wants no motion. */
  run() {
    cancelAnimationFrame(this.frame);
    const still = matchMedia("(prefers-reduced-motion: reduce)").matches;
    if (!this.presenting || !this.step?.moving || !this.mover || still) return;
    let last = null;
    const turn = (now) => {
      const passed = last === null ? 0 : Math.min(now - last, 100);
      last = now;
      this.move((this.angle + (passed / 1000) * TURNS_A_SECOND * 360) % this.cycleDegrees);
      this.frame = requestAnimationFrame(turn);
    };
    this.frame = requestAnimationFrame(turn);
  }

  // --- presenting -------------------------------------------------------------------------

  /** Fill the screen, or where that is not to be had the window; begin at the first step. */
  enter() {
    if (!this.step || this.presenting) return;
    this.presenting = true;
    this.wanted = null;
    /** @type {any} */
    this.before = document.activeElement;
    this.place.classList.add("presenting");
    this.node.classList.add("presenting");
    document.documentElement.classList.add("presenting");
    for (const other of this.others()) other.inert = true;
    const whole = this.place.requestFullscreen?.();
    whole?.then(() => !this.presenting && document.exitFullscreen()).catch(() => {});
    this.place.focus();
    this.showSpeaker(false);
    this.run();
    this.go(0);
  }

  leave() {
    if (!this.presenting) return;
    this.presenting = false;
    this.place.classList.remove("presenting");
    this.node.classList.remove("presenting", "awake");
    this.showSpeaker(false);
    document.documentElement.classList.remove("presenting");
    for (const other of this.others()) other.inert = false;
    if (document.fullscreenElement) document.exitFullscreen();
    this.before?.focus?.();
    if (this.step) this.move(this.step.angle);
    this.run();
  }

  /** Show or hide the speaker notes, below the slide. */
  showSpeaker(isShown) {
    this.place.classList.toggle("with-speaker", isShown);
    this.node.classList.toggle("with-speaker", isShown);
  }

  others() {
    return [...document.querySelectorAll(".page > :not(.stage-place)")];
  }

  /** The step that is shown, or the one last asked for until it is. */
  get target() {
    return this.wanted ?? this.step.index;
  }

  /** Show a step and wait until it is; returns false where it does not come in time [ms]. */
  async shows(index, patience) {
    const end = performance.now() + patience;
    this.go(index);
    while (this.step.index !== index && performance.now() < end) {
      await new Promise((done) => {
        this.waiting.push(() => done(null));
        setTimeout(done, 1000);
      });
    }
    return this.step.index === index;
  }

  go(index) {
    if (index < 0 || index >= this.step.count || index === this.target) return;
    this.wanted = index;
    sendMessage(this.model, "pick", { index });
  }

  key(event) {
    if (!this.presenting || event.ctrlKey || event.metaKey || event.altKey) return;
    const onEnd = event.composedPath()[0] === this.end && [" ", "Enter"].includes(event.key);
    if (onEnd || event.key === "Tab") return;
    const index = this.stepOf(event.key);
    if (event.key === "Escape") this.leave();
    else if (event.key === "n") this.showSpeaker(!this.node.classList.contains("with-speaker"));
    else if (index !== null) this.go(index);
    else return;
    event.preventDefault();
    event.stopImmediatePropagation();
  }

  /** The step that a key leads to, null for another key. */
  stepOf(key) {
    if (NEXT.includes(key)) return this.target + 1;
    if (BEFORE.includes(key)) return this.target - 1;
    return { Home: 0, End: this.step.count - 1 }[key] ?? null;
  }

  /** The right two thirds go on, the left third goes back. */
  click(event) {
    if (!this.presenting || event.composedPath().includes(this.end)) return;
    this.go(this.target + (event.clientX < window.innerWidth / 3 ? -1 : 1));
  }

  /** Show the way out while the pointer moves. */
  wake() {
    if (!this.presenting) return;
    this.node.classList.add("awake");
    clearTimeout(this.sleep);
    this.sleep = setTimeout(() => this.node.classList.remove("awake"), 2000);
  }
}

/** How a headline stands against the reference's, else where its peak lies. */
function against({ reference, difference, place }, name) {
  if (!reference) return place;
  return /^0( |$)/.test(difference)
    ? `same as ${name}`
    : `${difference} against ${reference}: ${name}`;
}
