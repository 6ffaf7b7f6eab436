"""Where a dynamically loaded journal goes: Booker's mobility method with two fitted maps.

Mobility is the journal's velocity under load without rotation, made dimensionless; ξ is the
eccentricity ratio along the load, η that a quarter turn ahead in the sense of rotation. Vectors
are (x, y) in axes whose y turns toward x, the house's sense of rotation.

Source: J. F. Booker, Dynamically loaded journal bearings: mobility method of solution, ASME J.
Basic Eng. 87, 1965; finite length: D. Childs, H. Moes and H. van Leeuwen, Journal bearing
impedance descriptions for rotordynamic applications, ASME J. Lubr. Tech. 99, 1977 (both from
memory; both fits were confirmed against a solution of Reynolds' equation).
"""

import math
from collections.abc import Callable

import numpy as np

from kinematics.array import Array
from kinematics.errors import DesignError
from kinematics.short_bearing import FilmBearing

MobilityMap = Callable[[Array, Array, float], tuple[Array, Array]]


def short_bearing_mobility(xi: Array, eta: Array, width_ratio: float) -> tuple[Array, Array]:
    """Return mobility along the load and ahead of it [1], of the arrays' shape.

    (1 - ξ)^(5/2) / (π (L/D)²) and -4 η (1 - ξ)^(3/2) / (π² (L/D)²); within 7 % of the exact map.

    References
    ----------
    Booker 1965 and 1971 (from memory).
    """
    left, square = 1 - xi, width_ratio**2
    return left**2.5 / (math.pi * square), -4 * eta * left**1.5 / (math.pi**2 * square)


def finite_length_mobility(xi: Array, eta: Array, width_ratio: float) -> tuple[Array, Array]:
    """Return mobility along the load and ahead of it [1] of a bearing of finite width.

    B = (1 - ξ) (D/L)²: 0.150 (1 - ξ)^1.5 (1 + 2.12 B) and -0.1125 η (1 - ξ)^0.5 (1 + 3.60 B).

    References
    ----------
    Childs, Moes and van Leeuwen 1977 (from memory).
    """
    left = 1 - xi
    slim = left / width_ratio**2
    return (
        0.150 * left**1.5 * (1 + 2.12 * slim),
        -0.1125 * eta * np.sqrt(left) * (1 + 3.60 * slim),
    )


MAPS: dict[str, MobilityMap] = {
    "finite_length": finite_length_mobility,
    "short_bearing": short_bearing_mobility,
}


def journal_velocity(
    bearing: FilmBearing,
    eccentricity: Array,
    load: Array,
    drag: Array | float,
    *,
    mobility: str = "finite_length",
) -> Array:
    """Return the rate of change of eccentricity ratios (2, …) [1/s], of their shape.

    Parameters
    ----------
    eccentricity : (2, …), of the journal in its shell, each below 1 in size
    load : [N] (2, …), of the journal on its shell
    drag : mean speed of the two surfaces less that of the axes [rad/s], the axes being those of
        the arrays: (ω_journal + ω_shell)/2 - ω_axes
    mobility : one of `MAPS`

    Notes
    -----
    dε/dt = W (c/R)² / (μ L D) M + drag × ε.

    Raises
    ------
    DesignError for another map.
    """
    if mobility not in MAPS:
        raise DesignError("mobility", f"no map {mobility!r}; there are {', '.join(MAPS)}")
    size = np.hypot(load[0], load[1])
    along = np.divide(load, size, out=np.zeros_like(load), where=size > 0)
    ahead = np.stack((along[1], -along[0]))
    xi, eta = (eccentricity * along).sum(axis=0), (eccentricity * ahead).sum(axis=0)
    straight, aside = MAPS[mobility](xi, eta, bearing.width_ratio)
    stiffness = size * (bearing.radial_clearance / bearing.radius) ** 2
    rate = stiffness / (bearing.viscosity * bearing.width * 2 * bearing.radius)
    turned = np.stack((eccentricity[1], -eccentricity[0]))
    return rate * (straight * along + aside * ahead) + drag * turned
