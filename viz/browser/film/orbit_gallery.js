/* The wall: every bearing's orbit, small, in the order of the bearings along the crank. */

import { verdictMark } from "../figures/marks.js";
import { element, setText, svg } from "../shared/elements.js";
import { Bearing, filmText } from "./film_scene.js";

const [LEAST_IN_ROW, MOST_IN_ROW, MOST_IN_NARROW_ROW] = [6, 9, 4];
const ROW_NAMES = { big_end: "Big ends", main: "Main bearings" };

export class OrbitGallery {
  /** `pick` is called with the key of the bearing that is chosen. */
  constructor(pick) {
    this.pick = pick;
    this.cells = new Map(); // key to cell
    this.node = element("div", { class: "wall", role: "group", "aria-label": "Bearings" });
    this.node.addEventListener("keydown", (event) => this.key(event));
  }

  show(film) {
    const keys = film.bearings.map(({ key }) => key);
    if (keys.join() !== [...this.cells.keys()].join()) this.build(film);
    film.bearings.forEach((bearing, index) =>
      this.fill(this.cells.get(bearing.key), new Bearing(film, index), film.order[0] === index),
    );
  }

  /**
   * Big ends and mains in rows of their own, a long row broken into equal ones; all in one if few.
   */
  build(film) {
    this.cells = new Map(film.bearings.map(({ key }) => [key, this.cell(key)]));
    const few = film.bearings.length <= LEAST_IN_ROW;
    const kinds = few ? [null] : [...new Set(film.bearings.map(({ kind }) => kind))];
    const rows = kinds.flatMap((kind) => {
      const nodes = film.bearings
        .filter((bearing) => few || bearing.kind === kind)
        .map(({ key }) => this.cells.get(key).node);
      const count = Math.ceil(nodes.length / Math.ceil(nodes.length / MOST_IN_ROW));
      const lines = [];
      for (let at = 0; at < nodes.length; at += count) lines.push(nodes.slice(at, at + count));
      return lines.map((line) => this.row(line, ROW_NAMES[kind] ?? "All bearings"));
    });
    this.node.style.setProperty(
      "--columns",
      Math.max(LEAST_IN_ROW, ...rows.map((row) => row.children.length)),
    );
    this.node.classList.toggle("many", rows.length > 2);
    this.node.replaceChildren(...rows);
  }

  /** A row of cells; where there is room for four only, it breaks into equal lines. */
  row(nodes, name) {
    const narrow = Math.ceil(nodes.length / Math.ceil(nodes.length / MOST_IN_NARROW_ROW));
    return element(
      "div",
      { class: "wall-row", role: "group", "aria-label": name, style: `--narrow: ${narrow}` },
      ...nodes,
    );
  }

  cell(key) {
    const title = element("span", { class: "title" });
    const mark = element("span", { class: "mark" });
    const least = element("span", { class: "least number" });
    const limit = svg("circle", { class: "limit" });
    const orbit = svg("path", { class: "orbit" });
    const dot = svg("circle", { class: "dot", r: 0.09 });
    const drawing = svg(
      "svg",
      { class: "orbit-drawing", viewBox: "-1.06 -1.06 2.12 2.12", "aria-hidden": "true" },
      svg("circle", { class: "clearance", r: 1 }),
      limit,
      svg("path", { class: "cross", d: "M-.12 0H.12M0 -.12V.12" }),
      orbit,
      dot,
    );
    const node = element(
      "button",
      { class: "bearing", "data-bearing": key, type: "button", onclick: () => this.pick(key) },
      title,
      drawing,
      element("span", { class: "foot" }, mark, least),
    );
    return { node, title, mark, least, limit, orbit, dot };
  }

  fill(cell, bearing, isFirst) {
    const [xs, ys] = bearing.vectors("eccentricity");
    let path = "";
    for (let i = 0; i < xs.length; i += 3)
      path += `${i ? "L" : "M"}${xs[i].toFixed(3)} ${(-ys[i]).toFixed(3)}`;
    cell.orbit.setAttribute("d", `${path}Z`);
    cell.limit.setAttribute("r", bearing.limitEccentricity);
    cell.bearing = bearing;
    setText(cell.title, bearing.title);
    setText(cell.least, filmText(bearing.least));
    if (cell.node.dataset.state !== bearing.state)
      cell.mark.replaceChildren(verdictMark(bearing.state));
    cell.node.dataset.state = bearing.state;
    cell.node.classList.toggle("first", isFirst);
    const words = `${bearing.sentence}${isFirst ? ", nearest its limit" : ""}.`;
    cell.node.setAttribute("aria-label", words);
    cell.node.title = words;
  }

  showSelected(key) {
    for (const [other, { node }] of this.cells) {
      node.setAttribute("aria-pressed", other === key);
      node.tabIndex = other === key ? 0 : -1;
    }
    this.scrollTo(this.cells.get(key).node);
  }

  /** Bring a cell into view within the wall; the page itself stays where it is. */
  scrollTo({ offsetTop, offsetHeight }) {
    const { scrollTop, clientHeight } = this.node;
    if (offsetTop < scrollTop) this.node.scrollTop = offsetTop;
    else if (offsetTop + offsetHeight > scrollTop + clientHeight)
      this.node.scrollTop = offsetTop + offsetHeight - clientHeight;
  }

  /** Move all dots to a fractional grid index. */
  move(at) {
    for (const { bearing, dot } of this.cells.values()) {
      const [x, y] = bearing.vector("eccentricity", at);
      dot.setAttribute("cx", x.toFixed(3));
      dot.setAttribute("cy", (-y).toFixed(3));
    }
  }

  /** The bearing before (−1) or behind (1) one; the last is followed by the first. */
  beside(key, by) {
    const keys = [...this.cells.keys()];
    return keys[(keys.indexOf(key) + by + keys.length) % keys.length];
  }

  /** Up and down go to the bearing beside. */
  key(event) {
    const by = { ArrowUp: -1, ArrowDown: 1 }[event.key];
    const from = event.target.closest("[data-bearing]");
    if (!by || !from) return;
    event.preventDefault();
    const next = this.beside(from.dataset.bearing, by);
    this.pick(next);
    this.cells.get(next).node.focus();
  }
}
