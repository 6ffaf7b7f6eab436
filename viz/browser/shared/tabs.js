/* The page's tabs: one pane is shown at a time. */

import { rememberView, subscribe } from "./page_state.js";

/** Let the page's tabs show and hide their panes, by pointer and by arrow key. */
export function wireTabs(model) {
  const tabs = [...document.querySelectorAll('[role="tab"]')];
  const choose = (chosen) => {
    for (const tab of tabs) {
      tab.setAttribute("aria-selected", tab === chosen);
      tab.tabIndex = tab === chosen ? 0 : -1;
      document.getElementById(tab.getAttribute("aria-controls")).hidden = tab !== chosen;
    }
    rememberView({ pane: chosen.id });
  };
  subscribe(model, "place", ({ pane }) => {
    const chosen = tabs.find(({ id }) => id === pane);
    if (chosen) choose(chosen);
  });
  tabs.forEach((tab, index) => {
    tab.addEventListener("click", () => choose(tab));
    tab.addEventListener("keydown", (event) => {
      const by = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
      if (!by) return;
      const next = tabs[(index + by + tabs.length) % tabs.length];
      choose(next);
      next.focus();
    });
  });
}
