"""Numbers as people read them. The rule, which `viz/browser/shared/number_words.js` follows too:

- A number is first taken as a decimal of seven significant digits, which is what the browser's
  single-precision rows carry, and then rounded to the digits wanted (three unless said
  otherwise). Both times a tie goes away from zero, as on paper: 12.35 reads 12.4.
- From 0.00001 to below 10¹⁰ it is written out, beyond that as a mantissa and a power of ten.
- A point parts the decimals, thin spaces group the whole digits by threes from 1 000 on, the
  minus is a true one, zero (and minus zero) is 0, and what is not finite is a dash.
- The unit follows after a space, a degree sign without one.

`tests/viz/numbers_as_read.csv` holds values with the texts that both must give.
"""

import math
from decimal import ROUND_HALF_UP, Context, Decimal
from typing import Any

from kinematics.array import Array
from kinematics.units import shown_unit

THIN_SPACE = "\u2009"
UNBROKEN_THIN_SPACE = "\u202f"  # at which no line breaks
MISSING = "–"
PUT_IN_DIGITS = 5
WRITTEN_WHOLE = 1e15  # from which on a whole number has digits that mean nothing
_SINGLE_DIGITS = 7  # what a single-precision number carries
_SUPERSCRIPT = str.maketrans("-0123456789", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹")


def format_number(value: float, digits: int = 3) -> str:
    """Return a number with that many significant digits, thin spaces and a true minus sign."""
    if not math.isfinite(value):
        return MISSING
    if value == 0:
        return "0"
    rounded = _rounded(_decimal(value, digits), digits)
    exponent = rounded.adjusted()
    if not -6 < exponent < 10:
        mantissa = rounded.scaleb(-exponent)
        text = f"{mantissa:.{digits - 1}f}·10{str(exponent).translate(_SUPERSCRIPT)}"
    else:
        text = f"{rounded:,.{max(digits - 1 - exponent, 0)}f}".replace(",", THIN_SPACE)
    return f"−{text}" if value < 0 else text


def format_whole(value: float) -> str:
    """Return the nearest whole number, all its digits, with thin spaces and a true minus sign."""
    if not math.isfinite(value) or abs(value) >= WRITTEN_WHOLE:
        return format_number(value)
    whole = _decimal(value, _SINGLE_DIGITS)
    if whole.adjusted() >= _SINGLE_DIGITS:
        whole = Decimal(abs(value))
    whole = whole.quantize(Decimal(1), rounding=ROUND_HALF_UP, context=Context(prec=400))
    text = f"{whole:,}".replace(",", THIN_SPACE)
    return f"−{text}" if value < 0 and whole else text


def format_short(value: float, digits: int = PUT_IN_DIGITS) -> str:
    """Return a number of at most that many significant digits, without zeros at its end."""
    text = format_number(value, digits)
    return text.rstrip("0").rstrip(".") if "." in text and "·" not in text else text


def _decimal(value: float, digits: int) -> Decimal:
    """Return the size of a value as the decimal that is rounded to so many digits."""
    return _rounded(Decimal(abs(float(value))), max(digits, _SINGLE_DIGITS))


def _rounded(size: Decimal, digits: int) -> Decimal:
    return Context(prec=digits, rounding=ROUND_HALF_UP).plus(size)


def join_unit(text: str, symbol: str) -> str:
    """Return a number in words with the symbol of its unit, which may be none."""
    return f"{text}°" if symbol == "°" else f"{text} {symbol}".rstrip()


def whole_degrees(angle: float) -> str:
    """Return an angle [rad] in whole degrees."""
    return f"{format_whole(math.degrees(angle))}°"


def turn_text(degrees: float) -> str:
    """Return a direction [°] as whole degrees from 0° to 359°."""
    whole = _decimal(degrees % 360, _SINGLE_DIGITS).to_integral_value(ROUND_HALF_UP)
    return f"{whole % 360}°"


def operand(value: float, *, beside: float = 0.0) -> str:
    """Return a value as it is put into a formula; 0 if it is rounding beside another value."""
    if abs(value) <= max(1e-12, 1e-12 * abs(beside)):
        return "0"
    text = format_short(value)
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


def with_unit(value: float, key: str, digits: int = 3) -> str:
    """Return a value [SI] with its unit as shown now; `key` is of UNITS."""
    unit = shown_unit(key)
    return join_unit(format_number(unit.from_si(value), digits), unit.symbol)


def short_with_unit(value: float, key: str, digits: int) -> str:
    """Return a value [SI] with its unit as shown now, without zeros at its end."""
    unit = shown_unit(key)
    return join_unit(format_short(unit.from_si(value), digits), unit.symbol)


def axis(words: str, key: str) -> str:
    """Return an axis's label: what it shows, and the unit."""
    return f"{words}, {shown_unit(key).symbol}"


def as_drawn(values: Array | float, key: str) -> Any:
    """Return values [SI] in the unit shown now, of the same shape."""
    return shown_unit(key).array_from_si(values)  # type: ignore[arg-type]
