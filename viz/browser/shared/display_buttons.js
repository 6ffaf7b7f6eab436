/* How things are shown: the theme, and the system of units. */

import { element } from "./elements.js";
import { emit } from "./page_state.js";
import { shownUnit } from "./shown_units.js";

/** A button that switches between light and dark, and stores the choice. */
export function themeButton() {
  const root = document.documentElement;
  const button = element("button");
  const show = () => {
    const isDark = root.dataset.theme === "dark";
    const other = isDark ? "Light" : "Dark";
    button.textContent = isDark ? "☀" : "☾";
    button.setAttribute("aria-label", other);
    button.title = other;
  };
  button.addEventListener("click", () => {
    const next = root.dataset.theme === "dark" ? "light" : "dark";
    root.dataset.theme = next;
    try {
      localStorage.setItem("sixthrow-theme", next);
    } catch {
      /* storage may be shut off */
    }
    emit("theme", next);
    show();
  });
  show();
  return button;
}

/**
 * A button that shows everything in the other system of units: the server makes the page anew in
 * it, so `leave` gets what reloads it.
 */
export function unitsButton(leave) {
  const isUs = shownUnit("system") === "us";
  const other = isUs ? "SI" : "US";
  const system = isUs ? "SI" : "US customary";
  const attributes = {
    "aria-label": `${other} units`,
    title: `Show everything in ${system} units, files excepted`,
    onclick: () => {
      const next = isUs ? "si" : "us";
      document.cookie = `sixthrow_units=${next}; path=/; max-age=31536000; samesite=strict`;
      leave(() => window.location.reload());
    },
  };
  return element("button", attributes, other);
}
