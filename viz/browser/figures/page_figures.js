/* Placing a page's figures: those in view at once, other shown ones when the page has time. */

import { followProjector, keepFigures, placeFigure } from "./placed_figures.js";

const BEYOND = "200px"; // of the window's edge: nearer figures are placed

keepFigures(JSON.parse(document.getElementById("figures").textContent));
followProjector();

document.addEventListener("DOMContentLoaded", () => {
  const seen = new IntersectionObserver(placeSeen, { rootMargin: BEYOND });
  const places = [...document.querySelectorAll("figure[data-plot]")];
  for (const place of places) seen.observe(place);
  const whenIdle = window.requestIdleCallback ?? ((then) => setTimeout(then, 200));
  window.addEventListener("load", () => whenIdle(() => placeShown(places), { timeout: 3000 }));

  function placeSeen(entries) {
    for (const { target, isIntersecting } of entries) {
      if (!isIntersecting) continue;
      seen.unobserve(target);
      placeFigure(target.dataset.plot);
    }
  }
});

/** Place what is part of the page though out of view: a page is also scrolled and printed. */
function placeShown(places) {
  for (const place of places) {
    if (place.offsetParent) placeFigure(place.dataset.plot);
  }
}
