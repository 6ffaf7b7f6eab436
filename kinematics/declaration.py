"""What a design's field declares of itself, once: unit, bounds, slider, label, explanation."""

import dataclasses
import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

from kinematics.errors import DesignError
from kinematics.units import UNITS, Unit, as_shown, shown_unit

_LARGEST = 1e100
_SMALLEST = 1e-100  # nearer to zero than that, a quotient overflows


@dataclass(frozen=True, slots=True)
class Declaration:
    """A field's declaration; bounds and slider are in the display unit.

    `kind` is "number", "whole", "text", "choice" or "flag"; `many` marks a tuple of such values,
    and `optional` one that may be None.
    """

    label: str
    unit: Unit
    low: float = -math.inf
    high: float = math.inf
    slider: tuple[float, float, float] | None = None
    explanation: str = ""
    kind: str = "number"
    many: bool = False
    optional: bool = False
    choices: tuple[str, ...] = ()

    @property
    def quantity(self) -> str:
        """Physical quantity, as the unit names it."""
        return self.unit.quantity

    @property
    def allowed(self) -> str:
        """Allowed range in words."""
        if self.kind == "choice":
            return "one of " + ", ".join(self.choices)
        if self.kind == "text":
            return f"text of at most {self.high:.0f} characters"
        if self.kind == "flag":
            return "true or false"
        low = _inward(self.shown(self.low), math.ceil)
        high = _inward(self.shown(self.high), math.floor)
        return f"{low} to {high} {self.shown_unit.symbol}".rstrip()

    @property
    def shown_unit(self) -> Unit:
        """Unit in which people see the field now; a design file has it in `unit`."""
        return shown_unit(self.unit.key)

    def shown(self, value: float) -> float:
        """Return a value in `unit` as people see it now."""
        return as_shown(value, self.unit.key)


def _inward(bound: float, to: Callable[[float], int]) -> str:
    """Return a bound with 6 digits at most, so rounded that what is read is allowed."""
    if bound == 0 or not math.isfinite(bound) or float(f"{bound:g}") == bound:
        return f"{bound:g}"
    last = 10.0 ** (math.floor(math.log10(abs(bound))) - 5)
    return f"{to(bound / last) * last:g}"


def number(
    label: str,
    unit: str,
    low: float,
    high: float,
    *,
    slider: tuple[float, float, float] | None = None,
    why: str = "",
    many: bool = False,
    default: Any = dataclasses.MISSING,
) -> Any:
    """Declare a field that holds a number [SI], or a tuple of numbers if `many`."""
    return _field(
        Declaration(label, UNITS[unit], low, high, slider, why, "number", many, default is None),
        default,
    )


def whole(
    label: str,
    low: int,
    high: int,
    *,
    why: str = "",
    many: bool = False,
    default: Any = dataclasses.MISSING,
) -> Any:
    """Declare a field that holds a whole number, or a tuple of them if `many`."""
    return _field(Declaration(label, UNITS[""], low, high, None, why, "whole", many), default)


def text(
    label: str, longest: int, *, default: Any = dataclasses.MISSING, compare: bool = True
) -> Any:
    """Declare a field that holds text; one without `compare` makes no record another."""
    declared = Declaration(label, UNITS[""], 0, longest, kind="text", optional=default is None)
    return _field(declared, default, compare=compare)


def choice(
    label: str, choices: tuple[str, ...], *, why: str = "", default: Any = dataclasses.MISSING
) -> Any:
    """Declare a field that holds one of a few words."""
    declared = Declaration(
        label,
        UNITS[""],
        explanation=why,
        kind="choice",
        choices=choices,
        optional=default is None,
    )
    return _field(declared, default)


def flag(label: str, *, why: str = "", default: Any = dataclasses.MISSING) -> Any:
    """Declare a field that is true or false."""
    return _field(Declaration(label, UNITS[""], explanation=why, kind="flag"), default)


def _field(declared: Declaration, default: Any, *, compare: bool = True) -> Any:
    return dataclasses.field(default=default, compare=compare, metadata={"declaration": declared})


def declarations(record: Any) -> Iterator[tuple[str, str, Declaration]]:
    """Yield (attribute, key in the design file, declaration) of a record or its class."""
    for field in dataclasses.fields(record):
        declared = field.metadata.get("declaration")
        if declared is not None:
            suffix = declared.unit.key
            yield field.name, f"{field.name}_{suffix}" if suffix else field.name, declared


def check_record(record: Any, group: str) -> None:
    """Raise DesignError if a declared field of a record breaks its own declaration."""
    for attribute, key, declared in declarations(record):
        value = getattr(record, attribute)
        if value is None and declared.optional:
            continue
        path = f"{group}.{key}" if group else key
        if declared.many and not isinstance(value, tuple):
            raise DesignError(path, f"must be a list (got {shown(value)})")
        for entry in value if declared.many else (value,):
            _check_value(path, entry, declared)


def _check_value(path: str, value: Any, declared: Declaration) -> None:
    if declared.kind in ("text", "choice"):
        if not isinstance(value, str):
            raise DesignError(path, f"must be text (got {shown(value)})")
        if declared.kind == "choice" and value not in declared.choices:
            raise DesignError(path, f"must be {declared.allowed} (got {shown(value)})")
        if declared.kind == "text" and len(value) > declared.high:
            raise DesignError(path, f"must be {declared.allowed} (got {len(value)})")
        return
    if declared.kind == "flag":
        if not isinstance(value, bool):
            raise DesignError(path, f"must be {declared.allowed} (got {shown(value)})")
        return
    check_number(path, value, declared)
    display = declared.unit.from_si(value)
    if not declared.low <= display <= declared.high:
        got = f"{declared.shown(display):g} {declared.shown_unit.symbol}".rstrip()
        raise DesignError(path, f"must be {declared.allowed} (got {got})")


def check_number(path: str, value: Any, declared: Declaration) -> None:
    """Raise DesignError unless a value is a finite number of the declared kind, in any unit.

    A number all but zero is refused too, where zero is allowed.
    """
    wanted = int if declared.kind == "whole" else (int, float)
    if isinstance(value, bool) or not isinstance(value, wanted):
        word = "a whole number" if declared.kind == "whole" else "a number"
        raise DesignError(path, f"must be {word}, {declared.allowed} (got {shown(value)})")
    if not -_LARGEST < value < _LARGEST:
        raise DesignError(path, f"must be {declared.allowed} (got {shown(value)})")
    if 0 < abs(value) < _SMALLEST and declared.low <= 0 <= declared.high:
        raise DesignError(
            path, f"must be 0, or at least {_SMALLEST:g} away from it (got {shown(value)})"
        )


def shown(value: Any, longest: int = 40) -> str:
    """Return a value as an error message may show it: short, and never more than that."""
    try:
        words = repr(value)
    except ValueError:
        words = "a number with too many digits"
    except RecursionError:
        words = "a value nested too deeply"
    return words if len(words) <= longest else words[: longest - 1] + "…"
