"""The line of fit for a page: what the checks found, and where each control stands."""

import json
from collections.abc import Collection

from apps.controls import controls, film_controls, limit_controls, shaft_controls
from apps.failures import plain_words
from apps.page_registry import BEARINGS, CRANK_TRAIN, LIMITS, SHAFT
from kinematics import Design
from viz.fit.fit_board import fit_message
from viz.number_words import unbroken

_PLACES = (
    (CRANK_TRAIN, controls.GROUPS),
    (SHAFT, shaft_controls.GROUPS),
    (LIMITS, limit_controls.GROUPS),
    (BEARINGS, film_controls.GROUPS),
)


def fit_text(design: Design, own: Collection[str]) -> str:
    """Return the line and its list as JSON; empty, and logged, where a check itself is at fault.

    `own` are the keys of the page's controls. `page` is the label of the page of a field's control,
    empty for this page, null for none.
    """
    try:
        message = fit_message(design)
    except Exception as error:  # no fault of a check may take a change of the design with it
        plain_words(error)
        return ""
    places = {row["field"]: _place(row["field"], own) for row in message["rows"]}
    rows = [row | {"page": places[row["field"]]} for row in message["rows"]]
    found = message | {"rows": rows, "page": places.get(message["field"])}
    return unbroken(json.dumps(found, ensure_ascii=False))


def _place(key: str, own: Collection[str]) -> str | None:
    if key in own:
        return ""
    for page, groups in _PLACES:
        if any(key in keys for _, _, keys in groups):
            return page.label
    return None
