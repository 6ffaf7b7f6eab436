"""One field of a design by its key as in the design file: found, and changed."""

import dataclasses
from typing import Any

from kinematics.declaration import Declaration, check_number, declarations
from kinematics.design.design import Design
from kinematics.design.design_groups import TABLE_LISTS
from kinematics.errors import DesignError, nearest

_ATTRIBUTES = {key: attribute for key, (attribute, _) in TABLE_LISTS.items()}
_KEYS = {attribute: key for key, attribute in _ATTRIBUTES.items()}  # in the file


def find_field(design: Design, key: str) -> tuple[Any, str, Declaration] | None:
    """Return (record, attribute, declaration) that a key such as "cylinder.bore_mm" names.

    Of a list of records the key names the row too, from 1: "full_load.2.peak_percent". None where
    the design has no such field.
    """
    group, _, name = key.partition(".")
    record = getattr(design, _attribute(group), None) if name else None
    if isinstance(record, tuple):
        row, _, name = name.partition(".")
        record = record[int(row) - 1] if row in map(str, range(1, len(record) + 1)) else None
    if dataclasses.is_dataclass(record):
        for attribute, file_key, declared in declarations(record):
            if file_key == name:
                return record, attribute, declared
    return None


def _attribute(group: str) -> str:
    """Return the attribute of a design for a group's key in the design file."""
    return _ATTRIBUTES.get(group, "" if group in _KEYS else group)


def group_field(design: Design, key: str) -> tuple[Any, str, Declaration]:
    """Return (record, attribute, declaration) of a key; raises DesignError if it names none."""
    found = find_field(design, key)
    if found is not None:
        return found
    group = key.partition(".")[0]
    keys = field_keys(design)
    known = [field for field in keys if field.startswith(f"{group}.")] or keys
    raise DesignError(key[:80], f"there is no such field in this design; {nearest(key, known)}")


def field_keys(design: Design) -> list[str]:
    """Return the keys of all fields that a design has, as in the design file, by definition."""
    found = []
    for group in dataclasses.fields(design):
        record = getattr(design, group.name)
        file_key = _KEYS.get(group.name, group.name)
        rows = (
            {f"{file_key}.{row}": entry for row, entry in enumerate(record, 1)}
            if isinstance(record, tuple)
            else {group.name: record}
        )
        for name, item in rows.items():
            if dataclasses.is_dataclass(item):
                found += [f"{name}.{key}" for _, key, _ in declarations(item)]
    return found


def with_value(design: Design, key: str, shown: Any) -> Design:
    """Return the design with one field changed to a value in its display unit.

    Parameters
    ----------
    key : group and field as in the design file, "cylinder.bore_mm"
    shown : the value in the unit that the key ends in

    Returns
    -------
    The new design; the one given is unchanged.

    Raises DesignError if the field is unknown or the new design is not allowed.

    >>> from kinematics import load_demo, with_value
    >>> longer = with_value(load_demo("hill_climb_six"), "cylinder.rod_length_mm", 155)
    >>> longer.cylinder.rod_length
    0.155
    """
    record, attribute, declared = group_field(design, key)
    if declared.kind == "number" and not declared.many:
        check_number(key, shown, declared)
        shown = declared.unit.to_si(shown)
    group, name = key.split(".")[:2]
    group = _attribute(group)
    whole = getattr(design, group)
    try:
        changed = dataclasses.replace(record, **{attribute: shown})
    except DesignError as error:  # a record does not know which row of a list it is
        in_row = isinstance(whole, tuple)
        raise DesignError(key if in_row else error.field, error.message) from None
    if isinstance(whole, tuple):
        row = int(name)
        changed = (*whole[: row - 1], changed, *whole[row:])
    return dataclasses.replace(design, **{group: changed})
