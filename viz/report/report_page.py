"""A design review as one HTML text that needs no network and no server.

Every text from a design goes through the template's escaping or into JSON without a "<"; scripts
run only where the page's own policy names their hash, and nothing may be loaded from anywhere.
"""

import base64
import hashlib
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from bokeh.resources import Resources
from jinja2 import Environment, StrictUndefined
from markupsafe import Markup

from kinematics.units import shown_system, shown_units
from viz.browser import bundle, plain_script, script_json, text
from viz.compare.comparison_table import CHANGE_RULE
from viz.film.film_board import table_message
from viz.film.film_charts import film_curves
from viz.firing_words import firing_words
from viz.limits.limit_board import CAUTION, ladder_message
from viz.limits.margin_table import TABLE, margin_rows, rungs_by_part
from viz.number_words import unbroken
from viz.placed import placed
from viz.report.carried import CARRIED, CarriedDesign, carried
from viz.report.report_attribution import attributed
from viz.report.report_data import report_charts, report_data
from viz.report.report_fit import CHAPTER as FIT
from viz.report.report_fit import fit_section
from viz.report.report_front import FIRST_RULE, MOVED_RULE, front_numbers, open_points
from viz.report.report_inputs import input_groups
from viz.report.report_sources import LEFT_OUT, origins, sources
from viz.report.reviewed import Reviewed
from viz.report.stated_numbers import MARGIN_KEYS, tables_against
from viz.review.answer_words import answer, answer_verdict
from viz.train.train_pictures import train_pictures

TRAIN_SCRIPT = "report/report_train.js"
FILM_SCRIPT = "report/report_film.js"
LADDER_SCRIPT = "report/report_ladder.js"


@dataclass(frozen=True, slots=True)
class Issue:
    """Which issue of a report it is: the day it was made, the program's version, the question."""

    date: str
    version: str
    question: str = ""


def report_page(this: Reviewed, other: Reviewed | None, issue: Issue) -> str:
    """Return the report of a design, against another if there is one, as HTML."""
    train = tuple(placed(train_pictures).values())
    film = tuple(placed(film_curves).values()) if this.films else ()
    charts = report_charts(this, other)
    theme, scripts = plain_script("shared/theme.js"), _scripts(this)
    tables = tables_against(other, this) if other else ()
    return _template().render(
        styles=Markup(text("shared/page.css") + text("report/report.css")),
        theme=Markup(theme),
        units=_as_json({"system": shown_system(), **shown_units()}),
        scripts=[Markup(script) for script in scripts],
        policy=_policy([theme, *scripts]),
        data=_as_json(report_data(this, other, train, film, charts)),
        carried_id=CARRIED,
        carried=_as_json(carried(this, other, tables, issue.version)),
        this=this,
        other=other,
        designs=_designs(this, other),
        issue=issue,
        caution=CAUTION,
        firing=firing_words(this.design),
        train=train,
        film=film,
        charts=charts,
        chapters=_chapters(this, other),
        answer_verdict=answer_verdict(this.ladder),
        answer=answer(this.ladder, other.ladder if other else None),
        front_numbers=front_numbers(this, tables),
        front_rule=MOVED_RULE if other else FIRST_RULE,
        points=open_points(this, other),
        verdict=ladder_message(this.ladder, None, ""),
        fit=fit_section(this.design),
        margin_heads=TABLE,
        margin_keys=MARGIN_KEYS,
        margins=list(zip(rungs_by_part(this.ladder), margin_rows(this.ladder), strict=True)),
        sheets=this.sheets,
        film_table=table_message(this.films) if this.films else None,
        inputs=input_groups(this.design),
        tables=tables,
        attributed=attributed(this, other) if other else None,
        change_rule=CHANGE_RULE,
        left_out=LEFT_OUT,
        sources=sources((*this.numbers, *this.film_numbers), this.ladder),
        origins=origins(this.ladder),
    )


def _scripts(this: Reviewed) -> list[str]:
    """Return the scripts that the page runs, after the one of its theme."""
    scripts = [bokeh_script(), plain_script("shared/tick_labels.js"), bundle(TRAIN_SCRIPT)]
    if this.films:
        scripts.append(bundle(FILM_SCRIPT))
    if this.ladder.rungs:
        scripts.append(bundle(LADDER_SCRIPT))
    return scripts


def _designs(this: Reviewed, other: Reviewed | None) -> list[tuple[str, str, CarriedDesign]]:
    """Return the designs that the report carries: side, what it is called, the design."""
    found = [("this", "B" if other else "Design", CarriedDesign.of(this.design))]
    return found + ([("other", "A", CarriedDesign.of(other.design))] if other else [])


def _chapters(this: Reviewed, other: Reviewed | None) -> list[tuple[str, str]]:
    """Return the table of contents: id and title."""
    found = [("verdict", "Answer"), ("ladder", "Ladder")]
    if other is not None:
        found.append(("comparison", "Comparison"))
    found += [FIT, ("train", "Crank train"), ("films", "Oil films"), ("margins", "Margins")]
    found += [("formulas", "Formulas"), ("inputs", "Inputs")]
    if this.missing:
        found.append(("missing", "What is missing"))
    return [*found, ("left-out", "What is left out"), ("sources", "Sources")]


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
