"""The oil film of every big end and main bearing over a cycle, at one speed.

Rigid, round journals and shells, an even viscosity along each film, a film that fills the gap
from the shell's sides and its feed, no inertia of the journal. A groove is open: its pressure is
the ambient one.

Source: as of `mobility`, `film_map` and `film_heat`; grooves as of `grooved_film`.
"""

import math
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from kinematics.array import Array
from kinematics.design.design_bearings import FILM_MODELS, BigEnd, MainBearing, Oil, PlainBearing
from kinematics.design.oil_viscosity import OIL_DENSITY, oil_viscosity
from kinematics.errors import DesignError
from kinematics.film.film_heat import BALANCE_POINTS, SettledFilms, settled_films
from kinematics.film.grooved_film import bearing_film
from kinematics.film.journal_orbit import closed_orbits
from kinematics.film.oil_feed import full_film_flow, starved_eccentricity
from kinematics.film.oil_supply import crank_drilling, crankpin_pressure
from kinematics.film.running_bearings import RunningBearings, row_of, running_bearings
from kinematics.one_line import frozen_record, one_line, quantity
from kinematics.train.cycle import Cycle, RigidTrain

ALIKE = 1e-9  # relative; films closer than this count as one
KEPT = 8  # films of trains at speeds, so that every page shows the same


@frozen_record
class BearingFilms:
    """Films of the big ends, or of the mains: b bearings, n angles of the crank; SI.

    Axes are the shell's (rod axes for big ends, block axes for mains); angles on the shell count
    from y in the sense of rotation.

    >>> from kinematics import journal_films, load_demo, solve_cycle
    >>> cycle = solve_cycle(load_demo("hill_climb_six"), 8500)
    >>> mains = journal_films(cycle).mains
    >>> mains
    BearingFilms(7 bearings at 8500 rpm, minimum film 2.83 to 5.22 µm, peak pressure 77.3
    MPa, loss 7.63 kW)
    >>> mains.film.shape
    (7, 720)
    """

    bearing: PlainBearing
    crank_angle: Array  # [rad] (n,)
    load: Array  # [N] (b, 2, n), journal on shell
    eccentricity: Array  # (b, 2, n), over the radial clearance
    peak_pressure: Array  # [Pa] (b, n), the highest in the film
    pressure_angle: Array  # [rad] (b, n), its place on the shell
    drag_loss: Array  # [W] (b, n)
    squeeze_loss: Array  # [W] (b, n)
    side_flow: Array  # [m³/s] (b, n), pressed out at the sides: what the supply must replace
    feed_flow: Array  # [m³/s] (b, n), that the supply presses through
    passed_flow: Array  # [m³/s] (b,), that really passes
    cooling_flow: Array  # [m³/s] (b,), the same where there is any: what carries the heat
    filling: Array  # flow that passes over that of a full film (b,)
    feed_extent: Array  # width of hole or groove over the bearing's (b,)
    viscosity: Array  # [Pa·s] (b,)
    temperature: Array  # [K] (b,), effective
    speed: float  # of the crank [rad/s]

    def __repr__(self) -> str:
        return one_line(
            self,
            f"{len(self.load)} bearings at {quantity(self.speed, 'rpm', 6)}",
            f"minimum film {quantity(self.minimum_film, 'um', 3)}",
            f"peak pressure {quantity(self.peak_pressure.max(), 'MPa', 3)}",
            f"loss {quantity(self.loss.sum(), 'kW', 3)}",
        )

    @property
    def size(self) -> Array:
        """Eccentricity ratio, (b, n)."""
        return np.sqrt(self.eccentricity[:, 0] ** 2 + self.eccentricity[:, 1] ** 2)

    @property
    def film(self) -> Array:
        """Thinnest film round the shell [m], (b, n), of a straight journal in line with it.

        Reference: h = c (1 - ε), the geometry of two circles.
        """
        return self.bearing.radial_clearance * (1 - self.size)

    @property
    def minimum_film(self) -> Array:
        """Thinnest film of the cycle [m], (b,)."""
        return self.film.min(axis=-1)

    @property
    def minimum_index(self) -> NDArray[np.intp]:
        """First place of the thinnest film on the angle grid, (b,)."""
        least = self.film.min(axis=-1, keepdims=True)
        return (self.film <= least + ALIKE * np.abs(least)).argmax(axis=-1)

    @property
    def minimum_place(self) -> Array:
        """Where on the shell the thinnest film of the cycle stands [rad], (b,)."""
        rows = np.arange(len(self.load))
        at = self.eccentricity[rows, :, self.minimum_index]
        return np.arctan2(at[:, 0], at[:, 1]) % (2 * math.pi)

    @property
    def specific_load(self) -> Array:
        """Load over projected area [Pa], (b, n)."""
        size = np.sqrt(self.load[:, 0] ** 2 + self.load[:, 1] ** 2)
        return size / self.bearing.projected_area

    @property
    def loss(self) -> Array:
        """Mean power that turns to heat [W], (b,)."""
        return (self.drag_loss + self.squeeze_loss).mean(axis=-1)

    @property
    def friction_torque(self) -> Array:
        """Mean torque that the loss takes from the crank [N·m], (b,).

        Reference: follows from power = torque · speed.
        """
        return self.loss / self.speed

    @property
    def fed_film(self) -> Array:
        """Minimum film [m] (b,) of a steady short bearing that is fed no more than passes here.

        The same share of `minimum_film` that starving takes from a short bearing at its
        eccentricity: a lower bound where the film is thinnest once a turn, and a hint elsewhere.

        Reference: as of `starved_eccentricity`.
        """
        full = 1 - self.minimum_film / self.bearing.radial_clearance
        return self.bearing.radial_clearance * (1 - starved_eccentricity(full, self.filling))

    @property
    def oil_needed(self) -> Array:
        """Mean flow that a full film presses out at its sides [m³/s], (b,)."""
        return self.side_flow.mean(axis=-1)

    @property
    def full_flow(self) -> Array:
        """Flow that would pass through a full film [m³/s], (b,).

        Reference: as of `full_film_flow`.
        """
        return full_film_flow(self.oil_needed, self.oil_fed)

    @property
    def oil_fed(self) -> Array:
        """Mean flow that the supply presses through hole or groove [m³/s], (b,)."""
        return self.feed_flow.mean(axis=-1)


@frozen_record
class JournalFilms:
    """Films of all bearings at one speed.

    >>> from kinematics import journal_films, load_demo, solve_cycle
    >>> cycle = solve_cycle(load_demo("hill_climb_six"), 8500)
    >>> journal_films(cycle)
    JournalFilms(6 big ends, minimum film 1.69 µm, 7 mains, minimum film 2.83 µm)
    """

    big_ends: BearingFilms
    mains: BearingFilms
    heat_balanced: bool  # False where the design's own viscosity is used

    def __repr__(self) -> str:
        big_ends, mains = self.big_ends.minimum_film, self.mains.minimum_film
        return one_line(
            self,
            f"{len(big_ends)} big ends",
            f"minimum film {quantity(big_ends.min(), 'um', 3)}",
            f"{len(mains)} mains",
            f"minimum film {quantity(mains.min(), 'um', 3)}",
        )

    def of(self, kind: str) -> BearingFilms:
        """Return those of a kind, "big_end" or "main"."""
        return self.big_ends if kind == "big_end" else self.mains


def journal_films(cycle: Cycle) -> JournalFilms:
    """Return the films of all big ends and mains of a design at the cycle's speed.

    The film model is that which the design's oil names.

    Parameters
    ----------
    cycle : of a design with both bearings and oil

    Returns
    -------
    Films of b bearings at n crank angles, (b, n) [m]; pressures (b, n) [Pa]; losses [W].

    Raises
    ------
    DesignError where bearings or oil are missing, or no closed orbit is found.

    Reference: Booker, 1965, on the film model that the oil names; heat after ISO 7902 (both from
    memory).

    >>> from kinematics import journal_films, load_demo, solve_cycle
    >>> cycle = solve_cycle(load_demo("hill_climb_six"), 8500)
    >>> films = journal_films(cycle)
    >>> print(f"{films.big_ends.minimum_film.min() * 1e6:.2f} µm")
    1.69 µm
    """
    return train_films(cycle.train, cycle.speed)


@lru_cache(maxsize=KEPT)
def train_films(train: RigidTrain, speed: float) -> JournalFilms:
    """Return `journal_films` of a train at a crank speed [rad/s], kept for the last ones.

    Raises DesignError as of `journal_films`.

    Reference: Booker, 1965, on the film model that the oil names; heat after ISO 7902 (both from
    memory).
    """
    design = train.design
    oil: Oil = design.needed("oil", "the oil film")
    big_end: BigEnd = design.needed("big_end", "the oil film")
    main: MainBearing = design.needed("main_bearing", "the oil film")
    bearings = running_bearings(train, np.array([speed]))
    feed = feed_pressures(train, bearings)
    film = bearing_film(oil.film_model, bearings)
    settled = settled_films(bearings, oil, feed, film)
    big_ends, mains = row_of(train, "big_end"), row_of(train, "main")
    before = 1 + max(row for row, _ in big_ends)
    shared = (settled, train)
    return JournalFilms(
        _films(*shared, big_end, big_ends),
        _films(*shared, main, [(before + row, by) for row, by in mains]),
        oil_viscosity(oil) is not None,
    )


def films_by_other_models(cycle: Cycle, films: BearingFilms, kind: str) -> dict[str, Array]:
    """Return the minimum films [m] (b,) of a kind by the film models that the oil does not name.

    `kind` is "big_end" or "main"; at the films' viscosities, on a grid of some 240 points.

    Reference: as of `mobility`.
    """
    train = cycle.train
    bearings = running_bearings(train, np.array([cycle.speed]), (kind,))
    rows = [row for row, _ in row_of(train, kind)]
    first = [rows.index(row) for row in range(1 + max(rows))]
    journals = bearings.journals(films.viscosity[first], max(train.points // BALANCE_POINTS, 1))
    own: Oil = cycle.design.needed("oil", "the oil film")
    found = {}
    for name in FILM_MODELS:
        if name == own.film_model:
            continue
        orbit = closed_orbits(journals, bearing_film(name, bearings))
        size = np.sqrt(orbit[:, 0] ** 2 + orbit[:, 1] ** 2).max(axis=-1)
        found[name] = films.bearing.radial_clearance * (1 - size[rows])
    return found


def feed_pressures(train: RigidTrain, bearings: RunningBearings) -> Array:
    """Return the gauge pressure at which oil enters each film [Pa], (b,).

    Mains have the supply's; the crankpins what the turning oil column makes of it, where the
    design gives the drilling; it is none where the column would be torn.

    Reference: F. M. White, Fluid Mechanics (from memory), as of `crankpin_pressure`.
    """
    design = train.design
    supply: float = design.needed("oil", "the oil film").supply_pressure
    try:
        drilling = crank_drilling(design)
    except DesignError:
        return np.full(len(bearings.speed), supply)
    pin = crankpin_pressure(drilling, bearings.speed, supply, density=OIL_DENSITY)
    return np.where(bearings.is_main, supply, np.maximum(pin, 0.0))


def _films(
    settled: SettledFilms,
    train: RigidTrain,
    bearing: PlainBearing,
    rows: list[tuple[int, int]],
) -> BearingFilms:
    """Return some rows of the settled films, each later by the points it is behind."""
    state, load = settled.state, settled.bearings.load
    place = np.arctan2(load[:, 0], load[:, 1]) + settled.film.peak_angle(state.at)

    def taken(values: Array) -> Array:
        return np.stack([np.roll(values[row], behind, axis=-1) for row, behind in rows])

    first = [row for row, _ in rows]
    return BearingFilms(
        bearing=bearing,
        crank_angle=train.crank_angle,
        load=taken(load),
        eccentricity=taken(settled.orbit),
        peak_pressure=taken(settled.peak_pressure),
        pressure_angle=taken(place % (2 * math.pi)),
        drag_loss=taken(state.drag_loss),
        squeeze_loss=taken(state.squeeze_loss),
        side_flow=taken(state.side_flow),
        feed_flow=taken(state.feed_flow),
        passed_flow=state.passed_flow[first],
        cooling_flow=state.cooling_flow[first],
        filling=state.filling[first],
        feed_extent=state.feed_extent[first],
        viscosity=settled.viscosity[first],
        temperature=settled.temperature[first],
        speed=float(settled.bearings.speed[0]),
    )
