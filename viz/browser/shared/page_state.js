/* What the page's components share in the browser: their events, and where the reader is. */

export const pageState = (globalThis.sixthrow ??= {
  events: new EventTarget(),
  painted: 0,
  place: {},
});

/** Tell all components of the page. */
export function emit(name, detail) {
  pageState.events.dispatchEvent(new CustomEvent(name, { detail }));
}

/** Note where the reader is in a page (angle, cylinder, selected), for a link to hold. */
export function rememberView(part) {
  Object.assign(pageState.place, part);
}

/** Listen as long as a component's model lives. */
export function subscribe(model, name, handler) {
  const listener = (event) => handler(event.detail);
  pageState.events.addEventListener(name, listener);
  model.on("remove", () => pageState.events.removeEventListener(name, listener));
}
