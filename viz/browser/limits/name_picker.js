/* The names that an expression may hold: searched, and put in at the caret. */

import { element } from "../shared/elements.js";

const MOST_SHOWN = 200;

export class NamePicker {
  /**
   * @param {[string, string, string][]} names name, what it is, unit
   * @param {(name: string) => void} insert
   */
  constructor(names, insert) {
    this.names = names;
    this.insert = insert;
    this.search = element("input", {
      id: "own-search",
      type: "search",
      autocomplete: "off",
      placeholder: "load, film, bore …",
      oninput: () => this.fill(),
      onkeydown: (event) => this.key(event),
    });
    this.list = element("select", {
      size: 5,
      "aria-label": "Names found",
      ondblclick: () => this.take(),
      onkeydown: (event) => this.key(event),
    });
    const button = { type: "button", onclick: () => this.take() };
    this.node = element(
      "div",
      { class: "names" },
      element("label", { for: "own-search" }, "Search names"),
      element("div", { class: "row" }, this.search, element("button", button, "Insert")),
      this.list,
    );
    this.fill();
  }

  clear() {
    this.search.value = "";
    this.fill();
  }

  fill() {
    const wanted = this.search.value.toLowerCase().split(/\s+/).filter(Boolean);
    const found = this.names.filter(([name, what]) =>
      wanted.every((word) => `${name} ${what}`.toLowerCase().includes(word)),
    );
    const options = found
      .slice(0, MOST_SHOWN)
      .map(([name, what, unit]) =>
        element("option", { value: name }, `${name}: ${what}${unit ? `, ${unit}` : ""}`),
      );
    this.list.replaceChildren(...options);
    this.list.selectedIndex = options.length ? 0 : -1;
  }

  key(event) {
    if (event.key !== "Enter") return;
    event.preventDefault();
    this.take();
  }

  take() {
    if (this.list.value) this.insert(this.list.value);
  }
}
