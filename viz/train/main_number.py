"""A number with its formula, the values put in, its conventions and its source.

In `substitution` all values are in SI but for angles, which are in degrees; only the last value is
in the unit shown. The text is plain: whoever shows it must escape it.
"""

import math
from dataclasses import dataclass

from kinematics.units import SI_SYMBOLS, UNITS, shown_unit
from viz.number_words import PUT_IN_DIGITS, format_number, join_unit

_SCALED = ("kN", "km_s2", "bar", "MPa", "kW", "degC")  # whose SI value is written out in any case


@dataclass(frozen=True, slots=True)
class MainNumber:
    """A number with its derivation; `value` is in the display unit, NaN where input is missing.

    `substitution` reads symbol = expression = value, evaluated; `place` says where the peak lies.
    """

    key: str
    label: str
    value: float
    unit: str
    digits: int
    place: str
    formula: str
    substitution: str
    conventions: str
    source: str

    @property
    def text(self) -> str:
        """The value with the digits that are shown."""
        return format_number(self.value, self.digits)

    @property
    def words(self) -> str:
        """The same with its unit, as every page, table and file shows it."""
        return join_unit(self.text, self.unit)


@dataclass(frozen=True, slots=True)
class Definition:
    """What a main number is, whatever the design; `unit` is a key of UNITS."""

    key: str
    label: str
    unit: str
    symbol: str
    formula: str
    conventions: str
    source: str
    digits: int = 3

    def number(self, value: float, expression: str, place: str = "") -> MainNumber:
        """Return the number for a value [SI] and the expression that gives it."""
        unit = shown_unit(self.unit)
        shown = unit.from_si(value)
        steps = [self.symbol, expression]
        if self.unit in (_SCALED if unit is UNITS[self.unit] else SI_SYMBOLS):
            steps.append(f"{format_number(value, PUT_IN_DIGITS)} {SI_SYMBOLS[self.unit]}")
        steps.append(join_unit(format_number(shown, self.digits), unit.symbol))
        return self._made(shown, " = ".join(steps), place)

    def missing(self, what: str) -> MainNumber:
        """Return the number without a value, saying what the design lacks."""
        return self._made(math.nan, f"The design has no {what}.", f"needs {what}")

    def _made(self, shown: float, substitution: str, place: str) -> MainNumber:
        symbol = shown_unit(self.unit).symbol
        return MainNumber(
            self.key, self.label, shown, symbol, self.digits, place,
            self.formula, substitution, self.conventions, self.source,
        )  # fmt: skip
