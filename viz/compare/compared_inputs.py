"""The inputs of a design as rows that stand beside another design's."""

import dataclasses
from typing import Any

from kinematics.declaration import Declaration, declarations
from kinematics.design.design import Design
from kinematics.design.field_default import default_in_force
from kinematics.design.own_criterion import OwnCriterion
from kinematics.design.shaft_throw import settled_counterweights
from viz.compare.compared_row import Entries, Entry, Side
from viz.limits.own_views import own_words
from viz.number_words import format_short, join_unit

DIGITS = 4  # of an input
MOST_LISTED = 6  # of a list's values that are shown
BY_DEFAULT = " by default"
OWN_CRITERIA = "Own criteria"


def inputs_of(design: Design, other: Design) -> Entries:
    """Return the inputs of a design; a group that the other design has not is one row."""
    found: Entries = {}
    for field in dataclasses.fields(Design):
        group, record = field.name, getattr(design, field.name)
        if group == "counterweights":
            found |= _counterweights(settled_counterweights(design))
        elif group == "full_load":
            found |= _full_load(record)
        elif group == "criteria":
            found |= _own_criteria(record)
        elif dataclasses.is_dataclass(record):
            if getattr(other, group) is None:
                found[group] = _whole_group(group, record)
            else:
                found |= _group(group, record, design, getattr(other, group))
    return found


def _own_criteria(rows: tuple[OwnCriterion, ...]) -> Entries:
    """Return the criteria of a design's own, each one row by its name."""
    return {
        f"criterion.{own.key}": Entry(
            OWN_CRITERIA, own.name, "", Side((), f"{own_words(own)}; {own.source}")
        )
        for own in rows
    }


def part_words(group: str) -> str:
    """Return the name of a design's group in words."""
    if group == "criteria":
        return OWN_CRITERIA
    return group.replace("_", " ").capitalize()


def _whole_group(group: str, record: Any) -> Entry:
    count = sum(getattr(record, attribute) is not None for attribute, _, _ in declarations(record))
    return Entry(part_words(group), "all of it", "", Side((), f"{count} values given"))


def _group(group: str, record: Any, design: Design, other: Any) -> Entries:
    found = {}
    for attribute, key, declared in declarations(record):
        value, mark = getattr(record, attribute), ""
        if value is None and getattr(other, attribute) is not None:
            value, mark = default_in_force(design, group, attribute), BY_DEFAULT
        if value is not None:
            side = _side(value, declared)
            found[f"{group}.{key}"] = Entry(
                part_words(group),
                declared.label,
                declared.shown_unit.symbol,
                dataclasses.replace(side, text=side.text + mark),
            )
    trace = getattr(record, "trace", None)
    if trace is not None:
        courses = (*trace.courses, *trace.highest)
        points = tuple(float(value) for course in courses for value in course)
        name = record.file or "inside the design"
        own = f"{len(trace.courses)} cylinders, " if trace.others else ""
        highest = ", mean and highest cycle" if trace.highest else ""
        found[f"{group}.trace"] = Entry(
            part_words(group),
            "Pressure trace",
            "",
            Side(points, f"{name}, {own}{len(trace.crank_angle)} points{highest}"),
        )
    return found


def _side(value: Any, declared: Declaration) -> Side:
    """Return a field's value in its display unit, and in words; orders of things are words."""
    many = tuple(value) if declared.many else (value,)
    if declared.kind in ("text", "choice"):
        return Side((), ", ".join(str(entry).replace("_", " ") for entry in many))
    if declared.kind == "whole":
        text = "-".join(str(entry) for entry in many)
        return Side((), text) if declared.many else Side((float(value),), text)
    unit = declared.shown_unit
    return _numbers(tuple(map(unit.from_si, many)), unit.symbol)


def _numbers(values: tuple[float, ...], unit: str) -> Side:
    text = ", ".join(_plain(value) for value in values[:MOST_LISTED])
    if len(values) > MOST_LISTED:
        text += f" … ({len(values)})"
    return Side(values, join_unit(text, unit))


def _plain(value: float) -> str:
    """Return a number with the digits that it needs, `DIGITS` at most, whole numbers whole."""
    digits = max(DIGITS, len(f"{abs(value):.0f}"))
    return format_short(value, digits)


def _full_load(rows: tuple[Any, ...]) -> Entries:
    """Return a full-load curve as one list for each of its columns."""
    return _columns(rows, "full_load", "Full-load curve") if rows else {}


def _counterweights(weights: tuple[Any, ...]) -> Entries:
    """Return all counterweights as three lists, from the front."""
    return _columns(weights, "counterweight", "Counterweights") if weights else {}


def _columns(rows: tuple[Any, ...], group: str, part: str) -> Entries:
    """Return one list for each field of some records."""
    found = {}
    for attribute, key, declared in declarations(rows[0]):
        values = [getattr(row, attribute) for row in rows]
        if None in values:
            continue  # a size that is left out
        side = _side(values, dataclasses.replace(declared, many=True))
        found[f"{group}.{key}"] = Entry(part, declared.label, declared.shown_unit.symbol, side)
    return found
