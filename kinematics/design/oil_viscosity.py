"""How an oil thins with temperature: a line through two viscosities, or its SAE grade.

Sources: ASTM D341, log₁₀ log₁₀ (ν + 0.7) = A - B log₁₀ T, ν in mm²/s and T in K (from memory),
the viscosity at low shear; oils with polymers have less in a bearing's film. By grade: A. S.
Seireg and S. Dandage, Empirical design procedure for the thermodynamic behavior of journal
bearings, ASME J. Lubr. Tech. 104, 1982, as in Shigley, Mechanical Engineering Design (from
memory), μ = μ₀ exp(b / (T + 95)), T in °F. A multigrade is taken by its second number: in a
bearing's shear it does about as that single grade does (common practice, no source).
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


def oil_viscosity(oil: Oil) -> Viscosity | None:
    """Return an oil's viscosity in the film over temperature, None where only one is known.

    By its two kinematic viscosities, less what shear takes, where they are given; else by its
    grade.
    """
    if oil.film_viscosity == GIVEN:
        return None
    if oil.viscosity_40 is not None and oil.viscosity_100 is not None:
        line = walther_oil(((313.15, oil.viscosity_40), (373.15, oil.viscosity_100)))
        density = oil.shear_share * OIL_DENSITY
        return lambda temperature: line.dynamic_viscosity(temperature, density)
    number = grade_number(oil.grade)
    if number is None:
        return None
    return lambda temperature: grade_viscosity(number, temperature)
