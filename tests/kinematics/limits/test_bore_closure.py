"""The big end's bore under the rod's pull: two bounds, what stiffens it, and the mark."""

import dataclasses
import math

import numpy as np
import pytest

from assets_demo import DEMO_DESIGNS
from kinematics import Design, DesignError, load_demo
from kinematics.film.journal_film import train_films
from kinematics.limits.bore_closure import BoreChange, bore_change
from kinematics.limits.criterion import EITHER_WAY, THINNER, LeftOut
from kinematics.limits.rod_criteria import RodParts
from kinematics.train.cycle import rigid_train
from tests.conftest import changed
from tests.kinematics.limits.lone_rung import lone_rung

HILL = load_demo("hill_climb_six")


def change_of(design: Design) -> BoreChange:
    train = rigid_train(design)
    return bore_change(train, train_films(train, design.layout.rated_speed).big_ends)


def marks(design: Design) -> list[LeftOut]:
    return [m for m in lone_rung(design, "big_end_film").left_out if "bore counts" in m.what]


@pytest.mark.parametrize("stem", DEMO_DESIGNS)
def test_the_bounds_stand_on_either_side(stem):
    design = load_demo(stem)
    change = change_of(design)
    assert 0 < change.least.closing < change.most.closing
    assert 0 < change.least.opening < change.most.opening
    assert change.clearance == 2 * design.big_end.radial_clearance


def test_the_upper_bound_is_an_even_ring_under_a_cosine():
    """ΔD = 16/π² Σ 1/(k² - 1)³ W R³/(E I), k even, of the cap's mass as half a ring."""
    bolts, bearing, steel = HILL.rod_bolts, HILL.big_end, HILL.rod_material
    inside = bearing.diameter / 2
    area = bolts.cap_mass / (steel.density * bearing.width)
    outside = math.sqrt(inside**2 + 2 * area / math.pi)
    stiffness = steel.elastic_modulus * bearing.width * (outside - inside) ** 3 / 12
    coefficient = 16 / math.pi**2 * sum(1 / (k * k - 1) ** 3 for k in range(2, 40, 2))
    assert coefficient == pytest.approx(0.0606, abs=5e-5)
    change = change_of(HILL)
    expected = coefficient * change.pull * ((inside + outside) / 2) ** 3 / stiffness
    assert change.most.closing == pytest.approx(expected, rel=1e-5)


def test_the_bore_follows_the_pull_and_the_film_what_is_left():
    change, train = change_of(HILL), rigid_train(HILL)
    films = train_films(train, HILL.layout.rated_speed).big_ends
    pull = RodParts(train).split_load(np.array([films.speed])).pull[0]
    assert change.pull == pytest.approx(pull.max(), rel=1e-12)
    per_newton = change.least.closing / change.pull
    gap = HILL.big_end.radial_clearance * (1 - np.abs(films.eccentricity[0, 0]))
    inward = np.maximum(pull, 0) * per_newton / 2
    assert change.side_film == pytest.approx((gap - inward).min(), rel=1e-9)
    assert change.side_film < gap.min()


def test_metal_in_the_cap_stiffens_the_bore():
    heavier = changed(HILL, "rod_bolts", cap_mass=1.2 * HILL.rod_bolts.cap_mass)
    softer = changed(HILL, "rod_material", elastic_modulus=HILL.rod_material.elastic_modulus / 2)
    own, heavy, soft = (change_of(design) for design in (HILL, heavier, softer))
    assert heavy.least.closing < own.least.closing
    assert heavy.most.closing < own.most.closing
    assert soft.least.closing == pytest.approx(2 * own.least.closing, rel=1e-9)


def test_no_bound_without_bolts_or_of_a_cap_of_bolts_alone():
    with pytest.raises(DesignError, match="rod_bolts"):
        change_of(dataclasses.replace(HILL, rod_bolts=None))
    with pytest.raises(DesignError, match="bolts and bosses"):
        change_of(changed(HILL, "rod_bolts", cap_mass=0.06))
    assert not marks(dataclasses.replace(HILL, rod_bolts=None))


def test_the_mark_goes_with_the_share_of_the_clearance_that_closes():
    """It exceeds where the film at the split is below the allowable."""
    (mark,) = marks(HILL)
    assert mark.exceeds
    assert mark.direction == THINNER
    least, most = (1e6 * end.closing for end in (change_of(HILL).least, change_of(HILL).most))
    words = f"{least:.3g} µm (rod half rigid) to {most:.3g} µm (cap's section all round), of 54 µm"
    assert words in mark.what
    (mild,) = marks(changed(HILL, "limits", big_end_film=change_of(HILL).side_film / 2))
    assert not mild.exceeds
    assert mild.direction == EITHER_WAY
    slow = changed(
        changed(HILL, "layout", rated_speed=HILL.layout.rated_speed / 4), "limits", red_line=None
    )
    assert change_of(slow).share < 0.1
    assert not marks(slow)
