/* Buttons of which one is pressed. */

import { element } from "./elements.js";

/** A group of buttons from values to words, the first pressed; `choose` gets a value. */
export function choiceButtons(label, options, choose) {
  const buttons = Object.entries(options).map(([value, words], place) =>
    element(
      "button",
      {
        "aria-pressed": place === 0 ? "true" : "false",
        onclick: (event) => {
          for (const button of buttons)
            button.setAttribute("aria-pressed", button === event.currentTarget);
          choose(value);
        },
      },
      words,
    ),
  );
  return element("span", { class: "choice", role: "group", "aria-label": label }, ...buttons);
}
