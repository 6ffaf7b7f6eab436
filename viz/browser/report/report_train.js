/* The moving train of a report with its plots, its speed and its files. */

import { addFigureDialog } from "../figures/figure_dialog.js";
import { setText } from "../shared/elements.js";
import { formatWhole } from "../shared/number_words.js";
import { TrainView } from "../train/train_view.js";
import { curveColumns, keepTable, orderColumns } from "./report_curves.js";
import { offerDesigns } from "./report_designs.js";
import { keepFigure, placeFigures, preparePaper } from "./report_figures.js";
import {
  atButtons,
  feedUnseen,
  keepFile,
  keepKeysWithin,
  keepPicture,
  placeOf,
  report,
  restOutOfSight,
  StandIn,
} from "./report_part.js";

const train = placeOf("train", report.train.styles);
const trainView = new TrainView(new StandIn(report.train), train.inner);
keepKeysWithin(trainView, train.host);
restOutOfSight(trainView, train.host);
feedUnseen(trainView);

const speedSlider = document.getElementById("speed");
const speedText = document.getElementById("speed-text");

/** Show the train and its plots at a speed [rpm]. */
function showSpeed(rpm) {
  speedSlider.value = rpm;
  setText(speedText, `${formatWhole(rpm)} rpm`);
  trainView.setSpeed((rpm * Math.PI) / 30);
}

const around = (share) => Math.max(10, Math.round((report.rpm * share) / 10) * 10);
[speedSlider.min, speedSlider.max] = [around(0.2), around(1.4)];
speedSlider.addEventListener("input", () => showSpeed(Number(speedSlider.value)));
document.getElementById("speed-back").addEventListener("click", () => {
  showSpeed(report.rpm);
  trainView.setSpeed(report.train.speed);
});
speedSlider.value = report.rpm;
setText(speedText, `${formatWhole(report.rpm)} rpm`);

const number = (index) => String(index + 1);
const rpmOf = ({ speed }) => `${Math.round((speed * 30) / Math.PI)}-rpm`;
const tables = {
  cycle: ({ scene }) => [`curves-${rpmOf(scene)}`, curveColumns(scene, number)],
  orders: ({ scene }) => [`orders-${rpmOf(scene)}`, orderColumns(scene)],
  "cycle-other": ({ reference }) => [
    `other-curves-${rpmOf(reference)}`,
    curveColumns(reference, number),
  ],
  "orders-other": ({ reference }) => [`other-orders-${rpmOf(reference)}`, orderColumns(reference)],
};
atButtons(
  "[data-table]",
  ({ dataset }) => tables[dataset.table] && keepTable(...tables[dataset.table](trainView)),
);
atButtons('[data-canvas="train"]', () => keepPicture("train", trainView.figure()));
atButtons("[data-file]", ({ dataset: { file } }) => keepFile(`${file}.csv`, report.files[file]));
atButtons("[data-picture]", keepFigure);
offerDesigns();
preparePaper();
placeFigures().then(() => {
  addFigureDialog(trainView.model, () => report.name);
  trainView.start();
});
