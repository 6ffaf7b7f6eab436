/*
 * The moving train: its canvas over the time bar; it also feeds the figures and moves their
 * cursors.
 */

import { fitCanvas } from "../figures/canvas_size.js";
import { designsOf, Figures } from "../figures/figures.js";
import { pictureButton } from "../figures/picture_button.js";
import { decodeScene } from "../figures/scene.js";
import { SvgContext } from "../figures/svg_context.js";
import { lightColours, themeColours } from "../shared/colours.js";
import { element, setText } from "../shared/elements.js";
import { keyIsTaken } from "../shared/keys.js";
import { pageState, rememberView, subscribe } from "../shared/page_state.js";
import { wireTabs } from "../shared/tabs.js";
import { TimeBar } from "../shared/time_bar.js";
import { CrankDrag } from "./crank_drag.js";
import { drawTrain } from "./train_drawing.js";
import { arrowPeak, ForceBoxes } from "./train_forces.js";
import { strokeWords, trainWords } from "./train_words.js";

export function render({ model, el }) {
  const view = new TrainView(model, el);
  view.start();
  model.on("remove", () => view.stop());
}

export class TrainView {
  constructor(model, el) {
    this.model = model;
    this.cylinder = 0;
    this.scene = null;
    this.reference = null;
    this.marks = null;
    this.width = 0;
    this.height = 0;
    this.ratio = 1;
    this.figures = new Figures(model.feeds, (degrees) => this.time.scrub(degrees));
    this.build(el);
  }

  // --- making -----------------------------------------------------------------------------

  build(el) {
    this.canvas = element("canvas", { role: "img", tabindex: 0 });
    this.picker = element("select", {
      "aria-label": "Cylinder shown in the plots",
      onchange: () => this.pick(Number(this.picker.value)),
    });
    this.stroke = element("span", { class: "muted stroke" });
    this.time = new TimeBar(this.stroke, (degrees) => this.moved(degrees));
    this.stage = element("div", { class: "stage" }, this.canvas);
    el.append(element("div", { class: "train-view" }, this.bar(), this.stage, this.time.node));
    this.drag = new CrankDrag(this.canvas, (degrees) => this.time.turn(degrees));
    this.canvas.addEventListener("click", (event) => this.click(event));
    this.sizes = new ResizeObserver(() => this.resized());
    this.sizes.observe(this.stage);
  }

  bar() {
    this.forces = new ForceBoxes(() => {
      this.rememberForces();
      this.draw();
    });
    return element(
      "fieldset",
      { class: "arrows" },
      element("legend", { class: "hidden" }, "Force arrows"),
      element("span", { class: "muted" }, "Forces"),
      ...this.forces.nodes,
      element(
        "label",
        { class: "pick" },
        element("span", { class: "muted" }, "Cylinder "),
        this.picker,
      ),
      pictureButton("Description and export of the crank train", () => this.scene && this.figure()),
    );
  }

  // --- life -------------------------------------------------------------------------------

  start() {
    this.model.on("blob", () => this.newScene());
    this.model.on("reference_blob", () => this.newReference());
    this.model.on("marks", () => this.newMarks());
    this.model.on("speed", () => this.setSpeed(this.model.speed));
    subscribe(this.model, "speed", (rpm) => this.setSpeed((rpm * Math.PI) / 30));
    subscribe(this.model, "theme", () => this.recolour());
    subscribe(this.model, "projector", () => this.draw());
    subscribe(this.model, "sliding", () => this.fitScale());
    this.rememberForces();
    subscribe(this.model, "place", ({ angle, cylinder, forces, playing }) => {
      this.showForces(forces);
      this.pick(cylinder);
      if (Number.isFinite(angle)) this.time.scrub(angle);
      if (playing === true) this.time.play();
      else if (playing === false) this.time.pause();
    });
    subscribe(this.model, "dimension", (key) => this.showDimension(key));
    this.model.on("lit", () => this.recolour());
    this.onKey = (event) => this.model.takes_keys !== false && this.key(event);
    document.addEventListener("keydown", this.onKey);
    this.figures.watch();
    wireTabs(this.model);
    this.recolour();
    this.newReference();
    this.newMarks();
    this.newScene();
    this.time.playAtFirst();
  }

  stop() {
    document.removeEventListener("keydown", this.onKey);
    this.sizes.disconnect();
    this.time.stop();
    this.figures.stop();
  }

  // --- what is shown ----------------------------------------------------------------------

  newScene() {
    if (!this.model.blob || !this.model.blob.length) return;
    this.scene = decodeScene(this.model.blob);
    this.scale();
    this.cylinder = Math.min(this.cylinder, this.scene.cylinders - 1);
    this.fillPicker();
    this.time.setCycle(this.scene.cycleDegrees);
    this.showFigures();
    this.time.moveTo(this.time.angle, true);
  }

  newReference() {
    const blob = this.model.reference_blob;
    this.reference = blob && blob.length ? decodeScene(blob) : null;
    this.show();
  }

  /** What a lesson draws on the engine; other pages have none. */
  newMarks() {
    this.marks = this.model.marks ? JSON.parse(this.model.marks) : null;
    this.draw();
  }

  setSpeed(speed) {
    if (!this.scene || this.scene.speed === speed || !(speed > 0)) return;
    this.scene = this.scene.at(speed);
    this.scale();
    this.show();
  }

  /** Give the scene its scales; while a slider moves, that of the arrows does not shrink. */
  scale() {
    const held = pageState.sliding ? (this.arrowPeak ?? 0) : 0;
    this.arrowPeak = Math.max(arrowPeak(this.scene), held);
    this.scene.arrowPeak = this.arrowPeak;
  }

  /** Fit the scale again to what is shown, once no slider holds it. */
  fitScale() {
    if (!this.scene || pageState.sliding) return;
    this.scale();
    this.draw();
  }

  show() {
    this.showFigures();
    this.draw();
  }

  showFigures() {
    if (this.scene) this.figures.show(this.scene, this.reference, this.cylinder);
  }

  fillPicker() {
    const count = this.scene.cylinders;
    if (this.picker.options.length !== count) {
      this.picker.replaceChildren(
        ...Array.from({ length: count }, (_, i) => element("option", { value: i }, `${i + 1}`)),
      );
    }
    this.picker.value = String(this.cylinder);
  }

  rememberForces() {
    rememberView({ forces: this.forces.shown });
  }

  /** Show the forces of a place that was stored. */
  showForces(forces) {
    if (typeof forces !== "object" || forces === null) return;
    this.forces.show(forces);
    this.rememberForces();
    this.draw();
  }

  pick(cylinder) {
    if (
      !this.scene ||
      !Number.isInteger(cylinder) ||
      cylinder < 0 ||
      cylinder >= this.scene.cylinders
    )
      return;
    this.cylinder = cylinder;
    rememberView({ cylinder });
    this.picker.value = String(cylinder);
    this.show();
  }

  click(event) {
    if (this.drag.hasTurned) return;
    const box = this.canvas.getBoundingClientRect();
    const [x, y] = [event.clientX - box.left, event.clientY - box.top];
    const hit = (this.regions ?? []).find(
      ({ x: left, y: top, width, height }) =>
        x >= left && x <= left + width && y >= top && y <= top + height,
    );
    if (hit) this.pick(hit.cylinder);
  }

  /** Show the dimension that is being changed for a while; a moving slider draws it anyway. */
  showDimension(key) {
    const fresh = this.dimension !== key;
    this.dimension = key;
    clearTimeout(this.dimensionTimer);
    this.dimensionTimer = setTimeout(() => {
      this.dimension = null;
      this.draw();
    }, 2500);
    if (fresh) this.draw();
  }

  recolour() {
    this.colours = themeColours();
    if (this.model.lit) this.colours[this.model.lit] = this.colours.warn;
    this.figures.recolour(this.colours);
    this.show();
  }

  // --- drawing ----------------------------------------------------------------------------

  /** All that moves with the crank. */
  moved(degrees) {
    this.draw();
    this.figures.move(degrees);
  }

  /** What the picture shows of the scene, for the drawing and its description. */
  shown() {
    return {
      angle: this.time.angle,
      cylinder: this.cylinder,
      arrows: this.forces.shown,
      reference: this.reference,
      marks: this.marks,
    };
  }

  draw() {
    if (!this.scene || !this.colours || !this.width) return;
    const context = this.canvas.getContext("2d");
    context.setTransform(this.ratio, 0, 0, this.ratio, 0, 0);
    const drawn = drawTrain(context, this.width, this.height, this.scene, {
      ...this.shown(),
      colours: this.colours,
      dimension: this.dimension,
    });
    this.regions = drawn.regions;
    this.drag.circle = drawn.crank;
    this.words();
  }

  /** The stroke, and the picture's description, in words. */
  words() {
    setText(this.stroke, strokeWords(this.scene, this.cylinder, this.time.angle));
    if (!this.time.playing)
      this.canvas.setAttribute("aria-label", trainWords(this.scene, this.shown()));
  }

  /** The picture for the dialog of figures: in words, and drawn in lines as it stands now. */
  figure() {
    const { scene, reference } = this;
    const angle = Math.round(this.time.angle);
    return {
      title: `Crank train at ${angle}°, cylinder ${this.cylinder + 1} selected`,
      words: trainWords(scene, this.shown()),
      name: scene.name,
      table: null,
      drawing: () => this.drawing(),
      foot: designsOf(scene, reference),
    };
  }

  /** The picture in lines, in the light theme's colours. */
  drawing() {
    const context = new SvgContext();
    drawTrain(context, this.width, this.height, this.scene, {
      ...this.shown(),
      colours: lightColours(),
      dimension: null,
    });
    return context.picture(this.width, this.height);
  }

  resized() {
    Object.assign(this, fitCanvas(this.canvas, this.stage));
    this.draw();
  }

  key(event) {
    if (keyIsTaken(event) || !this.scene) return;
    if (/^[1-9]$/.test(event.key)) this.pick(Number(event.key) - 1);
    else if (!this.time.key(event)) return;
    event.preventDefault();
  }
}
