/* The time bar: play, step and scrub through a cycle of the crank, by pointer and by key. */

import { element, setText } from "./elements.js";
import { pageState } from "./page_state.js";

/** Turns shown per second. */
const RATES = [0.05, 0.1, 0.25, 0.5, 1, 2];

export class TimeBar {
  /** `words` says what stands at the angle; `moved` is called with each new crank angle [°]. */
  constructor(words, moved) {
    this.words = words;
    this.moved = moved;
    this.cycleDegrees = 720;
    this.angle = 0;
    this.rate = 0.25;
    this.playing = false;
    this.node = this.build();
    this.onHide = () => document.hidden && this.pause();
    document.addEventListener("visibilitychange", this.onHide);
  }

  build() {
    const step = (by, text, label) =>
      element("button", { "aria-label": label, title: label, onclick: () => this.step(by) }, text);
    this.slider = element("input", {
      type: "range",
      min: 0,
      max: 720,
      step: 1,
      value: 0,
      "aria-label": "Crank angle",
      oninput: () => this.scrub(Number(this.slider.value)),
    });
    this.playButton = element("button", { class: "play", onclick: () => this.toggle() }, "Play");
    this.rates = element(
      "select",
      {
        "aria-label": "Turns shown per second",
        onchange: () => (this.rate = Number(this.rates.value)),
      },
      ...RATES.map((rate) =>
        element("option", { value: rate, selected: rate === this.rate }, `${rate} turns/s`),
      ),
    );
    this.angleText = element("output", { class: "number angle" });
    return element(
      "div",
      { class: "time" },
      element(
        "div",
        { class: "row" },
        step(-10, "−10°", "Back 10 degrees"),
        step(-1, "−1°", "Back 1 degree"),
        this.playButton,
        step(1, "+1°", "On 1 degree"),
        step(10, "+10°", "On 10 degrees"),
        this.rates,
        this.angleText,
        this.words,
      ),
      this.slider,
    );
  }

  stop() {
    this.playing = false;
    this.moved = () => {};
    document.removeEventListener("visibilitychange", this.onHide);
  }

  setCycle(degrees) {
    this.cycleDegrees = degrees;
    this.slider.max = degrees;
    if (this.angle > degrees) this.angle %= degrees;
  }

  toggle() {
    if (this.playing) this.pause();
    else this.play();
  }

  /** Play, unless the reader wants no motion or a program drives the page. */
  playAtFirst() {
    if (!matchMedia("(prefers-reduced-motion: reduce)").matches && !navigator.webdriver)
      this.play();
  }

  play() {
    if (this.playing) return;
    this.playing = true;
    this.playButton.textContent = "Pause";
    let last = null;
    const frame = (now) => {
      if (!this.playing) return;
      const passed = last === null ? 0 : Math.min(now - last, 100);
      last = now;
      this.moveTo(this.angle + (passed / 1000) * this.rate * 360);
      pageState.frames = (pageState.frames ?? 0) + 1;
      requestAnimationFrame(frame);
    };
    requestAnimationFrame(frame);
  }

  pause() {
    if (!this.playing) return;
    this.playing = false;
    this.playButton.textContent = "Play";
    this.moveTo(this.angle, true);
  }

  scrub(degrees) {
    this.pause();
    this.moveTo(degrees, true);
  }

  /** Turn the crank by an angle [°], as by hand. */
  turn(by) {
    this.pause();
    this.moveTo(this.angle + by);
  }

  step(by) {
    this.pause();
    this.moveTo(Math.round(this.angle) + by);
  }

  /** Move the crank to an angle [°]; the end of the cycle may be shown as such. */
  moveTo(degrees, end = false) {
    const cycle = this.cycleDegrees;
    this.angle = end && degrees === cycle ? cycle : ((degrees % cycle) + cycle) % cycle;
    const shown = Math.round(this.angle);
    pageState.place.angle = shown;
    if (Number(this.slider.value) !== shown) this.slider.value = shown;
    setText(this.angleText, `φ ${shown}°`);
    this.moved(this.angle);
  }

  /** Do what a key asks for; returns whether it asked for anything. */
  key(event) {
    const onButton = event.composedPath()[0] instanceof HTMLButtonElement;
    if (event.key === " " && !onButton) this.toggle();
    else if (event.key === "ArrowRight") this.step(event.shiftKey ? 10 : 1);
    else if (event.key === "ArrowLeft") this.step(event.shiftKey ? -10 : -1);
    else if (event.key === "Home") this.scrub(0);
    else if (event.key === "End") this.scrub(this.cycleDegrees);
    else if (event.key === "," || event.key === ".") this.changeRate(event.key === "." ? 1 : -1);
    else return false;
    return true;
  }

  changeRate(by) {
    this.rate = RATES[Math.min(Math.max(RATES.indexOf(this.rate) + by, 0), RATES.length - 1)];
    this.rates.value = String(this.rate);
  }
}
