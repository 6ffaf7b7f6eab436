/* The bearings' message: orbits, loads and films of all bearings, each known by its key. */

import { decodeScene } from "../figures/scene.js";
import { formatNumber, unbroken } from "../shared/number_words.js";
import { shownUnit } from "../shared/shown_units.js";

/**
 * Decode a message of bearings; it reads as a scene whose "cylinders" are its bearings.
 * @returns {any} */
export function decodeFilm(message) {
  /** @type {any} */
  const film = decodeScene(message);
  film.cylinders = film.bearings.length;
  film.firingDegrees = film.bearings.map(({ firing }) => firing);
  film.strokes = film.cycleDegrees > 360 ? 4 : 2;
  film.trueTdcDegrees ??= 0;
  film.places = new Map(film.bearings.map(({ key }, index) => [key, index]));
  return film;
}

/**
 * The rows of another film in the order of this one's bearings; those that it has not are missing.
 */
export function inOrderOf(film, other) {
  const of = (list) => film.bearings.map(({ key }) => list[other.places.get(key)]);
  const ordered = Object.create(Object.getPrototypeOf(other));
  return Object.assign(ordered, other, {
    bearings: of(other.bearings),
    like: of(other.like),
    cylinders: film.cylinders,
    cache: new Map(),
    blendedAt: { speed: NaN },
  });
}

/** A bearing of a film: its data, and what its rows are at a fractional grid index. */
export class Bearing {
  /** What the message brings of it. */
  key = "";
  title = "";
  kind = "";
  stateWords = "";
  firing = 0; // degrees
  clearance = 0;
  limit = 0;
  least = 0;
  leastDegrees = 0;
  /** @type {{middle: number, arc: number, words: string} | null} the open groove of its shell */
  groove = null;

  constructor(film, index) {
    /** @type {any} */
    this.film = film;
    this.index = index;
    Object.assign(this, film.bearings[index]);
  }

  /** A vector row over the cycle as [x, y]. */
  vectors(name) {
    return [0, 1].map((component) => this.film.part(name, "gas", this.index, component));
  }

  vector(name, at) {
    return [0, 1].map((component) => this.film.load(name, this.index, component, at));
  }

  value(name, at) {
    return this.film.load(name, this.index, null, at);
  }

  /** An angle on the shell [°], of the grid point that is next: it may leap from 360 to 0. */
  place(name, at) {
    return this.film.row(name, this.index)[Math.round(at) % this.film.points];
  }

  /** Largest load of the cycle. */
  get peakLoad() {
    const [x, y] = this.vectors("load");
    return x.reduce((most, one, i) => Math.max(most, Math.hypot(one, y[i])), 0);
  }

  /** Eccentricity ratio at which the film is as thin as is allowed. */
  get limitEccentricity() {
    return Math.max(1 - this.limit / this.clearance, 0);
  }

  /**
   * How far the journal has turned in its shell [rad]: a main by the crank angle, a crankpin also
   * against the swing of its rod, where the message gives the ratio of throw to rod.
   */
  turned(degrees) {
    const angle = ((degrees - (this.firing ?? 0)) * Math.PI) / 180;
    if (this.kind !== "big_end") return angle;
    return angle + Math.asin(Math.min(this.film.rodRatio ?? 0, 0.9) * Math.sin(angle));
  }

  /** All that is to be said of it in a sentence. */
  get sentence() {
    const place = Math.round(this.leastDegrees);
    const film = `minimum film thickness ${filmText(this.least)} at crank angle ${place}°`;
    return `${this.title}: ${film}, allowed ${filmText(this.limit)}: ${this.stateWords}`;
  }
}

/** A film's thickness with its unit. */
export function filmText(value) {
  return `${unbroken(formatNumber(value))}\u202f${shownUnit("um").symbol}`;
}

/** The direction of a vector as an angle from y toward x [°], 0 to 360. */
export function direction([x, y]) {
  return ((Math.atan2(x, y) * 180) / Math.PI + 360) % 360;
}
