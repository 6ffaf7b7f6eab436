"""Films of several designs at once are those of each by itself."""

import dataclasses

import numpy as np
import pytest

from assets_demo import FOLDER
from kinematics import DesignError, load_design
from kinematics.film.film_survey import minimum_films
from kinematics.film.films_of_designs import films_of_designs, least_of_designs
from kinematics.train.cycle import RigidTrain
from tests.conftest import changed

TOURING = load_design(FOLDER / "touring_six.toml")
DESIGNS = (
    TOURING,
    changed(TOURING, "piston", assembly_mass=1.2 * TOURING.piston.assembly_mass),
    changed(TOURING, "main_bearing", groove_arc=2 * np.pi),
    changed(TOURING, "big_end", width=1.1 * TOURING.big_end.width),
)
SPEED = np.array([400.0, 500.0, 600.0, 650.0])


@pytest.mark.parametrize("kind", ["big_end", "main"])
def test_together_they_are_what_each_is_alone(kind):
    """Both within the heat balance's tolerance of 1e-4, for the rounds of a batch are shared."""
    trains = [RigidTrain(design) for design in DESIGNS]
    together = [own.minimum_film for own in films_of_designs(trains, SPEED, kind)]
    for train, speed, films in zip(trains, SPEED, together, strict=True):
        alone = minimum_films(train, np.array([speed]), kind)[0]
        assert films == pytest.approx(alone, rel=1e-4)


@pytest.mark.parametrize("name", ["minimum_film", "filling"])
@pytest.mark.parametrize("kind", ["big_end", "main"])
def test_the_least_is_that_of_all_bearings(name, kind):
    """Of designs that differ by a percent; within the heat balance's tolerance of 1e-4."""
    designs = [
        changed(TOURING, "piston", assembly_mass=share * TOURING.piston.assembly_mass)
        for share in (1.0, 1.01, 0.99)
    ]
    trains, speed = [RigidTrain(design) for design in designs], np.full(3, 600.0)
    everywhere = films_of_designs(trains, speed, kind)
    assert least_of_designs(trains, speed, kind, name) == pytest.approx(
        np.array([getattr(own, name).min() for own in everywhere]), rel=1e-4
    )


def test_some_bearings_are_those_of_all():
    train, which = RigidTrain(TOURING), np.array([4, 0])
    every, some = (
        films_of_designs([train], SPEED[:1], "main", bearings)[0] for bearings in (None, which)
    )
    assert some.minimum_film == pytest.approx(every.minimum_film[which], rel=1e-4)
    assert some.filling == pytest.approx(every.filling[which], rel=1e-4)


def test_designs_with_other_oils_are_solved_one_by_one():
    thin = changed(TOURING, "oil", inlet_temperature=TOURING.oil.inlet_temperature + 20)
    trains = [RigidTrain(design) for design in (TOURING, thin)]
    for train, own in zip(trains, films_of_designs(trains, SPEED[:2], "main"), strict=True):
        at = SPEED[trains.index(train)]
        assert own.minimum_film.tolist() == minimum_films(train, np.array([at]), "main")[0].tolist()


def test_a_design_without_oil_is_refused():
    dry = RigidTrain(dataclasses.replace(TOURING, oil=None))
    with pytest.raises(DesignError, match="oil"):
        films_of_designs([RigidTrain(TOURING), dry], SPEED[:2], "main")
