/* The glossary in the page: terms of the trade explain themselves on hover and on focus, labels on
 * hover alone, and nothing does while a control is used.
 *
 * It reads its terms from the page's script element #glossary. `explainTerms(node)` of the page's
 * state makes the terms in plain text below a node focusable; what is labelled, a control or a
 * heading, is explained as it stands, in shadow trees too. */

import { pageState } from "./page_state.js";

const TERM_STYLE = `
  .term { font: inherit; color: inherit; letter-spacing: inherit;
    background: none; border: 0; padding: 0; margin: 0;
    min-height: 0; display: inline; cursor: help; text-align: inherit;
    text-decoration: underline dotted; text-decoration-thickness: 1px; text-underline-offset: 3px; }
  .term:focus-visible { outline: 3px solid var(--focus); outline-offset: 1px; border-radius: 2px; }
  @media print { .term { text-decoration: none; } }`;
const NOT_IN =
  "a, button, label, summary, select, option, input, textarea, svg, canvas, pre, code, script, " +
  "style, [role=slider], [data-no-terms]";
const UNEXPLAINED = "[data-no-terms], input, select, textarea, dialog"; // controls in use
const LABELS = "label, summary, th, legend, dt, figcaption, [role=tab], .label, .control, .tile";

const terms = JSON.parse(document.getElementById("glossary").textContent);
const byForm = new Map(
  terms.flatMap((term) => term.forms.map((form) => [form.toLowerCase(), term])),
);
const forms = [...byForm.keys()].sort((a, b) => b.length - a.length);
const escaped = forms.map((form) => form.replace(/[.*+?^${}()|[\]\\/]/g, "\\$&"));
const pattern = () => new RegExp(`(?<![\\p{L}\\d])(${escaped.join("|")})(?![\\p{L}\\d])`, "giu");

const tip = document.createElement("div");
tip.className = "glossary-tip";
tip.setAttribute("role", "tooltip");
tip.popover = "manual"; // so that it stands over an open dialog too
tip.hidden = true;
const tipName = document.createElement("strong");
const tipText = document.createElement("span");
tip.append(tipName, tipText);
let shownFor = null;
let hiding = 0;

/** Make the terms in the plain text below a node focusable, each the first time it stands there. */
function explainTerms(node) {
  addStyle(node.getRootNode());
  const seen = new Set();
  const walker = document.createTreeWalker(node, NodeFilter.SHOW_TEXT);
  const texts = [];
  while (walker.nextNode())
    if (!walker.currentNode.parentElement?.closest(NOT_IN)) texts.push(walker.currentNode);
  for (const text of texts) explainText(text, seen);
}

function explainText(text, seen) {
  const pieces = [];
  let done = 0;
  for (const match of text.data.matchAll(pattern())) {
    const term = byForm.get(match[0].toLowerCase());
    if (seen.has(term)) continue;
    seen.add(term);
    pieces.push(text.data.slice(done, match.index), termButton(match[0], term));
    done = match.index + match[0].length;
  }
  if (pieces.length) text.replaceWith(...pieces, text.data.slice(done));
}

function termButton(words, term) {
  const button = document.createElement("button");
  button.type = "button";
  button.className = "term";
  button.textContent = words;
  button.setAttribute("aria-description", term.text);
  button.term = term;
  return button;
}

const styled = new WeakSet();
function addStyle(root) {
  if (styled.has(root) || !("adoptedStyleSheets" in root)) return;
  styled.add(root);
  if (root !== document) {
    root.addEventListener("focusin", look);
    root.addEventListener("focusout", hideSoon);
  }
  const sheet = new CSSStyleSheet();
  sheet.replaceSync(TERM_STYLE);
  root.adoptedStyleSheets = [...root.adoptedStyleSheets, sheet];
}

/** Whether the pointer, and not focus, is on a label that may be explained. */
function isPointedLabel(event, node) {
  const isPointed = event.type === "pointermove";
  return isPointed && node.matches(LABELS) && !node.closest("[data-no-terms]");
}

/** The element at an event that has a term to explain, and the term. */
function found(event) {
  for (const node of event.composedPath()) {
    if (!(node instanceof HTMLElement)) continue;
    if (node.term) return { node, term: node.term };
    if (node === tip) return null;
    if (node.matches(UNEXPLAINED)) return null;
    if (isPointedLabel(event, node)) {
      const label = node.matches(".control, .tile")
        ? (node.querySelector("label, .label") ?? node)
        : node;
      const match = pattern().exec(label.textContent);
      if (match && label.textContent.length < 80)
        return { node, term: byForm.get(match[0].toLowerCase()) };
    }
  }
  return null;
}

function show({ node, term }) {
  clearTimeout(hiding);
  if (shownFor === node) return;
  shownFor = node;
  if (!tip.isConnected) (document.querySelector("main") ?? document.body).append(tip);
  tipName.textContent = term.name;
  tipText.textContent = term.text;
  tip.hidden = false;
  if (tip.matches(":popover-open")) tip.hidePopover(); // to come up over what was opened since
  tip.showPopover();
  place(node);
}

/** Under the word, or above it where there is no room; beside a control, so as not to cover it. */
function place(node) {
  const control = node.closest(".control");
  const box = (control ?? node).getBoundingClientRect();
  const own = tip.getBoundingClientRect();
  const beside = control && box.right + own.width + 16 < innerWidth;
  const left = beside ? box.right + 8 : Math.min(Math.max(box.left, 8), innerWidth - own.width - 8);
  const under = box.bottom + 6 + own.height < innerHeight;
  const top = beside ? box.top : under ? box.bottom + 6 : box.top - own.height - 6;
  tip.style.left = `${Math.max(left, 8)}px`;
  tip.style.top = `${Math.min(Math.max(top, 4), innerHeight - own.height - 4)}px`;
}

function hide() {
  shownFor = null;
  if (tip.matches(":popover-open")) tip.hidePopover();
  tip.hidden = true;
}

function hideSoon() {
  clearTimeout(hiding);
  hiding = setTimeout(hide, 200);
}

function look(event) {
  if (event.buttons) {
    hide(); // something is being dragged, and watched
    return;
  }
  if (event.composedPath().includes(tip)) {
    clearTimeout(hiding);
    return;
  }
  const at = found(event);
  if (at) {
    // what focus opens must not stand in the way of the next click
    tip.classList.toggle("by-focus", event.type !== "pointermove");
    show(at);
  } else if (shownFor) hideSoon();
}

// moves of pointer and focus within one shadow tree do not leave it, but for pointermove and keys
let under = null;
document.addEventListener("pointermove", (event) => {
  const [first] = event.composedPath();
  if (first === under) return;
  under = first;
  look(event);
});
document.addEventListener("keyup", (event) => {
  if (event.key === "Tab") look(event);
});
document.addEventListener("focusin", look);
document.addEventListener("focusout", hideSoon);
document.addEventListener("scroll", hide, true);
document.addEventListener("keydown", (event) => event.key === "Escape" && hide());
document.addEventListener("click", (event) => {
  const at = found(event);
  if (at?.node.term) show(at);
});

document.addEventListener("DOMContentLoaded", () => {
  for (const title of document.querySelectorAll("figcaption > span:first-child"))
    explainTerms(title);
});
pageState.explainTerms = explainTerms;
