"""Schemes of counterweights: what they balance, and the moment that is left inside the shaft."""

import math
from dataclasses import replace

import numpy as np
import pytest

from assets_demo import demo_paths
from kinematics import DesignError, load_design
from kinematics.balance import inertia_phasors, rotating_phasors
from kinematics.counterweight_schemes import (
    SCHEMES,
    internal_moment,
    scheme_counterweights,
    scheme_shares,
    throw_moments,
)
from kinematics.cycle import rigid_train
from kinematics.design import Counterweight
from tests.conftest import layout_of

DEMOS = {name: load_design(path) for name, path in demo_paths().items()}
HILL = DEMOS["Hill climb six"]


def with_scheme(design, scheme, rotating=1.0, oscillating=0.0):
    weights = scheme_counterweights(design, scheme, rotating, oscillating)
    return replace(design, counterweights=weights)


@pytest.mark.parametrize("name", DEMOS)
def test_all_of_the_rotating_mass_on_every_web_leaves_no_throw_off_centre(name):
    design = with_scheme(DEMOS[name], "every_web")
    size, _ = rotating_phasors(design)
    rods = throw_moments(design).rotating - design.crank.throw_unbalance
    throws = design.layout.throws
    weights = size[throws:].reshape(throws, 2).sum(axis=1)
    toward = np.exp(1j * np.array(design.layout.throw_angles))
    left = size[:throws] + weights + rods * toward
    assert np.abs(left).max() < 1e-12 * np.abs(size).max()


def test_what_oscillates_counts_with_its_share():
    moments = throw_moments(HILL)
    rod, r = HILL.rod, HILL.cylinder.crank_radius
    small_end = rod.mass * rod.cg_from_big_end / HILL.cylinder.rod_length
    assert moments.oscillating == pytest.approx([(0.345 + small_end) * r] * 6, rel=1e-12)
    whole = moments.rotating + 0.5 * moments.oscillating
    weights = with_scheme(HILL, "every_web", 1.0, 0.5).counterweights
    assert sum(one.unbalance for one in weights) == pytest.approx(whole.sum(), rel=1e-12)


def test_two_rods_on_a_throw_count_twice():
    assert throw_moments(DEMOS["V6 60 six throws"]).oscillating.shape == (6,)
    vee = layout_of(
        [0, 120, 240], throw_of_cylinder=[1, 1, 2, 2, 3, 3], bank_angle_deg=[-45, 45] * 3
    )
    one = throw_moments(replace(HILL, counterweights=()))
    two = throw_moments(replace(HILL, layout=vee, counterweights=()))
    assert two.oscillating == pytest.approx(2 * one.oscillating[:3])


@pytest.mark.parametrize("scheme", SCHEMES)
@pytest.mark.parametrize("throws", range(2, 9))
def test_a_scheme_is_the_same_from_both_ends(scheme, throws):
    shares = scheme_shares(scheme, throws)
    assert shares.shape == (2 * throws,)
    if throws % 2 == 0 or scheme in ("every_web", "none_in_middle", "none"):
        assert shares.tolist() == shares[::-1].tolist()
    assert shares.min() >= 0
    assert shares.max() <= 1


def test_where_the_weights_stand():
    assert scheme_shares("every_second", 6).nonzero()[0].tolist() == [0, 2, 4, 7, 9, 11]
    assert scheme_shares("two_large", 6).tolist() == [1, 0, 0.5, 0, 0.5, 0, 0, 0.5, 0, 0.5, 0, 1]
    assert scheme_shares("none_in_middle", 6)[4:8].tolist() == [0, 0, 0, 0]
    assert not scheme_shares("none", 6).any()
    assert scheme_counterweights(HILL, "none", 1.0, 0.0) == ()


@pytest.mark.parametrize(
    ("scheme", "rotating", "oscillating", "words"),
    [("every_other", 1, 0, "allowed are every_web"), ("every_web", -0.1, 0, "0 to 200 %"),
     ("every_web", 1, 2.1, "0 to 200 %"), ("every_web", math.nan, 0, "0 to 200 %")],
)  # fmt: skip
def test_what_cannot_be_is_refused(scheme, rotating, oscillating, words):
    with pytest.raises(DesignError, match=words):
        scheme_counterweights(HILL, scheme, rotating, oscillating)


@pytest.mark.parametrize("name", DEMOS)
def test_the_moment_inside_comes_back_as_the_couple_on_the_block(name):
    """At the rear it is the shaft's own couple about that end; zero where it is balanced."""
    design = replace(DEMOS[name], counterweights=())
    found = internal_moment(design)
    train = rigid_train(design)
    masses = replace(train.masses, piston=0.0)
    rotating = inertia_phasors(design, train.crank, masses)
    only = inertia_phasors(design, train.crank, masses, rotating=False)
    whirl = rotating.force[1, 0] - only.force[1, 0]
    rock = rotating.moment[0, 0] - only.moment[0, 0]
    expected = found.z[-1] * whirl - rock
    assert found.moment[-1] == pytest.approx(expected, abs=1e-9 * found.largest)


def test_the_moment_inside_by_hand():
    """Two throws opposite each other: U between them, over the whole distance."""
    layout = layout_of([0, 180])
    pair = replace(HILL, layout=layout, counterweights=())
    found = internal_moment(pair)
    force, spacing = throw_moments(pair).rotating[0], pair.layout.throw_spacing
    inside = np.interp(0.0, found.z, found.moment.real)
    assert inside == pytest.approx(force * spacing / 2, rel=1e-12)
    assert found.largest == pytest.approx(force * spacing, rel=1e-12)


def test_counterweights_on_their_own_throws_take_the_moment_inside_away():
    none = internal_moment(with_scheme(HILL, "none")).largest
    every = internal_moment(with_scheme(HILL, "every_web")).largest
    assert every < 0.1 * none


def test_a_counterweight_acts_at_its_web():
    bare = replace(HILL, counterweights=())
    weighted = replace(bare, counterweights=(Counterweight(12, 0.03, math.pi),))
    before, after = internal_moment(bare), internal_moment(weighted)
    z = before.z
    change = np.interp(z, after.z, np.abs(after.moment - 0)) - np.interp(
        z, z, np.abs(before.moment)
    )
    place = 2.5 * HILL.layout.throw_spacing + HILL.crank.web_offset
    assert np.abs(change[z < place - 1e-9]).max() < 1e-9
    rear = after.moment[-1] - before.moment[-1]
    toward = np.exp(1j * (HILL.layout.throw_angles[5] + math.pi))
    arm = 3 * HILL.layout.throw_spacing - place
    assert rear == pytest.approx(0.03 * arm * toward, rel=1e-9)
