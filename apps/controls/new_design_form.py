"""The form of a new design: what it asks for, in the units shown, and the design that it makes."""

import dataclasses
from typing import Any

from apps.controls.form_number import form_choice, form_number
from kinematics import Design, DesignError
from kinematics.declaration import Declaration, declarations
from kinematics.design.group_by_rules import like
from kinematics.design.new_design import NewDesign
from kinematics.design.rules_of_thumb import design_by_rules

FIELDS = {key: (attribute, declared) for attribute, key, declared in declarations(NewDesign)}
DIGITS = 6


def new_design_fields(design: Design) -> list[dict[str, Any]]:
    """Return the fields of the form in their order, filled as the design that is open."""
    try:
        start = like(design)
    except DesignError:
        start = None
    return [_field(key, attribute, declared, start)
            for key, (attribute, declared) in FIELDS.items()]  # fmt: skip


def _field(
    key: str, attribute: str, declared: Declaration, start: NewDesign | None
) -> dict[str, Any]:
    value: Any = "" if start is None else getattr(start, attribute)
    if declared.kind == "number" and start is not None:
        value = f"{declared.shown_unit.from_si(value):.{DIGITS}g}"
    return {
        "key": key,
        "label": declared.label,
        "unit": declared.shown_unit.symbol,
        "choices": list(declared.choices),
        "range": "" if declared.choices else declared.allowed,
        "value": value,
    }


def design_asked_for(asked: Any) -> tuple[Design | None, dict[str, str]]:
    """Return the new design that a form asks for, or None and what is wrong by field.

    What belongs to no field stands under "".
    """
    form = asked if isinstance(asked, dict) else {}
    values, problems = {}, {}
    for key, (attribute, declared) in FIELDS.items():
        try:
            values[attribute] = _value(form, key, declared)
        except DesignError as error:
            problems[key] = error.message
    if problems:
        return None, problems
    try:
        return _titled(NewDesign(**values)), {}
    except DesignError as error:
        key = error.field if error.field in FIELDS else ""
        return None, {key: error.message if key else str(error)}


def _value(form: dict[str, Any], key: str, declared: Declaration) -> Any:
    if declared.kind == "choice":
        return form_choice(form, key, declared.choices)
    low, high = (declared.unit.to_si(end) for end in (declared.low, declared.high))
    return form_number(form, key, declared.unit.key, low, high)


def _titled(new: NewDesign) -> Design:
    design = design_by_rules(new, f"New {new.application} {new.layout}")
    note = "By rules of thumb from seven inputs: a start to work on, no proof of anything."
    return dataclasses.replace(design, note=note)
