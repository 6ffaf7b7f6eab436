/* A figure as a picture file: in lines (SVG) or as an image of them (PNG), light and on paper. */

import { lightColours, themeColours } from "../shared/colours.js";
import { element, svg } from "../shared/elements.js";
import { modelNamed } from "../shared/page_models.js";
import { channels } from "./mixed_colours.js";

const FILE_FONT = "system-ui, sans-serif";
const [TITLE_SIZE, FOOT_SIZE, EDGE] = [15, 12, 8];
const DOTS = 2; // of an image, a px of the page

/**
 * A picture with its title over it and what it is of under it, as the text of an SVG file.
 * `drawing` gives its lines as an SVG element with a width and a height.
 */
export function pictureFile({ title, words, foot, drawing }) {
  const inks = lightColours();
  const lines = drawing();
  const [width, height] = ["width", "height"].map((side) => Number(lines.getAttribute(side)));
  const wide = Math.max(width, 240) + 2 * EDGE;
  const heads = wrapped(title, wide - 2 * EDGE, `600 ${TITLE_SIZE}px ${FILE_FONT}`);
  const feet = wrapped(
    `${foot}. For teaching and design review.`,
    wide - 2 * EDGE,
    `${FOOT_SIZE}px ${FILE_FONT}`,
  );
  const top = EDGE + 1.3 * TITLE_SIZE * heads.length + EDGE / 2;
  const high = top + height + EDGE / 2 + 1.3 * FOOT_SIZE * feet.length + EDGE;
  const line = (size, ink, from, weight) => (text, i) =>
    svg(
      "text",
      {
        x: EDGE,
        y: from + 1.3 * size * (i + 0.8),
        fill: ink,
        "font-size": size,
        "font-weight": weight,
      },
      text,
    );
  lines.setAttribute("x", EDGE);
  lines.setAttribute("y", top);
  const file = svg(
    "svg",
    {
      width: wide,
      height: high,
      viewBox: `0 0 ${wide} ${high}`,
      "font-family": FILE_FONT,
      role: "img",
    },
    svg("title", {}, title),
    svg("desc", {}, words),
    svg("rect", { width: wide, height: high, fill: inks.paper }),
    ...heads.map(line(TITLE_SIZE, inks.text, EDGE, 600)),
    lines,
    ...feet.map(line(FOOT_SIZE, inks.muted, top + height + EDGE / 2, 400)),
  );
  return new XMLSerializer().serializeToString(file);
}

/** The lines of a Bokeh figure as it is shown, in the light theme's colours. */
export function bokehDrawing(name) {
  const figure = modelNamed(`${name}_figure`);
  const [shown, light] = [themeColours(), lightColours()];
  const others = new Map(
    rolesOf(figure).map((role) => [channels(shown[role]).join(), light[role]]),
  );
  const words = window.Bokeh.index
    .find_one(figure)
    .export("svg")
    .ctx.get_serialized_svg(true)
    .replace(
      /#[0-9a-f]{6}\b|rgb\([\d, ]+\)/gi,
      (colour) => others.get(channels(colour).join()) ?? colour,
    );
  return document.importNode(
    new DOMParser().parseFromString(words, "image/svg+xml").documentElement,
    true,
  );
}

/** The roles of colours that a figure's models name; two roles may share a colour in the dark. */
function rolesOf(figure) {
  const known = themeColours();
  const tags = [...figure.references()].flatMap((model) => model.tags ?? []);
  return [...new Set(tags.map((tag) => String(tag).split("=")[1]))].filter((role) => known[role]);
}

/** A picture file's text as an image. */
export async function pngOf(words) {
  const image = new Image();
  image.src = URL.createObjectURL(new Blob([words], { type: "image/svg+xml" }));
  await image.decode();
  const sheet = element("canvas", {
    width: DOTS * image.naturalWidth,
    height: DOTS * image.naturalHeight,
  });
  sheet.getContext("2d").drawImage(image, 0, 0, sheet.width, sheet.height);
  URL.revokeObjectURL(image.src);
  return new Promise((done) => sheet.toBlob(done, "image/png"));
}

/** A text in lines that are no wider than there is room. */
function wrapped(text, room, font) {
  const ruler = document.createElement("canvas").getContext("2d");
  ruler.font = font;
  const lines = [""];
  for (const word of text.split(" ")) {
    const longer = `${lines[lines.length - 1]} ${word}`.trim();
    if (ruler.measureText(longer).width <= room) lines[lines.length - 1] = longer;
    else lines.push(word);
  }
  return lines.filter(Boolean);
}
