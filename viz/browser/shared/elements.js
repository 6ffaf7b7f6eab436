/* How elements of the page are made and filled. */

/** An element with attributes and children; text is set as text, never as HTML. */
export function element(tag, attributes = {}, ...children) {
  const node = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (name.startsWith("on")) node.addEventListener(name.slice(2), value);
    else if (value === true) node.setAttribute(name, "");
    else if (value !== false && value !== null && value !== undefined)
      node.setAttribute(name, value);
  }
  node.append(...children.filter((child) => child !== null && child !== undefined));
  return node;
}

/** An SVG element with attributes and children; text is set as text. */
export function svg(tag, attributes = {}, ...children) {
  const node = document.createElementNS("http://www.w3.org/2000/svg", tag);
  for (const [name, value] of Object.entries(attributes)) node.setAttribute(name, value);
  node.append(...children);
  return node;
}

/** A heading and the text under it, or nothing where there is no text. */
export function headed(title, text, tag = "p") {
  return text ? [element("h3", {}, title), element(tag, {}, text)] : [];
}

/** Set text only where it differs, so that nothing is laid out again for nothing. */
export function setText(node, text) {
  if (node.textContent !== text) node.textContent = text;
}
