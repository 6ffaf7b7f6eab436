"""Each cylinder on its own trace: alike they are one trace; in another order so are the loads."""

from dataclasses import replace

import numpy as np
import pytest

from kinematics import DesignError, design_text, parse_design, with_value
from kinematics.limits.crank_criteria import CrankParts
from kinematics.limits.rod_criteria import RodParts
from kinematics.mechanics.firing_order import firing_angles
from kinematics.mechanics.pressure_trace import PressureTrace
from kinematics.train.cycle import Cycle, RigidTrain
from tests.demos import DEMOS
from viz.train.main_numbers import main_numbers
from viz.train.scene import _sent_cylinders

DESIGN = DEMOS["measured_six"]
TRACE = DESIGN.pressure.trace
SPEED = 600.0
SHARES = (1.0, 0.97, 1.05, 0.93, 1.02, 0.99)
ORDER = np.argsort(firing_angles(DESIGN.layout))  # cylinders, from 0, as they fire
STEPS = 120  # of the grid between two firings


def course(share: float) -> tuple[float, ...]:
    """The trace with more or less pressure above 1 bar, to 10 Pa as files hold it."""
    over = np.array(TRACE.pressure) - 1e5
    pressure = 1e5 + share * over.clip(0) + over.clip(None, 0)
    return tuple((np.round(pressure / 10) / 1e4 * 1e5).tolist())


def own(courses):
    first, *others = courses
    trace = PressureTrace(TRACE.crank_angle, first, tuple(others))
    return replace(DESIGN, pressure=replace(DESIGN.pressure, trace=trace))


UNLIKE = own([course(share) for share in SHARES])
LATER = own([course(SHARES[k]) for k in ORDER[np.argsort(ORDER) - 1]])  # each of the one before


@pytest.fixture(scope="module")
def unlike():
    return RigidTrain(UNLIKE)


def test_alike_columns_are_one_trace_bit_for_bit() -> None:
    alike = own([TRACE.pressure] * 6)
    assert alike.cylinders_alike
    one, six = RigidTrain(DESIGN), RigidTrain(alike)
    for name in ("crank_torque", "big_end_rod", "main_block", "free"):
        of_one, of_six = getattr(one, name), getattr(six, name)
        if name == "free":
            of_one, of_six = of_one.moment, of_six.moment
        assert np.array_equal(of_one.at(SPEED), of_six.at(SPEED)), name
    for parts in (CrankParts, RodParts):
        assert repr(parts(six).design.layout) == repr(parts(one).design.layout)
    speed = np.array([SPEED])
    assert np.array_equal(CrankParts(one).web_bending(speed), CrankParts(six).web_bending(speed))


def test_courses_passed_on_along_the_firing_order_pass_on_every_load(unlike) -> None:
    later = RigidTrain(LATER)
    for load in ("rod_force", "side_thrust", "cylinder_torque"):
        before, after = (getattr(t.loads, load).at(SPEED) for t in (unlike, later))
        passed = np.roll(before[np.roll(ORDER, 1)], STEPS, axis=-1)
        np.testing.assert_allclose(after[ORDER], passed, atol=1e-9 * np.abs(before).max())
    torque = unlike.crank_torque.at(SPEED)
    np.testing.assert_allclose(
        later.crank_torque.at(SPEED), np.roll(torque, STEPS), atol=1e-9 * np.abs(torque).max()
    )


def test_each_cylinder_does_the_work_of_its_own_course(unlike) -> None:
    work = Cycle(unlike, SPEED).cylinder_work
    for k in (0, 3):
        alone = replace(TRACE, pressure=course(SHARES[k]))
        design = replace(DESIGN, pressure=replace(DESIGN.pressure, trace=alone))
        assert work[k] == pytest.approx(Cycle(RigidTrain(design), SPEED).indicated_work, rel=1e-9)
    assert Cycle(unlike, SPEED).indicated_work == pytest.approx(work.mean())
    assert unlike.assessed_cylinder == np.argmax(SHARES)


def test_the_half_orders_of_torque_come_from_what_differs(unlike) -> None:
    """Alike, a six excites multiples of three alone; the phasor of order 1/2 is the sum of each."""
    per_cylinder = np.fft.rfft(unlike.loads.cylinder_torque.at(SPEED))[:, 1]
    whole = np.fft.rfft(unlike.crank_torque.at(SPEED))[1]
    assert whole == pytest.approx(per_cylinder.sum(), rel=1e-9)
    alike = np.fft.rfft(RigidTrain(DESIGN).crank_torque.at(SPEED))[1]
    assert abs(alike) < 1e-6 * abs(whole)


def test_a_misfire_is_motored_by_its_own_compression(unlike) -> None:
    dead = RigidTrain(UNLIKE, misfiring=(3,)).pressure.at(SPEED)
    alive = unlike.pressure.at(SPEED)
    assert np.array_equal(np.delete(dead, 2, 0), np.delete(alive, 2, 0))
    one = replace(DESIGN, pressure=replace(DESIGN.pressure, trace=replace(
        TRACE, pressure=course(SHARES[2]))))  # fmt: skip
    expected = RigidTrain(one, misfiring=(3,)).pressure.at(SPEED)[2]
    np.testing.assert_allclose(dead[2], expected, rtol=1e-9)


def test_the_file_holds_a_list_for_each_cylinder() -> None:
    text = design_text(UNLIKE)
    assert parse_design(text) == UNLIKE
    assert len(text) < 300_000


@pytest.mark.parametrize(
    ("given", "field", "words"),
    [
        (5, "cylinder_pressure_bar", "one for each of the 6 cylinders (got 5)"),
        (25, "cylinder_pressure_bar", "at most 24 lists (got 25)"),
    ],
)
def test_as_many_lists_as_cylinders(given: int, field: str, words: str) -> None:
    few = own([course(1.0)] * 6)
    text = design_text(few)
    start = text.index("    [\n", text.index("cylinder_pressure_bar = [\n"))
    one = text[start : text.index("    ],\n", start) + len("    ],\n")]
    with pytest.raises(DesignError) as raised:
        parse_design(text.replace(one * 6, one * given))
    assert (raised.value.field, words in str(raised.value)) == (f"pressure.{field}", True)


@pytest.mark.parametrize("bad", ["[[]]", "[[1.0], 2.0]", '[["a"]]', "[[[1.0]]]", "[[true]]"])
def test_what_are_no_lists_of_numbers_is_refused(bad: str) -> None:
    text = design_text(with_value(DEMOS["touring_six"], "pressure.crankcase_bar", 1.0))
    held = f"[pressure]\ncrank_angle_deg = [0.0]\ncylinder_pressure_bar = {bad}\n"
    with pytest.raises(DesignError) as raised:
        parse_design(text.replace("[pressure]\n", held))
    assert raised.value.field.startswith("pressure.")


def test_a_spread_on_top_of_what_was_measured_is_refused() -> None:
    with pytest.raises(DesignError, match="must be 0 where each cylinder has its own") as raised:
        with_value(UNLIKE, "firing.imep_spread_percent", 5.0)
    assert raised.value.field == "firing.imep_spread_percent"


def test_a_spread_is_the_models_while_it_is_in_use() -> None:
    """Traces that lie in the design unused refuse nothing; put to use, they do."""
    model = DEMOS["touring_six"].pressure
    pressure = replace(model, source="model", trace=UNLIKE.pressure.trace)
    spread = with_value(replace(UNLIKE, pressure=pressure), "firing.imep_spread_percent", 5.0)
    work = RigidTrain(spread)
    assert len(set(Cycle(work, SPEED).cylinder_work.round(3))) == len(SHARES)
    with pytest.raises(DesignError, match="must be 0 where each cylinder has its own"):
        replace(spread, pressure=replace(pressure, source="trace"))


def test_warnings_name_their_cylinder() -> None:
    late = list(UNLIKE.pressure.trace.courses)
    late[1] = tuple(np.roll(late[1], 300).tolist())
    found = RigidTrain(own(late)).warnings
    assert any(words.startswith("Cylinder 2: The peak lies") for words in found)
    assert not any(words.startswith("Cylinder 1") for words in found)


def test_the_page_is_sent_every_unlike_cylinder_and_their_spread(unlike) -> None:
    assert _sent_cylinders(unlike)[0] == list(range(6))
    assert _sent_cylinders(RigidTrain(own([TRACE.pressure] * 6)))[0] == [0]
    cycle = Cycle(unlike, SPEED)
    shown = {number.key: number for number in main_numbers(cycle)}
    spread = shown["indicated_mean_pressure_spread"]
    work = cycle.cylinder_work
    assert spread.value == pytest.approx(100 * work.std(ddof=1) / work.mean())
    assert spread.place.startswith("cylinder 4 ")
    assert "cylinder 3 " in spread.place
    assert not any("spread" in n.key for n in main_numbers(Cycle(RigidTrain(DESIGN), SPEED)))
