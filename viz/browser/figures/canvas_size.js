/* A canvas as large as its stage, sharp on every screen. */

/** Fit a canvas to its stage; returns width and height [CSS px] and the ratio, dots a CSS px. */
export function fitCanvas(canvas, stage) {
  const box = stage.getBoundingClientRect();
  const ratio = window.devicePixelRatio || 1;
  const [width, height] = [Math.floor(box.width), Math.floor(box.height)];
  [canvas.width, canvas.height] = [width * ratio, height * ratio];
  [canvas.style.width, canvas.style.height] = [`${width}px`, `${height}px`];
  return { width, height, ratio };
}
