/* The crank train on a stage of its own: nothing but the picture. */

import { fitCanvas } from "../figures/canvas_size.js";
import { element } from "../shared/elements.js";
import { drawTrain } from "../train/train_drawing.js";

export class TrainPicture {
  constructor() {
    this.canvas = element("canvas", { role: "img" });
    this.node = element("div", { class: "train-stage" }, this.canvas);
    this.width = 0;
    this.height = 0;
    this.ratio = 1;
    this.sizes = new ResizeObserver(() => this.resized());
    this.sizes.observe(this.node);
  }

  stop() {
    this.sizes.disconnect();
  }

  /** Show a scene, and the reference or null; `view` holds cylinder, forces and colours. */
  show(scene, reference, view, degrees) {
    this.scene = scene;
    scene.arrowPeak = largestForce(scene);
    this.reference = reference;
    this.view = view;
    this.move(degrees);
    this.canvas.setAttribute(
      "aria-label",
      `Crank train of ${scene.name} at ${Math.round(degrees)}°, ` +
        `cylinder ${view.cylinder + 1} selected; side and front view.`,
    );
  }

  move(degrees) {
    this.degrees = degrees;
    if (!this.scene || !(this.width > 60)) return;
    const context = this.canvas.getContext("2d");
    context.setTransform(this.ratio, 0, 0, this.ratio, 0, 0);
    const { cylinder, forces, colours } = this.view;
    drawTrain(context, this.width, this.height, this.scene, {
      angle: degrees,
      cylinder,
      arrows: forces,
      colours,
      dimension: null,
      reference: this.reference,
    });
  }

  resized() {
    Object.assign(this, fitCanvas(this.canvas, this.node));
    this.move(this.degrees);
  }
}

/** Largest force that an arrow may show. */
function largestForce(scene) {
  let peak = 0;
  for (const name of ["gas_force", "inertia_force", "rod_force", "side_thrust"]) {
    for (const value of scene.curve(name, "both", 0)) peak = Math.max(peak, Math.abs(value));
  }
  return peak;
}
