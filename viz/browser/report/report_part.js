/* A part of a report: a component's view in a file of its own, with no program behind it. */

import { pictureFile, pngOf } from "../figures/figure_pictures.js";
import { fileWords } from "../figures/figure_tables.js";
import { element } from "../shared/elements.js";
import { saveFile } from "../shared/text_file.js";

export const report = JSON.parse(document.getElementById("report-data").textContent);

/** What a component reads of the program, here fixed; it answers what the reader asks by itself. */
export class StandIn {
  constructor({ blob = "", reference_blob: reference = "", ...others }) {
    Object.assign(this, others, { blob: fromBase64(blob), reference_blob: fromBase64(reference) });
    this.handlers = new Map();
  }

  on(name, handler) {
    this.handlers.set(name, [...(this.handlers.get(name) ?? []), handler]);
  }

  /** Show what is selected and give the table that is asked for; there is nobody else to ask. */
  send_msg({ kind, key }) {
    if (kind === "table") keepFile("margins.csv", report.files.margins);
    if (kind !== "pick") return;
    this.selected = key;
    for (const handler of this.handlers.get("selected") ?? []) handler();
  }
}

function fromBase64(text) {
  return Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0));
}

/** The place of a part, with its own styles about it; the view is put into what is returned. */
export function placeOf(name, styles) {
  const host = document.querySelector(`[data-part="${name}"]`);
  const root = host.attachShadow({ mode: "open" });
  const inner = element("div", { style: "height: 100%" });
  root.append(element("style", {}, styles), inner);
  return { host, inner };
}

/** Take keys only while they are pressed in the part: the rest of a report is read and scrolled. */
export function keepKeysWithin(view, host) {
  const key = view.key.bind(view);
  view.key = (event) => event.composedPath().includes(host) && key(event);
}

/** Stand still while the part is out of sight, and go on when it is seen again. */
export function restOutOfSight({ time }, host) {
  let rests = false;
  new IntersectionObserver(([{ isIntersecting }]) => {
    if (!isIntersecting && time.playing) {
      rests = true;
      time.pause();
    } else if (isIntersecting && rests) {
      rests = false;
      time.play();
    }
  }).observe(host);
}

/** Feed the figures out of sight too, a little later: paper and files show them all. */
export function feedUnseen({ figures }) {
  const feedSeen = figures.feedAll.bind(figures);
  let timer = null;
  figures.feedAll = () => {
    feedSeen();
    clearTimeout(timer);
    timer = setTimeout(() => {
      for (const feeder of figures.feeders) if (!figures.visible.has(feeder)) figures.feed(feeder);
    }, 200);
  };
}

/** Let the reader keep a file, named after the design. */
export function keepFile(name, content) {
  saveFile(`${fileWords(report.name)}-${name}`, content);
}

/** Keep a picture as an image. */
export async function keepPicture(name, figure) {
  keepFile(`${name}.png`, await pngOf(pictureFile(figure)));
}

/** Do something at each button that a selector finds. */
export function atButtons(selector, act) {
  for (const button of document.querySelectorAll(selector)) {
    button.addEventListener("click", () => act(button));
  }
}
