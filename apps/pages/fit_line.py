"""The line of fit for a page and its list: what the checks found, where each control stands."""

import json
from collections.abc import Callable, Collection
from typing import Any

from apps.controls import controls, film_controls, limit_controls, shaft_controls
from apps.failures import plain_words
from apps.page_registry import BEARINGS, CRANK_TRAIN, DATA_SHEET, LIMITS, SHAFT
from kinematics import Design
from kinematics.design.design_groups import ENTRIES
from viz.fit.fit_board import fit_line, fit_rows
from viz.number_words import unbroken

_PLACES = (
    (CRANK_TRAIN, controls.GROUPS),
    (SHAFT, shaft_controls.GROUPS),
    (LIMITS, limit_controls.GROUPS),
    (BEARINGS, film_controls.GROUPS),
)


def line_text(design: Design, own: Collection[str]) -> str:
    """Return the line as JSON; empty, and logged, where a check itself is at fault.

    `own` are the keys of the page's controls. `page` is the label of the page of a field's control,
    the data sheet where it has none, empty for this page, null for what is no field.
    """
    return _text(lambda: _placed(fit_line(design), own))


def rows_text(design: Design, own: Collection[str]) -> str:
    """Return a row for each check as JSON, each placed as the line is."""
    return _text(lambda: [_placed(row, own) for row in fit_rows(design)])


def _text(made: Callable[[], Any]) -> str:
    try:
        return unbroken(json.dumps(made(), ensure_ascii=False))
    except Exception as error:  # no fault of a check may take a change of the design with it
        plain_words(error)
        return ""


def _placed(message: dict[str, Any], own: Collection[str]) -> dict[str, Any]:
    key = message["field"]
    if key in own:
        return message | {"page": ""}
    places = (page.label for page, groups in _PLACES for _, _, keys in groups if key in keys)
    return message | {"page": next(places, DATA_SHEET.label if key in ENTRIES else None)}
