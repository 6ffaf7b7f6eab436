"""A design review as one HTML text that needs no network and no server.

Every text from a design goes through the template's escaping or into JSON without a "<"; scripts
run only where the page's own policy names their hash, and nothing may be loaded from anywhere.
"""

import base64
import hashlib
import json
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Any

import numpy as np
from bokeh.resources import Resources
from jinja2 import Environment, StrictUndefined
from markupsafe import Markup

from kinematics.errors import DesignError
from kinematics.limits.speed_limits import Ladder, speed_limits
from kinematics.train.cycle import Cycle
from kinematics.units import UNITS, shown_system, shown_units
from viz.browser import bundle, plain_script, script_json, text
from viz.chart import Chart
from viz.chart_figure import chart_picture, draw
from viz.compare.comparison import compared
from viz.compare.comparison_table import CHANGE_RULE, comparison_message
from viz.film.film_board import table_csv, table_message
from viz.film.film_charts import film_curves, shape_chart
from viz.film.film_numbers import film_numbers
from viz.film.film_scene import film_bytes
from viz.film.shown_films import ShownFilms
from viz.firing_words import firing_words
from viz.limits.criterion_views import full_name
from viz.limits.limit_board import CAUTION, ladder_message, sheet_messages
from viz.limits.limit_charts import rung_charts
from viz.limits.margin_table import TABLE, margin_rows, margin_table_csv
from viz.limits.rung_marks import band_message
from viz.number_words import unbroken
from viz.placed import Placed, placed
from viz.report.report_inputs import input_groups
from viz.report.report_sources import LEFT_OUT, origins, sources
from viz.speed_words import rpm_text
from viz.train.main_number import MainNumber
from viz.train.main_numbers import main_numbers
from viz.train.scene import scene_bytes
from viz.train.train_pictures import train_pictures

TRAIN_SCRIPT = "report/report_train.js"
FILM_SCRIPT = "report/report_film.js"
LADDER_SCRIPT = "report/report_ladder.js"


@dataclass(frozen=True, slots=True)
class Issue:
    """Which issue of a report it is: the day it was made, the program's version."""

    date: str
    version: str


class Reviewed:
    """A solved design with all that a report says of it; what it lacks is said in words."""

    def __init__(self, cycle: Cycle) -> None:
        self.cycle = cycle
        self.design = cycle.design
        self.numbers = main_numbers(cycle)
        self.ladder: Ladder = speed_limits(cycle.design)
        self.no_films = ""
        self.films: ShownFilms | None = None
        try:
            self.films = ShownFilms(cycle)
        except DesignError as error:
            self.no_films = str(error)

    @property
    def speed_text(self) -> str:
        """The speed in rpm, with its unit."""
        return rpm_text(self.cycle.speed)

    @cached_property
    def film_numbers(self) -> tuple[MainNumber, ...]:
        """The numbers of the bearing nearest its allowable film."""
        return film_numbers(self.films.sorted[0]) if self.films else ()

    @property
    def missing(self) -> list[tuple[str, str]]:
        """What cannot be said of the design, and why."""
        found = [
            (number.label, number.substitution)
            for number in self.numbers
            if not np.isfinite(number.value)
        ]
        if self.no_films:
            found.append(("Oil films", self.no_films))
        return found + [
            (full_name(absent.criterion), str(absent.why)) for absent in self.ladder.unjudged
        ]


def report_page(this: Reviewed, other: Reviewed | None, issue: Issue) -> str:
    """Return the report of a design, against another if there is one, as HTML."""
    train = tuple(placed(train_pictures).values())
    film = tuple(placed(film_curves).values()) if this.films else ()
    charts = _charts(this, other)
    scripts = [bokeh_script(), plain_script("shared/tick_labels.js"), bundle(TRAIN_SCRIPT)]
    if this.films:
        scripts.append(bundle(FILM_SCRIPT))
    if this.ladder.rungs:
        scripts.append(bundle(LADDER_SCRIPT))
    theme = plain_script("shared/theme.js")
    return _template().render(
        styles=Markup(text("shared/page.css") + text("report/report.css")),
        theme=Markup(theme),
        units=_as_json({"system": shown_system(), **shown_units()}),
        scripts=[Markup(script) for script in scripts],
        policy=_policy([theme, *scripts]),
        data=_as_json(_data(this, other, train, film, charts)),
        this=this,
        other=other,
        issue=issue,
        caution=CAUTION,
        firing=firing_words(this.design),
        train=train,
        film=film,
        charts=charts,
        chapters=_chapters(this, other),
        verdict=ladder_message(this.ladder, None, ""),
        margin_heads=TABLE,
        margins=margin_rows(this.ladder),
        sheets=[
            sheet | {"band": band_message(this.ladder, this.ladder[sheet["key"]])}
            for sheet in sheet_messages(this.ladder)
        ],
        film_table=table_message(this.films) if this.films else None,
        inputs=input_groups(this.design),
        comparison=_comparison(other, this) if other else None,
        change_rule=CHANGE_RULE,
        left_out=LEFT_OUT,
        sources=sources((*this.numbers, *this.film_numbers), this.ladder),
        origins=origins(this.ladder),
    )


def _chapters(this: Reviewed, other: Reviewed | None) -> list[tuple[str, str]]:
    """Return the table of contents: id and title."""
    found = [("verdict", "Verdict"), ("numbers", "Main numbers"), ("train", "Moving train")]
    found += [("films", "Oil films"), ("margins", "Margins")]
    if other is not None:
        found.append(("comparison", "Comparison"))
    found.append(("inputs", "Inputs"))
    if this.missing:
        found.append(("missing", "What is missing"))
    return [*found, ("left-out", "What is left out"), ("sources", "Sources")]


def _comparison(other: Reviewed, this: Reviewed) -> dict[str, Any]:
    """Return the tables of the comparison page, without the rows that are the same in both."""
    speed = UNITS["rpm"].from_si(this.cycle.speed)
    message = comparison_message(compared(other.design, this.design, speed))
    tables = [_differing(table) for table in (*message["views"], message["limits"])]
    return message | {"tables": tables}


def _differing(table: dict[str, Any]) -> dict[str, Any]:
    """Return a table's rows that differ, and how many are the same."""
    rows = [row for row in table["rows"] if row["size"] != 0]
    return table | {"rows": rows, "same": len(table["rows"]) - len(rows)}


def _charts(this: Reviewed, other: Reviewed | None) -> list[Placed]:
    """Return the charts that are drawn beforehand."""
    found = []
    if this.ladder.rungs:
        key = this.ladder.rungs[0].criterion.key
        charts = rung_charts(this.ladder, key, other.ladder if other else None)
        charts.pop("limit_polar", None)  # a polar chart asks for scripts of its own
        found += [_drawn(name, chart) for name, chart in charts.items()]
    if this.films:
        found.append(_drawn("film_shape", shape_chart(this.films.sorted[0])))
    return found


def _drawn(name: str, chart: Chart) -> Placed:
    """Return a figure with a chart in it, under the chart's title."""
    picture = chart_picture(name, chart.title)
    draw(picture, chart)
    return Placed.of(picture)


def _data(
    this: Reviewed,
    other: Reviewed | None,
    train: tuple[Placed, ...],
    film: tuple[Placed, ...],
    charts: list[Placed],
) -> dict[str, Any]:
    """Return what the page's scripts read."""
    data: dict[str, Any] = {
        "name": this.design.name,
        "rpm": UNITS["rpm"].from_si(this.cycle.speed),
        "figures": [figure.item for figure in (*train, *film, *charts)],
        "train": _part(scene_bytes(this.cycle), other and scene_bytes(other.cycle), train)
        | {"speed": this.cycle.speed, "styles": _styles("train/train_view.css")},
        "film": None,
        "ladder": _ladder(this, other),
        "files": {"margins": margin_table_csv(this.ladder)},
    }
    if this.films:
        before = film_bytes(other.films) if other and other.films else None
        data["film"] = _part(film_bytes(this.films), before, film)
        data["film"] |= {
            "selected": this.films.sorted[0].key,
            "styles": _styles("film/film_view.css"),
        }
        data["files"]["bearings"] = table_csv(this.films)
    return data


def _ladder(this: Reviewed, other: Reviewed | None) -> dict[str, Any]:
    words = f"{other.design.name} at {other.speed_text}" if other else ""
    message = ladder_message(this.ladder, other.ladder if other else None, words)
    ladder = json.dumps(message | {"name": this.design.name})
    return {"ladder": ladder, "selected": "", "styles": _styles("limits/ladder.css")}


def _part(blob: Any, reference: Any, figures: tuple[Placed, ...]) -> dict[str, Any]:
    return {
        "blob": _base64(blob),
        "reference_blob": "" if reference is None else _base64(reference),
        "feeds": [figure.feed for figure in figures],
    }


def _styles(name: str) -> str:
    return text("shared/base.css") + text(name) + text("report/report_part.css")


def _base64(message: Any) -> str:
    return base64.b64encode(message.tobytes()).decode("ascii")


def _as_json(data: dict[str, Any]) -> Markup:
    return Markup(script_json(data))


@lru_cache(maxsize=1)
def bokeh_script() -> str:
    """Return BokehJS, as much of it as the figures need."""
    return Resources(mode="inline", components=["bokeh"]).js_raw[0]


def _policy(scripts: list[str]) -> str:
    """Return the page's policy: its own scripts by their hashes, its own pictures, nothing else."""
    hashes = " ".join(
        f"'sha256-{base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()}'"
        for script in scripts
    )
    return (
        f"default-src 'none'; script-src {hashes}; style-src 'unsafe-inline'; "
        "img-src data: blob:; base-uri 'none'; form-action 'none'"
    )


def _unbroken(value: Any) -> Any:
    """Return a text with spaces in its numbers at which no line breaks."""
    return unbroken(value) if type(value) is str else value


@lru_cache(maxsize=1)
def _template() -> Any:
    environment = Environment(
        autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True,
        finalize=_unbroken,
    )  # fmt: skip
    return environment.from_string(text("report/report.html"))
