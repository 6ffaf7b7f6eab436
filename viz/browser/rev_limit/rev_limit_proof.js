/* How a line's numbers come about: one dialog with formulas, values and where they are from. */

import { verdictMark } from "../figures/marks.js";
import { bandParts, leftOutParts } from "../limits/rung_marks.js";
import { element, headed } from "../shared/elements.js";

export class RevLimitProof {
  constructor() {
    this.body = element("div", { class: "body" });
    this.node = element(
      "dialog",
      { class: "proof", "aria-label": "How it is computed" },
      this.body,
      element("form", { method: "dialog" }, element("button", { autofocus: true }, "Close")),
    );
  }

  /** Open at once; the numbers follow. */
  open() {
    this.body.replaceChildren(element("p", { class: "muted" }, "Computing…"));
    if (!this.node.open) this.node.showModal();
  }

  show(proof) {
    if (!this.node.open) return;
    this.body.replaceChildren(
      element("h2", {}, proof.part ? `${proof.part}: ${proof.label}` : proof.label),
      element("p", { class: "number" }, proof.headline),
      element(
        "p",
        {},
        verdictMark(proof.verdict),
        ` ${proof.verdict} · limit: ${proof.limit_text}`,
      ),
      ...proof.validity.map((text) => element("p", { class: "warning" }, text)),
      ...leftOutParts(proof.left_out),
      ...bandParts(proof.band),
      ...headed("The comparison", proof.comparison, "pre"),
      ...headed(proof.spoken_label, proof.spoken_formula, "pre"),
      ...(proof.spoken_substitution ? [element("pre", {}, proof.spoken_substitution)] : []),
      ...headed(proof.spoken_formula ? "What is assessed" : "Formula", proof.formula, "pre"),
      ...headed("With values (SI)", proof.substitution, "pre"),
      ...headed("Source of allowable", allowableFrom(proof)),
      ...headed("Conventions", proof.conventions),
      ...headed("Source", [proof.source, proof.spoken_source].filter(Boolean).join("; ")),
      element("p", { class: "muted" }, proof.caution),
    );
  }
}

/** Origin and confidence, once where both say the same. */
function allowableFrom({ origin, confidence_text: confidence }) {
  const start = `${origin[0].toUpperCase()}${origin.slice(1)}.`;
  return start === confidence ? start : `${start} ${confidence}`;
}
