/* Colours between those of the theme, for what is drawn on a canvas. */

/** Red, green and blue of a colour written #rgb, #rrggbb or rgb(r g b). */
export function channels(colour) {
  if (!colour.startsWith("#"))
    return colour
      .match(/[\d.]+/g)
      .slice(0, 3)
      .map(Number);
  const full = colour.length === 4 ? colour.replace(/[^#]/g, "$&$&") : colour;
  return [1, 3, 5].map((at) => parseInt(full.slice(at, at + 2), 16));
}

/** The colour that lies a share of the way from one to another. */
export function mix(one, other, share) {
  const [from, to] = [channels(one), channels(other)];
  return `rgb(${from.map((value, i) => Math.round(value + (to[i] - value) * share)).join(" ")})`;
}

/** The colour at a share of the way along a row of colours. */
export function ramped(stops, share) {
  const at = share * (stops.length - 1);
  const low = Math.min(Math.floor(at), stops.length - 2);
  return mix(stops[low], stops[low + 1], at - low);
}

/** Whether a theme's ground is dark. */
export function isDark(colours) {
  const [red, green, blue] = channels(colours.paper);
  return red + green + blue < 380;
}
