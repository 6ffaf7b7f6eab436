/* The oil films of all bearings: the wall, the picked bearing enlarged, the time bar; it also feeds
 * the figures over the crank angle and moves their cursors. */

export function render({ model, el }) {
  const view = new FilmView(model);
  el.append(view.node);
  view.start();
  model.on("remove", () => view.stop());
}

class FilmView {
  constructor(model) {
    this.model = model;
    this.film = null;
    this.pinned = null;
    this.wanted = null; // the bearing last picked here, until Python shows it
    this.underway = null;
    this.figures = new FilmFigures(model.feeds);
    this.wall = new FilmWall((key) => this.pick(key));
    this.pictures = [new JournalPicture(), new LoadPicture()];
    this.printTitle = element("p", { class: "print-title" });
    this.time = new TimeBar((degrees) => this.moved(degrees));
    this.node = element(
      "div", { class: "films" }, this.printTitle, this.wall.node,
      element("div", { class: "pictures" }, ...this.pictures.map(({ node }) => node)), this.time.node
    );
  }

  // --- life -------------------------------------------------------------------------------

  start() {
    this.model.on("blob", () => this.newFilm());
    this.model.on("reference_blob", () => this.newReference());
    this.model.on("picked", () => this.answered());
    hear(this.model, "theme", () => this.recolour());
    this.onKey = (event) => this.key(event);
    document.addEventListener("keydown", this.onKey);
    this.paper = matchMedia("print");
    this.onPaper = () => this.recolour();
    this.paper.addEventListener("change", this.onPaper);
    this.figures.whenReady(() => {
      this.figures.watch(() => this.showBearing());
      wireTabs();
      this.recolour();
      this.newReference();
      this.newFilm();
      this.time.playAtFirst();
    });
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
    recolourFigures(this.colours);
    this.figures.setColours(this.colours);
    this.showBearing();
  }

  // --- what is shown ----------------------------------------------------------------------

  newFilm() {
    if (!this.model.blob || !this.model.blob.length) return;
    this.film = decodeFilm(this.model.blob);
    if (!this.film.places.has(this.wanted)) this.wanted = this.underway = null;
    this.time.setCycle(this.film.cycleDegrees);
    this.wall.show(this.film);
    setText(this.printTitle, `${this.film.name} at ${shortNumber(this.film.rpm, 4)} rpm: oil films of the bearings`);
    this.order();
    this.showBearing();
  }

  newReference() {
    const blob = this.model.reference_blob;
    this.pinned = blob && blob.length ? decodeFilm(blob) : null;
    this.order();
    this.showBearing();
  }

  /** The pinned film in the order of this one's bearings. */
  order() {
    this.pinnedInOrder = this.film && this.pinned ? inOrderOf(this.film, this.pinned) : null;
  }

  /** Index of the bearing that is shown: the picked one, else the one nearest its limit. */
  get index() {
    return this.film.places.get(this.wanted ?? this.model.picked) ?? this.film.order[0];
  }

  showBearing() {
    if (!this.film || !this.colours) return;
    const { film, index } = this;
    const pinned = this.pinnedInOrder?.like[index] ? this.pinnedInOrder : null;
    this.wall.showPicked(film.bearings[index].key);
    this.node.dataset.picked = film.bearings[index].key;
    this.bearing = new Bearing(film, index);
    this.figures.feed(film, pinned, index);
    for (const picture of this.pictures) {
      picture.show(this.bearing, pinned && new Bearing(pinned, index), this.colours, this.time.angle);
    }
    this.time.moveTo(this.time.angle, true);
  }

  /** All that moves with the crank, and nothing else. */
  moved(degrees) {
    if (!this.bearing) return;
    const { film, index } = this.bearing;
    this.wall.move(degrees / film.step);
    for (const picture of this.pictures) picture.move(degrees);
    this.figures.moveCursors(film, index, degrees);
    setText(this.time.words, this.stroke(degrees));
    if (!this.time.playing) for (const picture of this.pictures) picture.describe();
  }

  /** The bearing, and the stroke of its cylinder where it belongs to one. */
  stroke(degrees) {
    const { film, index, title, firing } = this.bearing;
    if (!Number.isFinite(firing)) return title;
    const stroke = strokesOf(film, index).find(({ start, end }) => degrees >= start && degrees < end);
    return stroke ? `${title}: ${stroke.name}` : title;
  }

  // --- picking ----------------------------------------------------------------------------

  pick(key) {
    this.wanted = key;
    this.showBearing();
    if (!this.underway) this.sendPick();
  }

  /** Ask for the bearing last picked; one is under way at a time, and the latest wins. */
  sendPick() {
    if (this.wanted === this.model.picked) this.wanted = null;
    this.underway = this.wanted;
    if (this.underway) this.model.send_msg({ kind: "pick", key: this.underway });
  }

  answered() {
    this.underway = null;
    if (this.wanted) this.sendPick();
    this.showBearing();
  }

  key(event) {
    if (keyIsTaken(event) || !this.film) return;
    const by = { "[": -1, "]": 1 }[event.key];
    if (by) this.pick(this.wall.beside(this.film.bearings[this.index].key, by));
    else if (!this.time.key(event)) return;
    event.preventDefault();
  }
}
