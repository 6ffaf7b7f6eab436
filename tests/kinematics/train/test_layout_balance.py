"""The layouts side by side: the factors of handbook tables, on any design's own parts."""

import math

import pytest

from assets_demo import demo_paths
from kinematics import load_design, solve_cycle
from kinematics.mechanics.slider_crank import acceleration_harmonics
from kinematics.train.balance import ellipse
from kinematics.train.layout_balance import LAYOUTS, layout_balances

DESIGNS = {name: load_design(path) for name, path in demo_paths().items()}
SPEED = 600.0
SQRT2, SQRT3, SQRT6, SQRT10 = (math.sqrt(x) for x in (2, 3, 6, 10))

# Bosch Automotive Handbook, free forces and moments of the 1st and 2nd order (from memory): largest
# force 1, 2 and moment 1, 2 in units of one cylinder's |A_k| m r ω², and of that times the spacing
PRINTED = {
    "In-line three": (0, 0, SQRT3, SQRT3),
    "In-line four": (0, 4, 0, 0),
    "In-line five": (0, 0, 0.4490, 4.9798),
    "In-line six": (0, 0, 0, 0),
    "V6, 90°, three throws": (0, 0, SQRT3, SQRT6),
    "V8, 90°, cross-plane": (0, 0, SQRT10, 0),
    "V8, 90°, flat-plane": (0, 4 * SQRT2, 0, 0),
    "V12, 60°": (0, 0, 0, 0),
    "Flat four": (0, 0, 0, 2),
    "Flat six": (0, 0, 0, 0),
}


def found(design):
    return {one.name: one for one in layout_balances(design, SPEED)}


def second(design):
    train = solve_cycle(design, 1000).train
    return abs(acceleration_harmonics(train.crank, 2)[2])


@pytest.mark.parametrize("name", PRINTED)
@pytest.mark.parametrize("of", ["Hill climb six", "Pilot boat six"])
def test_factors_are_those_of_the_table(name, of):
    design = DESIGNS[of]
    one, lam = found(design)[name], second(design)
    sizes = [one.force[0].largest, one.force[1].largest / lam]
    sizes = [size / one.force_unit for size in sizes]
    sizes += [
        one.moment[0].largest / one.moment_unit,
        one.moment[1].largest / one.moment_unit / lam,
    ]
    assert sizes == pytest.approx(PRINTED[name], abs=5.1e-5)


def test_every_layout_is_in_the_table():
    assert {one.name for one in LAYOUTS} == set(PRINTED)


def test_what_counterweights_can_take_and_what_they_cannot():
    """Crossed V8 and 90° V6: the 1st moment turns with the crank, so bob weights hold it."""
    at = found(DESIGNS["Hill climb six"])
    for name in ("V8, 90°, cross-plane", "V6, 90°, three throws"):
        first = at[name].moment[0]
        assert first.backward == 0
        assert first.forward > 0
    three = at["In-line three"].moment[0]
    assert three.forward == pytest.approx(three.backward, rel=1e-12)  # half needs a shaft


def test_a_six_needs_nothing_outside_but_bends_inside():
    six = found(DESIGNS["Hill climb six"])["In-line six"]
    assert (six.couple, six.force[0].largest, six.moment[1].largest) == (0, 0, 0)
    three = found(DESIGNS["Hill climb six"])["In-line three"]
    assert three.couple > 0


@pytest.mark.parametrize("name", DESIGNS)
def test_the_designs_own_row_is_its_own_balance(name):
    """Against the time signals of the whole design without its counterweights' part."""
    design = DESIGNS[name]
    own = found(design)["This design"]
    balance = solve_cycle(design, SPEED * 30 / math.pi).balance
    turns = design.layout.strokes_per_cycle // 2
    at = 2 * turns - 1
    assert balance.orders[at] == 2
    drawn = ellipse(balance.force_orders[0], balance.force_orders[1])
    assert own.force[1].largest == pytest.approx(
        drawn.largest[at], rel=1e-6, abs=1e-6 * own.force_unit
    )
    assert (own.cylinders, own.throws) == (design.layout.cylinders, design.layout.throws)


@pytest.mark.parametrize("one", LAYOUTS, ids=lambda one: one.name)
def test_every_layout_fires(one):
    import dataclasses

    design = DESIGNS["Hill climb six"]
    layout = one.layout(design.layout)
    crank = dataclasses.replace(design.crank, web_offset=layout.throw_spacing / 4)
    made = dataclasses.replace(design, layout=layout, crank=crank, counterweights=())
    shape = (len(design.full_load), layout.cylinders, 720)
    assert solve_cycle(made, 1000).train.pressure.courses.shape == shape
