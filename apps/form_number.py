"""Numbers that a form in the browser sends: told apart from all else, and held to their range."""

import math
from typing import Any

from kinematics import DesignError
from kinematics.units import in_words, shown_unit

MOST_WHOLE = 2**53  # larger whole numbers no browser sends


def form_number(asked: dict[str, Any], name: str, unit: str, low: float, high: float) -> float:
    """Return a form's field [SI], which came in the unit shown; `low` and `high` [SI] are allowed.

    Raises DesignError that says what was found and what is allowed.
    """
    value, shown = asked.get(name), math.nan
    if type(value) is float or (type(value) is int and abs(value) < MOST_WHOLE):
        shown = float(value)
    if not math.isfinite(shown):
        raise DesignError(name, f"found {_found(value)}; {_allowed(unit, low, high)}")
    size = shown_unit(unit).to_si(shown)
    if not low <= size <= high * (1 + 1e-9):
        found = f"{shown:.6g} {shown_unit(unit).symbol}".rstrip()
        raise DesignError(name, f"found {found}; {_allowed(unit, low, high)}")
    return size


def form_whole(asked: dict[str, Any], name: str, low: int, high: int) -> int:
    """Return a whole number of a form; raises DesignError as `form_number`."""
    value = form_number(asked, name, "", low, high)
    if value != int(value):
        raise DesignError(name, f"found {value:g}; {_allowed('', low, high)}, whole")
    return int(value)


def form_choice(asked: dict[str, Any], name: str, allowed: tuple[str, ...]) -> str:
    """Return one of the words allowed; raises DesignError that lists them for any other."""
    value = asked.get(name)
    if not isinstance(value, str) or value not in allowed:
        raise DesignError(name, f"found {_found(value)}; allowed are {', '.join(allowed)}")
    return value


def _found(value: Any) -> str:
    """Return what came in a few words."""
    if type(value) is int and abs(value) >= MOST_WHOLE:
        return "a huge number"
    return "nothing" if value is None or value == "" else repr(value)[:30]


def _allowed(unit: str, low: float, high: float) -> str:
    ends = (in_words(end, unit, 6) if unit else f"{end:.0f}" for end in (low, high))
    return f"allowed is {' to '.join(ends)}"
