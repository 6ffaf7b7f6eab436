"""What a running film costs and carries away, and the viscosity at which both agree.

Friction heats the oil, warmer oil is thinner, thinner oil rubs less: the heat balance finds the
effective temperature, the mean of inlet and outlet, at which the film's loss is what the oil
carries off that really passes. All heat leaves with the oil (cautious: shell and shaft take some).

Sources: loss = drag of the turning surfaces + load times squeeze velocity, after J. F. Booker,
1965 (from memory; with a gap full all round it gives the friction of Raimondi and Boyd); drag is
counted where the gap is filled, as of `film_friction`; effective temperature and heat a
volume after ISO 7902-1 (from memory; for steady loads); flows as of `oil_feed`.
"""

import dataclasses
import math
from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from kinematics.array import Array
from kinematics.design.design_bearings import Oil
from kinematics.design.oil_viscosity import oil_viscosity
from kinematics.errors import DesignError
from kinematics.film.film_model import TINY, FilmModel, JournalPlaces
from kinematics.film.journal_orbit import CLOSED, closed_orbits
from kinematics.film.oil_feed import (
    feed_extent,
    full_film_flow,
    passed_flow,
    pressure_flow,
)
from kinematics.film.running_bearings import RunningBearings
from kinematics.one_line import frozen_record

HEAT_PER_VOLUME = 1.8e6  # of oil [J/(m³·K)], ISO 7902 (from memory)
BALANCE_POINTS = 240  # of the cycle, for loss and flow, which are means
MOST_ROUNDS, AGREED = 40, 1e-5  # of the balance; largest relative error of viscosity at its end
ROUGH_POINTS, ROUGHLY_AGREED = 80, 0.1  # of the cycle, and of the balance sought on them first
FIRST_SLOPE = 1.5  # of the search, before two values are known
TELLING = 1e-3  # change of ln μ from which the search learns a slope
FIRST_RISE = 30.0  # above the inlet [K], where the search begins
DOUBTFUL = 0.05  # relative; of what is off by less, the orbit's own error may turn the sign
ROUGHLY_CLOSED = 0.1  # of orbits while the balance is sought, times how far off it is
HOTTEST = 250.0  # above the inlet [K]: no oil is found hotter
LEAST_FILLING = 0.02  # for the heat: less is not asked of a film that stays where it is


@frozen_record
class FilmState:
    """Films along their orbits, (b, n) of the points given; all lands together."""

    at: JournalPlaces
    drag_loss: Array  # [W], of the surfaces turning against each other
    squeeze_loss: Array  # [W], load times squeeze velocity
    side_flow: Array  # [m³/s], pressed out at the sides
    feed_flow: Array  # [m³/s], that the supply presses through
    passed_flow: Array  # [m³/s] (b,), that really passes, mean of the cycle
    feed_extent: Array  # width of hole or groove over the bearing's (b,)

    @property
    def loss(self) -> Array:
        """Power that turns to heat [W], (b, n).

        Reference: follows from `loss` = drag + squeeze, after Booker, 1965 (from memory).
        """
        return self.drag_loss + self.squeeze_loss

    @property
    def filling(self) -> Array:
        """Flow that passes over that of a full film, (b,), 0 to 1.

        Reference: as of `oil_feed`.
        """
        return self.passed_flow / self._full_flow

    @property
    def _full_flow(self) -> Array:
        return full_film_flow(self.side_flow.mean(axis=-1), self.feed_flow.mean(axis=-1))

    @property
    def cooling_flow(self) -> Array:
        """Flow that carries the heat [m³/s], (b,).

        Reference: the flow that passes; of no film less than `LEAST_FILLING` of the full one.
        """
        return np.maximum(self.passed_flow, LEAST_FILLING * self._full_flow)


@frozen_record
class SettledFilms:
    """Closed orbits at the viscosities that their own heat makes."""

    bearings: RunningBearings
    film: FilmModel  # of the bearings' rows
    orbit: Array  # (b, 2, n), eccentricity ratio
    viscosity: Array  # effective [Pa·s] (b,)
    temperature: Array  # effective [K] (b,), that of the heat balance
    state: FilmState  # at the orbit's points

    @property
    def minimum_film(self) -> Array:
        """Thinnest film of the cycle [m], (b,).

        Reference: h = c (1 - ε), the geometry of two circles.
        """
        return _thinnest(self.bearings, self.orbit)

    @property
    def peak_pressure(self) -> Array:
        """The highest pressure in the film [Pa], (b, n), of orbits at every point of the cycle.

        Reference: as of the film model.
        """
        load = self.bearings.load
        specific = (
            np.sqrt(load[:, 0] ** 2 + load[:, 1] ** 2) / self.bearings.projected_area[:, None]
        )
        peak: Array = specific * self.film.peak_pressure(self.state.at)
        return peak


@frozen_record
class FilmStart:
    """Where the search for settled films begins: films that are nearly theirs."""

    viscosity: Array  # [Pa·s] (b,)
    orbit: Array  # (b, 2, k), on k points of the cycle
    slope: Array  # (b,), of what the search is off over ln μ

    def taken(self, rows: NDArray[np.intp]) -> "FilmStart":
        """Return that of some rows."""
        return FilmStart(self.viscosity[rows], self.orbit[rows], self.slope[rows])

    def mixed(self, other: "FilmStart", share: float) -> "FilmStart":
        """Return what lies between this and a share of another of the same rows."""
        viscosity = self.viscosity ** (1 - share) * other.viscosity**share
        orbit, slope = (
            (1 - share) * own + share * new
            for own, new in ((self.orbit, other.orbit), (self.slope, other.slope))
        )
        return FilmStart(viscosity, orbit, slope)

    def parted(self, count: int) -> list["FilmStart"]:
        """Return it in so many parts of as many rows each."""
        return [self.taken(rows) for rows in np.split(np.arange(len(self.slope)), count)]

    @staticmethod
    def joined(starts: Sequence["FilmStart"]) -> "FilmStart":
        """Return the rows of all as one."""
        return FilmStart(
            np.concatenate([start.viscosity for start in starts]),
            np.concatenate([start.orbit for start in starts]),
            np.concatenate([start.slope for start in starts]),
        )


@frozen_record
class BalancedFilms:
    """Films whose heat is balanced on some `BALANCE_POINTS` points of the cycle."""

    bearings: RunningBearings
    film: FilmModel  # of the bearings' rows
    feed_pressure: Array  # [Pa] (b,), gauge
    inlet: float  # [K]
    found: FilmStart
    filling: Array  # flow that passes over that of a full film (b,)

    @property
    def minimum_film(self) -> Array:
        """Thinnest film at these points [m], (b,).

        Reference: h = c (1 - ε), the geometry of two circles.
        """
        return _thinnest(self.bearings, self.found.orbit)

    def taken(self, rows: NDArray[np.intp]) -> "BalancedFilms":
        """Return some of the rows."""
        return BalancedFilms(
            self.bearings.taken(rows),
            self.film.of_rows(rows),
            self.feed_pressure[rows],
            self.inlet,
            self.found.taken(rows),
            self.filling[rows],
        )

    def settled(self, stride: int = 1) -> SettledFilms:
        """Return the films at every `stride`-th point of the cycle, at the balanced viscosities.

        Raises DesignError where no closed orbit is found.

        Reference: as of `closed_orbits`.
        """
        bearings, film, viscosity = self.bearings, self.film, self.found.viscosity
        points = bearings.load.shape[-1] // stride
        times, left = divmod(points, self.found.orbit.shape[-1])
        start = None if left else _between(self.found.orbit, times)
        orbit = closed_orbits(bearings.journals(viscosity, stride), film, start=start)
        state = film_state(bearings, viscosity, orbit, self.feed_pressure, film)
        warm = effective_temperature(state, self.inlet)
        return SettledFilms(bearings, film, orbit, viscosity, warm, state)


def settled_films(
    bearings: RunningBearings,
    oil: Oil,
    feed_pressure: Array,
    film: FilmModel,
    *,
    stride: int = 1,
) -> SettledFilms:
    """Return the films of bearings once temperature and viscosity agree.

    Parameters
    ----------
    feed_pressure : [Pa] (b,), gauge, where the oil enters the film
    film : of the bearings' rows
    stride : points of the cycle that make one of the result's

    Raises
    ------
    DesignError where no closed orbit is found.

    Reference: heat balance as in ISO 7902-1 (from memory); secant method.
    """
    return balanced_films(bearings, oil, feed_pressure, film, stride=stride).settled(stride)


def balanced_films(
    bearings: RunningBearings,
    oil: Oil,
    feed_pressure: Array,
    film: FilmModel,
    *,
    stride: int = 1,
    start: FilmStart | None = None,
    agreed: float = AGREED,
) -> BalancedFilms:
    """Return films whose viscosities agree with their heat, on `BALANCE_POINTS` of the cycle.

    Without a start first roughly, on fewer points. Without a law of viscosity it is the design's
    own.

    Parameters
    ----------
    feed_pressure : [Pa] (b,), gauge, where the oil enters the film
    film : of the bearings' rows
    stride : points of the cycle, of which no fewer are left out
    start : films that are nearly these, of the same rows
    agreed : largest relative error of viscosity

    Raises
    ------
    DesignError where no closed orbit is found, or heat and viscosity do not agree.

    Reference: heat balance as in ISO 7902-1 (from memory); secant method.
    """
    points, law = bearings.load.shape[-1], oil_viscosity(oil)
    stride = max(stride, balance_stride(points))

    def state_of(viscosity: Array, orbit: Array) -> FilmState:
        return film_state(bearings, viscosity, orbit, feed_pressure, film)

    def balanced(viscosity: Array, orbit: Array, slope: Array, state: FilmState) -> BalancedFilms:
        found = FilmStart(viscosity, orbit, slope)
        inlet = oil.inlet_temperature
        return BalancedFilms(bearings, film, feed_pressure, inlet, found, state.filling)

    if law is None:
        given = np.full(len(bearings.speed), oil.viscosity)
        orbit = closed_orbits(bearings.journals(given, stride), film)
        return balanced(given, orbit, np.full_like(given, FIRST_SLOPE), state_of(given, orbit))
    search = _Search.between(oil, law, len(bearings.speed))
    wider = stride * _divisor(points // stride, points // stride // ROUGH_POINTS)
    before: Array | None = None
    guess: Array | None = None
    closed = ROUGHLY_CLOSED
    if start is not None:
        search, wider = search.begun(start), stride
        guess = _between(start.orbit, points // stride // start.orbit.shape[-1])
    for _ in range(MOST_ROUNDS):
        viscosity = np.exp(search.log)
        orbit = closed_orbits(bearings.journals(viscosity, wider), film, start=guess, closed=closed)
        state = state_of(viscosity, orbit)
        off = search.log - np.log(law(effective_temperature(state, oil.inlet_temperature)))
        worst, following = float(np.abs(off).max()), search.next(off)
        guess = orbit if before is None else _ahead(before, orbit, following.part_of(search))
        if wider == stride and search.left_after(off) < agreed:
            return balanced(np.exp(following.log), guess, following.slope, state)
        closed, search, before = max(ROUGHLY_CLOSED * min(worst, 1.0), CLOSED), following, orbit
        if worst < ROUGHLY_AGREED and wider > stride:
            guess, wider, before = _between(orbit, wider // stride), stride, None
            search = search.anew()
    raise DesignError(
        "oil.inlet_temperature_degC",
        f"no oil temperature balances film heat and viscosity (inlet "
        f"{oil.inlet_temperature - 273.15:.4g} °C)",
    )


@frozen_record
class _Search:
    """The secant method on ln μ, kept between the values known to be too thick and too thin.

    What is sought rises with ln μ, at least as fast. Each (b,).
    """

    log: Array  # ln μ, where it is asked next
    thin: Array
    thick: Array
    before: Array  # ln μ where it was asked last, and how far off that was
    off_before: Array
    slope: Array

    @staticmethod
    def between(oil: Oil, law: Callable[[Array], Array], count: int) -> "_Search":
        inlet = oil.inlet_temperature
        first, thin, thick = (
            np.full(count, math.log(float(law(np.array(inlet + warmer)))))
            for warmer in (FIRST_RISE, HOTTEST, 0.0)
        )
        nothing = np.full(count, np.nan)
        return _Search(first, thin, thick, nothing, nothing, np.full(count, FIRST_SLOPE))

    def anew(self) -> "_Search":
        """Return the search without its last value, of which the next is no neighbour."""
        nothing = np.full_like(self.log, np.nan)
        return dataclasses.replace(self, before=nothing, off_before=nothing)

    def begun(self, start: FilmStart) -> "_Search":
        """Return the search from what is nearly its end."""
        return dataclasses.replace(self, log=np.log(start.viscosity), slope=start.slope)

    def left_after(self, off: Array) -> float:
        """Return how far off the next value will be at most, after one that is off by so much.

        The method gains at least as much again as it did with the last value.
        """
        off = np.abs(off)
        before = np.where(np.isnan(self.off_before), off, np.abs(self.off_before))
        return float((off**2 / np.maximum(np.maximum(off, before), 1e-300)).max())

    def part_of(self, last: "_Search") -> Array:
        """Return the next change of ln μ over the last one (b,); 0 where that tells nothing."""
        moved = last.log - last.before
        known = np.abs(moved) > TELLING * DOUBTFUL
        part = np.divide(self.log - last.log, moved, out=np.zeros_like(moved), where=known)
        return np.where(np.abs(part) < 1, part, 0.0)

    def next(self, off: Array) -> "_Search":
        """Return the search after it was off by so much (b,)."""
        log = self.log
        thick = np.where(off > DOUBTFUL, log, self.thick)
        thin = np.where(off < -DOUBTFUL, log, self.thin)
        moved = log - self.before
        known = np.abs(moved) > TELLING
        slope = np.divide(off - self.off_before, moved, out=self.slope.copy(), where=known)
        after = log - off / np.maximum(slope, 1.0)
        trusted = (thin <= after) & (after <= thick) | (np.abs(off) < DOUBTFUL)
        after = np.where(trusted, after, (thin + thick) / 2)
        return _Search(after, thin, thick, log, off, slope)


def effective_temperature(state: FilmState, inlet: float) -> Array:
    """Return T = T_inlet + P / (2 ρc Q) [K] (b,), of mean loss and the flow that passes.

    Reference: ISO 7902-1 (from memory).
    """
    rise = state.loss.mean(axis=-1) / (2 * HEAT_PER_VOLUME * state.cooling_flow)
    return inlet + np.minimum(rise, HOTTEST)


def film_state(
    bearings: RunningBearings,
    viscosity: Array,
    orbit: Array,
    feed_pressure: Array,
    film: FilmModel,
) -> FilmState:
    """Return the films at the points of an orbit (b, 2, n), which leaves out points of the cycle.

    Parameters
    ----------
    viscosity : [Pa·s] (b,);  feed_pressure : [Pa] (b,), gauge, where the oil enters the film

    Reference: Booker, 1965 (from memory); flows as of `oil_feed`.
    """
    journals = bearings.journals(viscosity, bearings.load.shape[-1] // orbit.shape[-1])
    at = journals.places(orbit)
    of_land = bearings.load[..., :: bearings.load.shape[-1] // orbit.shape[-1]]
    load = np.sqrt(of_land[:, 0] ** 2 + of_land[:, 1] ** 2) / bearings.lands[:, None]
    lands, radius, width, clearance, speed, thick = (
        column[:, None]
        for column in (
            bearings.lands, bearings.radius, bearings.width, bearings.clearance, bearings.speed,
            viscosity,
        )
    )  # fmt: skip
    velocity = film.velocity(at)
    along, ahead = (clearance * speed * part for part in velocity)  # [m/s]
    slip = journals.slip * speed
    # of two lands, what leaves toward the groove between them stays in the bearing
    squeeze = np.maximum(np.sqrt(along * along + ahead * ahead), TINY)
    side = radius * width * squeeze * film.side_flow(at)
    pressed = np.stack(at.in_shell(along / squeeze, ahead / squeeze), axis=1)
    fed = pressure_flow(bearings, orbit, viscosity, feed_pressure, pressed)
    extent = feed_extent(bearings)
    gap = clearance * film.friction_gap(at, velocity)
    drag = 2 * math.pi * thick * slip**2 * radius**3 * width / gap
    return FilmState(
        at=at,
        drag_loss=lands * drag,
        squeeze_loss=lands * load * along,
        side_flow=side,
        feed_flow=fed,
        passed_flow=passed_flow(side.mean(axis=-1), fed.mean(axis=-1), extent),
        feed_extent=extent,
    )


def balance_stride(points: int) -> int:
    """Return how many points of the cycle make one of those on which heat is balanced.

    Reference: a choice of grid, common practice, no source.
    """
    return _divisor(points, points // BALANCE_POINTS)


def _ahead(before: Array, orbit: Array, part: Array) -> Array:
    """Return orbits (b, 2, n) moved on by a part (b,) of their last change.

    Those that would come near the shell stay.
    """
    moved = orbit + part[:, None, None] * (orbit - before)
    gap, left = (1 - np.sqrt(at[:, 0] ** 2 + at[:, 1] ** 2) for at in (orbit, moved))
    room = np.all(left > gap / 2, axis=-1, keepdims=True)
    return np.where(room[..., None], moved, orbit)


def _thinnest(bearings: RunningBearings, orbit: Array) -> Array:
    """Return the thinnest films [m] (b,) of orbits (b, 2, n)."""
    size = np.sqrt(orbit[:, 0] ** 2 + orbit[:, 1] ** 2).max(axis=-1)
    thinnest: Array = bearings.clearance * (1 - size)
    return thinnest


def _between(orbit: Array, times: int) -> Array:
    """Return closed orbits (b, 2, n) with straight steps between their points, (b, 2, times n)."""
    part = np.arange(times) / times
    following = np.roll(orbit, -1, axis=-1)[..., None]
    return (orbit[..., None] * (1 - part) + following * part).reshape(*orbit.shape[:-1], -1)


def _divisor(count: int, wanted: int) -> int:
    """Return the largest divisor of a count that is not above what is wanted, at least 1."""
    return max(
        (divisor for divisor in range(1, max(wanted, 1) + 1) if count % divisor == 0), default=1
    )
