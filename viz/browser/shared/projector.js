/* Projector mode: text and lines enlarged, what is not watched put away; kept in the tab. */

import { element } from "./elements.js";
import { keyIsTaken } from "./keys.js";
import { emit } from "./page_state.js";

export const ENLARGED = 1.35;
const root = globalThis.document?.documentElement; // none where tests run without a page

/** How much larger text and lines are than on a desk. */
export function textScale() {
  return root?.hasAttribute("data-projector") ? ENLARGED : 1;
}

/** A button for the mode, which the key P switches too. */
export function projectorButton() {
  const button = element("button", {
    class: "projector",
    "aria-label": "Projector",
    title: "Projector: larger text and lines, fewer controls (P)",
    onclick: () => {
      switchMode(!root.hasAttribute("data-projector"));
      showOn(button);
    },
  });
  button.textContent = "▣";
  document.addEventListener("keydown", (event) => {
    if (/^p$/i.test(event.key) && !keyIsTaken(event)) button.click();
  });
  showOn(button);
  return button;
}

function showOn(button) {
  button.setAttribute("aria-pressed", String(root.hasAttribute("data-projector")));
}

function switchMode(isOn) {
  root.toggleAttribute("data-projector", isOn);
  try {
    sessionStorage.setItem("sixthrow-projector", isOn ? "on" : "");
  } catch {
    /* storage may be shut off */
  }
  emit("projector", isOn);
}
