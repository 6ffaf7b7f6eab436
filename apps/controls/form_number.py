"""Numbers that people type, read by one rule; `viz/browser/shared/typed_number.js` follows it too.

- A point is always a decimal mark, for the program itself writes points. So is a comma, but for
  one after one to three digits (no leading zero) with just three behind it: 1,234 may mean two
  numbers and is rejected.
- Where both marks stand, the last is the decimal mark, and the other must group by threes.
- Spaces (thin and no-break ones too) may group digits by threes; a true minus is a minus; an
  exponent follows e or E. Two commas, two points and all else are rejected.

`tests/apps/numbers_as_typed.json` holds texts with what both must read. Empty boxes and ranges are
the business of `form_number`.
"""

import math
import re
from decimal import Decimal
from typing import Any

from kinematics import DesignError
from kinematics.units import shown_unit
from viz.number_words import join_unit

MOST_WHOLE = 2**53  # larger whole numbers no browser sends
END_DIGITS = 10  # of the ends of a range
MOST_QUOTED = 30  # characters of what was typed in a message
_SPACES = " \u00a0\u2007\u2009\u202f"
_EDGES = "\t\n\r" + _SPACES
_TYPED = re.compile(rf"([+-]?)([0-9.,{_SPACES}]+)([eE][+-]?[0-9]+)?")
_WHOLE = re.compile(rf"[0-9]*|[1-9][0-9]{{0,2}}(?:[{_SPACES}][0-9]{{3}})+")
_PART = re.compile(rf"[0-9]*|[0-9]{{3}}(?:[{_SPACES}][0-9]{{3}})*[{_SPACES}][0-9]{{1,3}}")
_GROUPED = {
    mark: re.compile(rf"[1-9][0-9]{{0,2}}(?:{re.escape(mark)}[0-9]{{3}})+") for mark in ".,"
}


def typed_number(text: str) -> float:
    """Return the number that a text means; raises DesignError that says how to write it."""
    typed = _TYPED.fullmatch(text.strip(_EDGES).replace("−", "-"))
    parted = _parted(typed[2]) if typed else None
    if typed is None or parted is None:
        raise DesignError("", f"must be a number such as 1234.5 (got {_quoted(text)})")
    sign, power = typed[1], typed[3] or ""
    whole, part, is_unclear = parted
    if is_unclear:
        ways = f"{sign}{whole}.{part}{power} or {sign}{whole}{part}{power}"
        raise DesignError("", f"must be written {ways} (got {_quoted(text)})")
    value = float(f"{sign}{whole or 0}.{part or 0}{power}")
    if not math.isfinite(value):
        raise DesignError("", f"must be a finite number (got {_quoted(text)})")
    return value


def _parted(digits: str) -> tuple[str, str, bool] | None:
    """Return digits before and after the decimal mark, and whether that may group instead."""
    mark, other = (",", ".") if digits.rfind(",") > digits.rfind(".") else (".", ",")
    whole, found, part = digits.rpartition(mark)
    if not found:
        whole, part = digits, ""
    if other in whole:
        is_right = _GROUPED[other].fullmatch(whole) and re.fullmatch("[0-9]*", part)
        return (whole.replace(other, ""), part, False) if is_right else None
    if not _WHOLE.fullmatch(whole) or not _PART.fullmatch(part) or not whole + part:
        return None
    three = re.fullmatch("[1-9][0-9]{0,2}", whole) and re.fullmatch("[0-9]{3}", part)
    plain_whole, plain_part = (re.sub("[^0-9]", "", group) for group in (whole, part))
    return plain_whole, plain_part, mark == "," and bool(three)


def form_number(asked: dict[str, Any], name: str, unit: str, low: float, high: float) -> float:
    """Return a form's field [SI], which came in the unit shown; `low` and `high` [SI] are allowed.

    Raises DesignError that says what is allowed and what was found.
    """
    value, shown = asked.get(name), math.nan
    if isinstance(value, str) and value.strip(_EDGES):
        shown = _typed_in(name, value)
    elif type(value) is float or (type(value) is int and abs(value) < MOST_WHOLE):
        shown = float(value)
    if not math.isfinite(shown):
        raise DesignError(name, f"must be {_ends(unit, low, high)} (got {_found(value)})")
    size = shown_unit(unit).to_si(shown)
    if not low <= size <= high * (1 + 1e-9):
        found = join_unit(f"{shown:.6g}", shown_unit(unit).symbol)
        raise DesignError(name, f"must be {_ends(unit, low, high)} (got {found})")
    return size


def _typed_in(name: str, text: str) -> float:
    try:
        return typed_number(text)
    except DesignError as error:
        raise DesignError(name, error.message) from None


def form_whole(asked: dict[str, Any], name: str, low: int, high: int) -> int:
    """Return a whole number of a form; raises DesignError as `form_number`."""
    value = form_number(asked, name, "", low, high)
    if value != int(value):
        raise DesignError(name, f"must be a whole number, {_ends('', low, high)} (got {value:g})")
    return int(value)


def form_choice(asked: dict[str, Any], name: str, allowed: tuple[str, ...]) -> str:
    """Return one of the words allowed; raises DesignError that lists them for any other."""
    value = asked.get(name)
    if not isinstance(value, str) or value not in allowed:
        raise DesignError(name, f"must be one of {', '.join(allowed)} (got {_found(value)})")
    return value


def _quoted(text: str) -> str:
    return f'"{text[:MOST_QUOTED]}{"…" if len(text) > MOST_QUOTED else ""}"'


def _found(value: Any) -> str:
    """Return what came in a few words."""
    if type(value) is int and abs(value) >= MOST_WHOLE:
        return "a huge number"
    is_empty = value is None or (isinstance(value, str) and not value.strip(_EDGES))
    return "nothing" if is_empty else repr(value)[:MOST_QUOTED]


def _ends(unit: str, low: float, high: float) -> str:
    """Return the allowed range [SI] as one would type it, with its unit."""
    own = shown_unit(unit)
    ends = (format(Decimal(f"{own.from_si(end):.{END_DIGITS}g}"), "f") for end in (low, high))
    return join_unit(" to ".join(ends), own.symbol)
