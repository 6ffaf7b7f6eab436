/* Tables with sentences before them, and a button that saves them. */

import { element } from "../shared/elements.js";
import { sendMessage } from "../shared/messages.js";

export function render({ model, el }) {
  const node = element("div", { class: "shaft-tables" });
  el.append(node);
  const show = () => {
    if (!model.table) return;
    const { tables, notes } = JSON.parse(model.table);
    const save = element(
      "button",
      { type: "button", onclick: () => sendMessage(model, "csv", { of: model.of }) },
      "Save as CSV",
    );
    node.replaceChildren(
      ...notes.map((text) => element("p", {}, text)),
      ...tables.map(tableOf),
      ...(tables.length ? [save] : []),
    );
  };
  model.on("table", show);
  show();
}

function tableOf({ caption, head, rows, strong }) {
  const cell = (text, place) =>
    place === 0
      ? element("th", { scope: "row", class: text.length < 16 ? "short" : null }, text)
      : element("td", { class: text.startsWith("✗") ? "number bad" : "number" }, text);
  const table = element(
    "table",
    {},
    element("caption", {}, caption),
    element(
      "thead",
      {},
      element("tr", {}, ...head.map((text) => element("th", { scope: "col" }, text))),
    ),
    element(
      "tbody",
      {},
      ...rows.map((row, place) =>
        element("tr", { class: place === strong ? "strong" : null }, ...row.map(cell)),
      ),
    ),
  );
  return element(
    "div",
    { class: "scroll", role: "region", "aria-label": caption, tabindex: 0 },
    table,
  );
}
