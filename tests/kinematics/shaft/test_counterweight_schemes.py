"""Schemes of counterweights: what they balance, and the moment that is left inside the shaft."""

import math
from dataclasses import replace

import numpy as np
import pytest

from assets_demo import demo_paths
from kinematics import DesignError, load_design
from kinematics.balancing.rotating_balance import rotating_balance
from kinematics.design.design import Counterweight
from kinematics.design.shaft_throw import throw_unbalance
from kinematics.shaft.counterweight_schemes import (
    SCHEMES,
    internal_moment,
    scheme_counterweights,
    scheme_shares,
    throw_moments,
)
from kinematics.train.balance import inertia_phasors, rotating_phasors
from kinematics.train.cycle import rigid_train
from tests.conftest import layout_of

DEMOS = {name: load_design(path) for name, path in demo_paths().items()}
HILL = DEMOS["Hill climb six"]


def with_scheme(design, scheme, rotating=1.0, reciprocating=0.0, *, aside=False):
    weights = scheme_counterweights(design, scheme, rotating, reciprocating, aside=aside)
    return replace(design, counterweights=weights)


@pytest.mark.parametrize("name", DEMOS)
def test_all_of_the_rotating_mass_on_every_web_leaves_no_throw_off_centre(name):
    design = with_scheme(DEMOS[name], "every_web")
    size, _ = rotating_phasors(design)
    rods = throw_moments(design).rotating - throw_unbalance(design)
    throws = design.layout.throws
    weights = size[throws:].reshape(throws, 2).sum(axis=1)
    toward = np.exp(1j * np.array(design.layout.throw_angles))
    left = size[:throws] + weights + rods * toward
    assert np.abs(left).max() < 1e-12 * np.abs(size).max()


def test_what_reciprocates_counts_with_its_share():
    moments = throw_moments(HILL)
    rod, r = HILL.rod, HILL.cylinder.crank_radius
    small_end = rod.mass * rod.cg_from_big_end / HILL.cylinder.rod_length
    assert moments.reciprocating == pytest.approx([(0.345 + small_end) * r] * 6, rel=1e-12)
    whole = moments.rotating + 0.5 * moments.reciprocating
    weights = with_scheme(HILL, "every_web", 1.0, 0.5).counterweights
    assert sum(one.unbalance for one in weights) == pytest.approx(whole.sum(), rel=1e-12)


def test_two_rods_on_a_throw_count_twice():
    assert throw_moments(DEMOS["V6 60 six throws"]).reciprocating.shape == (6,)
    vee = layout_of(
        [0, 120, 240], throw_of_cylinder=[1, 1, 2, 2, 3, 3], bank_angle_deg=[-45, 45] * 3
    )
    one = throw_moments(replace(HILL, counterweights=()))
    two = throw_moments(replace(HILL, layout=vee, counterweights=()))
    assert two.reciprocating == pytest.approx(2 * one.reciprocating[:3])


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
    ("scheme", "rotating", "reciprocating", "words"),
    [("every_other", 1, 0, "must be one of every_web"), ("every_web", -0.1, 0, "0 to 200 %"),
     ("every_web", 1, 2.1, "0 to 200 %"), ("every_web", math.nan, 0, "0 to 200 %")],
)  # fmt: skip
def test_what_cannot_be_is_refused(scheme, rotating, reciprocating, words):
    with pytest.raises(DesignError, match=words):
        scheme_counterweights(HILL, scheme, rotating, reciprocating)


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


# --- turned aside from their pins -------------------------------------------------------------

WITH_WEBS = [scheme for scheme in SCHEMES if scheme != "none"]
VANISHING = ("Inline four", "none_in_middle")  # balanced, nothing is left on these webs
HANGING = [(name, one) for name in DEMOS for one in WITH_WEBS if (name, one) != VANISHING]


@pytest.mark.parametrize(("name", "scheme"), HANGING)
@pytest.mark.parametrize("shares", [(1.0, 0.0), (0.7, 0.4)])
def test_turned_aside_they_do_what_weights_on_every_web_do(name, scheme, shares):
    whole = rotating_balance(with_scheme(DEMOS[name], "every_web", *shares))
    found = rotating_balance(with_scheme(DEMOS[name], scheme, *shares, aside=True))
    assert found.static == pytest.approx(whole.static, abs=1e-9 * whole.one_throw)
    assert found.moment == pytest.approx(whole.moment, abs=1e-9 * whole.one_throw * whole.spacing)


@pytest.mark.parametrize(("name", "scheme"), HANGING)
def test_the_whole_rotating_mass_turned_aside_balances_the_shaft(name, scheme):
    left = rotating_balance(with_scheme(DEMOS[name], scheme, aside=True))
    assert not left.static_is_left
    assert not left.moment_is_left


@pytest.mark.parametrize("name", ["Hill climb six", "Pilot boat six", "Touring six"])
@pytest.mark.parametrize("scheme", ["every_web", "every_second", "none"])
def test_what_balances_a_six_is_not_turned(name, scheme):
    straight = with_scheme(DEMOS[name], scheme, 0.9, 0.2).counterweights
    assert with_scheme(DEMOS[name], scheme, 0.9, 0.2, aside=True).counterweights == straight


@pytest.mark.parametrize("name", DEMOS)
def test_weights_on_every_web_are_never_turned(name):
    straight = with_scheme(DEMOS[name], "every_web").counterweights
    assert with_scheme(DEMOS[name], "every_web", aside=True).counterweights == straight


def test_a_six_with_eight_weights_stands_thirty_degrees_aside():
    """None at throws 3 and 4: √3/2 of half a throw's on each web of the others, at 30° aside.

    Opposite their pins at 0° and 240° those eight add up to 2U at 120°; so each takes on U/4
    at 300°: U/2 at 180° becomes √3/4 U at 210°.
    """
    weights = with_scheme(HILL, "none_in_middle", aside=True).counterweights
    assert [one.web for one in weights] == [1, 2, 3, 4, 9, 10, 11, 12]
    half = throw_moments(HILL).rotating[0] / 2
    assert [one.unbalance for one in weights] == pytest.approx([half * math.sqrt(3) / 2] * 8)
    turned = [math.degrees(one.angle) - 180 for one in weights]
    assert turned == pytest.approx([30, 30, -30, -30, -30, -30, 30, 30])


def test_a_six_with_two_large_weights_by_hand():
    """Each gives up a quarter of its own share along throw 1, of which there is one too much."""
    weights = with_scheme(HILL, "two_large", aside=True).counterweights
    whole, corner = throw_moments(HILL).rotating[0], np.exp(1j * math.radians(60))
    expected = [0.75, *[abs(0.5 * corner + 0.125)] * 4, 0.75]
    assert [one.unbalance / whole for one in weights] == pytest.approx(expected)
    turned = math.degrees(np.angle((0.5 * corner + 0.125) / corner))
    found = [math.degrees(one.angle) - 180 for one in weights]
    assert found == pytest.approx([0, turned, -turned, -turned, turned, 0], abs=1e-9)


@pytest.mark.parametrize("name", ["Hill climb six", "V6 60 six throws"])
@pytest.mark.parametrize("scheme", ["two_large", "none_in_middle"])
def test_no_other_way_of_balancing_changes_the_weights_less(name, scheme):
    """Whatever keeps the balance and is added on top makes Σ |d|²/share larger."""
    design, rng = DEMOS[name], np.random.default_rng(7)
    throws, spacing = design.layout.throws, design.layout.throw_spacing
    shares = scheme_shares(scheme, throws)
    webs = shares.nonzero()[0]
    straight = vectors_of(with_scheme(design, scheme), webs)
    taken = vectors_of(with_scheme(design, scheme, aside=True), webs) - straight
    side = np.where(webs % 2, 1, -1) * design.crank.web_offset
    z = (webs // 2 - (throws - 1) / 2) * spacing + side
    free = np.eye(len(webs)) - np.linalg.pinv(arms := np.stack((np.ones(len(webs)), z))) @ arms
    other = free @ (rng.normal(size=len(webs)) + 1j * rng.normal(size=len(webs)))
    assert np.abs(arms @ other).max() < 1e-12
    assert abs((taken.conj() * other / shares[webs]).sum()) < 1e-12 * np.abs(taken).max()


def vectors_of(design, webs):
    """Return the counterweights' vectors on some webs, from throw 1 with rotation."""
    found = {one.web - 1: one for one in design.counterweights}
    angles = np.array(design.layout.throw_angles)[webs // 2]
    return np.array([
        found[web].unbalance * np.exp(1j * (angle + found[web].angle)) if web in found else 0
        for web, angle in zip(webs.tolist(), angles, strict=True)
    ])  # fmt: skip


def test_webs_that_cannot_balance_the_shaft_are_refused():
    with pytest.raises(DesignError, match=r"scheme.*webs whose counterweights can balance.*'none'"):
        with_scheme(DEMOS["V6 60 six throws"], "none", aside=True)
    single = replace(HILL, layout=layout_of([0]), counterweights=())
    with pytest.raises(DesignError, match=r"webs whose counterweights can balance.*'every_second'"):
        with_scheme(single, "every_second", aside=True)
    assert len(with_scheme(single, "every_web", aside=True).counterweights) == 2


def test_outer_webs_that_balance_leaves_nothing_on_are_refused_in_words():
    """Throws 1 and 4 of a four point the same way: balanced, their counterweights vanish."""
    four = DEMOS["Inline four"]
    with pytest.raises(DesignError, match="inherently balanced"):
        scheme_counterweights(four, "none_in_middle", 1.0, 0.0, aside=True)
    straight = scheme_counterweights(four, "none_in_middle", 1.0, 0.0)
    assert [one.web for one in straight] == [1, 2, 7, 8]
    assert scheme_counterweights(four, "none", 1.0, 0.0, aside=True) == ()
    assert scheme_counterweights(four, "every_web", 0.0, 0.0, aside=True) == ()
