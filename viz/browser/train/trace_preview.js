/* A measured file's first rows, with what each column is taken for. */

import { element } from "../shared/elements.js";

const ANGLE = -1;
const IGNORED = 0;

export class TracePreview {
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

  show({ names, rows, numeric, cylinders, fields }) {
    const key = JSON.stringify([names, rows, numeric, cylinders]);
    if (key !== this.key) this.build({ names, rows, numeric, cylinders });
    this.key = key;
    fields.roles.forEach((role, place) => (this.picks[place].value = String(role)));
  }

  build({ names, rows, numeric, cylinders }) {
    this.picks = names.map((name, place) => this.pick(place, numeric[place], cylinders));
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

  pick(place, isNumber, cylinders) {
    const option = (value, words) => element("option", { value: String(value) }, words);
    const options = [option(IGNORED, "ignored")];
    if (isNumber) {
      options.push(option(ANGLE, "crank angle"));
      for (let number = 1; number <= cylinders; number++)
        options.push(option(number, `cylinder ${number}`));
    }
    return element(
      "select",
      { "aria-label": `Column ${place + 1} is`, onchange: () => this.changed() },
      ...options,
    );
  }
}
