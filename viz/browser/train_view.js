/* The moving train: canvas, time bar, keys; feeds and moves the cursors of all figures. */

export function render({ model, el }) {
  const view = new TrainView(model, el);
  view.start();
  model.on("remove", () => view.stop());
}

const ARROWS = [
  ["gas", "Gas"],
  ["inertia", "Inertia"],
  ["rod", "Rod"],
  ["side", "Side thrust"],
  ["mains", "Mains"],
];

/** Turns shown a second. */
const RATES = [0.05, 0.1, 0.25, 0.5, 1, 2];

class TrainView {
  constructor(model, el) {
    this.model = model;
    this.angle = 0;
    this.playing = false;
    this.cylinder = 0;
    this.rate = 0.25;
    this.arrows = { gas: true, inertia: true, rod: false, side: false, mains: false };
    this.scene = null;
    this.reference = null;
    this.feeders = model.feeds.map(makeFeeder);
    this.visible = new Set();
    this.stopped = false;
    this.build(el);
  }

  // --- making -----------------------------------------------------------------------------

  build(el) {
    this.canvas = element("canvas", { role: "img", tabindex: 0 });
    this.slider = element("input", {
      type: "range", min: 0, max: 720, step: 1, value: 0, "aria-label": "Crank angle",
      oninput: () => this.scrub(Number(this.slider.value)),
    });
    this.playButton = element("button", { class: "play", onclick: () => this.toggle() }, "Play");
    this.angleText = element("output", { class: "number angle" });
    this.strokeText = element("span", { class: "muted stroke" });
    this.picker = element("select", {
      "aria-label": "Cylinder shown in the plots", onchange: () => this.pick(Number(this.picker.value)),
    });
    const stage = element("div", { class: "stage" }, this.canvas);
    el.append(
      element("div", { class: "train-view" }, this.arrowBar(), stage, this.timeBar())
    );
    this.stage = stage;
    this.canvas.addEventListener("click", (event) => this.click(event));
    this.sizes = new ResizeObserver(() => this.resized());
    this.sizes.observe(stage);
  }

  arrowBar() {
    const boxes = ARROWS.map(([key, label]) => {
      const box = element("input", {
        type: "checkbox", checked: this.arrows[key], onchange: () => {
          this.arrows[key] = box.checked;
          this.draw();
        },
      });
      return element("label", { class: `arrow ${key}` }, box, ` ${label}`);
    });
    return element(
      "fieldset", { class: "arrows" },
      element("legend", { class: "hidden" }, "Force arrows"),
      element("span", { class: "muted" }, "Forces"), ...boxes,
      element("label", { class: "pick" }, element("span", { class: "muted" }, "Cylinder "), this.picker)
    );
  }

  timeBar() {
    const step = (by, text, label) =>
      element("button", { "aria-label": label, title: label, onclick: () => this.step(by) }, text);
    const rates = element(
      "select", { "aria-label": "Turns shown a second", onchange: () => (this.rate = Number(rates.value)) },
      ...RATES.map((rate) =>
        element("option", { value: rate, selected: rate === this.rate }, `${rate} turns/s`)
      )
    );
    this.rates = rates;
    return element(
      "div", { class: "time" },
      element(
        "div", { class: "row" },
        step(-10, "−10°", "Back 10 degrees"), step(-1, "−1°", "Back 1 degree"), this.playButton,
        step(1, "+1°", "On 1 degree"), step(10, "+10°", "On 10 degrees"), rates,
        this.angleText, this.strokeText
      ),
      this.slider
    );
  }

  // --- life -------------------------------------------------------------------------------

  start() {
    this.model.on("blob", () => this.newScene());
    this.model.on("reference_blob", () => this.newReference());
    this.model.on("speed", () => this.setSpeed(this.model.speed));
    hear(this.model, "speed", (rpm) => this.setSpeed((rpm * Math.PI) / 30));
    hear(this.model, "theme", () => this.recolour());
    hear(this.model, "dimension", (key) => this.showDimension(key));
    this.onKey = (event) => this.key(event);
    this.onHide = () => document.hidden && this.pause();
    document.addEventListener("keydown", this.onKey);
    document.addEventListener("visibilitychange", this.onHide);
    this.whenReady(() => {
      this.findFigures();
      this.wireTabs();
      this.recolour();
      this.newReference();
      this.newScene();
      if (!matchMedia("(prefers-reduced-motion: reduce)").matches && !navigator.webdriver) this.play();
    });
  }

  stop() {
    this.stopped = true;
    this.playing = false;
    document.removeEventListener("keydown", this.onKey);
    document.removeEventListener("visibilitychange", this.onHide);
    this.sizes.disconnect();
    this.seen?.disconnect();
  }

  /** Run once every figure of the page has been drawn. */
  whenReady(then) {
    const ready = () =>
      this.feeders.every((feeder) => feeder.figure && document.querySelector(`[data-plot="${feeder.name}"]`));
    const wait = () => {
      if (this.stopped) return;
      if (ready()) then();
      else setTimeout(wait, 30);
    };
    wait();
  }

  findFigures() {
    this.places = new Map();
    this.seen = new IntersectionObserver((entries) => this.sawChange(entries), { rootMargin: "40px" });
    this.figureSizes = new ResizeObserver(() => this.feedAll());
    for (const feeder of this.feeders) {
      const place = document.querySelector(`figure[data-plot="${feeder.name}"]`);
      const drawing = place.querySelector(".drawing");
      this.places.set(feeder, {
        readout: place.querySelector(".readout"),
        drawing,
      });
      feeder.element = drawing;
      place.feeder = feeder;
      this.seen.observe(place);
      if (feeder.feed.kind === "polar") this.figureSizes.observe(drawing);
    }
  }

  /** A figure came into view or left it: only those in view are fed. */
  sawChange(entries) {
    for (const { target, isIntersecting } of entries) {
      if (isIntersecting) {
        this.visible.add(target.feeder);
        if (this.scene) this.feed(target.feeder);
      } else {
        this.visible.delete(target.feeder);
      }
    }
    this.moveCursors();
    this.looked = true;
    if (this.scene) shared.painted += 1;
  }

  wireTabs() {
    const tabs = [...document.querySelectorAll('[role="tab"]')];
    const choose = (chosen) => {
      for (const tab of tabs) {
        tab.setAttribute("aria-selected", tab === chosen);
        tab.tabIndex = tab === chosen ? 0 : -1;
        document.getElementById(tab.getAttribute("aria-controls")).hidden = tab !== chosen;
      }
    };
    tabs.forEach((tab, index) => {
      tab.addEventListener("click", () => choose(tab));
      tab.addEventListener("keydown", (event) => {
        const by = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
        if (!by) return;
        const next = tabs[(index + by + tabs.length) % tabs.length];
        choose(next);
        next.focus();
      });
    });
  }

  // --- what is shown ----------------------------------------------------------------------

  newScene() {
    if (!this.model.blob || !this.model.blob.length) return;
    this.scene = decodeScene(this.model.blob);
    this.scene.arrowPeak = arrowPeak(this.scene);
    this.cylinder = Math.min(this.cylinder, this.scene.cylinders - 1);
    this.fillPicker();
    this.slider.max = this.scene.cycleDegrees;
    this.angle %= this.scene.cycleDegrees;
    this.feedAll();
    this.draw();
  }

  newReference() {
    const blob = this.model.reference_blob;
    this.reference = blob && blob.length ? decodeScene(blob) : null;
    if (this.scene) {
      this.feedAll();
      this.draw();
    }
  }

  setSpeed(speed) {
    if (!this.scene || this.scene.speed === speed || !(speed > 0)) return;
    this.scene = this.scene.at(speed);
    this.scene.arrowPeak = arrowPeak(this.scene);
    this.feedAll();
    this.draw();
  }

  feedAll() {
    if (!this.scene) return;
    for (const feeder of this.visible) this.feed(feeder);
    this.moveCursors();
    if (this.looked) shared.painted += 1;
  }

  feed(feeder) {
    feeder.feedScene(this.scene, this.reference, this.cylinder);
    this.places.get(feeder).drawing.setAttribute(
      "aria-label", feeder.describe(this.scene, this.cylinder)
    );
  }

  fillPicker() {
    const count = this.scene.cylinders;
    if (this.picker.options.length !== count) {
      this.picker.replaceChildren(
        ...Array.from({ length: count }, (_, i) => element("option", { value: i }, `${i + 1}`))
      );
    }
    this.picker.value = String(this.cylinder);
  }

  pick(cylinder) {
    if (!this.scene || cylinder < 0 || cylinder >= this.scene.cylinders) return;
    this.cylinder = cylinder;
    this.picker.value = String(cylinder);
    this.feedAll();
    this.draw();
  }

  click(event) {
    const box = this.canvas.getBoundingClientRect();
    const [x, y] = [event.clientX - box.left, event.clientY - box.top];
    const hit = (this.regions ?? []).find(
      (one) => x >= one.x && x <= one.x + one.width && y >= one.y && y <= one.y + one.height
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
    recolourFigures(this.colours);
    for (const feeder of this.feeders) feeder.colours = this.colours;
    this.feedAll();
    this.draw();
  }

  // --- time -------------------------------------------------------------------------------

  toggle() {
    if (this.playing) this.pause();
    else this.play();
  }

  play() {
    this.playing = true;
    this.playButton.textContent = "Pause";
    let last = null;
    const frame = (now) => {
      if (!this.playing || this.stopped) return;
      const passed = last === null ? 0 : Math.min(now - last, 100);
      last = now;
      this.moveTo(this.angle + (passed / 1000) * this.rate * 360);
      shared.frames = (shared.frames ?? 0) + 1;
      requestAnimationFrame(frame);
    };
    requestAnimationFrame(frame);
  }

  pause() {
    this.playing = false;
    this.playButton.textContent = "Play";
  }

  scrub(degrees) {
    this.pause();
    this.moveTo(degrees, true);
  }

  step(by) {
    this.pause();
    this.moveTo(Math.round(this.angle) + by);
  }

  /** Move the crank to an angle [°]; the end of the cycle may be shown as such. */
  moveTo(degrees, end = false) {
    if (!this.scene) return;
    const cycle = this.scene.cycleDegrees;
    this.angle = end && degrees === cycle ? cycle : ((degrees % cycle) + cycle) % cycle;
    this.draw();
    this.moveCursors();
  }

  moveCursors() {
    if (!this.scene || !this.places) return;
    const at = this.angle / this.scene.step;
    for (const feeder of this.visible) {
      feeder.moveCursor(this.angle, at);
      const { readout } = this.places.get(feeder);
      setText(readout, feeder.readout(this.scene, this.cylinder, at));
    }
  }

  draw() {
    if (!this.scene || !this.colours || !this.width) return;
    const context = this.canvas.getContext("2d");
    context.setTransform(this.ratio, 0, 0, this.ratio, 0, 0);
    const drawn = drawTrain(context, this.width, this.height, this.scene, {
      angle: this.angle, cylinder: this.cylinder, arrows: this.arrows, colours: this.colours,
      dimension: this.dimension, reference: this.reference,
    });
    this.regions = drawn.regions;
    this.words();
  }

  /** Angle, stroke and the picture's description in words. */
  words() {
    const shown = Math.round(this.angle);
    if (Number(this.slider.value) !== shown) this.slider.value = shown;
    setText(this.angleText, `φ ${shown}°`);
    const stroke = strokesOf(this.scene, this.cylinder).find(
      ({ start, end }) => this.angle >= start && this.angle < end
    );
    setText(this.strokeText, `cylinder ${this.cylinder + 1}: ${stroke ? stroke.name : "power"}`);
    if (!this.playing) {
      this.canvas.setAttribute(
        "aria-label",
        `Crank train of ${this.scene.name} at ${shown}°, ${this.strokeText.textContent}; side and front view.`
      );
    }
  }

  resized() {
    const box = this.stage.getBoundingClientRect();
    this.ratio = window.devicePixelRatio || 1;
    [this.width, this.height] = [Math.floor(box.width), Math.floor(box.height)];
    this.canvas.width = this.width * this.ratio;
    this.canvas.height = this.height * this.ratio;
    this.canvas.style.width = `${this.width}px`;
    this.canvas.style.height = `${this.height}px`;
    this.draw();
  }

  key(event) {
    if (keyIsTaken(event)) return;
    const onButton = event.composedPath()[0] instanceof HTMLButtonElement;
    if (event.key === " " && !onButton) this.toggle();
    else if (event.key === "ArrowRight") this.step(event.shiftKey ? 10 : 1);
    else if (event.key === "ArrowLeft") this.step(event.shiftKey ? -10 : -1);
    else if (event.key === "Home") this.scrub(0);
    else if (event.key === "End") this.scrub(this.scene ? this.scene.cycleDegrees : 720);
    else if (event.key === "," || event.key === ".") this.changeRate(event.key === "." ? 1 : -1);
    else if (/^[1-9]$/.test(event.key)) this.pick(Number(event.key) - 1);
    else return;
    event.preventDefault();
  }

  changeRate(by) {
    const next = RATES[Math.min(Math.max(RATES.indexOf(this.rate) + by, 0), RATES.length - 1)];
    this.rate = next;
    this.rates.value = String(next);
  }
}

/** Set text only where it differs, so that nothing is laid out again for nothing. */
function setText(node, text) {
  if (node.textContent !== text) node.textContent = text;
}

/** Largest force that an arrow may show [kN]. */
function arrowPeak(scene) {
  let peak = 0;
  for (const name of ["gas_force", "inertia_force", "rod_force", "side_thrust"]) {
    for (const value of scene.curve(name, "both", 0)) peak = Math.max(peak, Math.abs(value));
  }
  return peak;
}
