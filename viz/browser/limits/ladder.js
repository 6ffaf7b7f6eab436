/* The ladder of speed limits: a row a limit on one speed axis, or the same as a table. */

import { MARKS } from "../figures/marks.js";
import { pageLines } from "../figures/page_lines.js";
import { pictureButton } from "../figures/picture_button.js";
import { followTheme } from "../figures/recolour.js";
import { element, setText, svg } from "../shared/elements.js";
import { sendMessage } from "../shared/messages.js";
import { formatNumber, formatWhole, unbroken } from "../shared/number_words.js";
import { pageState, subscribe } from "../shared/page_state.js";
import { Picking } from "../shared/picking.js";
import { verdictOf } from "../shared/verdict.js";

export function render({ model, el }) {
  const view = new LadderView(model);
  el.append(view.node);
  model.on("ladder", () => view.newLadder());
  model.on("remove", () => view.stop());
  followTheme(model);
}

const KNOWN = { published: "published", memory: "memory", practice: "practice", physics: "equilibrium", weak: "weak source", given: "given" };
const END_OVER_RED_LINE = 1.8; // where the axis ends at the latest; higher limits are told by their number
const COLUMNS = [
  ["Part", (one) => one.part],
  ["Criterion", (one) => one.label],
  ["Most used at", (one) => one.used_at, "number"],
  ["Value there", (one) => one.value_text, "number"],
  ["Allowable", (one) => one.allowable_text, "number"],
  ["Used", (one) => share(one.use), "number"],
  ["Limit speed", (one) => one.limit_text, "number may-wrap"],
  ["Margin", (one) => one.margin_text, "number"],
  ["Verdict", (one) => one.verdict, "verdict"],
  ["Allowable known from", (one) => KNOWN[one.confidence] ?? one.confidence],
  ["Origin", (one) => one.origin, "origin"],
];
const PINNED_COLUMN = ["Change from reference", (one) => one.change_text || "–", "number"];

export class LadderView {
  constructor(model) {
    this.model = model;
    this.order = "speed";
    this.rows = new Map(); // key to row
    this.picking = new Picking(model, () => this.showPicked());
    this.build();
    subscribe(model, "place", ({ picked }) => this.rows.has(picked) && this.picking.pick(picked));
    this.onPrint = () => this.fillTable();
    window.addEventListener("beforeprint", this.onPrint);
    this.newLadder();
  }

  stop() {
    window.removeEventListener("beforeprint", this.onPrint);
  }

  // --- making -----------------------------------------------------------------------------

  build() {
    this.sentence = element("p", { class: "sentence", role: "status" });
    this.printTitle = element("p", { class: "print-title" });
    this.axis = svg("svg", { class: "axis", "aria-hidden": "true" });
    this.list = element("div", { class: "rows", role: "group", "aria-label": "Speed limits" });
    this.list.addEventListener("keydown", (event) => this.key(event));
    this.board = element("div", { class: "board" }, this.heads(), this.list);
    this.table = element("table", {});
    this.notes = element("section", { class: "notes muted", "aria-label": "Not assessed", tabindex: 0 });
    this.stage = element("div", { class: "stage" }, this.board);
    this.sheet = element(
      "div", { class: "sheet", role: "region", "aria-label": "Margins as a table", tabindex: 0 }, this.table
    );
    this.node = element(
      "div", { class: "ladder-view" }, hatching(), this.printTitle, this.sentence, this.tools(), this.stage,
      this.sheet, this.notes
    );
    this.showAs("ladder");
  }

  heads() {
    const head = (name, text, title) => element("span", { class: `head ${name}`, title }, text);
    return element(
      "div", { class: "heads" },
      head("name", "Criterion"), this.axis, head("limit", "Limit, rpm"),
      head("use", "Used", "Maximum share of the allowable used up to the rated speed"),
      head("used-at", "at, rpm", "Speed of that maximum"), head("verdict", "Verdict"),
      head("known", "Allowable", "Source of allowable")
    );
  }

  tools() {
    this.orders = choice([["speed", "By speed"], ["part", "By part"]], "Order of the rungs", (order) => {
      this.order = order;
      this.arrange();
    });
    this.forms = choice([["ladder", "Ladder"], ["table", "Table"]], "Shown as", (form) => this.showAs(form));
    this.save = element("button", { onclick: () => sendMessage(this.model, "table") }, "Save as CSV");
    this.files = pictureButton("Description, table and export of the ladder", () => this.ladder && this.figure());
    return element(
      "div", { class: "tools" }, this.orders.node, this.forms.node, this.save, this.files, legend()
    );
  }

  showAs(form) {
    this.form = form;
    this.node.dataset.form = form;
    document.documentElement.dataset.ladder = form;
    this.save.hidden = form !== "table";
    this.files.hidden = form === "table";
    this.orders.node.hidden = form === "table";
    if (form === "table") this.fillTable();
  }

  // --- showing ----------------------------------------------------------------------------

  newLadder() {
    if (!this.model.ladder) return;
    this.ladder = JSON.parse(this.model.ladder);
    this.picking.forget();
    setText(this.printTitle, `${this.ladder.name}: what limits the speed`);
    this.showSentence();
    this.showAxis();
    this.showRows();
    this.showNotes();
    if (this.form === "table") this.fillTable();
    pageState.painted += 1;
  }

  showSentence() {
    const { sentence, verdict } = this.ladder;
    if (this.sentence.textContent === sentence && this.sentence.dataset.verdict === verdict) return;
    this.sentence.dataset.verdict = verdict;
    this.sentence.replaceChildren(badge(verdict), element("span", {}, sentence));
  }

  /** Share of the axis that a speed [rpm] lies along, in percent. */
  at(rpm) {
    const { low } = this.ladder;
    return Math.min(Math.max((100 * (rpm - low)) / (this.end - low), 0), 100);
  }

  showAxis() {
    const { low, top, rated, redline } = this.ladder;
    this.end = Math.min(top, END_OVER_RED_LINE * Math.max(rated, redline ?? 0));
    this.ticks = ticksBetween(low, this.end);
    const tick = (rpm) => [
      svg("text", { x: `${this.at(rpm)}%`, y: 45, "text-anchor": "middle", class: "tick" }, rpmWords(rpm)),
      svg("line", { x1: `${this.at(rpm)}%`, x2: `${this.at(rpm)}%`, y1: 49, y2: 54, class: "zero" }),
    ];
    const lines = [["rated", rated, `rated ${rpmWords(rated)}`], ["redline", redline, `red line ${rpmWords(redline)}`]]
      .filter(([, rpm]) => Number.isFinite(rpm))
      .sort((one, other) => one[1] - other[1]);
    this.lines = lines;
    this.axis.replaceChildren(
      svg("text", { x: "100%", y: 11, "text-anchor": "end" }, "crank speed, rpm"),
      ...this.ticks.flatMap(tick),
      ...lines.flatMap((line, place) => this.lineHead(line, place, lines.length))
    );
  }

  /** A line's name over the axis: the lower speed's to the left of its line, the higher's to the right. */
  lineHead([kind, rpm, words], place, count) {
    const x = this.at(rpm);
    const toLeft = x > 72 || (place === 0 && count > 1 && x > 28);
    const y = 26;
    return [
      svg("line", { x1: `${x}%`, x2: `${x}%`, y1: y - 9, y2: 54, class: kind }),
      svg("text", {
        x: `${x}%`, dx: toLeft ? -4 : 4, y: place && (toLeft || this.at(this.lines[0][1]) <= 28) ? y - 15 : y,
        "text-anchor": toLeft ? "end" : "start", class: `line-name ${kind}`,
      }, words),
    ];
  }

  showRows() {
    const { rungs, pinned } = this.ladder;
    const keys = new Set(rungs.map((one) => one.key));
    for (const key of this.rows.keys()) if (!keys.has(key)) this.rows.delete(key);
    rungs.forEach((one, place) => {
      if (!this.rows.has(one.key)) this.rows.set(one.key, this.row(one.key));
      this.fill(this.rows.get(one.key), one, place === 0);
    });
    this.node.classList.toggle("with-pinned", Boolean(pinned));
    this.arrange();
    this.showPicked();
  }

  row(key) {
    const cell = (name) => element("span", { class: name });
    const parts = {
      part: cell("of-part"), label: cell("label"), track: svg("svg", { class: "track", "aria-hidden": "true" }),
      limit: cell("limit number"), use: cell("use number"), usedAt: cell("used-at number"), verdict: cell("verdict"), known: cell("known"),
    };
    const { part, label, ...others } = parts;
    const node = element(
      "button", { class: "rung", "data-rung": key, tabindex: -1, onclick: () => this.picking.pick(key) },
      element("span", { class: "name" }, part, " ", label), ...Object.values(others)
    );
    return { node, ...parts };
  }

  fill(row, one, isFirst) {
    row.node.dataset.verdict = one.verdict;
    row.node.classList.toggle("first", isFirst);
    row.node.title = `${one.part}: ${one.label}. ${one.value_text} at ${one.used_at}, at maximum use; ${one.allowable_text} allowed. ${one.margin_text}`;
    setText(row.part, one.part);
    setText(row.label, one.label);
    const change = one.change_text ? [hidden(`, changed by ${one.change_text}`)] : [];
    row.limit.replaceChildren(hidden(", limit "), element("span", { class: "words" }, bare(one.limit_text), ...change));
    row.use.replaceChildren(share(one.use), hidden(" of the allowable used, maximum up to the rated speed, at "));
    row.usedAt.replaceChildren(bare(one.used_at), hidden(" rpm, "));
    setText(row.verdict, one.verdict);
    row.known.replaceChildren(hidden(", allowable "), KNOWN[one.confidence] ?? one.confidence);
    row.track.replaceChildren(...this.track(one));
  }

  /** What a row draws: grid, stretches that are over, the pinned limit, its own line and mark. */
  track(one) {
    const level = (from, to, kind) =>
      svg("line", { x1: `${this.at(from)}%`, x2: `${this.at(to)}%`, y1: "50%", y2: "50%", class: kind });
    const reach = Math.min(one.limit ?? this.end, this.end);
    const pinned = Number.isFinite(one.pinned_limit) ? one.pinned_limit : null;
    return [
      ...this.uprights(),
      ...(one.guide ? [] : this.stretches(one.over)),
      level(this.metFrom(one), reach, "reach"),
      ...(pinned === null
        ? []
        : [level(pinned, reach, "moved"), this.spot(pinned, svg("circle", { r: 4, class: "pin" }))]),
      ...this.marks(one),
      ...(one.change_text ? [this.change(one.change_text, reach, pinned ?? reach)] : []),
    ];
  }

  /** Speed [rpm] from which a rung is met: where gas alone is too much, not from the start. */
  metFrom({ over }) {
    const [first] = over;
    return first && first[0] <= this.ladder.low * 1.0001 ? first[1] : this.ladder.low;
  }

  /** A mark at the limit by where it lies, a cross where a rung is met from, an arrow past the end. */
  marks(one) {
    const { low, rated, redline } = this.ladder;
    const from = this.metFrom(one);
    const limit = one.limit ?? (from >= this.ladder.top * 0.9999 ? low : Infinity);
    const verdict = one.guide ? "guide" : verdictOf(limit, rated, redline ?? rated);
    return [
      ...(from > low && from < this.end && !one.guide ? [this.spot(from, ...mark("over"))] : []),
      limit > this.end
        ? this.spot(this.end, svg("path", { d: "M-5 -4 L0 0 L-5 4", class: "beyond" }))
        : this.spot(limit, ...mark(verdict)),
    ];
  }

  /** The grid, and the rated speed and red line, which go through all rows. */
  uprights() {
    const upright = (rpm, kind) =>
      svg("line", { x1: `${this.at(rpm)}%`, x2: `${this.at(rpm)}%`, y1: 0, y2: "100%", class: kind });
    return [...this.ticks.map((rpm) => upright(rpm, "grid")), ...this.lines.map(([kind, rpm]) => upright(rpm, kind))];
  }

  /** Stretches of speed that are over, bold where the engine runs and faint beyond its red line. */
  stretches(over) {
    const line = this.ladder.redline ?? this.end;
    const rect = (from, to, kind) =>
      svg("rect", {
        x: `${this.at(from)}%`, width: `${Math.max(this.at(to) - this.at(from), 0.6)}%`, y: "50%", height: 9,
        transform: "translate(0 -4.5)", class: kind, fill: "url(#hatch)",
      });
    return over.flatMap(([from, to]) => [
      ...(from < line ? [rect(from, Math.min(to, line), "stretch")] : []),
      ...(to > line && from < this.end ? [rect(Math.max(from, line), to, "stretch far")] : []),
    ]);
  }

  /** What changed, beside the two marks: to their right where there is room, else to their left. */
  change(text, one, other) {
    const right = Math.max(this.at(one), this.at(other));
    const toRight = right < 84;
    const x = toRight ? right : Math.min(this.at(one), this.at(other));
    return svg("text", {
      x: `${x}%`, dx: toRight ? 10 : -10, y: "50%", "dominant-baseline": "central",
      "text-anchor": toRight ? "start" : "end", class: "change",
    }, bare(text));
  }

  spot(rpm, ...children) {
    return svg("svg", { x: `${this.at(rpm)}%`, y: "50%", overflow: "visible" }, ...children);
  }

  /** Put the rows in order; those that moved slide there unless the reader wants no motion. */
  arrange() {
    const { rungs } = this.ladder;
    const nodes = this.order === "speed" ? rungs.map((one) => this.rows.get(one.key).node) : this.byPart(rungs);
    this.node.dataset.order = this.order;
    this.board.style.setProperty("--count", nodes.length);
    const present = [...this.list.children];
    if (nodes.length === present.length && nodes.every((node, place) => node === present[place])) return;
    const focused = this.list.getRootNode().activeElement;
    const before = new Map(present.map((node) => [node, node.offsetTop]));
    this.list.replaceChildren(...nodes);
    if (focused && this.list.contains(focused)) focused.focus({ preventScroll: true });
    if (matchMedia("(prefers-reduced-motion: reduce)").matches) return;
    for (const node of nodes) {
      const by = before.has(node) ? before.get(node) - node.offsetTop : 0;
      if (by) node.animate([{ transform: `translateY(${by}px)` }, { transform: "none" }], { duration: 180, easing: "ease-out" });
    }
  }

  /** Parts in the order of their lowest limit, each a heading and its rungs. */
  byPart(rungs) {
    const parts = new Map();
    for (const one of rungs) parts.set(one.part, [...(parts.get(one.part) ?? []), one]);
    return [...parts].flatMap(([part, ones]) => [
      element("h2", { class: "part" }, element("span", {}, part), this.blankTrack()), ...ones.map((one) => this.rows.get(one.key).node),
    ]);
  }

  blankTrack() {
    return svg("svg", { class: "track", "aria-hidden": "true" }, ...this.uprights());
  }

  showNotes() {
    const { missing = [], unjudged = [] } = this.ladder;
    const bracketed = (needs) => needs.split(", ").map((one) => `[${one}]`).join(", ");
    const lines = [
      ...gathered(missing, (one) => one.needs, (one) => `${one.part}, ${one.label}`).map(
        ([needs, words]) => `Not assessed: ${words} (needs ${bracketed(needs)} in the design file).`
      ),
      ...gathered(unjudged, (one) => one.why, (one) => `${one.part}, ${one.label}: ${one.value_text}`).map(
        ([why, words]) => `Shown without a verdict: ${words} (${why}).`
      ),
    ];
    this.notes.hidden = !lines.length;
    this.notes.replaceChildren(...lines.map((text) => element("p", {}, text)));
  }

  /** The columns of the table; the change from a pinned design stands before the verdict. */
  columns() {
    return this.ladder.pinned ? [...COLUMNS.slice(0, 8), PINNED_COLUMN, ...COLUMNS.slice(8)] : COLUMNS;
  }

  /** The ladder for the dialog of figures, as it stands on the screen. */
  figure() {
    const { name, sentence, rungs, rated, pinned } = this.ladder;
    return {
      title: "What limits the speed", words: sentence, name,
      foot: `${name}, rated at ${rpmWords(rated)} rpm${pinned ? `; circles: ${pinned}` : ""}`,
      table: { head: this.columns().map(([title]) => title), rows: rungs.map((one) => this.columns().map(([, read]) => read(one))) },
      drawing: () => pageLines(this.board, [this.node.querySelector(".definitions")]),
    };
  }

  fillTable() {
    if (!this.ladder) return;
    const columns = this.columns();
    const cell = (one, [title, read, kind]) =>
      title === "Criterion"
        ? element("th", { scope: "row" }, read(one))
        : element("td", { class: kind }, kind === "verdict" ? badge(one.verdict) : read(one));
    const parts = [...new Set(this.ladder.rungs.map((one) => one.part))];
    const rungs = parts.flatMap((part) => this.ladder.rungs.filter((one) => one.part === part));
    const words = this.ladder.pinned ? `, and the change from ${this.ladder.pinned}` : "";
    this.table.replaceChildren(
      element("caption", {}, `Margins on the rated speed, ${rpmWords(this.ladder.rated)} rpm${words}`),
      element("thead", {}, element("tr", {}, ...columns.map(([title]) => element("th", { scope: "col" }, title)))),
      element(
        "tbody", {},
        ...rungs.map((one) => element("tr", { "data-rung": one.key }, ...columns.map((column) => cell(one, column))))
      )
    );
  }

  // --- picking ----------------------------------------------------------------------------

  showPicked() {
    const shown = this.picking.key;
    for (const [key, { node }] of this.rows) {
      node.tabIndex = key === shown ? 0 : -1;
      if (key === shown) node.setAttribute("aria-current", "true");
      else node.removeAttribute("aria-current");
    }
  }

  key(event) {
    const nodes = [...this.list.querySelectorAll(".rung")];
    const place = nodes.indexOf(event.target);
    const to = { ArrowDown: place + 1, ArrowUp: place - 1, Home: 0, End: nodes.length - 1 }[event.key];
    if (to === undefined || place < 0) return;
    event.preventDefault();
    const node = nodes[Math.min(Math.max(to, 0), nodes.length - 1)];
    node.focus();
    this.picking.pick(node.dataset.rung);
  }
}

/** The words of all that share a reason, in one line a reason. */
function gathered(ones, reason, words) {
  const found = new Map();
  for (const one of ones) found.set(reason(one), [...(found.get(reason(one)) ?? []), words(one)]);
  return [...found].map(([why, all]) => [why, all.join("; ")]);
}

/** Buttons of which one is pressed. */
function choice(options, label, choose) {
  const buttons = options.map(([value, text], place) =>
    element("button", {
      "aria-pressed": place === 0 ? "true" : "false", onclick: (event) => {
        for (const one of buttons) one.setAttribute("aria-pressed", one === event.currentTarget);
        choose(value);
      },
    }, text)
  );
  return { node: element("span", { class: "choice", role: "group", "aria-label": label }, ...buttons) };
}

/** A few round speeds [rpm] between two. */
function ticksBetween(low, top) {
  const rough = (top - low) / 5;
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 5, 10].find((one) => one * power >= rough * 0.9) * power;
  const ticks = [];
  for (let rpm = Math.ceil(low / step) * step; rpm <= top; rpm += step) ticks.push(rpm);
  return ticks;
}

function rpmWords(rpm) {
  return unbroken(formatWhole(rpm));
}

/** A speed without its unit, which the column's head names. */
function bare(text) {
  return text.replace(/^([^a-z]*) rpm$/, "$1");
}

function share(use) {
  return Number.isFinite(use) ? `${unbroken(formatNumber(100 * use))}\u202f%` : "–";
}

// --- drawing ------------------------------------------------------------------------------

/** A verdict's mark, at the origin, on a patch of paper. */
function mark(verdict) {
  return [
    svg("circle", { r: 7.5, class: "patch" }),
    svg("path", { d: MARKS[verdict] ?? "", class: `mark ${verdict}` }),
  ];
}

/** A verdict's mark and word. */
function badge(verdict) {
  return element("span", { class: `badge ${verdict}` }, badgeMark(verdict), element("span", {}, verdict));
}

function badgeMark(verdict) {
  return svg("svg", { viewBox: "-8 -8 16 16", class: "badge-mark", "aria-hidden": "true" }, mark(verdict)[1]);
}

function hatching() {
  const lines = svg("path", { d: "M-1 1 L1 -1 M0 6 L6 0 M5 7 L7 5", class: "hatch-line" });
  const pattern = svg("pattern", { id: "hatch", width: 6, height: 6, patternUnits: "userSpaceOnUse" }, lines);
  return svg("svg", { width: 0, height: 0, class: "definitions", "aria-hidden": "true" }, svg("defs", {}, pattern));
}

function legend() {
  const stretch = svg(
    "svg", { width: 22, height: 10, "aria-hidden": "true" },
    svg("rect", { x: 0.5, y: 0.5, width: 21, height: 9, class: "stretch", fill: "url(#hatch)" })
  );
  const pin = svg(
    "svg", { width: 12, height: 12, viewBox: "-6 -6 12 12", "aria-hidden": "true" }, svg("circle", { r: 4, class: "pin" })
  );
  return element(
    "span", { class: "legend muted" },
    element("span", {}, stretch, "over its allowable"), element("span", {}, badgeMark("guide"), "guide value, never the limit"),
    element("span", { class: "of-pinned" }, pin, "pinned")
  );
}

function hidden(text) {
  return element("span", { class: "hidden" }, text);
}
