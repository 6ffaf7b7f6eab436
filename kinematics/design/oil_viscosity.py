"""How an oil thins with temperature: a line through two viscosities, or its SAE grade.

Sources: ASTM D341, log₁₀ log₁₀ (ν + 0.7) = A - B log₁₀ T, ν in mm²/s and T in K (from memory),
the viscosity at low shear. By grade: A. S. Seireg and S. Dandage, Empirical design procedure for
the thermodynamic behavior of journal bearings, ASME J. Lubr. Tech. 104, 1982, as in Shigley,
Mechanical Engineering Design (from memory), μ = μ₀ exp(b / (T + 95)), T in °F; a multigrade by its
second number. Oils with polymers are thinner in a bearing's shear: their curve is scaled so that
it passes through the high-shear viscosity at 150 °C (common practice, no source; the share lost to
shear is taken to be the same at every temperature). Minima of that viscosity: SAE J300, 2015.
"""

import math
import re
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from kinematics.array import Array
from kinematics.design.design_bearings import GIVEN, Oil
from kinematics.errors import DesignError

OIL_DENSITY = 850.0  # [kg/m³] at running temperature; common practice, no source
REYN = 6894.757293168  # [Pa·s], a pound-force second a square inch
# grade: (μ₀ [reyn], b [°F])
GRADES = {
    10: (0.0158e-6, 1157.5),
    20: (0.0136e-6, 1271.6),
    30: (0.0141e-6, 1360.0),
    40: (0.0121e-6, 1474.4),
    50: (0.0170e-6, 1509.6),
    60: (0.0187e-6, 1564.0),
}
HIGH_SHEAR_TEMPERATURE = 423.15  # of the high-shear viscosity [K], SAE J300
# second number of a multigrade: minimum high-shear viscosity at 150 °C [Pa·s], SAE J300, 2015
HIGH_SHEAR_MINIMUM = {
    16: 2.3e-3, 20: 2.6e-3, 30: 2.9e-3, 40: 3.5e-3, 50: 3.7e-3, 60: 3.7e-3,
}  # fmt: skip
THICK_40_MINIMUM = 3.7e-3  # of 15W-40 and thicker in winter
_MULTIGRADE = re.compile(r"(?:SAE)?\s*(\d{1,2})W\s*-?\s*(\d{2})", re.IGNORECASE)
_GRADE = re.compile(r"(?:SAE)?\s*(?:\d{1,2}W\s*-?\s*)?(\d{2})", re.IGNORECASE)
Viscosity = Callable[[Array], Array]  # temperatures [K] -> [Pa·s], of their shape
_MM2_S = 1e-6
_OFFSET = 0.7  # [mm²/s]


@dataclass(frozen=True, slots=True)
class WaltherOil:
    """An oil by its line's two constants [1]."""

    intercept: float  # A
    slope: float  # B

    def kinematic_viscosity(self, temperature: Array) -> Array:
        """Return the kinematic viscosity [m²/s] at temperatures [K], of their shape.

        Reference: ASTM D341, Walther's equation (from memory).
        """
        line = self.intercept - self.slope * np.log10(temperature)
        return (10 ** (10**line) - _OFFSET) * _MM2_S

    def dynamic_viscosity(self, temperature: Array, density: float) -> Array:
        """Return the dynamic viscosity [Pa·s] at temperatures [K], of their shape.

        `density` [kg/m³] is that at the temperature.

        Reference: kinematic viscosity times density, by definition.
        """
        return density * self.kinematic_viscosity(temperature)


def walther_oil(points: tuple[tuple[float, float], tuple[float, float]]) -> WaltherOil:
    """Return the oil through two points (temperature [K], kinematic viscosity [m²/s]).

    Raises
    ------
    DesignError unless both are above zero, above 0.3 mm²/s, and the warmer one is the thinner.

    Reference: ASTM D341, Walther's equation (from memory).
    """
    for temperature, viscosity in points:
        if not (0 < temperature < math.inf and 0.3 < viscosity / _MM2_S < math.inf):
            raise DesignError(
                "viscosity",
                "must be above 0.3 mm²/s at a temperature above 0 K "
                f"(got {viscosity / _MM2_S:g} mm²/s at {temperature:g} K)",
            )
    (cold, thick), (warm, thin) = sorted(points)
    if not (cold < warm and thick > thin):
        raise DesignError("viscosity", "must be lower at the higher temperature")
    ends = [math.log10(math.log10(point / _MM2_S + _OFFSET)) for point in (thick, thin)]
    slope = (ends[0] - ends[1]) / (math.log10(warm) - math.log10(cold))
    return WaltherOil(ends[0] + slope * math.log10(cold), slope)


def grade_number(grade: str) -> int | None:
    """Return the number of an oil's grade when hot, None where the grade is not of `GRADES`."""
    found = _GRADE.fullmatch(grade.strip())
    number = int(found[1]) if found else None
    return number if number in GRADES else None


def grade_viscosity(number: int, temperature: Array) -> Array:
    """Return the viscosity [Pa·s] of a grade of `GRADES` at temperatures [K], of their shape."""
    size, slope = GRADES[number]
    fahrenheit = temperature * 9 / 5 - 459.67
    return size * REYN * np.exp(slope / (fahrenheit + 95))


def high_shear_minimum(grade: str) -> float | None:
    """Return the minimum high-shear viscosity [Pa·s] of a multigrade, None for other oils.

    Reference: SAE J300, January 2015, at 150 °C.

    >>> from kinematics.design.oil_viscosity import high_shear_minimum
    >>> high_shear_minimum("SAE 10W-60")
    0.0037
    """
    found = _MULTIGRADE.fullmatch(grade.strip())
    if found is None:
        return None
    winter, hot = int(found[1]), int(found[2])
    return THICK_40_MINIMUM if hot == 40 and winter >= 15 else HIGH_SHEAR_MINIMUM.get(hot)


def high_shear_viscosity(oil: Oil) -> float | None:
    """Return an oil's high-shear viscosity at 150 °C [Pa·s]: as given, else of its grade.

    None for an oil that shear does not thin, as far as is known: a single grade.

    Reference: SAE J300, January 2015.
    """
    given = oil.high_shear_viscosity
    return high_shear_minimum(oil.grade) if given is None else given


def shear_share(oil: Oil) -> float:
    """Return the share of the low-shear viscosity that is left in the film, 1 for single grades.

    Reference: high-shear over low-shear viscosity at 150 °C, by definition.
    """
    law, high = low_shear_viscosity(oil), high_shear_viscosity(oil)
    if law is None or high is None:
        return 1.0
    return high / float(law(np.array(HIGH_SHEAR_TEMPERATURE)))


def oil_viscosity(oil: Oil) -> Viscosity | None:
    """Return an oil's viscosity in the film over temperature, None where only one is known.

    The low-shear curve times `shear_share`, which holds at 150 °C and is used everywhere.

    Reference: as of the module.
    """
    law = None if oil.film_viscosity == GIVEN else low_shear_viscosity(oil)
    if law is None:
        return None
    share = shear_share(oil)
    return lambda temperature: share * law(temperature)


def low_shear_viscosity(oil: Oil) -> Viscosity | None:
    """Return an oil's viscosity at low shear over temperature, None where it is not known.

    By its two kinematic viscosities where they are given; else by its grade.

    Reference: ASTM D341, or Seireg and Dandage, 1982 (both from memory).
    """
    if oil.viscosity_40 is not None and oil.viscosity_100 is not None:
        line = walther_oil(((313.15, oil.viscosity_40), (373.15, oil.viscosity_100)))
        return lambda temperature: line.dynamic_viscosity(temperature, OIL_DENSITY)
    number = grade_number(oil.grade)
    if number is None:
        return None
    return lambda temperature: grade_viscosity(number, temperature)
