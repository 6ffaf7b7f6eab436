"""The groups of a design by their key in the design file, and every entry of a data sheet.

An entry is a field of a group, or a column of a list of rows: "piston.assembly_mass_g",
"counterweight.unbalance_kg_mm".
"""

import dataclasses
import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np

from kinematics.declaration import Declaration, declarations
from kinematics.design.allowables import Limits
from kinematics.design.design import (
    Counterweight,
    Crank,
    Design,
    Layout,
)
from kinematics.design.design_bearings import BigEnd, MainBearing, Oil
from kinematics.design.design_firing import Firing
from kinematics.design.design_full_load import FullLoadRow
from kinematics.design.design_mechanism import Cylinder, Piston, Rod
from kinematics.design.design_origin import Origins
from kinematics.design.design_parts import (
    CrankMaterialChoice,
    CrankThrowSize,
    PistonPinSize,
    RodBolts,
    RodMaterial,
    RodShank,
    TopRing,
)
from kinematics.design.design_pressure import Pressure
from kinematics.design.design_shaft import ShaftSize
from kinematics.design.design_torsion import Torsion
from kinematics.design.own_criterion import OwnCriterion
from kinematics.errors import DesignError

RECORD_OF_GROUP: dict[str, Any] = {
    "layout": Layout,
    "cylinder": Cylinder,
    "piston": Piston,
    "rod": Rod,
    "crank": Crank,
    "pressure": Pressure,
    "firing": Firing,
    "big_end": BigEnd,
    "main_bearing": MainBearing,
    "oil": Oil,
    "piston_pin": PistonPinSize,
    "top_ring": TopRing,
    "rod_shank": RodShank,
    "rod_material": RodMaterial,
    "rod_bolts": RodBolts,
    "crank_throw": CrankThrowSize,
    "crank_material": CrankMaterialChoice,
    "shaft": ShaftSize,
    "torsion": Torsion,
    "limits": Limits,
}
ROW_LISTS: dict[str, tuple[str, Any]] = {  # of columns: the design's attribute, what a row is
    "counterweight": ("counterweights", Counterweight),
    "full_load": ("full_load", FullLoadRow),
}
TABLE_LISTS: dict[str, tuple[str, Any]] = {  # of all lists of tables in a file
    **ROW_LISTS,
    "criterion": ("criteria", OwnCriterion),
}
REQUIRED_GROUPS = {"layout", "cylinder", "piston", "rod", "crank", "pressure"}


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry of a data sheet; `default` is `dataclasses.MISSING` where it must be given."""

    key: str
    group: str
    attribute: str
    declared: Declaration
    default: Any
    is_column: bool = False

    def value(self, design: Design) -> Any:
        """Return the entry's value [SI], a tuple of a list; None where the design has none."""
        if self.is_column:
            rows = getattr(design, ROW_LISTS[self.group][0])
            values = tuple(getattr(row, self.attribute) for row in rows)
            return None if all(value is None for value in values) else values
        record = getattr(design, self.group)
        return None if record is None else getattr(record, self.attribute)

    def is_default(self, design: Design) -> bool:
        """Return whether a design leaves the entry at its default, or leaves it out."""
        value = self.value(design)
        values = value if self.is_column and value is not None else (value,)
        return value is None or all(map(self._is_the_default, values))

    def _is_the_default(self, value: Any) -> bool:
        if isinstance(value, float) and isinstance(self.default, (int, float)):
            return math.isclose(value, self.default, rel_tol=1e-9)  # a file has 12 digits
        return bool(value == self.default)


def _entries() -> Iterator[Entry]:
    columns = {group: record for group, (_, record) in ROW_LISTS.items()}
    for group, record in (RECORD_OF_GROUP | columns).items():
        defaults = {field.name: field.default for field in dataclasses.fields(record)}
        for attribute, key, declared in declarations(record):
            default, is_column = defaults[attribute], group in columns
            yield Entry(f"{group}.{key}", group, attribute, declared, default, is_column)


ENTRIES: Mapping[str, Entry] = {entry.key: entry for entry in _entries()}


def without_stale_origins(design: Design, before: Design) -> Design:
    """Return a design without the origins taken over from another for a value that is no longer.

    A mass that was measured and is then changed is measured no more.
    """
    origins = design.origins
    for key, origin in design.origins.items():
        entry = ENTRIES[key]
        if before.origins.get(key) == origin and entry.value(design) != entry.value(before):
            origins = origins.with_origin(key, None)
    return design if origins == design.origins else dataclasses.replace(design, origins=origins)


def is_removable(design: Design, group: str) -> bool:
    """Return whether a design has a part that it may do without: a group, or rows of a list."""
    if group in ROW_LISTS:
        return bool(getattr(design, ROW_LISTS[group][0]))
    left_out = {field.name for field in dataclasses.fields(Design) if field.default is None}
    return group in left_out & RECORD_OF_GROUP.keys() and getattr(design, group) is not None


def without_group(design: Design, group: str) -> Design:
    """Return a design without a part, and without the origins of its values.

    Raises DesignError where the design has no such part, or cannot do without it.
    """
    if not is_removable(design, group):
        raise DesignError(group[:40], "is no part that this design has and can do without")
    attribute, empty = (ROW_LISTS[group][0], ()) if group in ROW_LISTS else (group, None)
    kept = {key: own for key, own in design.origins.items() if ENTRIES[key].group != group}
    changed: dict[str, Any] = {attribute: empty, "origins": Origins(kept)}
    return dataclasses.replace(design, **changed)


def with_entries(design: Design, values: Mapping[str, Any]) -> Design:
    """Return a design with entries set to values [SI], all at once; None sets the default.

    A list's first column says which rows there are: those that were there stay with their other
    values, a new counterweight has no unbalance, a new row of the full-load curve lies on it.

    Raises DesignError if an entry has no default, or the design is not allowed.
    """
    by_group: dict[str, dict[str, Any]] = {}
    for key, value in values.items():
        entry = ENTRIES[key]
        if value is None and entry.default is dataclasses.MISSING and not entry.is_column:
            raise DesignError(key, f"must be given; it must be {entry.declared.allowed}")
        by_group.setdefault(entry.group, {})[entry.attribute] = value
    changed: dict[str, Any] = {}
    for group, fields in by_group.items():
        if group in ROW_LISTS:
            attribute, _ = ROW_LISTS[group]
            changed[attribute] = _with_columns(group, getattr(design, attribute), fields)
            continue
        record = design.needed(group, "this value")
        defaults = {field.name: field.default for field in dataclasses.fields(record)}
        settled = {name: defaults[name] if value is None else value
                   for name, value in fields.items()}  # fmt: skip
        changed[group] = dataclasses.replace(record, **settled)
    return dataclasses.replace(design, **changed)


def _with_columns(group: str, rows: tuple[Any, ...], columns: dict[str, Any]) -> tuple[Any, ...]:
    record = ROW_LISTS[group][1]
    first, *_ = (attribute for attribute, _, _ in declarations(record))
    if first in columns:
        new = _same_webs if group == "counterweight" else _same_curve
        rows = new(rows, columns[first] or ())
    for attribute, key, _ in declarations(record):
        values = columns.get(attribute, ())
        if attribute not in columns or attribute == first:
            continue
        if values is None:
            default = {field.name: field.default for field in dataclasses.fields(record)}[attribute]
            values = (None if default is dataclasses.MISSING else default,) * len(rows)
        if len(values) != len(rows):
            raise DesignError(
                f"{group}.{key}", f"must have one value per row, {len(rows)} (got {len(values)})"
            )
        rows = tuple(
            dataclasses.replace(row, **{attribute: value})
            for row, value in zip(rows, values, strict=True)
        )
    return rows


def _same_webs(rows: tuple[Counterweight, ...], webs: tuple[int, ...]) -> tuple[Any, ...]:
    left = list(rows)
    made = []
    for web in webs:
        found = next((row for row in left if row.web == web), None)
        if found is not None:
            left.remove(found)
        made.append(found or Counterweight(web, 0.0))
    return tuple(made)


def _same_curve(rows: tuple[FullLoadRow, ...], speeds: tuple[float, ...]) -> tuple[Any, ...]:
    if not rows:
        return tuple(FullLoadRow(speed, 1.0) for speed in speeds)
    known = [row.speed for row in rows]
    peak, load, intake = (
        np.interp(speeds, known, [getattr(row, name) for row in rows]).tolist()
        for name in ("peak", "load", "intake")
    )
    return tuple(FullLoadRow(*values) for values in zip(speeds, peak, load, intake, strict=True))
