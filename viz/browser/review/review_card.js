/* The review card: a question, its answer, what the proposal changes, and variants as columns. */

import { verdictMark } from "../figures/marks.js";
import { choiceButtons } from "../shared/choice_buttons.js";
import { element, setText } from "../shared/elements.js";
import { sendMessage } from "../shared/messages.js";
import { pageState, rememberView } from "../shared/page_state.js";
import { VariantCurves, placeCurves } from "./review_curves.js";
import { uprightLines } from "./review_strip.js";
import { tableBodies, tableHead } from "./review_table.js";
import { variantParts } from "./review_variants.js";

const FORMS = { card: "Card", variants: "Variants", curves: "Curves" };

export function render({ model, el }) {
  const view = new ReviewCard(model);
  el.append(view.node);
  model.on("card", () => view.newCard());
  model.on("attributions", () => view.newAttributions());
  model.on("limits", () => view.showLimits());
  model.on("needed", () => view.showNeeded());
  model.on("variants", () => view.showVariants());
  model.on("curves", () => view.showCurves());
  model.on("question", () => view.showQuestion());
}

class ReviewCard {
  constructor(model) {
    this.model = model;
    this.open = false; // whether all other criteria are shown
    this.node = this.build();
    this.showAs("card");
    this.newCard();
    this.showVariants();
    this.showQuestion();
  }

  ask(kind, fields = {}) {
    sendMessage(this.model, kind, fields);
  }

  // --- making -----------------------------------------------------------------------------

  build() {
    this.question = element("input", {
      class: "question",
      maxlength: 200,
      placeholder: "What is asked, in your words",
      "aria-label": "Question of the review",
      onchange: () => this.ask("question", { text: this.question.value }),
      onkeydown: (event) => event.key === "Enter" && this.question.blur(),
    });
    this.answer = element("p", { class: "answer", role: "status" });
    this.table = element("table", { class: "card-table" });
    this.limits = element("div", { class: "needed moves" });
    this.needed = element("div", { class: "needed" });
    this.rule = element("p", { class: "muted rule" });
    this.variants = element("table", { class: "variants" });
    this.empty = this.emptyState();
    this.curves = new VariantCurves((key, difference) => this.ask("curve", { key, difference }));
    this.cardRegion = scrolled("Review card", this.table, this.limits, this.needed, this.rule);
    this.variantRegion = scrolled("Variants", this.variants);
    return element(
      "div",
      { class: "review" },
      element("div", { class: "head" }, this.question, this.answer),
      this.tools(),
      this.empty,
      this.cardRegion,
      this.variantRegion,
    );
  }

  tools() {
    const keep = element(
      "button",
      { type: "button", class: "keep", onclick: () => this.ask("keep", { name: "" }) },
      "Keep B as a variant",
    );
    this.save = element(
      "button",
      { type: "button", onclick: () => this.ask("table") },
      "Save as CSV",
    );
    this.legend = element("span", { class: "legend muted" });
    return element(
      "div",
      { class: "tools" },
      choiceButtons("Shown", FORMS, (form) => this.showAs(form)),
      keep,
      this.save,
      this.curves.node,
      this.legend,
    );
  }

  emptyState() {
    return element(
      "div",
      { class: "empty" },
      element(
        "p",
        {},
        "Set a reference (A), then change the design: the card shows what that does.",
      ),
      element(
        "p",
        { class: "buttons" },
        element(
          "button",
          { type: "button", onclick: () => this.ask("refer") },
          "Set this design as the reference",
        ),
        element(
          "button",
          { type: "button", onclick: () => this.ask("example") },
          "Show an example",
        ),
      ),
    );
  }

  showAs(form) {
    this.form = form;
    this.node.dataset.form = form;
    rememberView({ pane: form });
    this.arrange();
    if (form === "curves" && this.model.variants) this.curves.draw();
  }

  arrange() {
    const has = Boolean(this.card);
    const several = Boolean(this.model.variants);
    const curves = this.form === "curves" && several;
    this.empty.hidden = has || (this.form !== "card" && several);
    this.cardRegion.hidden = !has || this.form !== "card";
    this.variantRegion.hidden = this.form !== "variants" || !several;
    this.curves.node.hidden = !curves;
    placeCurves(curves);
    this.save.disabled = !has;
    this.legend.hidden = !has || this.form !== "card";
  }

  // --- showing ----------------------------------------------------------------------------

  newCard() {
    this.card = this.model.card ? JSON.parse(this.model.card) : null;
    this.arrange();
    this.showAnswer();
    if (this.card) {
      setText(this.rule, `${this.card.rule} ${this.card.gas}`);
      this.legend.replaceChildren(...legendParts(this.card));
      this.fill();
    }
    this.showLimits();
    this.showNeeded();
    pageState.painted += 1;
  }

  newAttributions() {
    if (this.card && this.ofThis("attributions")) this.fill();
  }

  /** What came after the card, null where it is another card's. */
  ofThis(name) {
    const found = this.model[name] ? JSON.parse(this.model[name]) : null;
    return found && found.of === this.card?.serial ? found : null;
  }

  fill() {
    const focused = this.table.getRootNode().activeElement?.closest?.("[data-rung]")?.dataset.rung;
    const attributions = this.ofThis("attributions");
    this.table.replaceChildren(
      tableHead(this.card),
      ...tableBodies(this.card, attributions, {
        open: this.open,
        onOpen: () => this.turnOthers(),
        onPick: (key) => this.ask("rung", { key }),
      }),
    );
    this.table.dataset.attributed = String(Boolean(attributions));
    if (focused) this.table.querySelector(`[data-rung="${focused}"] button`)?.focus();
  }

  turnOthers() {
    this.open = !this.open;
    this.fill();
    this.table.querySelector(".others")?.focus();
  }

  showAnswer() {
    this.answer.dataset.verdict = this.card?.verdict ?? "";
    this.answer.hidden = !this.card;
    if (!this.card) return;
    const parts = [verdictMark(this.card.verdict), element("span", {}, this.card.answer)];
    this.answer.replaceChildren(...parts);
  }

  showLimits() {
    const limits = this.card && this.ofThis("limits");
    this.limits.replaceChildren(...listed(limits?.title, limits?.lines));
  }

  showNeeded() {
    const needed = this.card && this.ofThis("needed");
    this.needed.replaceChildren(...listed(needed?.title, needed?.offers));
  }

  showVariants() {
    const found = this.model.variants ? JSON.parse(this.model.variants) : null;
    this.variants.replaceChildren(
      ...(found ? variantParts(found, (kind, fields) => this.ask(kind, fields)) : []),
    );
    this.arrange();
    if (this.form === "curves" && found && !this.model.curves) this.curves.draw();
  }

  showCurves() {
    if (this.model.curves) this.curves.show(JSON.parse(this.model.curves));
  }

  showQuestion() {
    if (this.question.getRootNode().activeElement !== this.question)
      this.question.value = this.model.question;
  }
}

/** A heading and its lines, nothing where there are none. */
function listed(title, lines = []) {
  if (!lines.length) return [];
  const items = lines.map((words) => element("li", {}, words));
  return [element("h2", {}, title), element("ul", {}, ...items)];
}

function scrolled(label, ...children) {
  return element(
    "div",
    { class: "scroll", role: "region", "aria-label": label, tabindex: 0 },
    ...children,
  );
}

/** What the strip's signs mean. */
function legendParts(card) {
  return [
    element("span", {}, "○ A, its verdict's mark B"),
    ...uprightLines(card).map(([name, , words]) =>
      element("span", {}, element("span", { class: `key ${name}` }), words),
    ),
  ];
}
