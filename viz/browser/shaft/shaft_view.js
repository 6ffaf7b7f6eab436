/* The shaft's view: the drawing with its key, turning, and the body that is selected. */

import { fitCanvas } from "../figures/canvas_size.js";
import { isDark, mix } from "../figures/mixed_colours.js";
import { pictureButton } from "../figures/picture_button.js";
import { followTheme } from "../figures/recolour.js";
import { SvgContext } from "../figures/svg_context.js";
import { inLight, themeColours } from "../shared/colours.js";
import { element, setText } from "../shared/elements.js";
import { sendMessage } from "../shared/messages.js";
import { formatNumber } from "../shared/number_words.js";
import { pageState, rememberView, subscribe } from "../shared/page_state.js";
import { wireTabs } from "../shared/tabs.js";
import { bodyAt, drawShaft, SHADES, shaftPlan } from "./shaft_picture.js";
import { turnByDrag } from "./shaft_turning.js";

export function render({ model, el }) {
  const view = new ShaftView(model);
  el.append(view.node);
  view.newScene();
  model.on("scene", () => view.newScene());
  model.on("remove", () => view.stop());
  followTheme(model);
  wireTabs(model);
  tellTabs(model);
}

const TURN = (2 * Math.PI) / 8; // [rad/s] while it plays
const STEP = Math.PI / 36;

/** Tell Python which of the page's tabs is open, for only that is computed. */
function tellTabs(model) {
  const open = () =>
    document.querySelector('[role="tab"][aria-selected="true"]')?.id.replace(/^tab-/, "");
  let known = open();
  const watch = new MutationObserver(() => {
    const key = open();
    if (!key || key === known) return;
    known = key;
    sendMessage(model, "tab", { key });
  });
  for (const tab of document.querySelectorAll('[role="tab"]'))
    watch.observe(tab, { attributes: true, attributeFilter: ["aria-selected"] });
  model.on("remove", () => watch.disconnect());
}

class ShaftView {
  constructor(model) {
    this.model = model;
    this.scene = null;
    this.turn = 0;
    this.by = "mass";
    this.selected = "";
    this.node = this.build();
    this.resize = new ResizeObserver(() => this.fit());
    this.resize.observe(this.stage);
    subscribe(model, "theme", () => this.paint());
    subscribe(model, "place", ({ body }) => body && this.pick(body));
  }

  stop() {
    this.resize.disconnect();
    cancelAnimationFrame(this.frame);
  }

  build() {
    this.canvas = element("canvas", {
      tabindex: 0,
      role: "img",
      "aria-label": "The shaft in side and end view",
      onkeydown: (event) => this.key(event),
    });
    this.pointed = element("span", { class: "pointed", "aria-hidden": "true", hidden: true });
    this.stage = element("div", { class: "stage" }, this.canvas, this.pointed);
    turnByDrag(this.canvas, this);
    this.play = element(
      "button",
      { type: "button", "data-play": "", onclick: () => this.switchPlay() },
      "Play",
    );
    this.sides = ["mass", "inertia"].map((by) =>
      element(
        "button",
        {
          type: "button",
          "data-by": by,
          "aria-pressed": by === this.by ? "true" : "false",
          onclick: () => this.shadeBy(by),
        },
        by === "mass" ? "By mass" : "By inertia",
      ),
    );
    this.key_ = element("span", { class: "key muted" });
    this.list = element("select", {
      "aria-label": "Selected part",
      onchange: () => this.pick(this.list.value),
    });
    this.numbers = element("p", { class: "body-numbers", role: "status" });
    this.formula = element("p", { class: "formula muted" });
    this.misfits = element("p", { class: "misfits muted" });
    return element(
      "div",
      { class: "shaft-view" },
      element(
        "div",
        { class: "tools" },
        this.play,
        element(
          "span",
          { role: "group", "aria-label": "Shaded by share of", class: "sides" },
          ...this.sides,
        ),
        this.key_,
        pictureButton(
          "Description, table and export of the shaft",
          () => this.plan && this.figure(),
        ),
      ),
      this.stage,
      element("div", { class: "body" }, this.list, this.numbers),
      this.formula,
      this.misfits,
    );
  }

  newScene() {
    if (!this.model.scene) return;
    const before = this.scene?.name;
    this.scene = JSON.parse(this.model.scene);
    const { bodies } = this.scene;
    this.most = {};
    for (const by of ["mass", "inertia"])
      this.most[by] = Math.max(...bodies.map(({ share }) => share?.[by] ?? 0), 1e-9);
    for (const button of this.sides) button.disabled = !this.scene.weighed;
    this.list.replaceChildren(
      element("option", { value: "" }, "Select a part"),
      ...bodies.map(({ name }) => element("option", { value: name }, name)),
    );
    const has = bodies.some(({ name }) => name === this.selected);
    if (!has || before !== this.scene.name)
      this.selected = has && before === this.scene.name ? this.selected : "";
    setText(this.misfits, this.scene.misfits.join(" "));
    this.misfits.hidden = !this.scene.misfits.length;
    this.plan = null;
    this.showKey();
    this.showSelected();
    this.fit();
  }

  fit() {
    if (!this.scene) return;
    this.box = fitCanvas(this.canvas, this.stage);
    this.plan =
      this.box.width > 40 && this.box.height > 40
        ? shaftPlan(this.scene, this.box.width, this.box.height)
        : null;
    this.paint();
  }

  /**
   * The picture for the dialog of figures: its bodies as a table, and drawn in lines as it stands.
   */
  figure() {
    const { name, bodies } = this.scene;
    const weighed = bodies.filter(({ words }) => words);
    return {
      title: `Shaft, shaded by ${this.by}`,
      words: this.words(),
      name,
      foot: name,
      drawing: () => this.drawing(),
      table: {
        head: ["Body", "Mass", "Share", "Inertia", "Share", "Static moment"],
        rows: weighed.map(({ name: body, words, share_words: share }) => [
          body,
          words.mass,
          share.mass,
          words.inertia,
          share.inertia,
          words.moment,
        ]),
      },
    };
  }

  drawing() {
    const { width, height } = this.box;
    const context = new SvgContext();
    inLight(() => this.drawOn(context));
    return context.picture(width, height);
  }

  /** The shades run from paper's side to steel's dark one, in steps that a key can name. */
  shades() {
    const colours = themeColours();
    const [light, strong] = [
      mix(colours.paper, colours.inertia, 0.06),
      mix(colours.paper, colours.inertia, isDark(colours) ? 0.85 : 0.8),
    ];
    return { colours, of: (share) => mix(light, strong, share) };
  }

  paint() {
    if (!this.plan) return;
    const context = this.canvas.getContext("2d");
    const { ratio, width, height } = this.box;
    context.setTransform(ratio, 0, 0, ratio, 0, 0);
    context.clearRect(0, 0, width, height);
    this.drawOn(context);
    this.canvas.setAttribute("aria-label", this.words());
    pageState.painted += 1;
  }

  drawOn(context) {
    const { colours, of } = this.shades();
    const shade = ({ share }) =>
      share ? of(Math.max(0, share[this.by]) / this.most[this.by]) : colours.steel;
    drawShaft(context, this.plan, this.scene, {
      turn: this.turn,
      shade,
      selected: this.selected,
      colours,
    });
  }

  words() {
    const degrees = Math.round((this.turn * 180) / Math.PI) % 360;
    return (
      `The shaft in side and end view, ${this.scene.throws.length} throws, ` +
      `turned by ${degrees}°, shaded by ${this.by}. ${this.numbers.textContent}`
    );
  }

  showKey() {
    const { of } = this.shades();
    if (!this.scene.weighed) {
      this.key_.replaceChildren("no weight without dimensions");
      return;
    }
    const most = this.most[this.by];
    const steps = Array.from({ length: SHADES }, (_, i) => i / (SHADES - 1));
    this.key_.replaceChildren(
      "0",
      ...steps.map((share) =>
        element("span", { class: "shade", style: `background:${of(share)}` }),
      ),
      `${formatNumber(100 * most, 2)} % of the shaft's ${this.by}`,
    );
  }

  shadeBy(by) {
    this.by = by;
    for (const button of this.sides)
      button.setAttribute("aria-pressed", button.dataset.by === by ? "true" : "false");
    this.showKey();
    this.paint();
  }

  // --- picking ----------------------------------------------------------------------------

  pick(name) {
    if (name && !this.scene?.bodies.some((body) => body.name === name)) return;
    this.selected = name;
    rememberView({ body: name });
    this.showSelected();
    this.paint();
  }

  showSelected() {
    this.list.value = this.selected;
    setText(this.formula, "");
    const body = this.scene.bodies.find(({ name }) => name === this.selected);
    if (!body) setText(this.numbers, "Click a part, or select it here, for its numbers.");
    else if (!body.words)
      setText(this.numbers, `${body.name}: no numbers without the shaft's dimensions.`);
    else {
      const { words, share_words: share } = body;
      const fit = body.shape.fits === false ? " It has no room." : "";
      setText(
        this.numbers,
        `Mass ${words.mass} (${share.mass}), inertia ${words.inertia} (${share.inertia}), ` +
          `static moment ${words.moment}.${fit}`,
      );
      setText(this.formula, body.formula.join("\n"));
    }
  }

  /** The body at a point of the canvas [px], null where there is none. */
  at(x, y) {
    return (
      this.plan && bodyAt(this.canvas.getContext("2d"), this.plan, this.scene, this.turn, [x, y])
    );
  }

  click(x, y) {
    this.pick(this.at(x, y)?.name ?? "");
  }

  /** Say beside the pointer what it is over, or nothing. */
  point(x, y) {
    const body = x === undefined ? null : this.at(x, y);
    this.pointed.hidden = !body;
    if (!body) return;
    const { name, words, share_words: share } = body;
    setText(this.pointed, words ? `${name}: ${words[this.by]}, ${share[this.by]}` : name);
    const toLeft = x > 0.6 * this.box.width;
    const across = toLeft ? `right:${this.box.width - x + 8}px` : `left:${x + 12}px`;
    this.pointed.style.cssText = `top:${y + 16}px;${across}`;
  }

  key(event) {
    const names = this.scene.bodies.map(({ name }) => name);
    const at = names.indexOf(this.selected);
    const to = {
      ArrowUp: at < 0 ? names.length - 1 : at - 1,
      ArrowDown: at + 1,
      Home: 0,
      End: names.length - 1,
    }[event.key];
    const by = { ArrowLeft: -STEP, ArrowRight: STEP }[event.key];
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    if (to !== undefined) this.pick(names[Math.min(Math.max(to, 0), names.length - 1)]);
    else if (by) this.turnBy(by);
    else if (event.key === " ") this.switchPlay();
    else return;
    event.preventDefault();
  }

  // --- turning ----------------------------------------------------------------------------

  turnBy(by) {
    this.turn = (this.turn + by + 2 * Math.PI) % (2 * Math.PI);
    this.paint();
  }

  switchPlay() {
    this.playing = !this.playing;
    setText(this.play, this.playing ? "Pause" : "Play");
    this.last = performance.now();
    if (this.playing) this.frame = requestAnimationFrame((now) => this.advance(now));
    else cancelAnimationFrame(this.frame);
  }

  advance(now) {
    this.turnBy((TURN * Math.min(now - this.last, 100)) / 1000);
    this.last = now;
    this.frame = requestAnimationFrame((next) => this.advance(next));
  }
}
