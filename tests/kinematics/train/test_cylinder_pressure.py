"""The pressure model: the peak in its place, no jumps, motored and part load; the trace."""

import dataclasses
import math

import numpy as np
import pytest
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st

from kinematics import Design, DesignError, with_value
from kinematics.design.design_pressure import Pressure
from kinematics.mechanics.pressure_trace import PressureTrace
from kinematics.train.cycle import Cycle, RigidTrain
from kinematics.train.cylinder_pressure import closed_cycle, cylinder_volume, volume_at
from tests.conftest import changed, layout_of, six, tried, with_layout
from tests.kinematics.random_designs import slider_value

SLOW = settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
LARGEST_STEP = 0.03  # of the peak, between angles 0.1° apart
MODEL = [
    "intake", "exhaust", "peak", "peak_angle", "compression_exponent", "expansion_exponent",
    "burn_duration", "intake_closes", "exhaust_opens",
]  # fmt: skip


OFFSETS = st.integers(-3000, 3000).map(lambda micrometres: micrometres * 1e-6)  # [m]


@st.composite
def models(draw: st.DrawFn) -> Design:
    """Any pressure model within the sliders on any compression ratio and pin offset."""
    base = six()
    fields = {field.name: field.metadata["declaration"] for field in pressure_fields()}
    values = {name: draw(slider_value(fields[name])) for name in MODEL}
    cylinder = dataclasses.replace(
        base.cylinder,
        compression_ratio=draw(st.floats(6, 20)),
        pin_offset=draw(OFFSETS),
    )
    return dataclasses.replace(changed(base, "pressure", **values), cylinder=cylinder)


def pressure_fields() -> list[dataclasses.Field]:
    return [field for field in dataclasses.fields(Pressure) if "declaration" in field.metadata]


def first_cylinder(design: Design, points: int = 7200) -> tuple[np.ndarray, np.ndarray]:
    """Degrees after true TDC (-360 … 360) and pressure of cylinder 1."""
    train = RigidTrain(design, points=points)
    after = np.degrees(train.own_angle[0] - train.crank.top_dead_centre)
    return np.mod(after + 360, 720) - 360, train.pressure.only[0]


def with_trace(design: Design, degrees: np.ndarray, bars: np.ndarray) -> Design:
    trace = PressureTrace(tuple(np.radians(degrees).tolist()), tuple((bars * 1e5).tolist()))
    return changed(design, "pressure", source="trace", trace=trace)


def test_peak_of_the_example(base: Design) -> None:
    after, pressure = first_cylinder(base)
    assert pressure.max() == pytest.approx(92e5, rel=1e-9)
    assert after[pressure.argmax()] == pytest.approx(14.0, abs=1e-9)


@SLOW
@given(models())
def test_peak_is_where_and_as_high_as_asked(design: Design) -> None:
    """Or the design is refused; it never peaks elsewhere."""
    found = tried(lambda: first_cylinder(design))
    if isinstance(found, DesignError):
        assert found.field in ("pressure.peak_bar", "pressure.peak_angle_deg")
        assert "must be" in found.message or "no start of burning" in found.message
        return
    after, pressure = found
    asked, angle = design.pressure.peak, math.degrees(design.pressure.peak_angle)
    assert pressure.max() <= asked * 1.001
    there = np.abs(after - angle).argmin()
    assert pressure[there] == pytest.approx(asked, rel=2e-4)


@SLOW
@given(models(), st.sampled_from((0.0, 0.3, 1.0)), st.sampled_from(("throttle", "mixture")))
def test_pressure_has_no_jump(design: Design, load: float, control: str) -> None:
    design = changed(design, "pressure", load=load, load_control=control)
    try:
        _, pressure = first_cylinder(design)
    except DesignError:
        assume(False)
    step = np.abs(np.diff(np.append(pressure, pressure[0])))
    assert step.max() < LARGEST_STEP * pressure.max()
    assert pressure.min() > 0


def test_a_peak_below_compression_is_refused(base: Design) -> None:
    """Whether at the peak's own angle or, for a late peak, at TDC before it."""
    low = with_value(base, "pressure.peak_bar", 14.0)
    for angle in (14.0, 43.0):
        late = with_value(low, "pressure.peak_angle_deg", angle)
        with pytest.raises(DesignError, match=r"above the 18\..*compression alone at TDC \(got 14"):
            first_cylinder(late)


def test_a_peak_before_a_higher_one_is_refused(base: Design) -> None:
    slow = with_value(base, "pressure.burn_duration_deg", 150)
    with pytest.raises(
        DesignError, match=r"must be higher \(got 19 bar.*would reach 21\.65 bar at 65°"
    ):
        first_cylinder(with_value(slow, "pressure.peak_bar", 19.0))


def test_motored_pressure_is_symmetrical(base: Design) -> None:
    """With both valves shut as long after TDC as before it."""
    motored = with_value(base, "pressure.load_percent", 0)
    after, pressure = first_cylinder(motored)
    closes = 180 - math.degrees(base.pressure.intake_closes)
    opens = 180 - math.degrees(base.pressure.exhaust_opens)
    shut = np.abs(after) < min(closes, opens) - 0.5
    order = np.argsort(after[shut])
    course = pressure[shut][order]
    np.testing.assert_allclose(course, course[::-1], rtol=1e-9)
    assert abs(after[pressure.argmax()]) < 0.1


def test_motored_closed_cycle_does_no_work(base: Design) -> None:
    motored = with_value(base, "pressure.load_percent", 0)
    model = closed_cycle(motored.cylinder, motored.pressure, motored.layout)
    after = np.radians(np.linspace(-125, 125, 20001))
    volume = cylinder_volume(motored.cylinder, after)
    pressure = model.closed(after, volume)
    half = np.trapezoid(pressure[:10001], volume[:10001])
    assert np.trapezoid(pressure, volume) == pytest.approx(0, abs=1e-9 * abs(half))


@pytest.mark.parametrize("control", ["throttle", "mixture"])
def test_part_load_lies_between(base: Design, control: str) -> None:
    work, peaks = [], []
    for percent in (0, 25, 50, 75, 100):
        design = with_value(base, "pressure.load_percent", percent)
        train = RigidTrain(changed(design, "pressure", load_control=control))
        work.append(Cycle(train, 1.0).indicated_mean_pressure)
        peaks.append(train.pressure.only.max())
    assert np.diff(work).min() > 0
    assert np.diff(peaks).min() > 0
    assert work[0] < 0  # motoring costs work
    assert peaks[-1] == pytest.approx(92e5, rel=1e-9)


def test_throttling_lowers_the_charge_and_mixture_does_not(base: Design) -> None:
    idle = with_value(base, "pressure.load_percent", 0)
    full = RigidTrain(changed(idle, "pressure", load_control="mixture")).pressure.only.max()
    shut = RigidTrain(changed(idle, "pressure", load_control="throttle")).pressure.only.max()
    assert shut == pytest.approx(0.3 * full, rel=1e-9)


def test_intake_and_exhaust_strokes(base: Design) -> None:
    after, pressure = first_cylinder(base)
    assert pressure[np.abs(after + 270).argmin()] == pytest.approx(0.95e5)
    assert pressure[np.abs(after - 290).argmin()] == pytest.approx(1.1e5)


@given(st.floats(20, 120), st.floats(5, 25), OFFSETS)
def test_volumes(bore: float, ratio: float, offset: float) -> None:
    cylinder = dataclasses.replace(
        six().cylinder, bore=bore / 1e3, compression_ratio=ratio, pin_offset=offset
    )
    top = float(cylinder_volume(cylinder, np.array(0.0)))
    train = RigidTrain(dataclasses.replace(six(), cylinder=cylinder))
    bottom = float(volume_at(cylinder, np.array(train.crank.stroke)))
    assert bottom / top == pytest.approx(ratio, rel=1e-9)
    assert bottom - top == pytest.approx(train.swept_volume, rel=1e-9)


def test_two_stroke_is_scavenged_at_intake_pressure() -> None:
    design = with_layout(six(), layout_of((0,), strokes=2))
    train = RigidTrain(design, points=3600)
    pressure = train.pressure.only[0]
    assert pressure.max() == pytest.approx(92e5, rel=1e-9)
    assert pressure[1800] == pytest.approx(0.95e5, rel=1e-9)
    step = np.abs(np.diff(np.append(pressure, pressure[0])))
    assert step.max() < LARGEST_STEP * pressure.max()


@pytest.mark.parametrize("start", [-360.0, 0.0])
def test_trace_gives_back_what_the_model_made(base: Design, start: float) -> None:
    """The model's own pressure, written as a trace every degree, loads the train the same."""
    train = RigidTrain(base)
    degrees = start + np.arange(720.0)
    bars = np.interp(degrees, np.arange(720.0), train.pressure.only[0] / 1e5, period=720)
    found = RigidTrain(with_trace(base, degrees, bars))
    np.testing.assert_allclose(found.pressure.only, train.pressure.only, rtol=1e-9)
    assert found.warnings == ()
    works = [Cycle(one, 1.0).indicated_work for one in (found, train)]
    assert works[0] == pytest.approx(works[1], rel=1e-9)


def test_uneven_trace_is_straight_between_its_points(base: Design) -> None:
    degrees = np.array([*range(0, 700, 20), 705.5])
    bars = 10 + 5 * np.cos(np.radians(degrees))
    pressure = RigidTrain(with_trace(base, degrees, bars)).pressure.only[0] / 1e5
    assert pressure[40] == pytest.approx(bars[2])
    assert pressure[50] == pytest.approx((bars[2] + bars[3]) / 2)
    last = bars[-1] + (bars[0] - bars[-1]) * (710 - 705.5) / 14.5
    assert pressure[710] == pytest.approx(last)


def test_flat_trace_is_a_motored_case(base: Design) -> None:
    train = RigidTrain(with_trace(base, np.arange(0, 720, 5.0), np.full(144, 1.0)))
    (warning,) = train.warnings
    assert "flat" in warning
    assert Cycle(train, 1.0).indicated_work == pytest.approx(0, abs=1e-9)
    high = RigidTrain(with_trace(base, np.arange(0, 720, 5.0), np.full(144, 7.0)))
    swing = high.crank_torque.gas.only
    assert swing.mean() == pytest.approx(0, abs=1e-12 * 6 * 7e5)


@pytest.mark.parametrize(
    ("scale", "words"),
    [(100.0, "kPa or psi"), (0.03, "MPa"), (0.1, "gauge")],
)
def test_traces_of_the_wrong_unit_are_doubted(base: Design, scale: float, words: str) -> None:
    train = RigidTrain(base)
    bars = np.minimum(train.pressure.only[0] / 1e5 * scale, 1000)
    found = RigidTrain(with_trace(base, np.arange(720.0), bars)).warnings
    assert any(words in warning for warning in found), found


def test_traces_with_the_wrong_dead_centre_are_doubted(base: Design) -> None:
    bars = np.roll(RigidTrain(base).pressure.only[0] / 1e5, 180)
    found = RigidTrain(with_trace(base, np.arange(720.0), bars)).warnings
    assert any("firing top dead centre" in warning for warning in found)
    near = np.roll(RigidTrain(base).pressure.only[0] / 1e5, 12)
    found = RigidTrain(with_trace(base, np.arange(720.0), near)).warnings
    assert any("exponent" in warning for warning in found)
