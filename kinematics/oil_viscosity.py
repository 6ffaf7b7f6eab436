"""How an oil thins with temperature: the line through two kinematic viscosities.

Source: ASTM D341, log₁₀ log₁₀ (ν + 0.7) = A - B log₁₀ T, ν in mm²/s and T in K (from memory). It
is the viscosity at low shear: oils with polymers have less in a bearing's film.
"""

import math
from dataclasses import dataclass

import numpy as np

from kinematics.array import Array
from kinematics.errors import DesignError

_MM2_S = 1e-6
_OFFSET = 0.7  # [mm²/s]


@dataclass(frozen=True, slots=True)
class WaltherOil:
    """An oil by its line's two constants [1]."""

    intercept: float  # A
    slope: float  # B

    def kinematic_viscosity(self, temperature: Array) -> Array:
        """Return the kinematic viscosity [m²/s] at temperatures [K], of their shape."""
        line = self.intercept - self.slope * np.log10(temperature)
        return (10 ** (10**line) - _OFFSET) * _MM2_S

    def dynamic_viscosity(self, temperature: Array, density: float) -> Array:
        """Return the dynamic viscosity [Pa·s] at temperatures [K], of their shape.

        `density` [kg/m³] is that at the temperature.
        """
        return density * self.kinematic_viscosity(temperature)


def walther_oil(points: tuple[tuple[float, float], tuple[float, float]]) -> WaltherOil:
    """Return the oil through two points (temperature [K], kinematic viscosity [m²/s]).

    Raises
    ------
    DesignError unless both are above zero, above 0.3 mm²/s, and the warmer one is the thinner.
    """
    for temperature, viscosity in points:
        if not (0 < temperature < math.inf and 0.3 < viscosity / _MM2_S < math.inf):
            raise DesignError(
                "viscosity",
                f"found {viscosity / _MM2_S:g} mm²/s at {temperature:g} K; allowed is above "
                "0.3 mm²/s at a temperature above 0 K",
            )
    (cold, thick), (warm, thin) = sorted(points)
    if not (cold < warm and thick > thin):
        raise DesignError("viscosity", "the warmer of the two points must be the thinner")
    ends = [math.log10(math.log10(one / _MM2_S + _OFFSET)) for one in (thick, thin)]
    slope = (ends[0] - ends[1]) / (math.log10(warm) - math.log10(cold))
    return WaltherOil(ends[0] + slope * math.log10(cold), slope)
