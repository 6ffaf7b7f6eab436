/* The rev limit: one speed, a few plain sentences, the governing limit, and what would raise it. */

import { verdictMark } from "../figures/marks.js";
import { element, setText } from "../shared/elements.js";
import { keyIsTaken } from "../shared/keys.js";
import { sendMessage } from "../shared/messages.js";
import { pageState } from "../shared/page_state.js";
import { verdictOf } from "../shared/verdict.js";
import { RevLimitDial } from "./rev_limit_dial.js";
import { RevLimitLine } from "./rev_limit_line.js";
import { firstOver, keepUnits, rpmText, spokenNumber } from "./rev_limit_numbers.js";
import { RevLimitProof } from "./rev_limit_proof.js";
import { RevLimitRaise } from "./rev_limit_raise.js";

export function render({ model, el }) {
  const view = new RevLimitView(model);
  el.append(view.node);
  model.on("board", () => view.newBoard());
  model.on("speed", () => view.speedFromElsewhere());
  model.on("msg:custom", (event) => {
    const { kind, proof } = event.data ?? event;
    if (kind === "proof") view.proof.show(JSON.parse(proof));
  });
  model.on("raising", () => view.raise.show());
  model.on("answered", () => view.raise.show());
  model.on("remove", () => view.stop());
}

const REST = 500; // [ms] without moving, after which the page's speed follows

class RevLimitView {
  constructor(model) {
    this.model = model;
    this.lines = [];
    this.dial = new RevLimitDial((rpm) => this.moved(rpm));
    this.proof = new RevLimitProof();
    this.raise = new RevLimitRaise(model);
    this.node = this.build();
    this.onKey = (event) => (!keyIsTaken(event) || this.isPresent(event)) && this.key(event);
    this.onFull = () => this.showFull();
    document.addEventListener("keydown", this.onKey);
    document.addEventListener("fullscreenchange", this.onFull);
    this.newBoard();
  }

  stop() {
    clearTimeout(this.resting);
    cancelAnimationFrame(this.frame);
    document.removeEventListener("keydown", this.onKey);
    document.removeEventListener("fullscreenchange", this.onFull);
  }

  build() {
    this.rpm = element("span", { class: "rpm number" });
    this.mark = element("span", { class: "mark" });
    this.status = element("span", { class: "status-words" });
    this.full = element(
      "button",
      { type: "button", "data-full": "", onclick: () => this.switchFull() },
      "Full screen",
    );
    this.list = element("ul", { class: "lines" });
    this.sentence = element("p", { class: "first" });
    this.why = element("p", { class: "why" });
    this.print = element("p", { class: "small-print muted" });
    this.name = element("p", { class: "print-title" });
    return element(
      "div",
      { class: "rev-limit" },
      this.name,
      element(
        "div",
        { class: "told" },
        element(
          "section",
          { class: "limit", "aria-label": "Governing limit" },
          element("h2", {}, "Governing limit"),
          this.sentence,
          this.why,
        ),
        element(
          "div",
          { class: "head" },
          element(
            "div",
            { class: "now" },
            element("p", { class: "big" }, this.rpm, " rpm"),
            element("p", { class: "status" }, this.mark, this.status),
          ),
          element("div", { class: "axis" }, this.dial.node),
        ),
        element("div", { class: "buttons" }, this.dial.jumps, this.full),
        this.list,
        this.print,
      ),
      element("div", { class: "side" }, this.raise.node, this.raise.rest),
      this.proof.node,
    );
  }

  newBoard() {
    if (!this.model.board) return;
    const board = JSON.parse(this.model.board);
    this.board = board;
    this.lines = board.lines.map((line) => new RevLimitLine(line, board, (key) => this.ask(key)));
    this.list.replaceChildren(...this.lines.map((line) => line.node));
    this.list.classList.toggle("many", this.lines.length > 6);
    setText(this.sentence, keepUnits(board.sentence));
    const governing = board.limit ? this.lines.find((line) => line.line.key === board.first) : null;
    setText(this.why, governing ? `There: ${governing.toldAt(board.limit)}` : "");
    setText(this.name, board.name);
    const reserve = spokenNumber(100 * (board.redline / board.rated - 1), 2);
    const missing = board.not_shown.length
      ? ` Not shown, design data missing: ${board.not_shown.join(", ").toLowerCase()}.`
      : "";
    setText(
      this.print,
      `Marginal: less than ${reserve} % of speed in reserve, ` +
        "as the red line has over the rated speed. " +
        (board.reference ? `○ ${board.reference}, reference. ` : "") +
        `${board.references}${missing}`,
    );
    this.dial.setFrame(board);
    this.raise.setChoices(board.gains);
    this.raise.show();
    this.follow();
  }

  /** Another page, a file or an undo sets the speed; whoever moves the slider goes first. */
  speedFromElsewhere() {
    if (!this.resting && this.board && Math.abs(this.model.speed - this.dial.rpm) >= 0.5)
      this.follow();
  }

  /** Show the page's speed, which need not be sent to Python. */
  follow() {
    this.dial.moveTo(this.model.speed);
    clearTimeout(this.resting);
    this.resting = null;
  }

  /** Show a speed with the next frame; Python hears of it once the slider rests. */
  moved(rpm) {
    clearTimeout(this.resting);
    this.resting = setTimeout(() => {
      this.resting = null;
      sendMessage(this.model, "speed", { rpm });
    }, REST);
    cancelAnimationFrame(this.frame);
    this.frame = requestAnimationFrame(() => this.show(rpm));
  }

  show(rpm) {
    const { verdict, words } = this.verdict(rpm);
    setText(this.rpm, rpmText(rpm));
    this.mark.replaceChildren(verdictMark(verdict));
    this.node.dataset.verdict = verdict;
    setText(this.status, keepUnits(words));
    this.dial.slider.setAttribute("aria-valuetext", `${rpmText(rpm)} rpm. ${words}`);
    for (const line of this.lines) line.show(rpm);
    pageState.painted += 1;
  }

  /** The worst of all that the ladder judges, not only of the lines shown. */
  verdict(rpm) {
    const { all, redline, rated } = this.board;
    const of = (criterion) =>
      verdictOf(firstOver(criterion.over), rpm, rpm * (redline / rated), Boolean(criterion.doubt));
    const atIdle = all
      .filter(({ idle }) => idle)
      .map(({ words }) => ` At idle ${lowered(words)}.`)
      .join("");
    const start = (criterion) => firstOver(criterion.over);
    const sorted = all
      .filter(({ idle }) => idle === null)
      .sort((criterion, other) => start(criterion) - start(other));
    const over = sorted.filter((criterion) => of(criterion) === "over");
    const near = sorted.filter((criterion) => of(criterion) === "marginal");
    if (over.length) {
      const more =
        over.length > 1 ? ` ${over.length - 1} more of ${all.length} criteria are over too.` : "";
      const here = over.find((criterion) =>
        criterion.over.some(([from, to]) => from <= rpm && rpm <= to),
      );
      const lower = here ? "" : " already at lower speed";
      return { verdict: "over", words: `${(here ?? over[0]).words}${lower}.${more}${atIdle}` };
    }
    if (near.length) {
      const close = near.find((one) => start(one) < rpm * (redline / rated));
      const words = close ? closeWords(close) : doubtWords(near[0]);
      return { verdict: "marginal", words: `${words}${atIdle}` };
    }
    const words = atIdle
      ? "All that this speed loads is within, with speed in reserve."
      : `All ${all.length} criteria assessed are within, with speed in reserve.`;
    return { verdict: atIdle ? "marginal" : "within", words: `${words}${atIdle}` };
  }

  ask(key) {
    this.proof.open();
    sendMessage(this.model, "proof", { key, rpm: this.dial.rpm });
  }

  /** The key to present works on the slider too. */
  isPresent(event) {
    const plain = !event.ctrlKey && !event.metaKey && !event.altKey;
    return plain && /^p$/i.test(event.key) && event.composedPath()[0] === this.dial.slider;
  }

  /** Keys that no slider or button has taken. */
  key(event) {
    if (event.composedPath()[0] instanceof HTMLButtonElement && event.key === " ") return;
    if (
      event.composedPath().some((node) => node === this.raise.node) &&
      /^(Arrow|Page|Home|End)/.test(event.key)
    )
      return;
    if (event.key === "p" || event.key === "P") this.switchFull();
    else if (!this.dial.key(event)) return;
    event.preventDefault();
  }

  /** Fill the screen with the page, without the bar; Escape goes back. */
  switchFull() {
    if (document.fullscreenElement) document.exitFullscreen();
    else document.documentElement.requestFullscreen?.().catch(() => {});
  }

  showFull() {
    const full = Boolean(document.fullscreenElement);
    document.documentElement.toggleAttribute("data-presenting", full);
    setText(this.full, full ? "Leave full screen" : "Full screen");
  }
}

function closeWords({ words, over }) {
  return `Within limits, but close: ${lowered(words)}, at ${rpmText(firstOver(over))} rpm.`;
}

function doubtWords({ doubt }) {
  return `Within limits but for what is left out: ${lowered(doubt)}.`;
}

/** The start of a sentence as it goes on inside one. */
function lowered(words) {
  return words[0].toLowerCase() + words.slice(1);
}
