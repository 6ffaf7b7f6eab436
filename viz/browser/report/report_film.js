/* The oil films of a report with their files; they stand still until the reader plays them. */

import { FilmView } from "../film/film_view.js";
import { curveColumns, keepTable } from "./report_curves.js";
import {
  atButtons,
  feedUnseen,
  keepKeysWithin,
  keepPicture,
  placeOf,
  report,
  restOutOfSight,
  StandIn,
} from "./report_part.js";

const film = placeOf("film", report.film.styles);
const filmView = new FilmView(new StandIn(report.film));
film.inner.append(filmView.node);
filmView.time.playAtFirst = () => {};
keepKeysWithin(filmView, film.host);
restOutOfSight(filmView, film.host);
feedUnseen(filmView);
filmView.start();

const bearingName = (shown) => (index) => shown.bearings[index].key;
const filmTables = {
  films: () => ["films", curveColumns(filmView.film, bearingName(filmView.film))],
  "films-other": () => [
    "films-other",
    curveColumns(filmView.reference, bearingName(filmView.reference)),
  ],
};
atButtons(
  "[data-table]",
  ({ dataset }) => filmTables[dataset.table] && keepTable(...filmTables[dataset.table]()),
);
atButtons('[data-canvas="film"]', ({ dataset }) => {
  const picture = filmView.pictures[Number(dataset.index)];
  keepPicture(picture.canvas.dataset.picture, picture.figure());
});
