/* The report's Bokeh figures: put in their places, kept as pictures, drawn anew for paper. */

/** Put every figure in its place. */
async function placeFigures() {
  window.Bokeh.set_log_level("warn");
  for (const { name, ...item } of report.figures) {
    const place = document.querySelector(`figure[data-plot="${name}"] .drawing`);
    await window.Bokeh.embed.embed_item(item, place);
  }
}

function viewOf(name) {
  return window.Bokeh.index.find_one(modelNamed(`${name}_figure`));
}

function keepFigure(button) {
  const { plot: name } = button.closest("figure").dataset;
  if (button.dataset.picture === "png") keepCanvas(name, viewOf(name).export("png").canvas);
  else keepFile(`${name}.svg`, figureSvg(name));
}

/** A figure as the text of an SVG, in the light theme's colours whatever is shown. */
function figureSvg(name) {
  const shown = themeColours();
  const light = lightColours();
  const others = new Map(Object.keys(shown).map((role) => [channels(shown[role]).join(), light[role]]));
  const words = viewOf(name).export("svg").ctx.get_serialized_svg(true);
  return words.replace(/#[0-9a-f]{6}\b|rgb\([\d, ]+\)/gi, (colour) => others.get(channels(colour).join()) ?? colour);
}

function lightColours() {
  const { dataset } = document.documentElement;
  const { theme } = dataset;
  dataset.theme = "light";
  const colours = themeColours();
  dataset.theme = theme;
  return colours;
}

/** Draw every figure in lines for paper: a canvas of the screen has neither its size nor its colours. */
function drawOnPaper() {
  for (const { name } of report.figures) {
    const drawn = new DOMParser().parseFromString(figureSvg(name), "image/svg+xml").documentElement;
    const [width, height] = ["width", "height"].map((side) => drawn.getAttribute(side));
    drawn.setAttribute("viewBox", `0 0 ${width} ${height}`);
    for (const side of ["width", "height"]) drawn.removeAttribute(side);
    const sheet = document.querySelector(`figure[data-plot="${name}"] .paper-drawing`);
    sheet.replaceChildren(document.importNode(drawn, true));
  }
}

/** Paper is light, with all details open; afterwards all is as it was. */
function preparePaper() {
  const { dataset } = document.documentElement;
  let before = null;
  window.addEventListener("beforeprint", () => {
    if (before) return;
    before = { theme: dataset.theme, shut: [...document.querySelectorAll("details:not([open])")] };
    for (const details of before.shut) details.open = true;
    drawOnPaper();
    dataset.theme = "light";
    announce("theme");
  });
  window.addEventListener("afterprint", () => {
    if (!before) return;
    for (const details of before.shut) details.open = false;
    dataset.theme = before.theme;
    before = null;
    announce("theme");
  });
}
