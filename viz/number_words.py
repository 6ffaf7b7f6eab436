"""Numbers as people read them: significant digits, thin spaces, a true minus sign."""

import math
from typing import Any

from kinematics.array import Array
from kinematics.units import shown_unit

THIN_SPACE = "\u2009"
UNBROKEN_THIN_SPACE = "\u202f"  # at which no line breaks
MISSING = "–"
PUT_IN_DIGITS = 5
_SUPERSCRIPT = str.maketrans("-0123456789", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹")


def format_number(value: float, digits: int = 3) -> str:
    """Return a number with that many significant digits, thin spaces and a true minus sign."""
    if not math.isfinite(value):
        return MISSING
    mantissa, _, power = f"{value:.{digits - 1}e}".partition("e")
    exponent = int(power)
    if float(mantissa) == 0:
        return "0"
    if not -6 < exponent < 10:
        text = f"{mantissa}·10{str(exponent).translate(_SUPERSCRIPT)}"
    else:
        rounded = float(f"{mantissa}e{power}")
        text = f"{rounded:,.{max(digits - 1 - exponent, 0)}f}".replace(",", THIN_SPACE)
    return text.replace("-", "−")


def put(value: float, *, beside: float = 0.0) -> str:
    """Return a value as it is put into a formula; 0 if it is rounding beside another value."""
    if abs(value) <= max(1e-12, 1e-12 * abs(beside)):
        return "0"
    text = format_number(value, PUT_IN_DIGITS)
    if "." in text and "·" not in text:
        text = text.rstrip("0").rstrip(".")
    return f"({text})" if value < 0 or "·" in text else text


def signed(value: float, size: str) -> str:
    """Return a size in words with the sign of a value, a true minus, none for zero."""
    return f"+{size}" if value > 0 else f"−{size}" if value < 0 else size


def capitalised(words: str) -> str:
    """Return words with a capital first letter, all else as it is."""
    return words[:1].upper() + words[1:]


def unbroken(words: str) -> str:
    """Return words whose numbers do not break at the end of a line."""
    return words.replace(THIN_SPACE, UNBROKEN_THIN_SPACE)


def measured(value: float, key: str, digits: int = 3) -> str:
    """Return a value [SI] with its unit as shown now; `key` is of UNITS."""
    unit = shown_unit(key)
    return f"{format_number(unit.from_si(value), digits)} {unit.symbol}".rstrip()


def axis(words: str, key: str) -> str:
    """Return an axis's label: what it shows, and the unit."""
    return f"{words}, {shown_unit(key).symbol}"


def as_drawn(values: Array | float, key: str) -> Any:
    """Return values [SI] in the unit shown now, of the same shape."""
    return shown_unit(key).array_from_si(values)  # type: ignore[arg-type]
