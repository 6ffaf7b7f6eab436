"""Measured cycles: cut and put on one grid; mean, spread and highest by their definitions."""

import math

import numpy as np
import pytest

from kinematics.errors import DesignError
from kinematics.mechanics.measured_cycles import Choice, measured_pressure
from kinematics.mechanics.trace_file import read_table
from kinematics.mechanics.trace_settings import (
    ANGLE,
    FiringCycle,
    TraceSettings,
    proposed_settings,
)
from tests.kinematics.mechanics.trace_texts import ANGLES, SIX, bars, text_of

PEAKS = (60.0, 75.0, 66.0, 63.0)
TWO_STROKE = FiringCycle(2 * math.pi, (0.0,))


def measured(text: str, cycle: FiringCycle = SIX, **changes):
    table = read_table(text)
    settings = proposed_settings(table, cycle)
    given = {name: getattr(settings, name) for name in settings.__slots__}
    return measured_pressure(table, TraceSettings(**(given | changes)), cycle)


def many(start: float = -360.0, step: float = 2.0, wrap: bool = True) -> str:
    """Four cycles of different peaks, each from gas-exchange TDC."""
    angles = start + np.arange(0, 4 * 720, step)
    cycle = np.floor((angles + 360) / 720).astype(int)
    pressure = bars(angles, np.array([*PEAKS, PEAKS[0]])[cycle])
    shown = np.mod(angles + 360, 720) - 360 if wrap else angles
    return text_of(shown, pressure)


@pytest.mark.parametrize("wrap", [True, False], ids=["wraps", "keeps rising"])
def test_cycles_are_cut_at_gas_exchange(wrap: bool) -> None:
    found = measured(many(wrap=wrap)).cycles(1)
    assert found.pressure.shape == (4, 360)
    assert math.degrees(found.after_tdc[0]) == pytest.approx(-360)
    np.testing.assert_allclose(found.pressure.max(axis=1) / 1e5, np.add(PEAKS, 1), rtol=1e-4)


def test_mean_spread_and_highest_are_those_of_the_definitions() -> None:
    found = measured(many()).cycles(1)
    expected = np.array([bars(ANGLES, peak) for peak in PEAKS]) * 1e5
    np.testing.assert_allclose(found.mean, expected.mean(axis=0), rtol=1e-5)
    np.testing.assert_allclose(found.deviation, expected.std(axis=0, ddof=1), atol=60)
    assert found.highest_index == 1
    np.testing.assert_allclose(found.course("highest"), expected[1], rtol=1e-5)
    np.testing.assert_allclose(found.course("upper"), found.mean + 2 * found.deviation)


def test_parts_of_cycles_at_the_ends_are_left_out() -> None:
    found = measured(many(start=0.0)).cycles(1)
    assert found.count == 3
    assert found.highest_index == 0


def test_a_small_shift_of_tdc_loses_no_cycle() -> None:
    for late in (-3.0, 3.0):
        found = measured(many(), firing_tdc=math.radians(late)).cycles(1)
        assert found.count == 4
        at = math.degrees(found.after_tdc[found.mean.argmax()])
        assert at == pytest.approx(10 - late, abs=1.001)


def test_an_angle_that_restarts_every_turn_is_said() -> None:
    angles = np.arange(0.0, 4 * 720, 2)
    text = text_of(np.mod(angles, 360), bars(angles))
    found = measured(text)
    assert found.wraps_in_turns
    assert not measured(many()).wraps_in_turns
    peak = found.cycles(1).after_tdc[found.cycles(1).mean.argmax()]
    assert math.degrees(peak) == pytest.approx(10)


def test_a_last_row_at_the_start_of_the_next_cycle_counts_once() -> None:
    angles = np.tile(np.append(ANGLES, 360.0), 3)
    assert measured(text_of(angles, bars(angles))).cycles(1).count == 3


def test_one_cycle_may_begin_anywhere() -> None:
    angles = np.arange(-100.0, 620, 2)
    found = measured(text_of(angles, bars(angles)))
    np.testing.assert_allclose(found.cycles(1).mean / 1e5, bars(), atol=0.02)


def test_falling_angles_give_the_same() -> None:
    text = text_of(-ANGLES, bars())
    np.testing.assert_allclose(measured(text).cycles(1).mean / 1e5, bars(), rtol=1e-4)


def test_unit_and_offset_are_applied() -> None:
    found = measured(text_of(ANGLES, 100 * bars(), head="angle,kPa"), offset=0.5e5)
    np.testing.assert_allclose(found.cycles(1).mean / 1e5, bars() + 0.5, rtol=1e-5)


def test_cylinders_of_one_engine_are_each_moved_to_their_own_tdc() -> None:
    degrees = np.degrees(SIX.firing_angles)
    columns = [bars(ANGLES - behind, 60 + k) for k, behind in enumerate(degrees)]
    head = "angle," + ",".join(f"p{k} bar" for k in range(1, 7))
    found = measured(text_of(ANGLES, *columns, head=head), reference="engine")
    assert list(found.by_cylinder) == [1, 2, 3, 4, 5, 6]
    for number, cycles in found.by_cylinder.items():
        np.testing.assert_allclose(cycles.mean / 1e5, bars(peak=59 + number), rtol=1e-4)
    np.testing.assert_allclose(found.cycles(0).mean / 1e5, bars(peak=62.5), rtol=1e-4)


def test_columns_of_one_cylinder_are_its_cycles() -> None:
    columns = [bars(peak=peak) for peak in PEAKS]
    text = text_of(ANGLES, *columns, head="angle,p1,p2,p3,p4")
    found = measured(text, roles=(ANGLE, 1, 1, 1, 1))
    assert found.cycles(1).count == 4


def test_a_two_stroke_has_a_cycle_a_turn() -> None:
    angles = np.arange(-180.0, 900, 2)
    text = text_of(angles, bars(np.mod(angles + 180, 360) - 180))
    assert measured(text, TWO_STROKE).cycles(1).count == 3


def test_what_is_stored_is_the_course_at_half_degrees() -> None:
    text = text_of(np.arange(-360.0, 360, 0.25), head="a,p")
    trace = measured(text).trace(Choice())
    assert len(trace.crank_angle) == 1440
    np.testing.assert_allclose(
        np.array(trace.pressure) / 1e5, bars(np.degrees(trace.crank_angle)), atol=1e-3
    )
    assert measured(many()).trace(Choice(1, "highest")) != measured(many()).trace(Choice())


@pytest.mark.parametrize(
    ("angles", "words"),
    [
        (np.where(ANGLES == -340, -342, ANGLES), "line 12: crank angle -342° does not rise"),
        (np.where(ANGLES == -340, -346, ANGLES), "line 12: crank angle -346° does not rise"),
        (np.radians(ANGLES), "must be in degrees (got a span of 12.53)"),
        (ANGLES / 1440, "must be in degrees"),
        (np.where(ANGLES >= 0, ANGLES + 40, ANGLES), "rows must be at most 30° apart (got 42°)"),
        (ANGLES / 2, "span a cycle of 720° or more (got 360°)"),
        (np.zeros(ANGLES.size), "degrees"),
    ],
    ids=["twice", "back", "radians", "turns", "gap", "half a cycle", "still"],
)
def test_bad_angles(angles, words: str) -> None:
    text = text_of(ANGLES, bars()).split("\n")[0] + "\n"
    text += "\n".join(f"{a:.6f},{p:.4f}" for a, p in zip(angles, bars(), strict=True))
    table = read_table(text)
    with pytest.raises(DesignError, match="columns") as caught:
        measured_pressure(table, TraceSettings((ANGLE, 1)), SIX)
    assert words in caught.value.message


def test_pressure_below_zero_asks_for_an_offset() -> None:
    found = measured(text_of(ANGLES, bars() - 1.2))
    with pytest.raises(DesignError, match="offset: must raise the absolute pressure above 0"):
        found.trace(Choice())


def test_choices_say_what_they_must_be() -> None:
    with pytest.raises(DesignError, match="mean, highest, upper"):
        Choice(0, "lowest")
    with pytest.raises(DesignError, match="cylinder: must be measured: 1"):
        measured(text_of()).cycles(4)
