"""The bearings page: the oil film of every big end and main, and what would thicken it."""

import json
from typing import Any

import numpy as np

from apps.background_task import BackgroundTask
from apps.components.charts import FilmCharts
from apps.components.film_survey import FilmSurvey
from apps.components.film_table import FilmTable
from apps.components.film_view import FilmView
from apps.components.number_board import NumberBoard
from apps.controls.film_controls import GROUPS
from apps.file_stem import file_stem
from apps.page_registry import BEARINGS
from apps.pages.design_page import (
    DesignPage,
)
from apps.pages.page_template import PageTemplate
from apps.shown_numbers import reference_words, shown_number
from apps.state import AppState
from kinematics import Design, DesignError
from kinematics.design.allowables import allowable
from kinematics.film.film_survey import LOADS, survey_by_load
from kinematics.film.film_survey import FilmSurvey as Survey
from viz.chart import Chart
from viz.film.film_board import table_csv, table_message
from viz.film.film_charts import film_charts, film_curves, shape_chart, survey_chart
from viz.film.film_numbers import film_numbers
from viz.film.film_scene import film_bytes
from viz.film.shown_films import LIMITS, ShownBearing, ShownFilms
from viz.placed import placed
from viz.train.main_number import MainNumber

HEADLINES = (
    "least_film", "edge_film", "peak_film_pressure", "specific_load", "film_temperature",
    "oil_feed", "loss", "quiet_shell",
)  # fmt: skip


class BearingsPage(DesignPage):
    """Orbits, films and pressures of all bearings; keeps the last good films."""

    entry = BEARINGS
    groups = GROUPS

    def __init__(self, state: AppState) -> None:
        super().__init__(state)
        self.curves = list(placed(film_curves).values())
        self.chart_places = placed(film_charts)
        self.charts = FilmCharts()
        self.film = FilmView(
            self.handle_message,
            feeds=[picture.feed for picture in self.curves],
            sizing_mode="stretch_both",
        )
        self.table = FilmTable(self.handle_message, sizing_mode="stretch_both")
        self.survey = FilmSurvey(self.handle_message, sizing_mode="stretch_width")
        self.numbers = NumberBoard(sizing_mode="stretch_width")
        self._shown: ShownFilms | None = None
        self._reference: ShownFilms | None = None
        self._of_reference: tuple[ShownFilms | None, str, dict[str, MainNumber]] = (None, "", {})
        self._surveyed: Design | None = None
        self._surveys = BackgroundTask()
        self.show_films()
        state.param.watch(lambda *_: self.show_films(), ["cycle"])
        state.param.watch(lambda *_: self.show_reference(), ["reference"])

    def template(self) -> PageTemplate:
        """Return the page with everything in its place."""
        return PageTemplate(
            "film/bearings",
            {
                "bar": self.bar,
                "controls": self.controls,
                "numbers": self.numbers,
                "film": self.film,
                "table": self.table,
                "survey": self.survey,
                "charts": self.charts,
            },
            [*self.curves, *self.chart_places.values()],
            curves=self.curves,
            survey=self.chart_places["film_survey"],
            shape=self.chart_places["film_shape"],
        )

    def handle_message(self, message: dict[str, Any]) -> None:
        """Do what the browser asks for."""
        kind, shown = message.get("kind"), self._shown
        if kind == "pick" and shown and shown.bearing(str(message.get("key"))[:80]):
            self._pick(str(message["key"]))
        elif kind == "table" and shown:
            name = f"{file_stem(self.state.design.name)}-bearings.csv"
            self.bar.offer_file(name, table_csv(shown))
        elif kind == "survey" and message.get("of") in LIMITS:
            self._start_survey(str(message["of"]), message.get("serial"))
        elif kind == "cancel":
            self._surveys.stop()
            self._end_survey(message.get("serial"), "The map was cancelled.")

    def show_films(self) -> None:
        """Show the films of a new cycle; where they cannot be had, say why and keep the last."""
        try:
            shown = ShownFilms(self.state.cycle)
        except DesignError as error:
            self.state.message = (f"The films are unchanged. {error}", True)
            return
        self._shown = shown
        self.film.blob = film_bytes(shown)
        self.table.table = json.dumps(table_message(shown))
        if self.state.design != self._surveyed:
            self.survey.stale = True
            if self._surveyed is not None:
                self.survey.words = "The map shows the design before the last change."
        kept = shown.bearing(self.film.selected)
        self._pick(self.film.selected if kept else shown.sorted[0].key)

    def show_reference(self) -> None:
        """Send or take back the reference design's films; one without bearings has none."""
        reference = self.state.reference
        try:
            self._reference = None if reference is None else ShownFilms(reference)
        except DesignError:
            self._reference = None
        self.film.reference_blob = (
            np.zeros(0, np.uint8) if self._reference is None else film_bytes(self._reference)
        )
        self.numbers.reference = reference_words(reference)
        self._show_numbers()

    @property
    def selected(self) -> ShownBearing | None:
        """The bearing that is selected."""
        return self._shown.bearing(self.film.selected) if self._shown else None

    @property
    def selected_key(self) -> str:
        """The key of the bearing that is selected."""
        return self.film.selected if self._shown else ""

    def _pick(self, key: str) -> None:
        self.film.selected = self.table.selected = key
        self._show_numbers()
        if self.selected:
            self._draw_shape(shape_chart(self.selected))

    def _draw_shape(self, chart: Chart) -> None:
        self.charts.draw(film_shape=chart)
        self.survey.shape_title = chart.title

    def _show_numbers(self) -> None:
        if self.selected is None:
            return
        reference = self._reference_numbers(self.film.selected)
        shown = [
            shown_number(number, reference.get(key), key in HEADLINES)
            for key, number in _by_key(self.selected).items()
        ]
        self.numbers.numbers = json.dumps(shown)

    def _reference_numbers(self, key: str) -> dict[str, MainNumber]:
        """Return the reference design's numbers of a bearing, made once and not at each move."""
        if self._of_reference[:2] != (self._reference, key):
            bearing = self._reference.bearing(key) if self._reference else None
            self._of_reference = (self._reference, key, {} if bearing is None else _by_key(bearing))
        return self._of_reference[2]

    def _start_survey(self, kind: str, serial: Any) -> None:
        """Compute the map of a kind beside the page, load by load, or say why there is none."""
        design = self.state.design
        self.survey.words = f"0 of {LOADS} loads"

        def show(survey: Survey) -> None:
            if design != self.state.design:
                self._surveys.stop()
                self._end_survey(serial, "The design has changed: this map was cancelled.")
            elif len(survey.load) < LOADS:
                self.survey.words = f"{len(survey.load)} of {LOADS} loads"
            else:
                self._show_survey(survey, kind, design)
                self._end_survey(
                    serial, "Minimum film thickness over the cycle, all bearings of this kind."
                )

        self._surveys.start(
            survey_by_load(design), show, lambda error: self._end_survey(serial, str(error))
        )

    def _end_survey(self, serial: Any, words: str) -> None:
        answered = serial if isinstance(serial, int) else self.survey.answered
        self.survey.param.update(words=words, answered=answered)

    def _show_survey(self, survey: Survey, kind: str, design: Design) -> None:
        """Draw a whole map."""
        allowed = allowable(design.limits, LIMITS[kind]).value
        now = (self.state.cycle.speed, design.pressure.load)
        chart = survey_chart(survey, kind, allowed, now)
        self.charts.draw(film_survey=chart)
        self._surveyed = design
        self.survey.param.update(stale=False, kind=kind, title=chart.title)


def _by_key(bearing: ShownBearing) -> dict[str, MainNumber]:
    return {number.key: number for number in film_numbers(bearing)}
