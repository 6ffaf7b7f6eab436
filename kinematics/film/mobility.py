"""Where a dynamically loaded journal goes: Booker's mobility method with three maps.

Mobility is the journal's velocity under load without rotation, made dimensionless; ξ is the
eccentricity ratio along the load, η that a quarter turn ahead in the sense of rotation. Vectors
are (x, y) in axes whose y turns toward x, the house's sense of rotation.

Every map is the finite-length fit times a correction: 1 for the fit itself, a ratio of closed
forms for the short bearing, a table made by solving Reynolds' equation for the main map.

Source: J. F. Booker, Dynamically loaded journal bearings: mobility method of solution, ASME J.
Basic Eng. 87, 1965; finite length: D. Childs, H. Moes and H. van Leeuwen, Journal bearing
impedance descriptions for rotordynamic applications, ASME J. Lubr. Tech. 99, 1977 (both from
memory). Against Reynolds' equation the finite-length fit is 5 to 15 % too stiff under the load
and up to 45 % beside it in very thin films; the short bearing is far too soft there.
"""

import math
from collections.abc import Callable

import numpy as np

from kinematics.array import Array
from kinematics.errors import DesignError
from kinematics.film.film_map import FilmMap, film_map
from kinematics.film.short_bearing import FilmBearing

# (ξ, η), each (b, n) -> factors on the fit's mobility along the load and ahead of it
Correction = Callable[[Array, Array], tuple[Array, Array]]
MAPS = ("reynolds", "finite_length", "short_bearing")


def short_bearing_mobility(
    xi: Array, eta: Array, width_ratio: Array | float
) -> tuple[Array, Array]:
    """Return mobility along the load and ahead of it [1], of the arrays' shape.

    (1 - ξ)^(5/2) / (π (L/D)²) and -4 η (1 - ξ)^(3/2) / (π² (L/D)²); within 7 % of the exact map.

    References
    ----------
    Booker 1965 and 1971 (from memory).
    """
    left, square = 1 - xi, width_ratio**2
    root = np.sqrt(left)
    return (
        left**2 * root / (math.pi * square),
        -4 * eta * left * root / (math.pi**2 * square),
    )


def finite_length_mobility(
    xi: Array, eta: Array, width_ratio: Array | float
) -> tuple[Array, Array]:
    """Return mobility along the load and ahead of it [1] of a bearing of finite width.

    B = (1 - ξ) (D/L)²: 0.150 (1 - ξ)^1.5 (1 + 2.12 B) and -0.1125 η (1 - ξ)^0.5 (1 + 3.60 B).

    References
    ----------
    Childs, Moes and van Leeuwen 1977 (from memory).
    """
    left = 1 - xi
    slim, root = left / width_ratio**2, np.sqrt(left)
    return 0.150 * left * root * (1 + 2.12 * slim), -0.1125 * eta * root * (1 + 3.60 * slim)


def finite_length_slopes(
    xi: Array, eta: Array, width_ratio: Array | float
) -> tuple[Array, Array, Array]:
    """Return ∂(along)/∂ξ, ∂(ahead)/∂ξ and ∂(ahead)/∂η of `finite_length_mobility`."""
    left = 1 - xi
    slim, root = left / width_ratio**2, np.sqrt(left)
    return (
        -0.150 * root * (1.5 + 5.30 * slim),
        0.1125 * eta / root * (0.5 + 5.40 * slim),
        -0.1125 * root * (1 + 3.60 * slim),
    )


def correction(name: str, width_ratio: Array) -> Correction:
    """Return what a map of `MAPS` is to the finite-length fit, for bearings of L/D (b,).

    Raises
    ------
    DesignError for another map.
    """
    if name == "reynolds":
        tables: FilmMap = film_map(tuple(width_ratio.tolist()))
        return tables.correction
    ratio = width_ratio[:, None]
    if name == "finite_length":
        return lambda xi, _: (np.ones_like(xi), np.ones_like(xi))
    if name == "short_bearing":
        return lambda xi, _: _short_over_finite(xi, ratio)
    raise DesignError("mobility", f"must be one of {', '.join(MAPS)} (got {name!r})")


def _short_over_finite(xi: Array, width_ratio: Array) -> tuple[Array, Array]:
    slim = (1 - xi) / width_ratio**2
    return (
        slim / math.pi / (0.150 * (1 + 2.12 * slim)),
        4 * slim / math.pi**2 / (0.1125 * (1 + 3.60 * slim)),
    )


def journal_velocity(
    bearing: FilmBearing,
    eccentricity: Array,
    load: Array,
    drag: Array | float,
    *,
    mobility: str = "reynolds",
) -> Array:
    """Return the rate of change of eccentricity ratios (2, n) [1/s], of their shape.

    Parameters
    ----------
    eccentricity : (2, n), of the journal in its shell, each below 1 in size
    load : [N] (2, n), of the journal on its shell
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
    size = np.hypot(load[0], load[1])
    along = np.divide(load, size, out=np.zeros_like(load), where=size > 0)
    ahead = np.stack((along[1], -along[0]))
    xi, eta = (eccentricity * along).sum(axis=0), (eccentricity * ahead).sum(axis=0)
    factors = correction(mobility, np.array([bearing.width_ratio]))(xi[None], eta[None])
    straight, aside = (
        fit * factor[0]
        for fit, factor in zip(
            finite_length_mobility(xi, eta, bearing.width_ratio), factors, strict=True
        )
    )
    rate = size * mobility_rate(
        bearing.radius, bearing.width, bearing.radial_clearance, bearing.viscosity
    )
    turned = np.stack((eccentricity[1], -eccentricity[0]))
    return rate * (straight * along + aside * ahead) + drag * turned


def mobility_rate(
    radius: Array | float, width: Array | float, clearance: Array | float, viscosity: Array | float
) -> Array | float:
    """Return (c/R)² / (μ L D) [1/(N·s)]: eccentricity ratio a second, a newton, a mobility of 1."""
    return (clearance / radius) ** 2 / (viscosity * width * 2 * radius)
