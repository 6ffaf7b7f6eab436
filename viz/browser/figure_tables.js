/* Every figure as a table: a button in its caption opens the numbers, and saves all of them as CSV. */

const SHOWN_ROWS = 60; // a longer table is shown thinned out, and saved whole
const LINE_WORDS = {
  main: "value", gas: "gas", inertia: "inertia", second: "second", mean: "mean", allowed: "allowed",
  reference: "pinned",
};

/** Give every figure of the page its button, as long as a component's model lives. */
function addFigureTables(model) {
  const dialog = element("dialog", { class: "figure-table", "data-table": true });
  document.body.append(dialog);
  model.on("remove", () => dialog.remove());
  for (const place of document.querySelectorAll("figure[data-plot]")) {
    const caption = place.querySelector("figcaption");
    if (caption.querySelector(".as-table")) continue;
    const title = caption.querySelector("span");
    caption.append(
      element("button", {
        type: "button", class: "as-table", "aria-label": `Table of ${title.textContent || "the plot"}`,
        title: "The numbers as a table", onclick: () => openTable(dialog, title.textContent, tableOf(place)),
      }, "▦")
    );
  }
}

/** The numbers of a figure: `head`, a list of column titles, and `rows` of numbers or words. */
function tableOf(place) {
  return place.feeder ? place.feeder.table() : chartTable(place.dataset.plot);
}

/** Lines and bars of a chart that Python draws, each line by its points. */
function chartTable(name) {
  const figure = modelNamed(`${name}_figure`);
  const across = figure.below[0]?.axis_label || "x";
  const up = figure.left[0]?.axis_label || "y";
  const rows = [];
  for (const [role, word] of Object.entries(LINE_WORDS)) {
    const { xs = [], ys = [] } = modelNamed(`${name}_${role}_lines`)?.data ?? {};
    Array.from(xs).forEach((x, line) => {
      const label = xs.length > 1 ? `${word} ${line + 1}` : word;
      Array.from(x).forEach((at, i) => rows.push([label, at, ys[line][i]]));
    });
  }
  const { left = [], right = [], top = [] } = modelNamed(`${name}_steel_bars`)?.data ?? {};
  Array.from(left).forEach((from, i) => rows.push(["bar", (from + right[i]) / 2, top[i]]));
  return { head: ["what", across, up], rows };
}

function openTable(dialog, title, { head, rows }) {
  const step = Math.max(1, Math.ceil(rows.length / SHOWN_ROWS));
  const shown = rows.filter((_, i) => i % step === 0);
  dialog.setAttribute("aria-label", `Table: ${title}`);
  dialog.replaceChildren(
    element("h2", {}, title),
    element("p", {}, rows.length ? `${shown.length} of ${rows.length} rows; the file has all.` : "Nothing is shown yet."),
    element(
      "div", { class: "scroll", tabindex: 0, role: "region", "aria-label": "Numbers" },
      element(
        "table", {},
        element("thead", {}, element("tr", {}, ...head.map((text) => element("th", { scope: "col" }, text)))),
        element("tbody", {}, ...shown.map((row) => element("tr", {}, ...row.map(tableCell))))
      )
    ),
    element(
      "form", { method: "dialog" },
      element("button", { type: "button", onclick: () => saveFile(`${fileWords(title)}.csv`, csvOf(head, rows)) }, "Save as CSV"),
      element("button", {}, "Close")
    )
  );
  dialog.showModal();
}

function tableCell(value) {
  return element("td", {}, typeof value !== "number" || Number.isInteger(value) ? `${value}` : shortNumber(value, 5));
}

function csvOf(head, rows) {
  const cell = (value) => {
    const text = typeof value === "number" ? (Number.isFinite(value) ? `${Number(value.toPrecision(9))}` : "") : value;
    return /[",\n]/.test(text) ? `"${text.replace(/"/g, '""')}"` : text;
  };
  return [head, ...rows].map((row) => row.map(cell).join(",")).join("\n") + "\n";
}

function fileWords(title) {
  return title.toLowerCase().replace(/[^a-z0-9]+/g, "-").replace(/^-|-$/g, "").slice(0, 60) || "plot";
}
