/* Help on a page: what it is for, its keys, and all terms that the program explains. */

import { element } from "./elements.js";

const EVERYWHERE = [
  ["Ctrl Z, Ctrl Shift Z", "undo, redo"],
  ["P", "projector: larger text and lines, fewer controls"],
  ["▦ beside a picture", "in words, its numbers, and files of it"],
];

/**
 * A dialog of help.
 * @param {string} purpose what the page is for, in a sentence
 * @param {[string, string][]} keys each key and what it does
 */
export function helpDialog(purpose, keys) {
  return element(
    "dialog",
    { class: "help", "aria-label": "Help" },
    element("h2", {}, "Help"),
    element("p", {}, purpose),
    element("h3", {}, "Keys"),
    listOf([...keys, ...EVERYWHERE]),
    allTerms(),
    element("form", { method: "dialog" }, element("button", {}, "Close")),
  );
}

/** The glossary, which the page holds, listed when it is opened. */
function allTerms() {
  const list = element("details", {}, element("summary", {}, "All terms"));
  list.addEventListener(
    "toggle",
    () => {
      const terms = JSON.parse(document.getElementById("glossary").textContent);
      const sorted = terms
        .map(({ name, text }) => [name, text])
        .sort(([a], [b]) => a.localeCompare(b));
      list.append(listOf(sorted));
    },
    { once: true },
  );
  return list;
}

/** Words and what they mean, side by side. */
function listOf(entries) {
  const parts = entries.flatMap(([word, what]) => [
    element("dt", {}, word),
    element("dd", {}, what),
  ]);
  return element("dl", { "data-no-terms": "" }, ...parts);
}
