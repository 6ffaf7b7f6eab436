"""Where a dynamically loaded journal goes: Booker's mobility method with three film models.

Mobility is the journal's velocity under load without rotation, made dimensionless; ξ is the
eccentricity ratio along the load, η that a quarter turn ahead in the sense of rotation. Vectors
are (x, y) in axes whose y turns toward x, the house's sense of rotation.

The main model is the finite-length fit times a table made by solving Reynolds' equation; the fit
itself and the short bearing in closed form stand beside it.

Source: J. F. Booker, Dynamically loaded journal bearings: mobility method of solution, ASME J.
Basic Eng. 87, 1965; finite length: D. Childs, H. Moes and H. van Leeuwen, Journal bearing
impedance descriptions for rotordynamic applications, ASME J. Lubr. Tech. 99, 1977 (both from
memory). Against Reynolds' equation the finite-length fit is 5 to 15 % too stiff under the load
and up to 45 % beside it in very thin films; under the load the short bearing is far too stiff.
"""

import math
from collections.abc import Callable
from copy import copy
from typing import Self

import numpy as np
from numpy.typing import NDArray

from kinematics.array import Array
from kinematics.design.design_bearings import FILM_MODELS, REYNOLDS
from kinematics.errors import DesignError
from kinematics.film.film_friction import filled_share
from kinematics.film.film_map import film_map
from kinematics.film.film_model import (
    FilmModel,
    JournalPlaces,
    Slopes,
    Velocity,
    even_friction_gap,
)
from kinematics.film.short_bearing import FilmBearing

_HALVINGS = 50


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
    """Return ∂(along)/∂ξ, ∂(ahead)/∂ξ and ∂(ahead)/∂η of `finite_length_mobility`.

    Reference: derivatives of `finite_length_mobility`.
    """
    left = 1 - xi
    slim, root = left / width_ratio**2, np.sqrt(left)
    return (
        -0.150 * root * (1.5 + 5.30 * slim),
        0.1125 * eta / root * (0.5 + 5.40 * slim),
        -0.1125 * root * (1 + 3.60 * slim),
    )


class _ScaledFit:
    """A film whose mobility is the finite-length fit's times factors of its own."""

    def __init__(self, width_ratio: Array) -> None:
        self._ratio = width_ratio[:, None]

    def of_rows(self, rows: NDArray[np.intp]) -> Self:
        """Return the films of some of the bearings."""
        return type(self)(self._ratio[rows, 0])

    def _factors(self, at: JournalPlaces) -> Velocity:
        """Return what mobility along the load and ahead of it is to that of the fit."""
        ones = np.ones_like(at.xi)
        return ones, ones

    def velocity(self, at: JournalPlaces) -> Velocity:
        """Return dε/dφ of the load alone, as of `FilmModel`."""
        along, ahead = self._factors(at)
        straight, aside = finite_length_mobility(at.xi, at.eta, self._ratio)
        return straight * (at.load * along), aside * (at.load * ahead)

    def velocity_and_slopes(self, at: JournalPlaces) -> tuple[Velocity, Slopes]:
        """Return `velocity` and its slopes, in which the factors count as constant."""
        along, ahead = self._factors(at)
        along, ahead = at.load * along, at.load * ahead
        straight, aside = finite_length_mobility(at.xi, at.eta, self._ratio)
        xx, yx, yy = finite_length_slopes(at.xi, at.eta, self._ratio)
        return (straight * along, aside * ahead), (xx * along, None, yx * ahead, yy * ahead)

    def friction_gap(self, at: JournalPlaces, velocity: Velocity) -> Array:
        """Return √(1 - ε²) over the share of the shear that a ruptured film has.

        Reference: as of `even_friction_gap` and `filled_share`.
        """
        return even_friction_gap(at) / filled_share(at, velocity)


class FiniteLengthFilm(_ScaledFit):
    """The published fit of the finite bearing; pressure and flow, which it has not, by the table.

    Reference: Childs, Moes and van Leeuwen, 1977 (from memory).
    """

    def __init__(self, width_ratio: Array) -> None:
        super().__init__(width_ratio)
        self._table = film_map(tuple(width_ratio.tolist()))

    def of_rows(self, rows: NDArray[np.intp]) -> Self:
        """Return the films of some of the bearings."""
        some = copy(self)
        some._ratio, some._table = self._ratio[rows], self._table.of_rows(rows)
        return some

    def peak_pressure(self, at: JournalPlaces) -> Array:
        """Return the peak pressure over the specific load, of the table.

        Reference: a table of solutions of Reynolds' equation, as of `film_map`.
        """
        return self._table.peak_pressure(at)

    def peak_angle(self, at: JournalPlaces) -> Array:
        """Return where the peak pressure stands [rad], of the table.

        Reference: a table of solutions of Reynolds' equation, as of `film_map`.
        """
        return self._table.peak_angle(at)

    def side_flow(self, at: JournalPlaces) -> Array:
        """Return the oil pressed out over R L times the squeeze velocity, of the table.

        Reference: a table of solutions of Reynolds' equation, as of `film_map`.
        """
        return self._table.side_flow(at)


class ReynoldsFilm(FiniteLengthFilm):
    """The finite film by Reynolds' equation: the fit times what the table makes of it."""

    def _factors(self, at: JournalPlaces) -> Velocity:
        return self._table.correction(at)

    def velocity_and_slopes(self, at: JournalPlaces) -> tuple[Velocity, Slopes]:
        """Return `velocity` and its slopes, those of the table's factors among them."""
        straight, aside = (
            at.load * part for part in finite_length_mobility(at.xi, at.eta, self._ratio)
        )
        xx, yx, yy = (at.load * slope for slope in finite_length_slopes(at.xi, at.eta, self._ratio))
        along, ahead = self._table.correction_slopes(at)
        return (straight * along[0], aside * ahead[0]), (
            xx * along[0] + straight * along[1],
            straight * along[2],
            yx * ahead[0] + aside * ahead[1],
            yy * ahead[0] + aside * ahead[2],
        )


class ShortBearingFilm(_ScaledFit):
    """The short bearing in closed form, pressure and flow too.

    Reference: Booker, 1965; Ocvirk, NACA TN 2808, 1952 (both from memory).
    """

    def _factors(self, at: JournalPlaces) -> Velocity:
        slim = (1 - at.xi) / self._ratio**2
        return (
            slim / math.pi / (0.150 * (1 + 2.12 * slim)),
            4 * slim / math.pi**2 / (0.1125 * (1 + 3.60 * slim)),
        )

    def peak_pressure(self, at: JournalPlaces) -> Array:
        """Return the peak pressure over the specific load, 6 (L/D)² M cos(θ - γ) / (1 - ε cos θ)³.

        θ from the thinnest film, γ the squeeze velocity's direction from it.

        Reference: follows from Reynolds' equation of the short bearing, h³ ∂²p/∂z² = 12 μ ∂h/∂t.
        """
        size, place, direction = self._pressed(at)
        straight, aside = short_bearing_mobility(at.xi, at.eta, self._ratio)
        shape = np.cos(place - direction) / (1 - size * np.cos(place)) ** 3
        return 6 * self._ratio**2 * np.hypot(straight, aside) * shape

    def peak_angle(self, at: JournalPlaces) -> Array:
        """Return where the peak pressure stands [rad], ahead of the load.

        Reference: as of `peak_pressure`.
        """
        _, place, _ = self._pressed(at)
        thinnest = np.arctan2(at.eta, at.xi)
        straight, aside = short_bearing_mobility(at.xi, at.eta, self._ratio)
        turn = np.arctan2(aside, straight) - thinnest
        ahead = np.where(np.sin(turn) < 0, -1.0, 1.0)
        return thinnest + ahead * place

    def side_flow(self, at: JournalPlaces) -> Array:
        """Return 2: half the shell presses, and what it displaces leaves at the sides.

        Reference: follows from continuity; at a steady load Ocvirk's ω R L c ε.
        """
        return np.full_like(at.xi, 2.0)

    def _pressed(self, at: JournalPlaces) -> tuple[Array, Array, Array]:
        """Return ε, and from the thinnest film the angles of peak pressure and squeeze, 0 to π.

        Between the two directions the pressure rises and falls once: halved until found.
        """
        size = np.sqrt(at.xi**2 + at.eta**2)
        straight, aside = short_bearing_mobility(at.xi, at.eta, self._ratio)
        turn = np.arctan2(aside, straight) - np.arctan2(at.eta, at.xi)
        direction = np.arccos(np.cos(turn))
        low, high = np.maximum(0.0, direction - math.pi / 2), direction
        for _ in range(_HALVINGS):
            middle = (low + high) / 2
            rises = np.sin(direction - middle) * (1 - size * np.cos(middle)) > (
                3 * size * np.sin(middle) * np.cos(direction - middle)
            )
            low, high = np.where(rises, middle, low), np.where(rises, high, middle)
        return size, (low + high) / 2, direction


_MODELS: dict[str, Callable[[Array], FilmModel]] = {
    "reynolds": ReynoldsFilm,
    "finite_length": FiniteLengthFilm,
    "short_bearing": ShortBearingFilm,
}


def film_model(name: str, width_ratio: Array) -> FilmModel:
    """Return a film model by its name, one of `FILM_MODELS`, for bearings of L/D (b,).

    Raises
    ------
    DesignError for another name.
    """
    if name not in _MODELS:
        raise DesignError("film_model", f"must be one of {', '.join(FILM_MODELS)} (got {name!r})")
    return _MODELS[name](width_ratio)


def journal_velocity(
    bearing: FilmBearing,
    eccentricity: Array,
    load: Array,
    drag: Array | float,
    *,
    model: str = REYNOLDS,
) -> Array:
    """Return the rate of change of eccentricity ratios (2, n) [1/s], of their shape.

    Parameters
    ----------
    eccentricity : (2, n), of the journal in its shell, each below 1 in size
    load : [N] (2, n), of the journal on its shell
    drag : mean speed of the two surfaces less that of the axes [rad/s], the axes being those of
        the arrays: (ω_journal + ω_shell)/2 - ω_axes
    model : one of `FILM_MODELS`

    Notes
    -----
    dε/dt = W (c/R)² / (μ L D) M + drag × ε.

    Raises
    ------
    DesignError for another model.

    Reference: J. F. Booker, ASME J. Basic Eng. 87, 1965 (from memory).
    """
    size = np.hypot(load[0], load[1])
    along = np.divide(load, size, out=np.zeros_like(load), where=size > 0)
    ahead = np.stack((along[1], -along[0]))
    xi, eta = (eccentricity * along).sum(axis=0), (eccentricity * ahead).sum(axis=0)
    rate = size * mobility_rate(
        bearing.radius, bearing.width, bearing.radial_clearance, bearing.viscosity
    )
    at = JournalPlaces(*(place[None] for place in (xi, eta, *along, rate)))
    straight, aside = film_model(model, np.array([bearing.width_ratio])).velocity(at)
    turned = np.stack((eccentricity[1], -eccentricity[0]))
    return straight[0] * along + aside[0] * ahead + drag * turned


def mobility_rate(
    radius: Array | float, width: Array | float, clearance: Array | float, viscosity: Array | float
) -> Array | float:
    """Return (c/R)² / (μ L D) [1/(N·s)]: eccentricity ratio a second, a newton, a mobility of 1.

    Reference: the scale of Booker's mobility, by definition.
    """
    return (clearance / radius) ** 2 / (viscosity * width * 2 * radius)
