"""The inputs of a design in words, group by group, each with where it is known from."""

import dataclasses
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from kinematics.declaration import Declaration, declarations
from kinematics.design.allowables import DEFAULTS
from kinematics.design.design import Counterweight, Design
from kinematics.design.design_full_load import FullLoadRow
from kinematics.design.design_groups import ENTRIES
from kinematics.design.design_origin import DEFAULT
from kinematics.design.field_default import default_in_force
from kinematics.design.own_criterion import OwnCriterion
from kinematics.design.shaft_throw import settled_counterweights
from kinematics.mechanics.pressure_trace import PressureTrace
from viz.compare.compared_inputs import part_words
from viz.limits.own_views import own_words
from viz.number_words import format_short, join_unit, short_with_unit

NOT_GIVEN = "not given"
GIVEN = "given"


@dataclass(frozen=True, slots=True)
class Input:
    """One field of a design as it is read: label, value in words, unit, where it is known from."""

    key: str
    label: str
    value: str
    unit: str
    origin: str = ""

    @property
    def words(self) -> str:
        """Value and unit."""
        return self.value if self.value == NOT_GIVEN else join_unit(self.value, self.unit)


@dataclass(frozen=True, slots=True)
class InputGroup:
    """The fields of one group; one that the design has not is empty."""

    title: str
    inputs: tuple[Input, ...]


def input_groups(design: Design) -> tuple[InputGroup, ...]:
    """Return every field of a design, group by group in the order of the record."""
    groups = [InputGroup("Design", tuple(_heads(design)))]
    for field in dataclasses.fields(design):
        value = getattr(design, field.name)
        if field.metadata.get("declaration") is not None or field.name == "origins":
            continue
        if field.name == "counterweights":
            origin = _origin(design, "counterweight.unbalance_kg_mm")
            settled = settled_counterweights(design)
            weights = tuple(_counterweight(weight, origin) for weight in settled)
            groups.append(InputGroup("Counterweights", weights))
        elif field.name == "full_load":
            if value:
                origin = _origin(design, "full_load.peak_percent")
                rows = tuple(_full_load_row(*row, origin) for row in enumerate(value, 1))
                groups.append(InputGroup("Full-load curve", rows))
        elif field.name == "criteria":
            if value:
                rows = tuple(_own_criterion(*row) for row in enumerate(value, 1))
                groups.append(InputGroup("Own criteria", rows))
        else:
            groups.append(InputGroup(group_title(field.name), _group(design, field.name)))
    return tuple(groups)


def group_title(name: str) -> str:
    """Return what a group of a design is called."""
    return "Allowables" if name == "limits" else part_words(name)


def _group(design: Design, name: str) -> tuple[Input, ...]:
    record = getattr(design, name)
    if record is None:
        return ()
    fields = tuple(_fields(design, name))
    trace = getattr(record, "trace", None)
    return (*fields, _trace(trace)) if trace is not None else fields


def _heads(design: Design) -> Iterator[Input]:
    """Yield what a design says of itself: name, note, revision, author, date."""
    for attribute, key, declared in declarations(design):
        words = getattr(design, attribute) or NOT_GIVEN
        yield Input(key, declared.label, words, declared.shown_unit.symbol)


def _fields(design: Design, group: str) -> Iterator[Input]:
    """Yield the fields of a group; one that is left out with the default that is in force."""
    record = getattr(design, group)
    for attribute, key, declared in declarations(record):
        path, value = f"{group}.{key}", getattr(record, attribute)
        if value is None:
            value = default_in_force(design, group, attribute)
        given = value not in (None, "")
        words, origin = (
            (_words(value, declared), _origin(design, path)) if given else (NOT_GIVEN, "")
        )
        yield Input(path, declared.label, words, declared.shown_unit.symbol, origin)


def _origin(design: Design, key: str) -> str:
    """Return where a value is known from, in words: its own origin, or that of its default."""
    if key in design.origins:
        return design.origins[key].text
    entry = ENTRIES[key]
    if not entry.is_default(design):
        return GIVEN
    sources: dict[str, str] = {name: origin.words for name, (_, origin) in DEFAULTS.items()}
    source = sources.get(entry.attribute) if entry.group == "limits" else None
    return f"{DEFAULT}: {source}" if source else DEFAULT


def _words(value: Any, declared: Declaration) -> str:
    if declared.many:
        return ", ".join(_one(each, declared) for each in value)
    return _one(value, declared)


def _one(value: Any, declared: Declaration) -> str:
    if declared.kind == "number":
        return format_short(declared.shown_unit.from_si(value), 9)
    return str(value).replace("_", " ") if declared.kind == "choice" else str(value)


def _own_criterion(row: int, own: OwnCriterion) -> Input:
    return Input(f"criterion.{row}", own.name, own_words(own), "", own.source)


def _counterweight(weight: Counterweight, origin: str) -> Input:
    assert weight.unbalance is not None  # it is settled
    unbalance = short_with_unit(weight.unbalance, "kg_mm", 9)
    words = f"{unbalance} at {short_with_unit(weight.angle, 'deg', 9)}"
    return Input(f"counterweight.{weight.web}", f"On web {weight.web}", words, "", origin)


def _full_load_row(place: int, row: FullLoadRow, origin: str) -> Input:
    words = ", ".join(
        f"{name} {short_with_unit(getattr(row, name), 'percent', 9)}"
        for name in ("peak", "intake", "load")
    )
    return Input(
        f"full_load.{place}", f"At {short_with_unit(row.speed, 'rpm', 9)}", words, "", origin
    )


def _trace(trace: PressureTrace) -> Input:
    low, high = (short_with_unit(end, "bar", 4) for end in trace.extremes)
    own = f"{len(trace.courses)} cylinders, " if trace.others else ""
    words = f"{own}{len(trace.crank_angle)} points, {low} to {high}"
    if trace.highest:
        highest = short_with_unit(trace.of_highest_cycle.extremes[1], "bar", 4)
        words += f" in the mean cycle, {highest} in the highest"
    return Input("pressure.trace", "Measured trace", words, "")
