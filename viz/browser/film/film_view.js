/* The oil films of all bearings: all orbits, the selected one enlarged, the time bar; it also
 * feeds the figures over the crank angle and moves their cursors. */

import { Figures } from "../figures/figures.js";
import { pictureButton } from "../figures/picture_button.js";
import { strokeAt } from "../figures/strokes.js";
import { themeColours } from "../shared/colours.js";
import { element, setText } from "../shared/elements.js";
import { keyIsTaken } from "../shared/keys.js";
import { formatWhole } from "../shared/number_words.js";
import { subscribe } from "../shared/page_state.js";
import { Picking } from "../shared/picking.js";
import { wireTabs } from "../shared/tabs.js";
import { TimeBar } from "../shared/time_bar.js";
import { JournalPicture } from "./film_drawing.js";
import { LoadPicture } from "./film_load.js";
import { Bearing, decodeFilm, inOrderOf } from "./film_scene.js";
import { OrbitGallery } from "./orbit_gallery.js";

export function render({ model, el }) {
  const view = new FilmView(model);
  el.append(view.node);
  view.start();
  model.on("remove", () => view.stop());
}

export class FilmView {
  constructor(model) {
    this.model = model;
    this.film = null;
    this.reference = null;
    this.figures = new Figures(model.feeds, (degrees) => this.time.scrub(degrees));
    this.picking = new Picking(model, () => this.showBearing());
    this.wall = new OrbitGallery((key) => this.picking.pick(key));
    this.pictures = [new JournalPicture(), new LoadPicture()];
    for (const picture of this.pictures) {
      const button = pictureButton(
        `Table and export of ${picture.title}`,
        () => picture.bearing && picture.figure(),
      );
      picture.node.querySelector("h2").append(button);
    }
    this.printTitle = element("p", { class: "print-title" });
    this.words = element("span", { class: "muted words" });
    this.time = new TimeBar(this.words, (degrees) => this.moved(degrees));
    this.node = element(
      "div",
      { class: "films" },
      this.printTitle,
      this.wall.node,
      element("div", { class: "pictures" }, ...this.pictures.map(({ node }) => node)),
      this.time.node,
    );
  }

  // --- life -------------------------------------------------------------------------------

  start() {
    this.model.on("blob", () => this.newFilm());
    this.model.on("reference_blob", () => this.newReference());
    subscribe(this.model, "theme", () => this.recolour());
    subscribe(this.model, "place", ({ angle, selected }) => {
      if (this.film?.places.has(selected)) this.picking.pick(selected);
      if (Number.isFinite(angle)) this.time.scrub(angle);
    });
    this.onKey = (event) => this.key(event);
    document.addEventListener("keydown", this.onKey);
    this.paper = matchMedia("print");
    this.onPaper = () => this.recolour();
    this.paper.addEventListener("change", this.onPaper);
    this.figures.watch();
    wireTabs(this.model);
    this.recolour();
    this.newReference();
    this.newFilm();
    this.time.playAtFirst();
  }

  stop() {
    document.removeEventListener("keydown", this.onKey);
    this.paper.removeEventListener("change", this.onPaper);
    this.time.stop();
    this.figures.stop();
    for (const picture of this.pictures) picture.stop();
  }

  recolour() {
    this.colours = themeColours();
    this.figures.recolour(this.colours);
    this.showBearing();
  }

  // --- what is shown ----------------------------------------------------------------------

  newFilm() {
    if (!this.model.blob || !this.model.blob.length) return;
    this.film = decodeFilm(this.model.blob);
    if (!this.film.places.has(this.picking.wanted)) this.picking.forget();
    this.time.setCycle(this.film.cycleDegrees);
    this.wall.show(this.film);
    setText(
      this.printTitle,
      `${this.film.name} at ${formatWhole(this.film.rpm)} rpm: oil films of the bearings`,
    );
    this.order();
    this.showBearing();
  }

  newReference() {
    const blob = this.model.reference_blob;
    this.reference = blob && blob.length ? decodeFilm(blob) : null;
    this.order();
    this.showBearing();
  }

  /** The film of the reference in the order of this one's bearings. */
  order() {
    this.referenceInOrder =
      this.film && this.reference ? inOrderOf(this.film, this.reference) : null;
  }

  /** Index of the bearing that is shown: the selected one, else the one nearest its limit. */
  get index() {
    return this.film.places.get(this.picking.key) ?? this.film.order[0];
  }

  showBearing() {
    if (!this.film || !this.colours) return;
    const { film, index } = this;
    const reference = this.referenceInOrder?.like[index] ? this.referenceInOrder : null;
    this.wall.showSelected(film.bearings[index].key);
    this.node.dataset.selected = film.bearings[index].key;
    this.bearing = new Bearing(film, index);
    this.figures.show(film, reference, index);
    for (const picture of this.pictures) {
      picture.show(
        this.bearing,
        reference && new Bearing(reference, index),
        this.colours,
        this.time.angle,
      );
    }
    this.time.moveTo(this.time.angle, true);
  }

  /** All that moves with the crank, and nothing else. */
  moved(degrees) {
    if (!this.bearing) return;
    const { film } = this.bearing;
    this.wall.move(degrees / film.step);
    for (const picture of this.pictures) picture.move(degrees);
    this.figures.move(degrees);
    setText(this.words, this.stroke(degrees));
    if (!this.time.playing) for (const picture of this.pictures) picture.describe();
  }

  /** The bearing, and the stroke of its cylinder where it belongs to one. */
  stroke(degrees) {
    const { film, index, title, firing } = this.bearing;
    if (!Number.isFinite(firing)) return title;
    const stroke = strokeAt(film, index, degrees);
    return stroke ? `${title}: ${stroke.name}` : title;
  }

  key(event) {
    if (keyIsTaken(event) || !this.film) return;
    const by = { "[": -1, "]": 1 }[event.key];
    if (by) this.picking.pick(this.wall.beside(this.film.bearings[this.index].key, by));
    else if (!this.time.key(event)) return;
    event.preventDefault();
  }
}
