"""The checks of fit in words: the line beside every page, and the rows of its list."""

from collections.abc import Sequence
from typing import Any

from kinematics.design.design import Design
from kinematics.design.design_field import find_field
from kinematics.fit.fit_check import CLOSE, DOES_NOT_FIT, NOT_CHECKED, FitCheck
from kinematics.fit.fit_checks import fit_checks
from viz.number_words import short_with_unit

DIGITS = 4
_ORDER = {DOES_NOT_FIT: 0, CLOSE: 1, NOT_CHECKED: 2}  # as read; what fits comes last


def fit_line(design: Design) -> dict[str, Any]:
    """Return the line of a design: words, whether all fits, the control of what does not."""
    checks = fit_checks(design)
    first = next((check for check in checks if check.outcome == DOES_NOT_FIT), None)
    return {
        "line": line_words(checks),
        "fits": first is None,
        "field": first.field if first else "",
        "label": _label(design, first.field) if first else "",
    }


def fit_rows(design: Design) -> list[dict[str, Any]]:
    """Return a row for each check of a design, what does not fit first."""
    checks = sorted(fit_checks(design), key=lambda check: _ORDER.get(check.outcome, len(_ORDER)))
    return [_row(design, check) for check in checks]


def line_words(checks: Sequence[FitCheck]) -> str:
    """Return what the checks found in one line."""
    count = {
        outcome: sum(check.outcome == outcome for check in checks)
        for outcome in (DOES_NOT_FIT, CLOSE, NOT_CHECKED)
    }
    if count[DOES_NOT_FIT]:
        first = next(check.brief for check in checks if check.outcome == DOES_NOT_FIT)
        more = count[DOES_NOT_FIT] - 1
        return f"Does not fit: {first}" + (f" (and {more} more)" if more else "")
    checked = len(checks) - count[NOT_CHECKED]
    words = [f"{checked} check{'s' if checked != 1 else ''}"]
    words += [f"{count[outcome]} {outcome}" for outcome in (CLOSE, NOT_CHECKED) if count[outcome]]
    return f"Fits: {', '.join(words)}"


def _row(design: Design, check: FitCheck) -> dict[str, Any]:
    question = check.question
    return {
        "key": check.key,
        "what": question.what,
        "outcome": check.outcome,
        "sentence": check.sentence,
        "value": _value(check.value, question.unit),
        "bound": _bound(check),
        "formula": question.formula,
        "values": check.values,
        "source": question.source,
        "field": check.field,
        "label": _label(design, check.field),
    }


def _value(value: float | None, unit: str) -> str:
    return "" if value is None else short_with_unit(value, unit, DIGITS)


def _bound(check: FitCheck) -> str:
    """Return the bound with its sense."""
    if check.bound is None:
        return ""
    sense = "at least" if check.at_least else "at most"
    return f"{sense} {_value(check.bound, check.question.unit)}"


def _label(design: Design, key: str) -> str:
    """Return what people call the field of a key, the key where there is no such field."""
    if key == "counterweight":
        return "Counterweights"
    found = find_field(design, key)
    return found[2].label if found else key
