/* What the page's components share in the browser: one event target, the theme's colours,
 * and how elements are made. */

const shared = (window.sixthrow ??= { events: new EventTarget(), painted: 0, place: {} });

/** Tell all components of the page. */
function announce(name, detail) {
  shared.events.dispatchEvent(new CustomEvent(name, { detail }));
}

/** Note where the reader is in a page (angle, cylinder, picked), for a link to hold. */
function notePlace(part) {
  Object.assign(shared.place, part);
}

/** Listen as long as a component's model lives. */
function hear(model, name, handler) {
  const listener = (event) => handler(event.detail);
  shared.events.addEventListener(name, listener);
  model.on("remove", () => shared.events.removeEventListener(name, listener));
}

/** The theme's colours by role. */
function themeColours() {
  const style = getComputedStyle(document.documentElement);
  const colours = {};
  for (const role of [
    "text", "muted", "paper", "panel", "edge", "hairline", "focus", "gas", "inertia", "second",
    "mean", "reference", "band", "grid", "zero", "good", "warn", "bad", "steel", "steel-dark",
    "piston", "rod",
  ]) {
    colours[role.replace(/-(.)/g, (_, letter) => letter.toUpperCase())] = style
      .getPropertyValue(`--${role}`)
      .trim();
  }
  return colours;
}

/** The light theme's colours by role, whatever is shown: those of paper and of saved pictures. */
function lightColours() {
  return inLight(themeColours);
}

/** What is read from the page while it is light; nothing of it is painted. */
function inLight(read) {
  const { dataset } = document.documentElement;
  const { theme } = dataset;
  dataset.theme = "light";
  try {
    return read();
  } finally {
    dataset.theme = theme;
  }
}

/** An element with attributes and children; text is set as text, never as HTML. */
function element(tag, attributes = {}, ...children) {
  const node = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (name.startsWith("on")) node.addEventListener(name.slice(2), value);
    else if (value === true) node.setAttribute(name, "");
    else if (value !== false && value !== null && value !== undefined) node.setAttribute(name, value);
  }
  node.append(...children.filter((child) => child !== null && child !== undefined));
  return node;
}

/** An SVG element with attributes and children; text is set as text. */
function svg(tag, attributes = {}, ...children) {
  const node = document.createElementNS("http://www.w3.org/2000/svg", tag);
  for (const [name, value] of Object.entries(attributes)) node.setAttribute(name, value);
  node.append(...children);
  return node;
}

/** A heading and the text under it, or nothing where there is no text. */
function headed(title, text, tag = "p") {
  return text ? [element("h3", {}, title), element(tag, {}, text)] : [];
}

/** Set text only where it differs, so that nothing is laid out again for nothing. */
function setText(node, text) {
  if (node.textContent !== text) node.textContent = text;
}

/** True if a key press belongs to a field, heading or dialog that is being used. */
function keyIsTaken(event) {
  if (event.ctrlKey || event.metaKey || event.altKey) return true;
  const path = event.composedPath().filter((node) => node instanceof HTMLElement);
  if (path.some((node) => node.matches("dialog"))) return true;
  return path.length > 0 && path[0].matches("input, select, textarea, summary, [role=tab]");
}

/** The unit in which a quantity is shown on this page: its `symbol`, and `si`, the SI value of one. */
function shownUnit(key) {
  shared.units ??= JSON.parse(document.getElementById("units").textContent);
  return shared.units[key];
}

/** A value in the unit shown, with it; `key` is the unit's in the design file. */
function withShownUnit(value, key, digits = 3) {
  return withUnit(formatNumber(value, digits), shownUnit(key).symbol);
}
