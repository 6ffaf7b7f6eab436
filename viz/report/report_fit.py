"""The report's section on fit: the line, and a table of all checks."""

from functools import lru_cache
from typing import Any

from jinja2 import Environment, StrictUndefined
from markupsafe import Markup

from kinematics.design.design import Design
from viz.browser import text
from viz.fit.fit_board import fit_line, fit_rows
from viz.number_words import unbroken

CHAPTER = ("fit", "Does it fit")  # id and title
HEADS = ("Check", "Found", "Value", "Bound", "In words", "Formula and values", "Source")
STATES = {"fits": "within", "close": "marginal", "does not fit": "marginal", "not checked": "muted"}


def fit_section(design: Design) -> Markup:
    """Return the section of a design as HTML; every text in it is escaped."""
    section = _template().render(
        fit=fit_line(design), rows=fit_rows(design), chapter=CHAPTER, heads=HEADS, states=STATES
    )
    return Markup(section)


@lru_cache(maxsize=1)
def _template() -> Any:
    environment = Environment(
        autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True,
        finalize=lambda value: unbroken(value) if type(value) is str else value,
    )  # fmt: skip
    return environment.from_string(text("report/report_fit.html"))
