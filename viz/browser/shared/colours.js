/* The theme's colours. */

/** The theme's colours by role. */
export function themeColours() {
  const style = getComputedStyle(document.documentElement);
  const colours = {};
  for (const role of [
    "text",
    "muted",
    "paper",
    "panel",
    "edge",
    "hairline",
    "focus",
    "gas",
    "inertia",
    "second",
    "mean",
    "reference",
    "band",
    "grid",
    "zero",
    "good",
    "warn",
    "bad",
    "steel",
    "steel-dark",
    "piston",
    "rod",
  ]) {
    colours[role.replace(/-(.)/g, (_, letter) => letter.toUpperCase())] = style
      .getPropertyValue(`--${role}`)
      .trim();
  }
  return colours;
}

/** The light theme's colours by role, whatever is shown: those of paper and of saved pictures. */
export function lightColours() {
  return inLight(themeColours);
}

/** What is read from the page while it is light; nothing of it is painted. */
export function inLight(read) {
  const { dataset } = document.documentElement;
  const { theme } = dataset;
  dataset.theme = "light";
  try {
    return read();
  } finally {
    dataset.theme = theme;
  }
}
