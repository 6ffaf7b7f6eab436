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

import numpy as np

from kinematics.array import Array
from kinematics.design.design_bearings import Oil
from kinematics.design.oil_viscosity import oil_viscosity
from kinematics.errors import DesignError
from kinematics.film.film_model import FilmModel, JournalPlaces
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
MOST_ROUNDS, AGREED = 40, 1e-4  # of the balance; largest relative error of viscosity at its end
FIRST_SLOPE = 1.5  # of the search, before two values are known
NEAR_BALANCE = 0.02  # relative; closer than this the bracket's own error would hinder
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
        size = np.sqrt(self.orbit[:, 0] ** 2 + self.orbit[:, 1] ** 2).max(axis=-1)
        thinnest: Array = self.bearings.clearance * (1 - size)
        return thinnest

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
    points = bearings.load.shape[-1]
    coarse = max(stride, _divisor(points, points // BALANCE_POINTS))
    viscosity, orbit = _balanced(bearings, oil, feed_pressure, film, coarse)
    start = None
    if orbit is not None and coarse % stride == 0:
        start = _between(orbit, coarse // stride)
    journals = bearings.journals(viscosity, stride)
    orbit = closed_orbits(journals, film, start=start)
    state = film_state(bearings, viscosity, orbit, feed_pressure, film)
    warm = effective_temperature(state, oil.inlet_temperature)
    return SettledFilms(bearings, film, orbit, viscosity, warm, state)


def _balanced(
    bearings: RunningBearings, oil: Oil, feed_pressure: Array, film: FilmModel, stride: int
) -> tuple[Array, Array | None]:
    """Return the viscosities [Pa·s] (b,) at which film and oil agree, and the orbits then.

    The secant method on ln μ, kept between the values known to be too thick and too thin; what
    is sought rises with ln μ, at least as fast.
    Without a law of viscosity it is the design's own, and there are no orbits yet.
    """
    law = oil_viscosity(oil)
    if law is None:
        return np.full(len(bearings.speed), oil.viscosity), None
    inlet, orbit = oil.inlet_temperature, None
    log = np.full(len(bearings.speed), math.log(float(law(np.array(inlet + 10.0)))))
    thin = np.full(log.shape, math.log(float(law(np.array(inlet + HOTTEST)))))
    thick = np.full(log.shape, math.log(float(law(np.array(inlet)))))
    before, off_before, worst = log, np.zeros(log.shape), 1.0
    for _ in range(MOST_ROUNDS):
        viscosity = np.exp(log)
        closed = max(ROUGHLY_CLOSED * min(worst, 1.0), CLOSED)
        journals = bearings.journals(viscosity, stride)
        orbit = closed_orbits(journals, film, start=orbit, closed=closed)
        state = film_state(bearings, viscosity, orbit, feed_pressure, film)
        warm = effective_temperature(state, inlet)
        off = log - np.log(law(warm))
        worst = float(np.abs(off).max())
        if worst < AGREED:
            return viscosity, orbit
        thick, thin = np.where(off > 0, log, thick), np.where(off < 0, log, thin)
        moved = log - before
        slope = np.divide(off - off_before, moved, out=FIRST_SLOPE + 0 * off, where=moved != 0)
        before, off_before = log, off
        log = log - off / np.maximum(slope, 1.0)
        trusted = (thin < log) & (log < thick) | (np.abs(off) < NEAR_BALANCE)
        log = np.where(trusted, log, (thin + thick) / 2)
    raise DesignError(
        "oil.inlet_temperature_degC",
        f"no oil temperature balances film heat and viscosity (inlet {inlet - 273.15:.4g} °C)",
    )


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
    along, ahead = (clearance * speed * velocity for velocity in film.velocity(at))  # [m/s]
    slip = journals.slip * speed
    # of two lands, what leaves toward the groove between them stays in the bearing
    side = radius * width * np.hypot(along, ahead) * film.side_flow(at)
    pressed = np.arctan2(at.load_x, at.load_y) + np.arctan2(ahead, along)
    fed = pressure_flow(bearings, orbit, viscosity, feed_pressure, pressed)
    extent = feed_extent(bearings)
    drag = 2 * math.pi * thick * slip**2 * radius**3 * width / (clearance * film.friction_gap(at))
    return FilmState(
        at=at,
        drag_loss=lands * drag,
        squeeze_loss=lands * load * along,
        side_flow=side,
        feed_flow=fed,
        passed_flow=passed_flow(side.mean(axis=-1), fed.mean(axis=-1), extent),
        feed_extent=extent,
    )


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
