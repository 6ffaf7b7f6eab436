/* The shaft's tiles, and mass and inertia by kind of body as bars with their numbers. */

import { element, setText } from "../shared/elements.js";
import { formatNumber } from "../shared/number_words.js";

export function render({ model, el }) {
  const words = element("p", { class: "words", role: "status" });
  const tiles = element("dl", { class: "tiles" });
  const kinds = element("table", { class: "kinds" });
  el.append(element("div", { class: "shaft-board" }, words, tiles, kinds));
  const show = () => {
    setText(words, model.words);
    words.hidden = !model.words;
    if (model.tiles) showTiles(tiles, JSON.parse(model.tiles));
    if (model.kinds) showKinds(kinds, JSON.parse(model.kinds));
  };
  for (const name of ["tiles", "kinds", "words"]) model.on(name, show);
  show();
}

function showTiles(node, { tiles, reference }) {
  node.replaceChildren(
    ...tiles.map((one) =>
      element(
        "div",
        { class: "tile", "data-tile": one.key },
        element("dt", {}, one.label),
        element(
          "dd",
          { class: "value number" },
          one.value,
          element("span", { class: "unit" }, ` ${one.unit}`),
        ),
        element("dd", { class: "note muted" }, one.note),
        one.change
          ? element(
              "dd",
              { class: "change muted number", title: `against ${reference}` },
              one.change,
            )
          : null,
      ),
    ),
  );
}

function showKinds(node, { rows, units }) {
  node.hidden = !rows.length;
  if (!rows.length) return;
  const largest = Math.max(
    ...rows.flatMap(({ cells }) =>
      cells.flatMap(({ share, reference }) => [share, reference ?? 0]),
    ),
  );
  const head = ["Parts", `Mass, ${units[0]}`, `Inertia, ${units[1]}`];
  node.replaceChildren(
    element(
      "thead",
      {},
      element("tr", {}, ...head.map((text) => element("th", { scope: "col" }, text))),
    ),
    element(
      "tbody",
      {},
      ...rows.map((row) =>
        element(
          "tr",
          {},
          element(
            "th",
            { scope: "row" },
            row.name,
            row.count > 1 ? element("span", { class: "muted" }, ` ${row.count}`) : null,
          ),
          ...row.cells.map((cell) => element("td", {}, bar(cell, largest))),
        ),
      ),
    ),
  );
}

/** A bar for a share of the whole, its number, and a line where the reference design's ends. */
function bar({ text, share, reference }, largest) {
  const width = (part) => `${(100 * Math.max(part, 0)) / largest}%`;
  const track = element(
    "span",
    { class: "track", "aria-hidden": "true" },
    element("span", { class: "filled", style: `width:${width(share)}` }),
  );
  if (reference !== null)
    track.append(element("span", { class: "reference-end", style: `left:${width(reference)}` }));
  return element(
    "span",
    { class: "bar" },
    track,
    element(
      "span",
      { class: "number" },
      text,
      element("span", { class: "muted" }, ` · ${formatNumber(100 * share, 2)}\u202f%`),
    ),
  );
}
