/*
 * The page's figures that are fed here: only those in view are fed, and all cursors move together.
 */

import { setText } from "../shared/elements.js";
import { formatWhole } from "../shared/number_words.js";
import { pageState } from "../shared/page_state.js";
import { LineFeeder } from "./line_feeder.js";
import { OrderFeeder } from "./order_feeder.js";
import { isMade } from "./placed_figures.js";
import { followPointer } from "./pointed_angle.js";
import { PolarFeeder } from "./polar_feeder.js";
import { recolourFigures } from "./recolour.js";

export class Figures {
  /** `pointed` gets the crank angle [°] that the reader points at in a figure; null: none may. */
  constructor(feeds, pointed = null) {
    this.pointed = pointed;
    this.feeders = feeds.map(makeFeeder);
    this.looked = !feeds.length; // whether it is known which are in view
    this.visible = new Set();
    this.shown = null; // scene, reference or null, index of the cylinder or bearing
    this.angle = 0;
  }

  /** Find the figures in the page and watch which of them are in view. */
  watch() {
    this.seen = new IntersectionObserver((entries) => this.sawChange(entries), {
      rootMargin: "40px",
    });
    this.sizes = new ResizeObserver(() => this.feedAll());
    this.onSliding = ({ detail }) => detail || this.feedAll();
    pageState.events.addEventListener("sliding", this.onSliding);
    this.onMade = ({ detail }) => this.made(detail);
    pageState.events.addEventListener("made", this.onMade);
    for (const feeder of this.feeders) {
      const place = document.querySelector(`figure[data-plot="${feeder.name}"]`);
      feeder.element = place.querySelector(".drawing");
      feeder.readoutNode = place.querySelector(".readout");
      place.feeder = feeder;
      place.feed = () => this.feed(feeder);
      this.seen.observe(place);
      if (feeder.feed.kind === "polar") this.sizes.observe(feeder.element);
      if (this.pointed && feeder.angleAt) followPointer(feeder, this.pointed);
    }
  }

  stop() {
    this.seen?.disconnect();
    this.sizes?.disconnect();
    pageState.events.removeEventListener("made", this.onMade);
    pageState.events.removeEventListener("sliding", this.onSliding);
  }

  /** A figure came into view or left it. */
  sawChange(entries) {
    for (const { target, isIntersecting } of entries) {
      if (isIntersecting) {
        this.visible.add(target.feeder);
        this.feed(target.feeder);
      } else {
        this.visible.delete(target.feeder);
      }
    }
    this.looked = true;
    this.fed();
  }

  /** A figure has been made, maybe one in view. */
  made(name) {
    for (const feeder of this.visible) if (feeder.name === name) this.feed(feeder);
    this.fed();
  }

  /** What is shown has been fed: move the cursors there, and say it once all in view are made. */
  fed() {
    if (!this.shown) return;
    this.moveCursors();
    if (this.looked && [...this.visible].every(({ name }) => isMade(name))) pageState.painted += 1;
  }

  /** Take the theme's colours; what is shown in them is fed anew by whoever shows it. */
  recolour(colours) {
    recolourFigures(colours);
    for (const feeder of this.feeders) feeder.colours = colours;
  }

  /** Show a cylinder or bearing of a scene, and the reference or null. */
  show(scene, reference, index) {
    this.shown = { scene, reference, index };
    this.feedAll();
  }

  feedAll() {
    if (!this.shown) return;
    for (const feeder of this.visible) this.feed(feeder);
    this.fed();
  }

  feed(feeder) {
    if (!this.shown || !isMade(feeder.name)) return;
    const { scene, reference, index } = this.shown;
    feeder.feedScene(scene, reference, index);
    feeder.of = designsOf(scene, reference);
    feeder.design = scene.name;
    feeder.element.setAttribute("aria-label", feeder.describe(scene, index));
  }

  /** Move all cursors to a crank angle [°]. */
  move(degrees) {
    this.angle = degrees;
    this.moveCursors();
  }

  moveCursors() {
    if (!this.shown) return;
    const { scene, index } = this.shown;
    const at = this.angle / scene.step;
    for (const feeder of this.visible) {
      if (!isMade(feeder.name)) continue;
      feeder.moveCursor(this.angle, at);
      setText(feeder.readoutNode, feeder.readout(scene, index, at));
    }
  }
}

/** Which designs a picture shows, at which speed. */
export function designsOf(scene, reference) {
  const words = ({ name, rpm, speed }) =>
    `${name} at ${formatWhole(rpm ?? (speed * 30) / Math.PI)} rpm`;
  return reference ? `${words(scene)}; in grey: ${words(reference)}` : words(scene);
}

/** Make one feeder for each feed. */
function makeFeeder(feed) {
  return new { line: LineFeeder, polar: PolarFeeder, orders: OrderFeeder }[feed.kind](feed);
}
