/* Charts that Python draws: each in the figure of its name, as soon as that is made. */

import { modelNamed } from "../shared/page_models.js";
import { subscribe } from "../shared/page_state.js";
import { isMade } from "./placed_figures.js";

export function render({ model }) {
  for (const place of document.querySelectorAll("figure[data-plot]")) {
    const { plot: name } = place.dataset;
    if (!model[name]) continue; // a figure that is fed here
    const chart = new ShownChart(name);
    const show = () => isMade(name) && model[name].told && chart.show(model[name]);
    model.on(name, show);
    subscribe(model, "made", (made) => made === name && show());
    show();
  }
}

class ShownChart {
  constructor(name) {
    this.name = name;
    this.free = null; // the ticker where a chart has no ticks of its own
    this.sources = null;
  }

  get figure() {
    return modelNamed(`${this.name}_figure`);
  }

  show({ told, x_label, y_label, x_ticks, x_range, y_range, sources }) {
    const { figure } = this;
    figure.tags = [told];
    const [x_axis, y_axis] = [figure.below[0], figure.left[0]];
    this.free ??= x_axis.ticker;
    x_axis.axis_label = x_label;
    y_axis.axis_label = y_label;
    x_axis.ticker = x_ticks.length ? fixedTicks(x_ticks) : this.free;
    if (x_axis.visible) figure.x_range.setv({ start: x_range[0], end: x_range[1] });
    figure.y_range.setv({ start: y_range[0], end: y_range[1] });
    this.fill(sources);
  }

  /** Give every source its columns, those of no columns none. */
  fill(sources) {
    const isSource = ({ type }) => type === "ColumnDataSource";
    this.sources ??= [...this.figure.references()].filter(isSource);
    for (const source of this.sources) {
      const columns = sources[source.name.slice(this.name.length + 1)];
      if (columns) source.data = columns;
      else if (source.get_length()) source.data = emptied(source.data);
    }
  }
}

function emptied(data) {
  return Object.fromEntries(Object.keys(data).map((column) => [column, []]));
}

function fixedTicks(ticks) {
  return new (window.Bokeh.Models.get("FixedTicker"))({ ticks, minor_ticks: [] });
}
