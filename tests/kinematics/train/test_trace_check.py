"""Checks of a trace: known shifts and offsets of the model's own pressure are found again."""

import math
from dataclasses import replace

import numpy as np
import pytest

from kinematics import Cycle, DesignError, with_value
from kinematics.mechanics.pressure_trace import PressureTrace
from kinematics.train.cycle import RigidTrain
from kinematics.train.cylinder_pressure import cylinder_pressure, cylinder_volume
from kinematics.train.trace_check import (
    LOSS_ANGLE,
    intake_offset,
    is_motored,
    shifted_trace,
    tdc_check,
    with_trace,
)
from tests.demos import DEMOS

NOISE = 6e3 / math.sqrt(20)  # [Pa] of the mean of 20 cycles
LACKING = 0.2e5
DESIGNS = {name: DEMOS[name] for name in ("touring_six", "hill_climb_six", "pilot_boat_six")}
FLAT = PressureTrace(tuple(np.radians(np.arange(0.0, 720, 10)).tolist()), (1e5,) * 72)
LATE = (-2.0, -1.0, 0.0, 1.0, 2.0)


def motored(design):
    """The design with its charge unburnt, whole."""
    return with_value(
        with_value(design, "pressure.load_control", "mixture"), "pressure.load_percent", 0.0
    )


def measured(design, late, step=0.1, noise=NOISE, seed=3):
    """The model's pressure with a late encoder, noise and a missing offset."""
    after = np.radians(np.arange(-360.0, 360, step))
    true = after - math.radians(late)
    pressure = cylinder_pressure(design, true, cylinder_volume(design.cylinder, true))
    draw = np.random.default_rng(seed)
    return after, pressure + noise * draw.standard_normal(after.size) - LACKING


@pytest.mark.parametrize("late", LATE)
@pytest.mark.parametrize("design", DESIGNS.values(), ids=DESIGNS)
def test_a_shift_is_found_from_fired_compression(design, late: float) -> None:
    """Within 0.1° at 0.1° steps, and by less than the uncertainty that is stated."""
    found = tdc_check(design, *measured(design, late))
    assert not found.motored
    error = math.degrees(found.late) - late
    assert abs(error) < 0.1
    assert abs(error) < math.degrees(found.uncertainty) < 0.5
    assert found.exponent == pytest.approx(design.pressure.compression_exponent, abs=0.005)
    assert found.lacking == pytest.approx(LACKING, abs=1e3)
    assert found.is_usual


@pytest.mark.parametrize("late", LATE)
@pytest.mark.parametrize("design", DESIGNS.values(), ids=DESIGNS)
def test_a_shift_is_found_from_a_motored_peak(design, late: float) -> None:
    """The model loses no heat, so that its peak lies at TDC; within 0.05°."""
    found = tdc_check(design, *measured(motored(design), late), loss_angle=0.0)
    assert found.motored
    assert math.degrees(found.late) == pytest.approx(late, abs=0.05)
    assert found.exponent == pytest.approx(design.pressure.compression_exponent, abs=0.005)


def test_the_loss_angle_moves_tdc_behind_the_motored_peak() -> None:
    after, pressure = measured(motored(DESIGNS["touring_six"]), 0.0)
    found = tdc_check(DESIGNS["touring_six"], after, pressure)
    assert found.late == pytest.approx(LOSS_ANGLE, abs=math.radians(0.05))


@pytest.mark.parametrize("seed", range(8))
def test_the_stated_uncertainty_covers_whole_degrees_and_noise(seed: int) -> None:
    """At 1° steps, within three standard deviations, none above 0.7°."""
    design = DESIGNS["touring_six"]
    found = tdc_check(design, *measured(design, 1.5, step=1.0, seed=seed))
    assert abs(math.degrees(found.late) - 1.5) < 3 * math.degrees(found.uncertainty) < 2.1


def test_an_exponent_that_drifts_is_within_the_stated_uncertainty() -> None:
    """The exponent falls by 0.02 along compression, as heat is lost."""
    design = DESIGNS["touring_six"]
    after, pressure = measured(design, 0.0, noise=0.0)
    volume = np.log(cylinder_volume(design.cylinder, after))
    start, end = (int(np.argmin(abs(after - math.radians(angle)))) for angle in (-110, -25))
    along = np.clip((volume - volume[start]) / (volume[end] - volume[start]), 0, 1)
    bent = pressure * (1 + 0.02 * (volume[end] - volume[start]) * along * along / 2)
    found = tdc_check(design, after, bent)
    assert 0.05 < abs(math.degrees(found.late)) < 1.5 * math.degrees(found.uncertainty)


def test_two_degrees_late_raise_imep_of_the_touring_six_by_eight_percent() -> None:
    """Work is ∮ p dV of the shifted course; against a sum on a fine grid made here."""
    design = DESIGNS["touring_six"]
    late = math.radians(2)
    angle = np.radians(np.arange(0.0, 720, 0.5))
    pressure = cylinder_pressure(design, angle, cylinder_volume(design.cylinder, angle))
    true = PressureTrace(tuple(angle.tolist()), tuple(pressure.tolist()))
    early_by = shifted_trace(true, -late, 4 * math.pi)
    cycles = [
        Cycle(RigidTrain(with_trace(design, trace, "x.csv")), 500.0) for trace in (true, early_by)
    ]
    ratio = cycles[1].indicated_mean_pressure / cycles[0].indicated_mean_pressure

    fine = np.linspace(0, 4 * math.pi, 72_001)
    course = np.interp(fine, angle, pressure, period=4 * math.pi)
    delayed = np.interp(fine - late, angle, pressure, period=4 * math.pi)
    volume = cylinder_volume(design.cylinder, fine)
    work = [np.sum((p[1:] + p[:-1]) / 2 * np.diff(volume)) for p in (course, delayed)]
    assert ratio == pytest.approx(work[1] / work[0], rel=1e-3)
    assert 1.05 < ratio < 1.10


def test_shifting_back_and_forth_changes_little() -> None:
    angle = np.radians(np.arange(0.0, 720, 0.5))
    trace = PressureTrace(tuple(angle.tolist()), tuple((2e5 + 1e5 * np.cos(angle / 2)).tolist()))
    there = shifted_trace(trace, math.radians(1.7), 4 * math.pi)
    back = shifted_trace(there, -math.radians(1.7), 4 * math.pi)
    np.testing.assert_allclose(back.pressure, trace.pressure, rtol=1e-5)


def test_pegging_at_intake_bdc_finds_what_is_missing() -> None:
    design = DESIGNS["touring_six"]
    after, pressure = measured(design, 0.0, noise=0.0)
    assert intake_offset(design, after, pressure) == pytest.approx(LACKING, rel=1e-6)
    unknown = replace(design.pressure, source="trace", trace=FLAT, intake=None)
    assert intake_offset(replace(design, pressure=unknown), after, pressure) is None


def test_a_peak_far_from_tdc_names_the_angle() -> None:
    design = DESIGNS["touring_six"]
    after, pressure = measured(design, 0.0, step=1.0)
    with pytest.raises(DesignError, match=r"firing_tdc: must be .* \(it lies -348° after"):
        tdc_check(design, after, np.roll(pressure, 360))


def test_a_flat_trace_and_a_few_points_do_not_break_the_check() -> None:
    design = DESIGNS["touring_six"]
    after = np.radians(np.arange(-360.0, 360, 1))
    for course in (np.full(after.size, 1e5), 1e5 + 1.0 * (abs(after) < 0.01)):
        try:
            found = tdc_check(design, after, course)
        except DesignError:
            continue
        assert math.isfinite(found.late)
        assert math.isfinite(found.uncertainty)
    coarse = np.radians(np.arange(-360.0, 360, 20))
    with pytest.raises(DesignError, match="12 rows or more on compression"):
        tdc_check(design, coarse, cylinder_pressure(
            design, coarse, cylinder_volume(design.cylinder, coarse)))  # fmt: skip


def test_motored_and_fired_are_told_apart() -> None:
    for design in DESIGNS.values():
        assert not is_motored(*measured(design, 2.0))
        assert is_motored(*measured(motored(design), 2.0))
