"""What a running film costs and carries away, and the viscosity at which both agree.

Friction heats the oil, warmer oil is thinner, thinner oil rubs less: the heat balance finds the
effective temperature, the mean of inlet and outlet, at which the film's loss is what the oil
carries off that really passes. All heat leaves with the oil (cautious: shell and shaft take some).

Sources: loss = drag of the turning surfaces + load times squeeze velocity, after J. F. Booker,
1965 (from memory; with a gap full all round it gives the friction of Raimondi and Boyd); drag is
counted where the gap is filled, as of `film_friction`; effective temperature and heat a
volume after ISO 7902-1 (from memory; for steady loads); flows as of `oil_feed`.
"""

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
from kinematics.film.viscosity_search import FIRST_SLOPE, HOTTEST, ViscositySearch
from kinematics.one_line import frozen_record

HEAT_PER_VOLUME = 1.8e6  # of oil [J/(m³·K)], ISO 7902 (from memory)
BALANCE_POINTS = 240  # of the cycle, for loss and flow, which are means
MOST_ROUNDS, AGREED = 40, 1e-5  # of the balance; largest relative error of viscosity at its end
ROUGH_POINTS, ROUGHLY_AGREED = 80, 0.01  # of the cycle, and of the balance sought on them first
ROUGHLY_CLOSED = 0.1  # of orbits while the balance is sought, times how far off it is
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
class FedFilms:
    """Bearings, their film model and the oil that feeds them, one a row."""

    bearings: RunningBearings
    film: FilmModel  # of the bearings' rows
    feed_pressure: Array  # [Pa] (b,), gauge
    inlet: float  # [K]

    def taken(self, rows: NDArray[np.intp]) -> "FedFilms":
        """Return some of the rows."""
        bearings, film = self.bearings.taken(rows), self.film.of_rows(rows)
        return FedFilms(bearings, film, self.feed_pressure[rows], self.inlet)

    def state(self, viscosity: Array, orbit: Array) -> FilmState:
        """Return the films at viscosities [Pa·s] (b,) along an orbit, as of `film_state`."""
        return film_state(self.bearings, viscosity, orbit, self.feed_pressure, self.film)


@frozen_record
class BalancedFilms:
    """Films whose heat is balanced on some `BALANCE_POINTS` points of the cycle."""

    of: FedFilms
    found: FilmStart
    filling: Array  # flow that passes over that of a full film (b,)
    off: Array  # what ln μ was off before the last step (b,)
    agreed: float = AGREED  # largest relative error of viscosity

    @property
    def minimum_film(self) -> Array:
        """Thinnest film at these points [m], (b,).

        Reference: h = c (1 - ε), the geometry of two circles.
        """
        return _thinnest(self.of.bearings, self.found.orbit)

    def taken(self, rows: NDArray[np.intp]) -> "BalancedFilms":
        """Return some of the rows."""
        of, found = self.of.taken(rows), self.found.taken(rows)
        return BalancedFilms(of, found, self.filling[rows], self.off[rows], self.agreed)

    @property
    def state(self) -> FilmState:
        """The films along their orbits.

        Reference: as of `film_state`.
        """
        return self.of.state(self.found.viscosity, self.found.orbit)

    def on_all_points(self, stride: int = 1) -> "BalancedFilms":
        """Return the films at every `stride`-th point of the cycle, at the balanced viscosities.

        Their filling is that on few points still.

        Raises DesignError where no closed orbit is found.

        Reference: as of `closed_orbits`.
        """
        bearings, film, viscosity = self.of.bearings, self.of.film, self.found.viscosity
        points = bearings.load.shape[-1] // stride
        times, left = divmod(points, self.found.orbit.shape[-1])
        start = None if left else _between(self.found.orbit, times)
        thrifty = start is not None and self.agreed >= AGREED
        journals = bearings.journals(viscosity, stride)
        orbit = closed_orbits(journals, film, start=start, thrifty=thrifty)
        found = FilmStart(viscosity, orbit, self.found.slope)
        return BalancedFilms(self.of, found, self.filling, self.off, self.agreed)

    def settled(self, stride: int = 1) -> SettledFilms:
        """Return the films at every `stride`-th point of the cycle, and all that follows from them.

        Raises DesignError where no closed orbit is found.

        Reference: as of `closed_orbits`.
        """
        films, found = self.of, self.on_all_points(stride).found
        state = films.state(found.viscosity, found.orbit)
        warm = effective_temperature(state, films.inlet)
        return SettledFilms(films.bearings, films.film, found.orbit, found.viscosity, warm, state)


Sieve = Callable[[BalancedFilms], NDArray[np.bool_]]


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
    sieve: Sieve | None = None,
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
    sieve : which rows are still of interest, by what is known of all; the others stay as they are

    Raises
    ------
    DesignError where no closed orbit is found, or heat and viscosity do not agree.

    Reference: heat balance as in ISO 7902-1 (from memory); secant method.
    """
    points, law = bearings.load.shape[-1], oil_viscosity(oil)
    stride = max(stride, balance_stride(points))
    films = FedFilms(bearings, film, feed_pressure, oil.inlet_temperature)
    if law is None:
        given = np.full(len(bearings.speed), oil.viscosity)
        orbit = closed_orbits(bearings.journals(given, stride), film)
        found = FilmStart(given, orbit, np.full_like(given, FIRST_SLOPE))
        return BalancedFilms(films, found, films.state(given, orbit).filling, 0 * given)
    search = ViscositySearch.between(oil, law, len(bearings.speed))
    closed: Array = np.full(len(search.log), ROUGHLY_CLOSED)
    if start is None:
        wider = stride * _divisor(points // stride, points // stride // ROUGH_POINTS)
        roughly = _Balance(law, wider, ROUGHLY_AGREED)
        rough = roughly.found(films, search, None, closed)
        start, closed = rough.found, roughly.closed(rough.off)
    guess = _between(start.orbit, points // stride // start.orbit.shape[-1])
    fine = _Balance(law, stride, agreed, sieve)
    return fine.found(films, search.begun(start.viscosity, start.slope), guess, closed)


@frozen_record
class _Balance:
    """How a heat balance is sought: the law of viscosity, the points of the cycle, and its end."""

    law: Callable[[Array], Array]
    stride: int  # points of the cycle that make one of those looked at
    agreed: float  # largest relative error of viscosity
    sieve: Sieve | None = None

    @property
    def closest(self) -> float:
        """How well orbits have to close at the end."""
        return max(10 * self.agreed, CLOSED)

    def closed(self, off: Array) -> Array:
        """Return how well orbits are closed next, where ln μ was off by so much (b,)."""
        return np.maximum(ROUGHLY_CLOSED * np.minimum(np.abs(off), 1.0), self.closest)

    def found(
        self, films: FedFilms, search: ViscositySearch, guess: Array | None, closed: Array
    ) -> BalancedFilms:
        """Return the balanced films, each as if it were alone.

        Raises DesignError where no closed orbit is found, or heat and viscosity do not agree.

        Parameters
        ----------
        guess : of their orbits, which are closed as well as `closed` says (b,)
        """
        work, rows, before = films, np.arange(len(search.log)), None
        known = _Sought.none(len(rows), films.bearings.load.shape[-1] // self.stride)
        for _ in range(MOST_ROUNDS):
            viscosity = np.exp(search.log)
            journals = work.bearings.journals(viscosity, self.stride)
            thrifty = guess is not None and self.agreed >= AGREED
            orbit = closed_orbits(journals, work.film, start=guess, closed=closed, thrifty=thrifty)
            state = work.state(viscosity, orbit)
            off = search.log - np.log(self.law(effective_temperature(state, films.inlet)))
            following = search.next(off)
            guess = orbit if before is None else _ahead(before, orbit, following.part_of(search))
            known.put(rows, FilmStart(np.exp(following.log), guess, following.slope))
            known.filling[rows], known.off[rows] = state.filling, off
            balanced = known.balanced(films, self.agreed)
            # an orbit that is not well closed may seem to agree by chance, a first one more so
            well = closed <= (1 if before is None else 10) * self.closest
            ended = well & (search.left_after(off) < self.agreed)
            if self.sieve is not None:
                ended |= ~self.sieve(balanced)[rows]
            left = np.flatnonzero(~ended)
            if not len(left):
                return balanced
            closed = self.closed(off[left])
            search, before, guess = following.taken(left), orbit[left], guess[left]
            if len(left) < len(rows):
                work, rows = work.taken(left), rows[left]
        raise DesignError(
            "oil.inlet_temperature_degC",
            f"no oil temperature balances film heat and viscosity (inlet "
            f"{films.inlet - 273.15:.4g} °C)",
        )


@frozen_record
class _Sought:
    """What a search knows of all rows by now; to be written to."""

    start: FilmStart
    filling: Array  # (b,)
    off: Array  # of ln μ (b,)

    @staticmethod
    def none(rows: int, points: int) -> "_Sought":
        start = FilmStart(np.empty(rows), np.empty((rows, 2, points)), np.empty(rows))
        return _Sought(start, np.empty(rows), np.empty(rows))

    def put(self, rows: NDArray[np.intp], start: FilmStart) -> None:
        self.start.viscosity[rows] = start.viscosity
        self.start.orbit[rows] = start.orbit
        self.start.slope[rows] = start.slope

    def balanced(self, films: FedFilms, agreed: float) -> BalancedFilms:
        return BalancedFilms(films, self.start, self.filling, self.off, agreed)


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
    pressed = np.empty_like(orbit)
    pressed[:, 0], pressed[:, 1] = at.in_shell(along / squeeze, ahead / squeeze)
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
