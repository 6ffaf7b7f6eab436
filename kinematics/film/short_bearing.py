"""The short plain bearing, steady or squeezed: load, attitude, pressure and flow in closed form.

Pressure varies along the width as a parabola and its negative part is dropped (half film). The
short bearing is optimistic at widths of 0.4 diameters and more: at an eccentricity ratio of 0.9 its
film is some 50 % too thick at half a diameter, see Raimondi and Boyd.

Source: F. W. Ocvirk, Short-bearing approximation for full journal bearings, NACA TN 2808, 1952;
squeeze after J. F. Booker, Dynamically loaded journal bearings, 1965 (both from memory).
"""

import math
from dataclasses import dataclass

import numpy as np

from kinematics.array import Array
from kinematics.errors import DesignError

_HALVINGS = 60


@dataclass(frozen=True, slots=True)
class FilmBearing:
    """A plain bearing and its oil, SI."""

    radius: float  # of the journal [m]
    width: float  # [m]
    radial_clearance: float  # [m]
    viscosity: float  # effective, in the film [Pa·s]

    def __post_init__(self) -> None:
        """Refuse what is no bearing."""
        for name in ("radius", "width", "radial_clearance", "viscosity"):
            value = getattr(self, name)
            if not 0 < value < math.inf:
                raise DesignError(name, f"must be above 0 and finite (got {value:g})")

    @property
    def width_ratio(self) -> float:
        """Width over diameter."""
        return self.width / (2 * self.radius)


def load_function(eccentricity: Array) -> Array:
    """Return f = ε √(π² (1 - ε²) + 16 ε²) / (1 - ε²)², of the eccentricity ratio's shape.

    Reference: F. W. Ocvirk, NACA TN 2808, 1952 (from memory).
    """
    left = 1 - eccentricity**2
    return eccentricity * np.sqrt(math.pi**2 * left + 16 * eccentricity**2) / left**2


def steady_load(bearing: FilmBearing, eccentricity: Array, speed: float) -> Array:
    """Return the load [N] that a steady film bears, μ ω R L³ f / (4 c²); speed [rad/s].

    Reference: F. W. Ocvirk, NACA TN 2808, 1952 (from memory).
    """
    size = bearing.viscosity * speed * bearing.radius * bearing.width**3
    return size / (4 * bearing.radial_clearance**2) * load_function(eccentricity)


def steady_eccentricity(bearing: FilmBearing, load: Array, speed: float) -> Array:
    """Return the eccentricity ratio under steady loads [N], of their shape; speed [rad/s].

    Reference: inverse of `steady_load`.
    """
    low, high = np.zeros_like(load), np.ones_like(load)
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        enough = steady_load(bearing, np.minimum(middle, 1 - 1e-15), speed) >= load
        low, high = np.where(enough, low, middle), np.where(enough, middle, high)
    return (low + high) / 2


def attitude_angle(eccentricity: Array) -> Array:
    """Return the angle from the load to the thinnest film [rad], tan φ = π √(1 - ε²) / (4 ε).

    Reference: F. W. Ocvirk, NACA TN 2808, 1952 (from memory).
    """
    return np.arctan2(math.pi * np.sqrt(1 - eccentricity**2), 4 * eccentricity)


def load_number(eccentricity: Array) -> Array:
    """Return Ocvirk's number P/(μ N) (c/R)² (D/L)² = π f, N turns a second, P = W/(L D).

    Reference: F. W. Ocvirk, NACA TN 2808, 1952 (from memory).
    """
    return math.pi * load_function(eccentricity)


def peak_pressure_angle(eccentricity: Array) -> Array:
    """Return the angle of the peak pressure from the thickest film [rad], above zero only.

    cos θ = (1 - √(1 + 24 ε²)) / (4 ε).

    Reference: F. W. Ocvirk, NACA TN 2808, 1952 (from memory).
    """
    return np.arccos((1 - np.sqrt(1 + 24 * eccentricity**2)) / (4 * eccentricity))


def peak_pressure(bearing: FilmBearing, eccentricity: Array, speed: float) -> Array:
    """Return the peak film pressure [Pa], 3 μ ω L² / (4 c²) · ε sin θ / (1 + ε cos θ)³.

    Reference: F. W. Ocvirk, NACA TN 2808, 1952 (from memory).
    """
    angle = peak_pressure_angle(eccentricity)
    size = 3 * bearing.viscosity * speed * bearing.width**2 / (4 * bearing.radial_clearance**2)
    return size * eccentricity * np.sin(angle) / (1 + eccentricity * np.cos(angle)) ** 3


def side_flow(bearing: FilmBearing, eccentricity: Array, speed: float) -> Array:
    """Return the oil that leaves at the sides [m³/s], ω R L c ε; speed [rad/s].

    Reference: F. W. Ocvirk, NACA TN 2808, 1952 (from memory).
    """
    return speed * bearing.radius * bearing.width * bearing.radial_clearance * eccentricity


def squeeze_impulse(eccentricity: Array, *, film: str = "half") -> Array:
    """Return the impulse that squeezes a journal from the middle, in units of μ R L³ / c².

    Parameters
    ----------
    eccentricity : ratio reached, any shape below 1
    film : "half" drops negative pressure, "full" keeps it

    Raises
    ------
    DesignError for another film.

    Reference: J. F. Booker, ASME J. Basic Eng. 87, 1965 (from memory).
    """
    left = 1 - eccentricity**2
    full = math.pi * eccentricity / left**1.5
    if film == "full":
        return full
    if film != "half":
        raise DesignError("film", f"no film {film!r}; there are half, full")
    return eccentricity * np.arccos(-eccentricity) / left**1.5 + eccentricity**2 / left
