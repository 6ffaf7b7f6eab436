"""Cylinders that do not fire, or unevenly: what the gas and all that follows from it do."""

import dataclasses

import numpy as np
import pytest

from kinematics import DesignError, design_text, load_demo, parse_design, solve_cycle, with_value
from kinematics.design.design import Design
from kinematics.design.design_firing import EVEN_FIRING, Firing
from kinematics.shaft.torsion_train import chain_harmonics, torsional_chain
from kinematics.torsion.torsion_response import phase_vectors
from kinematics.train.cycle import Cycle, RigidTrain, rigid_train
from kinematics.train.firing_state import imep_shares, pressure_as_fired
from kinematics.train.full_load import pressure_by_speed

DEMOS = ("hill_climb_six", "touring_six", "v6_60_six_throws", "measured_six", "pilot_boat_six")
SPEED = 3000.0


def fired(design: Design, **changes: object) -> Design:
    return dataclasses.replace(design, firing=dataclasses.replace(EVEN_FIRING, **changes))


def gas_courses(train: RigidTrain) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    design = train.design
    volume = design.cylinder.piston_area * (
        train.crank.stroke / (design.cylinder.compression_ratio - 1) + train.motion.displacement
    )
    widening = design.cylinder.piston_area * train.motion.velocity
    return train.own_angle - train.crank.top_dead_centre, volume, widening


@pytest.mark.parametrize("name", DEMOS)
def test_with_all_cylinders_firing_the_pressure_is_that_of_the_model_bit_for_bit(name):
    design = load_demo(name)
    train = rigid_train(design)
    after, volume, widening = gas_courses(train)
    plain = pressure_by_speed(design, after, volume)
    assert np.array_equal(pressure_as_fired(design, after, volume, widening).courses, plain.courses)
    assert np.array_equal(train.pressure.courses, plain.courses)
    assert train.assessed_cylinder == 0


@pytest.mark.parametrize("name", DEMOS)
@pytest.mark.parametrize("state", ["motored", "no_pressure"])
def test_mean_torque_loses_exactly_the_work_of_the_cylinder(name, state):
    design = load_demo(name)
    whole = solve_cycle(design, SPEED)
    for cylinder in (1, 4):
        cycle = solve_cycle(fired(design, state=state, cylinder=cylinder), SPEED)
        lost = whole.cylinder_work[cylinder - 1] - cycle.cylinder_work[cylinder - 1]
        missing = (whole.mean_torque - cycle.mean_torque) * design.layout.cycle_angle
        assert missing == pytest.approx(lost, rel=1e-9)
        others = np.delete(np.arange(design.layout.cylinders), cylinder - 1)
        assert np.array_equal(
            cycle.forces.cylinder_pressure[others], whole.forces.cylinder_pressure[others]
        )


@pytest.mark.parametrize("name", DEMOS)
def test_a_motored_cylinder_is_compressed_and_does_next_to_no_work(name):
    design = load_demo(name)
    whole, cycle = (solve_cycle(d, SPEED) for d in (design, fired(design, state="motored")))
    own, model = cycle.forces.cylinder_pressure[0], whole.forces.cylinder_pressure[0]
    after = np.degrees(cycle.train.own_angle[0])
    early = (after > -180) & (after < -60)
    assert own[early] == pytest.approx(model[early], rel=1e-9)
    assert own.max() < model.max()
    assert abs(after[own.argmax()]) < 2  # no combustion: the peak is at top dead centre
    # gas exchange is left: a loss, or a gain where the intake is charged above the exhaust
    assert abs(cycle.cylinder_work[0] / whole.cylinder_work[0]) < 0.25


@pytest.mark.parametrize("name", DEMOS)
def test_without_pressure_the_piston_bears_no_gas_force(name):
    cycle = solve_cycle(fired(load_demo(name), state="no_pressure", cylinder=3), SPEED)
    assert np.all(cycle.forces.gas_force[2] == 0)
    assert cycle.cylinder_work[2] == 0


def test_phasor_sums_of_a_six_without_one_cylinder_rise_from_0_to_1_and_fall_from_6_to_5():
    train = rigid_train(load_demo("hill_climb_six"))
    chain, whole = torsional_chain(train), chain_harmonics(train).gas.courses[0]
    order = np.arange(1, 25) / 2
    phases = phase_vectors(order, np.array(chain.firing_angles))
    sums = np.abs(phases.sum(axis=1))
    majors = order % 3 == 0
    assert sums[majors] == pytest.approx(6.0)
    assert sums[~majors] == pytest.approx(0.0, abs=1e-12)
    for dead in range(6):
        left = np.abs(np.delete(phases, dead, axis=1).sum(axis=1))
        assert left[majors] == pytest.approx(5.0)
        assert left[~majors] == pytest.approx(1.0)
        # the same of the torque itself, in units of one cylinder's harmonic
        state = fired(train.design, state="no_pressure", cylinder=dead + 1)
        torque = chain_harmonics(rigid_train(state)).gas.courses[0].sum(axis=0)
        ratio = np.abs(torque) / np.abs(whole[0])
        assert ratio[majors] == pytest.approx(5.0, rel=1e-9)
        assert ratio[~majors] == pytest.approx(1.0, rel=1e-9)


@pytest.mark.parametrize("name", DEMOS)
def test_the_spread_is_that_of_the_imep_of_the_cylinders(name):
    design = load_demo(name)
    whole = solve_cycle(design, SPEED).cylinder_work
    work = solve_cycle(fired(design, imep_spread=0.08, seed=7), SPEED).cylinder_work
    share = work / whole
    assert share.mean() == pytest.approx(1.0, rel=1e-6)
    assert share.std(ddof=1) == pytest.approx(0.08, rel=1e-6)
    expected = imep_shares(Firing(imep_spread=0.08, seed=7), design.layout.cylinders)
    assert share == pytest.approx(expected, rel=1e-6)


def test_a_seed_deals_the_spread_anew_and_always_the_same():
    one, two = (Firing(imep_spread=0.05, seed=seed) for seed in (1, 2))
    assert np.array_equal(imep_shares(one, 6), imep_shares(one, 6))
    assert not np.allclose(imep_shares(one, 6), imep_shares(two, 6))
    assert np.array_equal(imep_shares(one, 1), np.ones(1))


def test_criteria_of_one_piston_look_at_a_cylinder_that_fires():
    design = load_demo("hill_climb_six")
    assert rigid_train(fired(design, state="motored", cylinder=1)).assessed_cylinder != 0
    train = rigid_train(fired(design, imep_spread=0.1))
    assert train.assessed_cylinder == imep_shares(train.design.firing, 6).argmax()


def test_gas_at_part_load_and_on_a_two_stroke_can_be_motored_too():
    design = with_value(load_demo("pilot_boat_six"), "pressure.load_percent", 40)
    cycle = Cycle(rigid_train(fired(design, state="motored")), 100.0)
    assert cycle.forces.cylinder_pressure[0].max() < cycle.forces.cylinder_pressure[1].max()
    layout = dataclasses.replace(
        design.layout, strokes_per_cycle=2, throw_angles=(0.0, np.pi), throw_of_cylinder=(1, 2),
        bank_angle=(0.0, 0.0), firing_order=(1, 2),
    )  # fmt: skip
    two = dataclasses.replace(design, layout=layout, counterweights=())
    cycle = Cycle(rigid_train(fired(two, state="motored")), 100.0)
    assert abs(cycle.cylinder_work[0]) < 0.1 * cycle.cylinder_work[1]


def test_the_state_is_stored_in_the_design_file_and_left_out_where_all_fire():
    design = load_demo("hill_climb_six")
    assert "[firing]" not in design_text(design)
    state = fired(design, state="motored", cylinder=3, imep_spread=0.05, seed=4)
    assert parse_design(design_text(state)) == state


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"state": "motored", "cylinder": 7}, "firing.cylinder"),
        ({"state": "off"}, "firing.state"),
        ({"imep_spread": 0.5}, "firing.imep_spread_percent"),
        ({"seed": -1}, "firing.seed"),
    ],
)
def test_a_state_that_cannot_be_is_refused_with_its_field(changes, field):
    with pytest.raises(DesignError) as refused:
        fired(load_demo("hill_climb_six"), **changes)
    assert refused.value.field == field
