"""The form of a design's own criteria: what it lists, and the criterion that it asks for."""

import dataclasses
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from apps.controls.form_number import form_number
from kinematics import Design, DesignError
from kinematics.design.design_file import clean_text
from kinematics.design.own_criterion import RESULT_UNITS, OwnCriterion, check_criteria
from kinematics.limits.named_results import INPUTS, RESULTS
from kinematics.limits.own_criteria import OwnParts, check_own, own_criterion
from kinematics.train.cycle import rigid_train
from kinematics.units import UNITS
from viz.compare.compared_inputs import part_words
from viz.limits.own_views import own_words
from viz.number_words import format_number, with_unit
from viz.speed_words import rpm_text

TEXTS = ("name", "expression", "source", "unit")
LONGEST_TYPED = 2000
VALID = OwnCriterion("valid", "speed", 1.0, "valid")  # in which each field is tried by itself


@dataclass(frozen=True, slots=True)
class AskedFor:
    """What a form asks for: all criteria with its own among them, else what is wrong by field."""

    criteria: tuple[OwnCriterion, ...] = ()
    own: OwnCriterion | None = None
    problems: dict[str, str] = field(default_factory=dict)


def listed_criteria(design: Design) -> list[dict[str, Any]]:
    """Return the criteria of a design's own as the form lists them, each with its fields."""
    return [dataclasses.asdict(own) | {"words": own_words(own)} for own in design.criteria]


def listed_names() -> list[tuple[str, str, str]]:
    """Return name, what it is, and the symbol of its unit of all that an expression may hold."""
    results = [
        (name, result.label, UNITS[result.criterion.unit].symbol)
        for name, result in RESULTS.items()
    ]
    inputs = [
        (name, f"{part_words(entry.group)}, {entry.declared.label.lower()}",
         entry.declared.unit.symbol)
        for name, entry in INPUTS.items()
    ]  # fmt: skip
    return results + inputs


def listed_units() -> list[tuple[str, str]]:
    """Return key and symbol of the units that a result may have; none comes first."""
    return [("", "plain number"), *((key, UNITS[key].symbol) for key in RESULT_UNITS if key)]


def criteria_asked_for(design: Design, asked: Any) -> AskedFor:
    """Return the criteria of a design with the one that a form asks for, or what is wrong.

    The form's `index` is the place of the one that it changes, -1 for a new one.
    """
    form = asked if isinstance(asked, dict) else {}
    values, problems = _fields(form)
    if problems:
        return AskedFor(problems=problems)
    own, place = OwnCriterion(**values), _place(form, len(design.criteria))
    criteria = (*design.criteria[:place], own, *design.criteria[place + 1 :])
    try:
        check_own(own)
        check_criteria(criteria)
    except DesignError as error:
        key = error.field.rpartition(".")[2]
        return AskedFor(problems={key if key in values else "": error.message})
    return AskedFor(criteria, own)


def _place(form: dict[str, Any], count: int) -> int:
    index = form.get("index")
    return index if type(index) is int and 0 <= index < count else count


def _fields(form: dict[str, Any]) -> tuple[dict[str, Any], dict[str, str]]:
    """Return the values of a form's fields, and what is wrong with each."""
    values: dict[str, Any] = {"at_least": form.get("at_least") is True}
    problems: dict[str, str] = {}
    for name in TEXTS:
        values[name] = clean_text(str(form.get(name) or ""), LONGEST_TYPED).strip()
    try:
        values["allowable"] = form_number(form, "allowable", "", 1e-9, 1e9)
    except DesignError as error:
        problems["allowable"] = error.message
    for name, value in values.items():
        try:
            tried = dataclasses.replace(VALID, **{name: value})
            if name == "expression":
                check_own(tried)
        except DesignError as error:
            problems[name] = error.message
    return values, problems


def preview(design: Design, own: OwnCriterion) -> str:
    """Return what a criterion comes to at a design's rated speed, or why it cannot be had."""
    criterion, rated = own_criterion(own, 1), design.layout.rated_speed
    parts = OwnParts(rigid_train(design))
    try:
        value = float(criterion.value(parts, np.array([rated]))[0])
    except DesignError as error:
        return f"It will not be assessed in this design: {error}"
    if np.isnan(value):
        return f"It has no value at the rated speed, {rpm_text(rated)}: it will not be assessed."
    use = criterion.use(np.array([value]), criterion.allowable(parts).value)[0]
    return (
        f"At the rated speed, {rpm_text(rated)}: {with_unit(value, own.unit, 4)}, "
        f"{format_number(100 * float(use), 3)} % of the allowable used."
    )
