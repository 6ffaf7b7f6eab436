"""Own criteria on the ladder: the same as built-in ones where they say the same."""

import dataclasses
import math
from functools import cache

import numpy as np
import pytest

from assets_demo import DEMO_DESIGNS
from kinematics import load_demo, rigid_train, solve_cycle, speed_limits
from kinematics.design.own_criterion import OwnCriterion
from kinematics.errors import DesignError
from kinematics.limits.left_out import THINNER
from kinematics.limits.limit_sensitivities import limit_sensitivities
from kinematics.limits.named_results import INPUTS, RESULTS, input_value, unit_of
from kinematics.limits.own_criteria import OWN_MARK, OwnParts, check_own
from kinematics.units import UNITS
from tests.demos import DEMOS

SIX = dataclasses.replace(DEMOS["hill_climb_six"], name="Alone")  # no other test asks its films


@cache
def ladder_of_six():
    return speed_limits(SIX)


def own(expression, allowable, unit="", **more):
    return OwnCriterion(more.pop("name", "own"), expression, allowable, "test", unit, **more)


def ladder_with(*rows, design=SIX):
    return speed_limits(dataclasses.replace(design, criteria=rows))


def twin(key):
    """An own criterion that says what the criterion of a key does."""
    rung = ladder_of_six()[key]
    unit = rung.criterion.unit
    allowable = UNITS[unit].from_si(rung.allowed.value)
    return own(key, allowable, unit, name=key, at_least=rung.criterion.at_least)


TWINS = ("mean_piston_speed", "main_film", "pin_fillet", "rod_fatigue", "ring_lift")


@cache
def twin_ladder():
    return ladder_with(*map(twin, TWINS))


@pytest.mark.parametrize("key", TWINS)
def test_an_own_criterion_is_its_built_in_twin(key):
    ladder, twins = ladder_of_six(), twin_ladder()
    rung, found = ladder[key], twins[f"own_{key}"]
    assert found.limit == pytest.approx(rung.limit, rel=1e-9)
    assert (found.use_at, found.at) == pytest.approx((rung.use_at, rung.at), rel=1e-9)
    if not rung.criterion.guide:
        assert twins.verdict(found) == ladder.verdict(rung)
    assert {mark.what for mark in rung.left_out} < {mark.what for mark in found.left_out}
    assert found.left_out[-1] == OWN_MARK
    assert (found.band is None) == (rung.band is None)
    if rung.band:
        ends = {end.model: end.limit for end in rung.band.ends}
        assert {end.model: end.limit for end in found.band.ends} == pytest.approx(ends, rel=1e-6)


def test_what_moves_it_is_what_moves_its_twin():
    keys = ("main_film", "mean_piston_speed")
    ladder, own_ladder = ladder_of_six(), twin_ladder()
    slopes = limit_sensitivities(own_ladder, [own_ladder[f"own_{key}"] for key in keys])
    twins = limit_sensitivities(ladder, [ladder[key] for key in keys])
    for key in keys:
        assert slopes[f"own_{key}"] == pytest.approx(twins[key], rel=1e-5, abs=1e-6)


def test_it_may_govern():
    ladder = ladder_with(own("mean_piston_speed", 22.5, "m_s"))
    assert ladder.lowest is ladder["own_own"]
    assert ladder.lowest.limit == pytest.approx(math.pi * 22.5 / SIX.cylinder.stroke, rel=1e-7)


def test_units_are_converted_and_numbers_are_not():
    si = ladder_with(own("big_end_load/(big_end.diameter_mm*big_end.width_mm)", 700, "bar"))
    rung = si["own_own"]
    specific = rung.criterion.value(rung.parts, np.array([SIX.layout.rated_speed]))
    bearing = SIX.big_end
    load = solve_cycle(SIX, 8500).bearings.big_end_load("rod")[0]
    assert specific[0] == pytest.approx(
        np.hypot(*load).max() / (bearing.diameter * bearing.width), rel=1e-9
    )
    assert rung.allowed.value == 70e6
    plain = ladder_with(own("big_end_load/big_end.width_mm + 2*speed/1000", 99))["own_own"]
    value = plain.criterion.value(plain.parts, np.array([SIX.layout.rated_speed]))
    width = UNITS["mm"].from_si(bearing.width)
    assert value[0] == pytest.approx(np.hypot(*load).max() / 1e3 / width + 17, rel=1e-9)


@pytest.mark.parametrize(
    ("row", "why"),
    [
        (own("mean_piston_sped", 1, "m_s"), r"criterion\.1\.expression: .*mean mean_piston_speed"),
        (own("cylinder.bore_m", 1), "did you mean cylinder.bore_mm"),
        (own("__class__", 1), "no named result"),
        (own("irregularity", 1), "no named result"),
        (own("cylinder.stroke_mm*speed", 1, "m_s"), r"criterion\.1\.unit: is m/s, but .*rad"),
        (own("side_thrust + 3", 1, "kN"), "puts kN and a plain number together"),
        (own("side_thrust", 1, "MPa"), "is MPa, but the expression comes out in kN"),
        (own("1/(speed - speed)", 1), "there is no value at 2000 rpm"),
        (own("sqrt(5000 - speed)", 1), "no value at"),
        (own("(speed*1e70)**6", 1), "no value at"),
        (own("limits.load_per_width_N_mm", 1), "is not given in this design"),
    ],
)
def test_what_cannot_be_had_is_not_assessed_and_says_why(row, why):
    (found,) = (absent for absent in ladder_with(row).unjudged if absent.criterion.key == "own_own")
    with pytest.raises(DesignError, match=why):
        raise found.why


def test_what_a_design_does_not_give_is_named():
    bare = dataclasses.replace(SIX, big_end=None, crank_throw=None, crank_material=None, oil=None)
    (found,) = (
        absent for absent in ladder_with(own("2*big_end_film", 3, "um"), design=bare).unjudged
        if absent.criterion.key == "own_own"
    )  # fmt: skip
    assert found.lacking == ("big_end", "oil")


def test_below_zero_nothing_is_used():
    rung = ladder_with(own("speed - 9000", 100))["own_own"]
    assert rung.rated_use == 0
    assert rung.limit_rpm == pytest.approx(9100, abs=1)
    falling = ladder_with(own("9000 - speed", 100, at_least=True))["own_own"]
    assert falling.limit_rpm == pytest.approx(8900, abs=1)


def test_kinks_are_looked_at_finely():
    rung = ladder_with(own("max(main_film, 3) - 3 + speed/1000", 9.5))["own_own"]
    assert rung.limit_rpm == pytest.approx(9500, abs=2)


def test_marks_say_no_way_where_an_expression_may_turn_it():
    rung = twin_ladder()["own_rod_fatigue"]
    assert all(mark.direction in (THINNER, OWN_MARK.direction) for mark in rung.left_out)


@pytest.mark.parametrize("name", DEMO_DESIGNS)
def test_every_name_has_a_value_on_every_demo(name):
    design = load_demo(name)
    parts, speed = OwnParts(rigid_train(design)), np.array([0.8, 1.0]) * design.layout.rated_speed
    for key, named in RESULTS.items():
        if named.criterion.missing(design):
            continue
        try:
            value = parts.result(key, speed)
        except DesignError as error:  # of a part that this design has not
            lacks = {"damper_heat": "torsion.damper", "oil_bore": "crank_throw.oil_bore_mm"}
            if lacks.get(key) != error.field:
                raise
            continue
        assert value.shape == (2,), key
        assert not np.isnan(value).any(), key
    for key, entry in INPUTS.items():
        if getattr(design, entry.group) is not None and entry.value(design) is not None:
            assert math.isfinite(input_value(design, key))


def test_a_name_is_a_result_or_an_input():
    assert not RESULTS.keys() & INPUTS.keys()
    assert all(unit_of(name) in UNITS for name in (*RESULTS, *INPUTS))


@pytest.mark.parametrize(
    ("name", "of"),
    [
        ("mean_torque", lambda cycle: cycle.mean_torque),
        ("indicated_power", lambda cycle: cycle.indicated_power),
        ("peak_torque", lambda cycle: cycle.forces.crank_torque.max()),
        ("side_thrust", lambda cycle: np.abs(cycle.forces.side_thrust).max()),
        ("rod_compression", lambda cycle: cycle.forces.rod_force.max()),
        ("rod_tension", lambda cycle: -cycle.forces.rod_force.min()),
        ("peak_pressure", lambda cycle: cycle.forces.cylinder_pressure.max()),
        ("main_load", lambda cycle: np.hypot(*np.moveaxis(cycle.bearings.main_load("block"), 1, 0))
            .max()),
        ("speed", lambda cycle: cycle.speed),
    ],
)  # fmt: skip
def test_results_are_those_of_the_cycle(name, of):
    speed = np.array([800.0, 890.0])
    found = OwnParts(rigid_train(SIX)).result(name, speed)
    cycles = [solve_cycle(SIX, UNITS["rpm"].from_si(each)) for each in speed]
    assert found == pytest.approx([of(cycle) for cycle in cycles], rel=1e-9)


def test_a_good_one_passes_the_check():
    check_own(own("2*side_thrust/cylinder.bore_mm", 120, "N_mm"))
