/* The button of a picture that is no figure of the page. */

import { element } from "../shared/elements.js";
import { emit } from "../shared/page_state.js";

/** A button that opens a picture which is no figure of the page; `figure` tells it, or null. */
export function pictureButton(label, figure) {
  const open = () => {
    const shown = figure();
    if (shown) emit("figure", shown);
  };
  return element(
    "button",
    {
      type: "button",
      class: "as-table",
      "aria-label": label,
      title: "Description, export",
      onclick: open,
    },
    "▦",
  );
}
