"""The films of bearings of which some have an open groove part of the way round.

The plain shell's film by any model, changed by what `groove_map` says of the groove. A bearing
whose groove the table does not hold counts as a plain shell; `main_bears_as_plain` tells which.

Source: as of `grooved_reynolds` and `groove_map`.
"""

import math
from copy import copy

import numpy as np
from numpy.typing import NDArray

from kinematics.array import Array
from kinematics.design.design_bearings import MainBearing
from kinematics.film.film_model import (
    FilmModel,
    JournalPlaces,
    Slopes,
    Velocity,
    even_gap_share,
)
from kinematics.film.groove_map import GrooveFactors, GroovePlace, groove_map, groove_table
from kinematics.film.mobility import film_model
from kinematics.film.running_bearings import RunningBearings


class GroovedFilm:
    """A film model in which the groove of some rows counts.

    Parameters
    ----------
    plain : of all rows, without grooves
    rows : (g,) those with a groove
    shells : (g, 3), L/D, groove's width over the shell's and arc [rad] of those
    middle : (g,), the groove's middle [rad] from the shell's y axis in the sense of rotation
    """

    def __init__(
        self, plain: FilmModel, rows: NDArray[np.intp], shells: Array, middle: Array
    ) -> None:
        self._plain, self._rows, self._middle = plain, rows, middle[:, None]
        self._shells = shells
        self._map = groove_map(tuple((float(a), float(b), float(c)) for a, b, c in shells))

    def of_rows(self, rows: NDArray[np.intp]) -> FilmModel:
        """Return the films of some of the bearings."""
        own = np.flatnonzero(np.isin(self._rows, rows))
        if not len(own):
            return self._plain.of_rows(rows)
        some = copy(self)
        some._plain, some._map = self._plain.of_rows(rows), self._map.of_rows(own)
        some._shells, some._middle = self._shells[own], self._middle[own]
        some._rows = np.searchsorted(rows, self._rows[own])
        return some

    def velocity(self, at: JournalPlaces) -> Velocity:
        """Return dε/dφ of the load alone, as of `FilmModel`."""
        along, ahead = (part.copy() for part in self._plain.velocity(at))
        rows, factors = self._own(at), self._factors(at)
        scale = np.exp(factors.log)
        ahead[rows] = scale * (ahead[rows] + factors.turn * along[rows])
        along[rows] *= scale
        return along, ahead

    def velocity_and_slopes(self, at: JournalPlaces) -> tuple[Velocity, Slopes]:
        """Return `velocity` and its slopes, those of the groove's factors among them."""
        (along, ahead), (xx, xy, yx, yy) = self._plain.velocity_and_slopes(at)
        xy = np.zeros_like(along) if xy is None else xy
        along, ahead, xx, xy, yx, yy = (part.copy() for part in (along, ahead, xx, xy, yx, yy))
        rows, factors = self._own(at), self._factors(at)
        scale, turn = np.exp(factors.log), factors.turn
        straight, aside = along[rows], ahead[rows] + turn * along[rows]
        slopes = zip(factors.log_slopes, factors.turn_slopes, ((xx, yx), (xy, yy)), strict=True)
        for log_slope, turn_slope, (x, y) in slopes:
            y[rows] = scale * (y[rows] + turn * x[rows] + turn_slope * straight + log_slope * aside)
            x[rows] = scale * (x[rows] + log_slope * straight)
        along[rows], ahead[rows] = scale * straight, scale * aside
        return (along, ahead), (xx, xy, yx, yy)

    def peak_pressure(self, at: JournalPlaces) -> Array:
        """Return the peak pressure over the specific load W/(L D), L with the groove.

        Reference: a table of solutions of Reynolds' equation, as of `groove_map`.
        """
        peak = self._plain.peak_pressure(at).copy()
        peak[self._own(at)] *= np.exp(self._change("peak", at))
        return peak

    def peak_angle(self, at: JournalPlaces) -> Array:
        """Return where the peak pressure stands [rad], ahead of the load.

        Reference: a table of solutions of Reynolds' equation, as of `groove_map`.
        """
        angle = self._plain.peak_angle(at).copy()
        angle[self._own(at)] += self._change("peak_angle", at)
        return angle

    def side_flow(self, at: JournalPlaces) -> Array:
        """Return the oil pressed out at both sides over R L times the squeeze velocity.

        What is pressed into the groove stays in the bearing.

        Reference: a table of solutions of Reynolds' equation, as of `groove_map`.
        """
        flow = self._plain.side_flow(at).copy()
        flow[self._own(at)] *= np.exp(self._change("flow", at))
        return flow

    def friction_gap(self, at: JournalPlaces, velocity: Velocity) -> Array:
        """Return the plain shell's gap over the share of its friction that lands and rest have.

        The deep groove does not rub: its share of the width over its arc is left out, there as in
        a film that fills the gap.

        Reference: A. Sommerfeld's substitution, as of `even_friction_gap` (from memory).
        """
        gap = self._plain.friction_gap(at, velocity).copy()
        grooved = at.once(self._place).at
        x, y = grooved.in_shell(grooved.xi, grooved.eta)
        toward = x * np.sin(self._middle) + y * np.cos(self._middle)
        half = self._shells[:, 2:] / 2
        arc = even_gap_share(grooved, np.sin(half), np.cos(half), toward)
        gap[self._own(at)] /= 1 - self._shells[:, 1:2] * arc / (2 * math.pi)
        return gap

    def _own(self, at: JournalPlaces) -> slice | NDArray[np.intp]:
        """Return the grooved rows of places; of all without an index, which would copy them."""
        return slice(None) if len(self._rows) == len(at.xi) else self._rows

    def _factors(self, at: JournalPlaces) -> GrooveFactors:
        return self._map.factors(at.once(self._place))

    def _change(self, name: str, at: JournalPlaces) -> Array:
        return self._map.change(name, at.once(self._place))

    def _place(self, at: JournalPlaces) -> GroovePlace:
        """Return the places of the grooved rows in the table."""
        if len(self._rows) < len(at.xi):
            at = at.of_rows(self._rows)
        return self._map.place(at, at.load_angle - self._middle)


def bearing_film(name: str, bearings: RunningBearings) -> FilmModel:
    """Return the film of running bearings by a model's name, with the grooves of the mains.

    Raises
    ------
    DesignError for a name that is none of `FILM_MODELS`.
    """
    plain = film_model(name, bearings.width_ratio)
    table = groove_table()
    share = bearings.groove_width / bearings.width
    shells = np.stack((bearings.width_ratio, share, bearings.groove_arc), axis=1)
    parted = bearings.lands > 1
    rows = np.array(
        [i for i, shell in enumerate(shells) if not parted[i] and table.holds(*shell)],
        dtype=np.intp,
    )
    if not len(rows):
        return plain
    return GroovedFilm(plain, rows, shells[rows], bearings.groove_angle[rows])


def main_bears_as_plain(main: MainBearing) -> bool:
    """Return whether mains have a groove that the table does not hold and so counts as none.

    A groove all round, which makes two lands, is none of these.

    Reference: the range of the table, as of `groove_map`.
    """
    partial = main.groove_arc > 0 and not main.is_parted
    share = main.groove / main.width
    return partial and not groove_table().holds(main.width_ratio, share, main.groove_arc)
