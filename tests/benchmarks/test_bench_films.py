"""Films of all thirteen bearings of a six with their heat balance, beside two slow ways.

Run with `make bench`. Mains are half-grooved, as in the demo, and plain beside them. One slow way
takes one bearing at a time. The other, by scipy's `solve_ivp`, takes plain mains: it integrates
each bearing by itself with a stiff solver over two cycles from the middle, at viscosities already
known and with the same map. Nothing here asserts a time.
"""

import math
from collections.abc import Callable

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from assets_demo import FOLDER
from kinematics import Cycle, journal_films, load_design, solve_cycle
from kinematics.film.film_heat import settled_films
from kinematics.film.film_survey import film_survey
from kinematics.film.grooved_film import GroovedFilm, bearing_film
from kinematics.film.journal_film import feed_pressures, train_films
from kinematics.film.mobility import journal_velocity
from kinematics.film.running_bearings import KINDS, row_of, running_bearings
from kinematics.film.short_bearing import FilmBearing
from tests.conftest import changed

Bench = Callable[..., object]
RPM = 8500


HILL = load_design(FOLDER / "hill_climb_six.toml")
PLAIN = changed(HILL, "main_bearing", groove_arc=0.0)
MAINS = {"half-grooved mains": HILL, "plain mains": PLAIN}


@pytest.fixture
def cycle() -> Cycle:
    return solve_cycle(HILL, RPM)


@pytest.mark.parametrize("mains", MAINS)
@pytest.mark.benchmark(group="films of thirteen bearings over a cycle")
def test_films(benchmark: Bench, mains: str) -> None:
    cycle = solve_cycle(MAINS[mains], RPM)

    def solved_anew() -> None:
        train_films.cache_clear()
        journal_films(cycle)

    solved_anew()
    assert has_grooves(cycle) == (mains != "plain mains")
    benchmark(solved_anew)


@pytest.mark.benchmark(group="films of thirteen bearings over a cycle")
def test_films_one_at_a_time(benchmark: Bench, cycle: Cycle) -> None:
    together = journal_films(cycle)
    least = benchmark(lambda: one_at_a_time(cycle))
    expected = [*together.big_ends.minimum_film, *together.mains.minimum_film]
    np.testing.assert_allclose(least, expected, rtol=1e-4)


@pytest.mark.benchmark(group="films of thirteen bearings over a cycle")
def test_films_by_solve_ivp(benchmark: Bench) -> None:
    cycle = solve_cycle(PLAIN, RPM)
    films = journal_films(cycle)
    benchmark.pedantic(lambda: by_solve_ivp(cycle, films), rounds=2)  # type: ignore[attr-defined]


@pytest.mark.benchmark(group="map of least films over 12 speeds and 6 loads")
def test_survey(benchmark: Bench, cycle: Cycle) -> None:
    benchmark.pedantic(lambda: film_survey(cycle.design), rounds=3)  # type: ignore[attr-defined]


def has_grooves(cycle: Cycle) -> bool:
    """Whether a groove counts in the films of the mains."""
    bearings = running_bearings(cycle.train, np.array([cycle.speed]), ("main",))
    return isinstance(bearing_film("reynolds", bearings), GroovedFilm)


def one_at_a_time(cycle: Cycle) -> list[float]:
    """Return the minimum film [m] of every bearing, each balanced and solved by itself."""
    train, oil = cycle.train, cycle.design.oil
    found = []
    for kind in KINDS:
        bearings = running_bearings(train, np.array([cycle.speed]), (kind,))
        feed = feed_pressures(train, bearings)
        for row, _ in row_of(train, kind):
            own = bearings.taken(np.array([row]))
            film = bearing_film(oil.film_model, own)
            found.append(settled_films(own, oil, feed[[row]], film).minimum_film[0])
    return found


def by_solve_ivp(cycle: Cycle, films: object) -> list[np.ndarray]:
    return [
        one_orbit(cycle, own, index, slip)
        for own, slip in (
            (films.big_ends, 1 + cycle.motion.rod_angular_velocity / cycle.speed),  # type: ignore[attr-defined]
            (films.mains, np.ones((len(films.mains.load), cycle.train.points))),  # type: ignore[attr-defined]
        )
        for index in range(len(own.load))
    ]


def one_orbit(cycle: Cycle, own: object, index: int, slip: np.ndarray) -> np.ndarray:
    size, load = own.bearing, own.load[index]  # type: ignore[attr-defined]
    bearing = FilmBearing(
        size.diameter / 2, size.width, size.radial_clearance,
        float(own.viscosity[index]),  # type: ignore[attr-defined]
    )  # fmt: skip
    step, points = cycle.crank_angle[1], cycle.train.points

    def moves(phi: float, place: np.ndarray) -> np.ndarray:
        at = phi / step
        low, share = int(at) % points, at % 1
        high = (low + 1) % points
        pull = load[:, low] * (1 - share) + load[:, high] * share
        drag = (slip[index, low] * (1 - share) + slip[index, high] * share) / 2 * cycle.speed
        return journal_velocity(bearing, place[:, None], pull[:, None], drag)[:, 0] / cycle.speed

    end = 2 * cycle.design.layout.cycle_angle
    return solve_ivp(
        moves, (0, end), [0.0, 0.3], method="LSODA", rtol=1e-4, atol=1e-6,
        max_step=math.radians(10),
    ).y  # fmt: skip
