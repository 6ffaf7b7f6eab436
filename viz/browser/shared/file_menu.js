/* The menu of what is done with files and links. */

import { element } from "./elements.js";

/** A menu of buttons; it closes after a choice, on Escape and on a click elsewhere. */
export function fileMenu(...items) {
  const menu = element(
    "details",
    { class: "menu" },
    element("summary", {}, "File"),
    element("div", { class: "items" }, ...items),
  );
  const close = (back) => {
    if (!menu.open) return;
    menu.open = false;
    if (back) menu.querySelector("summary").focus();
  };
  menu.addEventListener("click", (event) => event.target.matches("button") && close(true));
  menu.addEventListener("keydown", (event) => {
    if (event.key !== "Escape") return;
    event.stopPropagation();
    close(true);
  });
  document.addEventListener(
    "pointerdown",
    (event) => event.composedPath().includes(menu) || close(false),
  );
  return menu;
}
