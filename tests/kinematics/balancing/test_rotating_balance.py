"""What rotates and is left over: against the moment inside the shaft, and known layouts."""

import dataclasses
import math

import numpy as np
import pytest

from assets_demo import DEMO_DESIGNS, FOLDER
from kinematics import load_design
from kinematics.balancing.rotating_balance import first_order, rotating_balance
from kinematics.design.design import Counterweight
from kinematics.shaft.counterweight_schemes import (
    internal_moment,
    scheme_counterweights,
    throw_moments,
)
from kinematics.train.balance import order_amplitudes
from kinematics.train.cycle import rigid_train

DEMOS = {stem: load_design(FOLDER / f"{stem}.toml") for stem in DEMO_DESIGNS}


def weighted(design, *weights):
    return dataclasses.replace(design, counterweights=weights)


@pytest.mark.parametrize("stem", DEMO_DESIGNS)
def test_the_moment_inside_ends_at_what_is_left_over(stem):
    """At the rear M = Σ U (end - z), which is end · static - moment."""
    design = weighted(DEMOS[stem], Counterweight(1, 0.02, 1.0), Counterweight(4, 0.05, 2.5))
    left, inside = rotating_balance(design), internal_moment(design)
    end = inside.z[-1] * left.static - left.moment
    assert inside.moment[-1] == pytest.approx(end, abs=1e-12)
    assert left.static_is_left
    assert left.moment_is_left


@pytest.mark.parametrize("stem", DEMO_DESIGNS)
def test_a_throw_balanced_in_itself_leaves_nothing(stem):
    design = DEMOS[stem]
    left = rotating_balance(weighted(design, *scheme_counterweights(design, "every_web", 1, 0)))
    assert not left.static_is_left
    assert not left.moment_is_left


def test_bare_throws_cancel_in_a_mirrored_six_and_not_in_the_v6():
    six, v6 = (weighted(DEMOS[stem]) for stem in ("hill_climb_six", "v6_60_six_throws"))
    assert not rotating_balance(six).static_is_left
    assert not rotating_balance(six).moment_is_left
    assert not rotating_balance(v6).static_is_left
    assert rotating_balance(v6).moment_is_left


def test_one_counterweight_alone_is_what_is_left():
    design = weighted(DEMOS["hill_climb_six"], Counterweight(1, 0.02, math.pi))
    left, layout = rotating_balance(design), design.layout
    z = -2.5 * layout.throw_spacing - design.crank.web_offset
    assert left.static == pytest.approx(-0.02, abs=1e-12)
    assert left.moment == pytest.approx(-0.02 * z, abs=1e-12)
    assert left.one_throw == pytest.approx(np.max(throw_moments(design).rotating))


@pytest.mark.parametrize("stem", DEMO_DESIGNS)
def test_first_order_on_the_block_is_the_longest_its_vector_gets(stem):
    """Force and moment in time, their first order alone: the largest size within a turn."""
    design = weighted(DEMOS[stem], Counterweight(1, 0.02, 1.0), Counterweight(4, 0.05, 2.5))
    free, turns = rigid_train(design).free, design.layout.strokes_per_cycle // 2
    found = first_order(design)
    phase = np.exp(1j * np.linspace(0, math.pi, 2000))
    for ours, load in ((found.force, free.force), (found.moment, free.moment)):
        amplitude = order_amplitudes(load.inertia[:2], turns)[:, turns - 1]
        size = np.hypot(*(amplitude[:, None] * phase).real)
        assert ours == pytest.approx(size.max(), rel=1e-5)


def test_first_order_of_a_balanced_six_is_that_of_an_unbalanced_weight():
    design = weighted(DEMOS["hill_climb_six"], Counterweight(1, 0.02, math.pi))
    place = 2.5 * design.layout.throw_spacing + design.crank.web_offset
    found = first_order(design)
    assert found.force == pytest.approx(0.02, rel=1e-9)
    assert found.moment == pytest.approx(0.02 * place, rel=1e-9)
    assert first_order(DEMOS["hill_climb_six"]).force < 1e-12
