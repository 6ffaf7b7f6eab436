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
    this.figures = new Figures(model.feeds);
    this.train = new TrainPicture();
    this.films = { journal: new JournalPicture(), load: new LoadPicture() };
    this.node = this.build();
  }

  build() {
    this.title = element("h2", { class: "title" });
    this.picture = element(
      "div",
      { class: "picture-place" },
      this.train.node,
      this.films.journal.node,
      this.films.load.node,
    );
    this.problem = element("p", { class: "problem" });
    this.firing = element("p", { class: "firing" });
    this.label = element("p", { class: "label" });
    this.value = element("p", { class: "value number" });
    this.change = element("p", { class: "change number" });
    this.note = element("p", { class: "note" });
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
    for (const picture of [this.train, ...Object.values(this.films)]) picture.stop();
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
    const { title, note, headline, problem, reference, firing } = this.step;
    setText(this.title, title);
    setText(this.note, note);
    setText(this.problem, problem);
    setText(this.firing, firing ? `▲ ${firing}.` : "");
    setText(this.label, headline?.label ?? "");
    setText(this.value, headline ? withUnit(headline.text, headline.unit) : "");
    setText(this.change, headline ? against(headline, reference) : "");
    this.node.dataset.step = this.step.index;
  }

  /** Show the step's picture and hide all others. */
  showPicture() {
    const { picture = null, problem = "" } = this.step ?? {};
    const shown = problem ? null : picture;
    this.train.node.hidden = shown !== "train";
    for (const [name, { node }] of Object.entries(this.films)) node.hidden = shown !== name;
    for (const figure of document.querySelectorAll(".stage-place figure[data-plot]")) {
      figure.hidden = figure.dataset.plot !== (shown === "limit" ? "limit_speed" : shown);
    }
    if (shown && shown !== "limit") this.drawPicture(shown);
    this.run();
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
    if (!this.presenting || !this.step?.moving || this.step.picture === "limit" || still) return;
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

  /** Fill the screen, or where that is not to be had the window. */
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
    this.place.requestFullscreen?.().catch(() => {});
    this.place.focus();
    this.run();
  }

  leave() {
    if (!this.presenting) return;
    this.presenting = false;
    this.place.classList.remove("presenting");
    this.node.classList.remove("presenting", "awake");
    document.documentElement.classList.remove("presenting");
    for (const other of this.others()) other.inert = false;
    if (document.fullscreenElement) document.exitFullscreen();
    this.before?.focus?.();
    if (this.step) this.move(this.step.angle);
    this.run();
  }

  others() {
    return [...document.querySelectorAll(".page > :not(.stage-place)")];
  }

  /** The step that is shown, or the one last asked for until it is. */
  get target() {
    return this.wanted ?? this.step.index;
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
