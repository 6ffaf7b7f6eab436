"""Least films over speed are those of all bearings, whatever was asked before."""

import numpy as np
import pytest
from numpy.typing import NDArray

from assets_demo import FOLDER
from kinematics import Design, load_design
from kinematics.array import Array
from kinematics.design.design_bearings import GIVEN
from kinematics.design.oil_viscosity import oil_viscosity
from kinematics.film import least_films
from kinematics.film.film_heat import BalancedFilms, Sieve
from kinematics.film.film_survey import film_sweep
from kinematics.film.journal_film import train_films
from kinematics.film.least_films import LeastFilms
from kinematics.train.cycle import RigidTrain
from tests.conftest import changed

FOUR = load_design(FOLDER / "inline_four.toml")
SHORT = load_design(FOLDER / "short_rod_six.toml")
ROUNDING = 1e-10  # relative: sums in one go and in two differ in their last digits on some machines
BALANCED = 2e-5  # relative, of films and flows: both sides may be off by the heat balance's 1e-5


@pytest.mark.parametrize("kind", ["big_end", "main"])
@pytest.mark.parametrize("design", [FOUR, SHORT], ids=["four", "six"])
def test_the_least_are_those_of_all_bearings(design: Design, kind: str) -> None:
    train = RigidTrain(design)
    speed = np.geomspace(0.3, 2.5, 6) * design.layout.rated_speed
    least, every = LeastFilms(train, kind).over(speed), film_sweep(train, speed, kind)
    np.testing.assert_allclose(least.minimum_film, every.minimum_film.min(axis=-1), rtol=BALANCED)
    np.testing.assert_allclose(least.filling, every.filling.min(axis=-1), rtol=BALANCED)


def test_a_search_begun_between_known_speeds_ends_where_one_from_nothing_does() -> None:
    train, rated = RigidTrain(SHORT), SHORT.layout.rated_speed
    known = LeastFilms(train, "main")
    known.over(np.geomspace(0.3, 2.5, 6) * rated)
    asked = np.array([0.45, 1.1, 1.13, 2.2]) * rated
    assert known.start_at(asked) is not None
    begun, alone = known.over(asked), LeastFilms(train, "main").over(asked)
    np.testing.assert_allclose(begun.minimum_film, alone.minimum_film, rtol=BALANCED)
    np.testing.assert_allclose(begun.filling, alone.filling, rtol=BALANCED)
    assert begun.minimum_film.tolist() == known.over(asked).minimum_film.tolist()


def test_an_answer_does_not_depend_on_what_was_asked_in_between() -> None:
    rated = SHORT.layout.rated_speed
    grid, asked = np.geomspace(0.3, 2.5, 6) * rated, np.array([1.1, 1.13]) * rated
    alone, later = LeastFilms(RigidTrain(SHORT), "main"), LeastFilms(RigidTrain(SHORT), "main")
    for films in (alone, later):
        films.over(grid)
    later.over(np.array([0.7, 1.09, 1.11, 1.9]) * rated)
    later.over(asked[:1])
    one, other = alone.over(asked), later.over(asked)
    np.testing.assert_allclose(one.minimum_film, other.minimum_film, rtol=ROUNDING)
    np.testing.assert_allclose(one.filling, other.filling, rtol=ROUNDING)


def test_bearings_put_aside_too_soon_are_taken_up_again(monkeypatch: pytest.MonkeyPatch) -> None:
    """With bounds that are too narrow all are balanced, and all solved at every point."""
    train, speed = RigidTrain(SHORT), np.array([0.6, 1.2]) * SHORT.layout.rated_speed
    balanced, solved = [], []
    balance, settle = LeastFilms._balanced, least_films._settled_values

    def counted(films: LeastFilms, speed: Array, sieve: Sieve | None) -> BalancedFilms:
        balanced.append(sieve is None)
        return balance(films, speed, sieve)

    def settled(films: BalancedFilms, wanted: NDArray[np.bool_]) -> Array:
        solved.append(bool(wanted.all()))
        return settle(films, wanted)

    monkeypatch.setattr(LeastFilms, "_balanced", counted)
    monkeypatch.setattr(least_films, "_settled_values", settled)
    every = film_sweep(train, speed, "main")
    for narrow in (1.0, 1e-6):
        monkeypatch.setattr(least_films, "UNSURE", narrow * least_films.UNSURE)
        monkeypatch.setattr(least_films, "PER_OFF", narrow * least_films.PER_OFF)
        monkeypatch.setattr(least_films, "MOVES", narrow * least_films.MOVES)
        least = LeastFilms(train, "main").over(speed)
        np.testing.assert_allclose(least.minimum_film, every.minimum_film.min(1), rtol=BALANCED)
        np.testing.assert_allclose(least.filling, every.filling.min(1), rtol=BALANCED)
    assert balanced == [False, False, True]
    assert solved == [False, False, True]


def test_what_is_solved_beside_a_bearing_changes_nothing_of_it() -> None:
    train, speed = RigidTrain(SHORT), np.array([0.4, 1.0, 2.2]) * SHORT.layout.rated_speed
    together = film_sweep(train, speed, "main")
    for place, one in enumerate(speed):
        alone = film_sweep(train, np.array([one]), "main")
        assert alone.minimum_film[0].tolist() == together.minimum_film[place].tolist()
        assert alone.filling[0].tolist() == together.filling[place].tolist()


def test_there_is_no_start_beyond_what_is_known() -> None:
    films = LeastFilms(RigidTrain(FOUR), "main")
    assert films.start_at(np.array([400.0])) is None
    films.over(np.array([300.0, 500.0]))
    assert films.start_at(np.array([400.0, 501.0])) is None
    start = films.start_at(np.array([300.0, 400.0]))
    assert start is not None
    assert len(start.viscosity) == 2 * 3
    here, there = (films.start_at(np.array([one])) for one in (300.0, 500.0))
    assert here is not None
    assert there is not None
    np.testing.assert_array_equal(start.orbit[:3], here.orbit)
    share = np.log(4 / 3) / np.log(5 / 3)
    between = (1 - share) * here.orbit + share * there.orbit
    np.testing.assert_allclose(start.orbit[3:], between, rtol=1e-12, atol=1e-12)


@pytest.mark.parametrize("kind", ["big_end", "main"])
def test_at_the_rated_speed_they_are_the_pages(kind: str) -> None:
    train, rated = RigidTrain(FOUR), FOUR.layout.rated_speed
    own = train_films(train, rated).of(kind)
    found = LeastFilms(train, kind).over(np.array([0.9 * rated, rated]))
    assert found.minimum_film[1] == own.minimum_film.min()
    assert found.filling[1] == own.filling.min()


@pytest.mark.parametrize("name", ["minimum_film", "filling"])
def test_those_nearly_least_hold_the_least(name: str) -> None:
    train, speed = RigidTrain(SHORT), 1.2 * SHORT.layout.rated_speed
    values = getattr(film_sweep(train, np.array([speed]), "main"), name)[0]
    found = LeastFilms(train, "main").nearly_least(speed, name)
    assert int(values.argmin()) in found
    assert values[found].max() <= 1.03 * values.min()


def test_a_viscosity_that_the_design_gives_needs_no_balance() -> None:
    design = changed(FOUR, "oil", film_viscosity=GIVEN)
    assert oil_viscosity(design.oil) is None
    train, speed = RigidTrain(design), np.array([300.0, 400.0, 500.0])
    least = LeastFilms(train, "main").over(speed).minimum_film
    every = film_sweep(train, speed, "main").minimum_film
    np.testing.assert_allclose(least, every.min(axis=-1), rtol=BALANCED)
