"""The inputs of a design in words, group by group."""

import dataclasses
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from kinematics.declaration import Declaration, declarations
from kinematics.design.design import Counterweight, Design
from kinematics.design.design_full_load import FullLoadRow
from kinematics.design.shaft_throw import settled_counterweights
from kinematics.mechanics.pressure_trace import PressureTrace
from viz.compare.compared_inputs import part_words
from viz.number_words import format_short, short_with_unit

NOT_GIVEN = "not given"
BY_DEFAULT = "by default"


@dataclass(frozen=True, slots=True)
class Input:
    """One field of a design as it is read: what it is called, its value in words, its unit."""

    key: str
    label: str
    value: str
    unit: str

    @property
    def words(self) -> str:
        """Value and unit."""
        return self.value if self.value in (NOT_GIVEN, BY_DEFAULT) else f"{self.value} {self.unit}"


@dataclass(frozen=True, slots=True)
class InputGroup:
    """The fields of one group; one that the design has not is empty."""

    title: str
    inputs: tuple[Input, ...]


def input_groups(design: Design) -> tuple[InputGroup, ...]:
    """Return every field of a design, group by group in the order of the record."""
    groups = [InputGroup("Design", tuple(_fields(design, "")))]
    for field in dataclasses.fields(design):
        value = getattr(design, field.name)
        if field.metadata.get("declaration") is not None or field.name == "origins":
            continue
        if field.name == "counterweights":
            weights = tuple(map(_counterweight, settled_counterweights(design)))
            groups.append(InputGroup("Counterweights", weights))
        elif field.name == "full_load":
            if value:
                rows = tuple(_full_load_row(place, record) for place, record in enumerate(value, 1))
                groups.append(InputGroup("Full-load curve", rows))
        else:
            groups.append(InputGroup(group_title(field.name), _group(value, field.name)))
    return tuple(groups)


def group_title(name: str) -> str:
    """Return what a group of a design is called."""
    return "Allowables given" if name == "limits" else part_words(name)


def _group(record: Any, name: str) -> tuple[Input, ...]:
    if record is None:
        return ()
    fields = tuple(_fields(record, f"{name}."))
    trace = getattr(record, "trace", None)
    return (*fields, _trace(trace)) if trace is not None else fields


def _fields(record: Any, path: str) -> Iterator[Input]:
    for attribute, key, declared in declarations(record):
        missing = BY_DEFAULT if path == "limits." else NOT_GIVEN
        value = getattr(record, attribute)
        words = missing if value in (None, "") else _words(value, declared)
        yield Input(f"{path}{key}", declared.label, words, declared.shown_unit.symbol)


def _words(value: Any, declared: Declaration) -> str:
    if declared.many:
        return ", ".join(_one(each, declared) for each in value)
    return _one(value, declared)


def _one(value: Any, declared: Declaration) -> str:
    if declared.kind == "number":
        return format_short(declared.shown_unit.from_si(value), 9)
    return str(value).replace("_", " ") if declared.kind == "choice" else str(value)


def _counterweight(weight: Counterweight) -> Input:
    assert weight.unbalance is not None  # it is settled
    unbalance = short_with_unit(weight.unbalance, "kg_mm", 9)
    words = f"{unbalance} at {short_with_unit(weight.angle, 'deg', 9)}"
    return Input(f"counterweight.{weight.web}", f"On web {weight.web}", words, "")


def _full_load_row(place: int, row: FullLoadRow) -> Input:
    words = ", ".join(
        f"{name} {short_with_unit(getattr(row, name), 'percent', 9)}"
        for name in ("peak", "intake", "load")
    )
    return Input(f"full_load.{place}", f"At {short_with_unit(row.speed, 'rpm', 9)}", words, "")


def _trace(trace: PressureTrace) -> Input:
    low, high = (
        short_with_unit(end, "bar", 4) for end in (min(trace.pressure), max(trace.pressure))
    )
    words = f"{len(trace.pressure)} points, {low} to {high}"
    return Input("pressure.trace", "Measured trace", words, "")
