"""The full ladder with its sensitivities, beside ladders of changed designs solved anew.

Run with `make bench`. The slow way asks for each sensitivity by two whole ladders, as if nothing
were known of the limit; the former way asks films as it asks all else; speed by speed all bearings
are solved anew and to the end, where the ladder lets those leave the search that cannot have the
least film. Nothing here asserts a time.
"""

import dataclasses
from collections.abc import Callable

import numpy as np
import pytest

from assets_demo import FOLDER
from kinematics import Design, DesignError, load_design
from kinematics.array import Array
from kinematics.design.design_field import group_field
from kinematics.film.film_survey import film_sweep
from kinematics.film.journal_film import train_films
from kinematics.limits import bearing_criteria, other_models, stretches_over
from kinematics.limits import limit_sensitivities as limit_sensitivities_module
from kinematics.limits.limit_sensitivities import INPUTS, limit_sensitivities
from kinematics.limits.speed_limits import Ladder, speed_limits
from kinematics.train.cycle import RigidTrain, rigid_train

Bench = Callable[..., object]


def cold_ladder(design: Design) -> Ladder:
    rigid_train.cache_clear()
    train_films.cache_clear()
    return speed_limits.__wrapped__(design)


def by_whole_ladders(design: Design) -> list[Ladder]:
    ladders = [cold_ladder(design)]
    for key in INPUTS:
        record, attribute, _ = group_field(design, key)
        for share in (0.999, 1.001):
            value = getattr(record, attribute) * share
            changed = dataclasses.replace(record, **{attribute: value})
            try:
                new = dataclasses.replace(design, **{key.partition(".")[0]: changed})
            except DesignError:
                continue
            ladders.append(cold_ladder(new))
    return ladders


@pytest.fixture
def design() -> Design:
    return load_design(FOLDER / "hill_climb_six.toml")


@pytest.mark.benchmark(group="ladder of a six with sensitivities")
def test_ladder_alone(benchmark: Bench, design: Design) -> None:
    benchmark(lambda: cold_ladder(design))


@pytest.mark.benchmark(group="ladder of a six with sensitivities")
def test_ladder(benchmark: Bench, design: Design) -> None:
    benchmark(lambda: limit_sensitivities(cold_ladder(design)))


@pytest.fixture
def former_ways(monkeypatch: pytest.MonkeyPatch) -> None:
    """Films as other criteria: met on ever finer grids, asked anew for every input."""
    monkeypatch.setattr(stretches_over, "COSTLY", 0)
    monkeypatch.setattr(limit_sensitivities_module, "_slopes_at_once", lambda *_: None)


@pytest.mark.benchmark(group="ladder of a six with sensitivities")
def test_ladder_alone_in_the_former_way(
    benchmark: Bench, design: Design, former_ways: None
) -> None:
    benchmark(lambda: cold_ladder(design))


@pytest.mark.benchmark(group="ladder of a six with sensitivities")
def test_ladder_in_the_former_way(benchmark: Bench, design: Design, former_ways: None) -> None:
    benchmark(lambda: limit_sensitivities(cold_ladder(design)))


class SpeedBySpeed:
    """Least films without a batch, each speed from its own first guess."""

    def __init__(self, train: RigidTrain, kind: str) -> None:
        self._train, self._kind = train, kind

    def least(self, name: str, speed: Array) -> Array:
        each = [film_sweep(self._train, np.array([one]), self._kind) for one in speed]
        return np.array([getattr(own, name).min() for own in each])


@pytest.mark.benchmark(group="ladder of a six with sensitivities")
def test_ladder_alone_speed_by_speed(
    benchmark: Bench, design: Design, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(bearing_criteria, "least_films", SpeedBySpeed)
    benchmark.pedantic(lambda: cold_ladder(design), rounds=3)  # type: ignore[attr-defined]


@pytest.mark.benchmark(group="ladder of a six with sensitivities")
def test_bands_and_marks(benchmark: Bench, design: Design) -> None:
    ladder = cold_ladder(design)

    def made() -> list[object]:
        other_models._parts.cache_clear()
        fresh = [dataclasses.replace(rung) for rung in ladder]
        return [(rung.band, rung.left_out) for rung in fresh]

    benchmark(made)


@pytest.mark.benchmark(group="ladder of a six with sensitivities")
def test_sensitivities_by_whole_ladders(benchmark: Bench, design: Design) -> None:
    benchmark.pedantic(lambda: by_whole_ladders(design), rounds=2)  # type: ignore[attr-defined]
