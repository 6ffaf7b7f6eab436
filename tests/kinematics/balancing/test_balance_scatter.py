"""Scatter of the balance: nominal values, exact variance, and what each part can move."""

import dataclasses
import math

import numpy as np
import pytest

from assets_demo import demo_paths
from kinematics import DesignError, load_design
from kinematics.balancing.balance_scatter import (
    Spread,
    Spreads,
    balance_scatter,
    percentiles,
    variance_by_kind,
)
from kinematics.balancing.bob_weights import BOB_SHARE, bob_weight, needs_bob_weights
from kinematics.balancing.shaft_drilling import end_mains
from kinematics.design.shaft_throw import throw_unbalance
from kinematics.train.balance import inertia_phasors
from kinematics.train.cycle import rigid_train

DEMOS = {name: load_design(path) for name, path in demo_paths().items()}
HILL = DEMOS["Hill climb six"]
SPREADS = Spreads(
    piston_mass=Spread(1.5e-3),
    rod_small_end=Spread(1.0e-3, "uniform"),
    rod_big_end=Spread(2.0e-3),
    throw_moment=Spread(60e-6),
    throw_angle=Spread(math.radians(0.2)),
    counterweight_moment=Spread(80e-6, "uniform"),
)
SAMPLES = 40_000


def scattered(design, spreads=SPREADS, **options):
    return balance_scatter(design, end_mains(design), spreads, **({"samples": SAMPLES} | options))


@pytest.mark.parametrize("name", DEMOS)
def test_without_scatter_every_engine_is_the_nominal_one(name):
    design = DEMOS[name]
    found = balance_scatter(design, end_mains(design), Spreads(), samples=3)
    train = rigid_train(design)
    nominal = inertia_phasors(design, train.crank, train.masses)
    size = train.masses.piston * train.crank.crank_radius
    for own, expected, unit in (
        (found.force.samples, nominal.force, size),
        (found.moment.samples, nominal.moment, size * design.layout.throw_spacing),
    ):
        np.testing.assert_allclose(own[0], expected[:, :2].T, atol=1e-9 * unit, rtol=0)
        np.testing.assert_allclose(own[0], own[2], atol=1e-14 * unit, rtol=0)


@pytest.mark.parametrize("name", ["Hill climb six", "V6 60 six throws", "Inline four"])
@pytest.mark.parametrize("what", ["residual", "force", "moment"])
def test_the_samples_have_the_exact_mean_and_variance(name, what):
    """Within five standard errors: of a mean s/√n, of a variance about s²·√(2/n)."""
    drawn = getattr(scattered(DEMOS[name]), what)
    deviation = np.sqrt(drawn.variance)
    error = np.abs(drawn.samples.mean(axis=0) - drawn.mean)
    assert np.all(error <= 5 * deviation / math.sqrt(SAMPLES) + 1e-15)
    ratio = drawn.sample_variance[drawn.variance > 0] / drawn.variance[drawn.variance > 0]
    assert np.abs(ratio - 1).max() < 5 * math.sqrt(2 / SAMPLES)


def test_variance_by_hand_for_counterweights_alone():
    """Independent moments U at levers: Σ σ² (share in the plane)²."""
    found = scattered(HILL, Spreads(counterweight_moment=Spread(50e-6)), samples=10)
    planes, spacing = end_mains(HILL), HILL.layout.throw_spacing
    z = np.repeat((np.arange(6) - 2.5) * spacing, 2)
    z = z + np.tile([-1.0, 1.0], 6) * HILL.crank.web_offset
    rear = (z - planes.front) / (planes.rear - planes.front)
    expected = 50e-6**2 * np.array([((1 - rear) ** 2).sum(), (rear**2).sum()])
    np.testing.assert_allclose(found.residual.variance, expected, rtol=1e-12)
    assert np.all(found.force.variance[1] == 0)  # nothing of the second order


def test_pistons_do_not_run_on_the_machine_but_shake_the_engine():
    found = scattered(HILL, Spreads(piston_mass=Spread(1e-3)), samples=10)
    np.testing.assert_array_equal(found.residual.variance, 0.0)
    train = rigid_train(HILL)
    one = 1e-3 * train.crank.crank_radius
    assert found.force.variance[0, 1] == pytest.approx(6 * one**2, rel=1e-9)  # order 1, along y


def test_a_seed_gives_the_same_engines():
    first, again, other = (scattered(HILL, seed=seed, samples=50) for seed in (3, 3, 4))
    np.testing.assert_array_equal(first.residual.samples, again.residual.samples)
    assert not np.array_equal(first.residual.samples, other.residual.samples)


def test_percentiles_of_a_plane_are_those_of_a_rayleigh_where_it_is_round():
    """Angle errors aside, a six's residual is nearly round: 95 % below √(ln 20)·σ."""
    found = scattered(HILL, Spreads(throw_moment=Spread(100e-6)))
    mean = np.abs(found.residual.mean)
    sigma = np.sqrt(found.residual.variance)
    assert np.all(mean < 3 * sigma)
    low, high, top = percentiles(np.abs(found.residual.samples - found.residual.mean))
    assert np.all(low < high)
    assert np.all(high < top)
    np.testing.assert_allclose(high, math.sqrt(math.log(20)) * sigma, rtol=0.15)


def test_bob_weights_balance_a_v_engines_shaft_better_than_none():
    v6 = DEMOS["V6 60 six throws"]
    assert needs_bob_weights(v6.layout)
    assert not needs_bob_weights(HILL.layout)
    alone, held = (
        scattered(v6, Spreads(), samples=2, bob_share=share) for share in (None, BOB_SHARE)
    )
    assert not np.allclose(alone.residual.mean, held.residual.mean)
    assert bob_weight(0.4, 0.5) == pytest.approx(0.65)
    with pytest.raises(DesignError, match="0 to 1"):
        bob_weight(0.4, 0.5, 1.2)


def test_what_cannot_be_is_refused():
    with pytest.raises(DesignError, match="2 to 200000"):
        scattered(HILL, samples=1)
    with pytest.raises(DesignError, match="0 or more"):
        Spread(-1.0)
    with pytest.raises(DesignError, match="normal, uniform"):
        Spread(1.0, "flat")


def test_a_throw_without_nominal_unbalance_scatters_along_its_own_pin():
    """Six pins on three directions scatter across throw 1 as much as along it: Σ cos² = Σ sin²."""
    bare = dataclasses.replace(
        HILL, crank=dataclasses.replace(HILL.crank, throw_unbalance=0.0), counterweights=()
    )
    drawn = scattered(bare, Spreads(throw_moment=Spread(100e-6))).residual
    both = (drawn.samples - drawn.mean).sum(axis=1)
    half = drawn.samples.shape[0] ** -0.5
    for part in (both.real, both.imag):
        assert part.var() == pytest.approx(3 * 100e-6**2, rel=5 * math.sqrt(2) * half)


@pytest.mark.parametrize("name", ["Hill climb six", "V6 60 six throws"])
@pytest.mark.parametrize("what", ["residual", "force", "moment"])
def test_the_kinds_shares_sum_to_the_whole_variance(name, what):
    design = DEMOS[name]
    whole = getattr(scattered(design, samples=2, bob_share=0.4), what).variance
    kinds = getattr(variance_by_kind(design, end_mains(design), SPREADS, bob_share=0.4), what)
    assert kinds.shape == (6, *whole.shape)
    np.testing.assert_allclose(kinds.sum(axis=0), whole, rtol=1e-9, atol=1e-25)


def test_a_kind_alone_brings_what_it_brings_with_the_others():
    """Doubling one kind's spread quadruples its variance and leaves the others' alone."""
    planes = end_mains(HILL)
    once = variance_by_kind(HILL, planes, SPREADS).force
    wider = dataclasses.replace(SPREADS, rod_big_end=Spread(4.0e-3))
    twice = variance_by_kind(HILL, planes, wider).force
    np.testing.assert_allclose(twice[2], 4 * once[2], rtol=1e-12)
    np.testing.assert_array_equal(np.delete(twice, 2, 0), np.delete(once, 2, 0))
    assert np.all(variance_by_kind(HILL, planes, Spreads()).force == 0)


def test_the_angles_variance_by_hand():
    """A pin of moment u at a small error σ moves by u σ, square to itself."""
    angle = Spread(math.radians(0.02))
    found = variance_by_kind(HILL, end_mains(HILL), Spreads(throw_angle=angle)).residual
    planes, spacing = end_mains(HILL), HILL.layout.throw_spacing
    rear = ((np.arange(6) - 2.5) * spacing - planes.front) / planes.span
    own = (throw_unbalance(HILL) * angle.size) ** 2
    expected = own * np.array([((1 - rear) ** 2).sum(), (rear**2).sum()])
    np.testing.assert_allclose(found[4], expected, rtol=1e-6)
