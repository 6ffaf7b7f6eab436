/* A measured file's first rows, with what each column is taken for. */

import { element } from "../shared/elements.js";

export class ImportPreview {
  /** `changed` is called when the reader takes a column for something else. */
  constructor(changed) {
    this.changed = changed;
    this.picks = [];
    this.node = element("div", { class: "scroll", tabindex: 0, role: "group" });
    this.node.setAttribute("aria-label", "First rows of the file");
  }

  /** What each column is taken for, in their order. */
  roles() {
    return this.picks.map(({ value }) => Number(value));
  }

  show({ names, rows, numeric, roles, fields }) {
    const key = JSON.stringify([names, rows, numeric, roles]);
    if (key !== this.key) this.build({ names, rows, numeric, roles });
    this.key = key;
    fields.roles.forEach((role, place) => (this.picks[place].value = String(role)));
  }

  build({ names, rows, numeric, roles }) {
    this.picks = names.map((name, place) => this.pick(place, numeric[place], roles));
    const head = names.map((name) => element("th", { scope: "col" }, name));
    const cells = (row) => row.map((text) => element("td", {}, text));
    this.node.replaceChildren(
      element(
        "table",
        { class: "preview" },
        element(
          "thead",
          {},
          element("tr", {}, ...this.picks.map((pick) => element("td", {}, pick))),
          element("tr", {}, ...head),
        ),
        element("tbody", {}, ...rows.map((row) => element("tr", {}, ...cells(row)))),
      ),
    );
  }

  /** The first of the roles is that of a column of text too. */
  pick(place, isNumber, roles) {
    const options = (isNumber ? roles : roles.slice(0, 1)).map(([value, words]) =>
      element("option", { value: String(value) }, words),
    );
    return element(
      "select",
      { "aria-label": `Column ${place + 1} is`, onchange: () => this.changed() },
      ...options,
    );
  }
}
