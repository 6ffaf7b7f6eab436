/* Feeding a figure of bars, one an order, from a scene. */

import { formatNumber } from "../shared/number_words.js";
import { pageState } from "../shared/page_state.js";
import { Feeder, niceAbove } from "./feeder.js";

export class OrderFeeder extends Feeder {
  feedScene(scene, reference) {
    const { orders } = scene.orders;
    const count = this.feed.components.length;
    let peak = 0;
    const sizes = this.feed.components.map((_, k) => scene.orderSizes(this.feed.of, k));
    const before = reference
      ? this.feed.components.map((_, k) => reference.orderSizes(this.feed.of, k))
      : null;
    for (const row of before ? [...sizes, ...before] : sizes) peak = Math.max(peak, ...row);
    const top = niceAbove(Math.max(peak * 1.2, this.feed.smallest));
    const held = pageState.sliding ? this.figure.y_range.end : 0;
    this.setRange(this.figure.y_range, 0, Math.max(top, held));
    const { width } = this.feed;
    sizes.forEach((row, k) => {
      const left = orders.map((order) => order + (k - count / 2) * width);
      this.source(String(k)).data = {
        left,
        right: left.map((x) => x + width),
        size: row,
        reference: orders.map((order) =>
          before ? visible(before[k][reference.orders.orders.indexOf(order)], 0.01 * peak) : NaN,
        ),
      };
    });
    this.sizes = sizes;
    this.orders = orders;
    this.label(sizes, orders, peak);
  }

  /** Write the size over the bars that matter. */
  label(sizes, orders, peak) {
    const texts = { x: [], y: [], text: [] };
    orders.forEach((order, i) => {
      const tallest = Math.max(...sizes.map((row) => row[i]));
      if (tallest < 0.04 * peak || tallest < 0.05 * this.feed.smallest) return;
      texts.x.push(order);
      texts.y.push(tallest);
      texts.text.push(formatNumber(tallest));
    });
    if (!texts.x.length) {
      texts.x.push(4.3);
      texts.y.push(this.figure.y_range.end / 2);
      texts.text.push("nothing above rounding");
    }
    this.source("texts").data = texts;
  }

  moveCursor() {}

  readout() {
    return "";
  }

  /** Every order's size. */
  table() {
    const head = ["order", ...this.feed.components.map((label) => `${label}, ${this.feed.unit}`)];
    return {
      head,
      rows: this.orders.map((order, i) => [order, ...this.sizes.map((row) => row[i])]),
    };
  }

  describe() {
    const parts = this.feed.components.map((label, k) => {
      const best = this.sizes[k].indexOf(Math.max(...this.sizes[k]));
      return `${label} largest at order ${this.orders[best]}, ${this.text(this.sizes[k][best])}`;
    });
    return `${this.feed.title}, in ${this.feed.unit}: ${parts.join("; ")}.`;
  }
}

/** A size that can be seen, or a gap. */
function visible(size, least) {
  return size > least ? size : NaN;
}
