"""A record in one line: its name, then numbers with units and arrays by their shapes."""

import dataclasses
from typing import Any, TypeVar, dataclass_transform

import numpy as np

from kinematics.units import UNITS

LONGEST = 200  # characters of a line
LONGEST_VALUE = 40
NEGLIGIBLE = 1e-9  # of the larger end of a range: rounding, told as 0
_Record = TypeVar("_Record")


def one_line(record: object, *parts: str) -> str:
    """Return "Name(part, part)" of a record, its parts or else its fields, 200 characters at most.

    A field that is declared has its unit; an array is told by its shape.
    """
    words = ", ".join(parts or _fields(record))
    name = type(record).__name__
    room = LONGEST - len(name) - 2
    return f"{name}({words if len(words) <= room else words[: room - 1] + '…'})"


def quantity(value: Any, key: str, digits: int = 4) -> str:
    """Return a value [SI] in words in a unit of `UNITS`; of an array, its least to its largest."""
    unit, found = UNITS[key], np.asarray(value, dtype=float)
    ends = [float(found)] if found.ndim == 0 else [float(found.min()), float(found.max())]
    least = NEGLIGIBLE * max(map(abs, ends))
    words = [_digits(unit.from_si(end if abs(end) > least else 0.0), digits) for end in ends]
    return f"{' to '.join(dict.fromkeys(words))} {unit.symbol}".rstrip()


def _digits(value: float, digits: int) -> str:
    """Return a number with so many significant digits, written out up to 10⁹."""
    return f"{float(f'{value:.{digits}g}'):.9g}"


@dataclass_transform(frozen_default=True, eq_default=False, field_specifiers=(dataclasses.field,))
def frozen_record(made: type[_Record]) -> type[_Record]:
    """Return a class as a frozen record of results: told in one line, equal to itself alone."""
    if "__repr__" not in vars(made):
        made.__repr__ = one_line  # type: ignore[method-assign]
    return dataclasses.dataclass(frozen=True, slots=True, eq=False)(made)


def _fields(record: Any) -> list[str]:
    return [
        f"{field.name} {_value(getattr(record, field.name), field)}"
        for field in dataclasses.fields(record)
    ]


def _value(value: Any, field: dataclasses.Field[Any]) -> str:
    declared = field.metadata.get("declaration")
    if isinstance(value, np.ndarray):
        return str(value.shape)
    if declared is not None and isinstance(value, int | float) and not isinstance(value, bool):
        return quantity(value, declared.unit.key, 6)
    if isinstance(value, float | np.floating):
        return f"{value:.4g}"
    if dataclasses.is_dataclass(value):
        return type(value).__name__
    if isinstance(value, tuple | list | dict) and len(value) > 3:
        return f"of {len(value)}"
    words = " ".join(repr(value).split())
    return words if len(words) <= LONGEST_VALUE else words[: LONGEST_VALUE - 1] + "…"
