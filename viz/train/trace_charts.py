"""What an import of measured pressure draws: the cycles over the angle, and log p over log V."""

import math
from dataclasses import dataclass

import numpy as np

from kinematics.array import Array
from kinematics.design.design_mechanism import Cylinder
from kinematics.mechanics.measured_cycles import MeasuredPressure, PressureCycles
from kinematics.train.cycle import Cycle
from kinematics.train.cylinder_pressure import cylinder_volume
from kinematics.train.trace_check import TdcCheck
from kinematics.units import shown_unit
from viz.chart import Chart, Label, Line
from viz.chart_figure import chart_picture
from viz.number_words import as_drawn, axis, format_number
from viz.themed import Picture

DRAWN = 1440  # points of a cycle that are drawn at most
_ROOM = 1.12


@dataclass(frozen=True, slots=True, eq=False)
class Course:
    """A course of pressure [Pa] over the angle after firing TDC [rad], (n,), and its name."""

    after_tdc: Array
    pressure: Array
    name: str


def trace_pictures() -> tuple[Picture, ...]:
    """Return the empty figures of the import."""
    return (
        chart_picture("trace_course", "Pressure over the crank angle"),
        chart_picture("trace_log", "Logarithmic indicator diagram"),
    )


def present_course(cycle: Cycle) -> Course:
    """Return the pressure that a cycle has now, of its assessed cylinder."""
    train, layout = cycle.train, cycle.design.layout
    row, half = train.assessed_cylinder, layout.cycle_angle / 2
    after = np.mod(train.own_angle[row] - train.crank.top_dead_centre + half, 2 * half) - half
    order = np.argsort(after)
    on_trace = cycle.design.pressure.source == "trace"
    name = "present trace" if on_trace else "model"
    return Course(after[order], cycle.forces.cylinder_pressure[row][order], name)


def course_chart(cycles: PressureCycles, present: Course) -> Chart:
    """Return mean, mean ± 2σ and highest cycle over the crank angle, beside the present course."""
    step = -(-len(cycles.after_tdc) // DRAWN)
    degrees = np.degrees(cycles.after_tdc)
    mean, spread = as_drawn(cycles.mean, "bar"), as_drawn(2 * cycles.deviation, "bar")
    highest = as_drawn(cycles.course("highest"), "bar")
    now = as_drawn(present.pressure, "bar")
    lines = [Line("reference", np.degrees(present.after_tdc), now, present.name)]
    labels = [_at_peak("reference", np.degrees(present.after_tdc), now, present.name, -1)]
    if cycles.count > 1:
        lines += [
            Line("faint", degrees[::step], (mean + spread)[::step], "mean + 2σ"),
            Line("faint", degrees[::step], (mean - spread)[::step], "mean − 2σ"),
            Line("second", degrees[::step], highest[::step], "highest cycle"),
        ]
        labels.append(_at_peak("second", degrees, highest, "highest cycle", 1))
        labels.append(_beside("faint", degrees, mean + spread, "± 2σ", 45.0))
    name = "mean" if cycles.count > 1 else "measured"
    lines.append(Line("main", degrees[::step], mean[::step], name))
    labels.append(_beside("main", degrees, mean, name, 25.0))
    top = _ROOM * max(float(highest.max()), float(now.max()), float((mean + spread).max()))
    low = min(0.0, float((mean - spread).min()))
    ends = (float(degrees[0]), float(degrees[0] + math.degrees(cycles.step * len(degrees))))
    return Chart(
        "Pressure over the crank angle", "crank angle after firing TDC, °",
        axis("cylinder pressure", "bar"), ends, (low, top), tuple(lines), tuple(labels),
        x_ticks=_turns(ends),
    )  # fmt: skip


def courses_chart(measured: MeasuredPressure, which: str, present: Course) -> Chart:
    """Return each cylinder's own course over the crank angle, beside the present course.

    Those of the highest and the lowest peak have their numbers beside them.
    """
    parts = measured.by_cylinder
    first = next(iter(parts.values()))
    step = -(-len(first.after_tdc) // DRAWN)
    degrees = np.degrees(first.after_tdc)
    now = as_drawn(present.pressure, "bar")
    courses = {number: as_drawn(part.course(which), "bar") for number, part in parts.items()}
    lines = [Line("reference", np.degrees(present.after_tdc), now, present.name)]
    labels = [_at_peak("reference", np.degrees(present.after_tdc), now, present.name, -1)]
    lines += [
        Line("main", degrees[::step], course[::step], f"cylinder {number}")
        for number, course in courses.items()
    ]
    peaks = {number: float(course.max()) for number, course in courses.items()}
    high, low = max(peaks, key=peaks.__getitem__), min(peaks, key=peaks.__getitem__)
    labels.append(_at_peak("main", degrees, courses[high], f"cylinder {high}, highest", 1))
    labels.append(_beside("main", degrees, courses[low], f"cylinder {low}, lowest peak", 25.0))
    top = _ROOM * max(*peaks.values(), float(now.max()))
    bottom = min(0.0, *(float(course.min()) for course in courses.values()))
    ends = (float(degrees[0]), float(degrees[0] + math.degrees(first.step * len(degrees))))
    return Chart(
        "Pressure over the crank angle", "crank angle after own firing TDC, °",
        axis("cylinder pressure", "bar"), ends, (bottom, top), tuple(lines), tuple(labels),
        x_ticks=_turns(ends),
    )  # fmt: skip


def _turns(ends: tuple[float, float]) -> tuple[int, ...]:
    return tuple(range(-360, 361, 90 if ends[1] - ends[0] < 400 else 180))


def log_chart(
    cylinder: Cylinder,
    cycles: PressureCycles,
    present: Course,
    check: TdcCheck | None,
    name: str = "measured",
) -> Chart:
    """Return log pressure over log volume of the mean, with the polytrope of its compression."""
    step = -(-len(cycles.after_tdc) // DRAWN)
    after, mean = cycles.after_tdc[::step], np.maximum(cycles.mean[::step], 1.0)
    own = Course(after, mean, name)
    lines, labels, highest = [], [], 0.0
    for role, course in (("reference", present), ("main", own)):
        volume, pressure = _logs(cylinder, course)
        lines.append(Line(role, volume, pressure, course.name))
        at = int(pressure.argmax())
        highest = max(highest, float(pressure[at]))
    volume, pressure = _logs(cylinder, own)
    right = math.log10(cylinder.compression_ratio)
    if check is not None:
        line, label = _polytrope(cylinder, own, check)
        lines.append(line)
        labels.append(label)
    place = int(np.argmin(np.abs(after - math.radians(70))))
    labels.append(Label("main", float(volume[place]), float(pressure[place]), f" {name}"))
    low = min(float(pressure.min()), float(np.asarray(lines[0].y).min()))
    volume, pressure = _logs(cylinder, present)
    at = int(pressure.argmax())
    labels.append(Label("reference", float(volume[at]), float(pressure[at]), present.name))
    room = 0.06 * (highest - low)
    return Chart(
        "Logarithmic indicator diagram", "log₁₀ of volume over clearance volume",
        f"log₁₀ of pressure in {shown_unit('bar').symbol}", (-0.02, right * 1.03),
        (low - room, highest + 2 * room), tuple(lines), tuple(labels),
    )  # fmt: skip


def _logs(cylinder: Cylinder, course: Course) -> tuple[Array, Array]:
    volume = cylinder_volume(cylinder, course.after_tdc)
    least = float(cylinder_volume(cylinder, np.zeros(1))[0])
    return np.log10(volume / least), np.log10(as_drawn(course.pressure, "bar"))


def _polytrope(cylinder: Cylinder, own: Course, check: TdcCheck) -> tuple[Line, Label]:
    """Return the line of slope -n through the middle of the compression that was fitted."""
    volume, pressure = _logs(cylinder, own)
    inside = (own.after_tdc >= check.window[0]) & (own.after_tdc <= check.window[1])
    middle = float(volume[inside].mean()), float(pressure[inside].mean())
    ends = np.array([0.0, math.log10(cylinder.compression_ratio)])
    line = middle[1] - check.exponent * (ends - middle[0])
    name = f"pVⁿ constant, n = {format_number(check.exponent, 3)}"
    label = f"n = {format_number(check.exponent, 3)}"
    where = 0.03 * float(ends[1])
    level = float(middle[1] - check.exponent * (where - middle[0])) - 0.3
    return Line("mean", ends, line, name), Label("mean", where, level, label)


def _at_peak(role: str, degrees: Array, course: Array, name: str, side: int) -> Label:
    at = int(course.argmax())
    align = "left" if side > 0 else "right"
    return Label(role, float(degrees[at]) + 4 * side, float(course[at]), name, align)


def _beside(role: str, degrees: Array, course: Array, name: str, at: float) -> Label:
    """Return a label to the right of a course at an angle [°] after its peak."""
    place = min(int(course.argmax() + round(at / (degrees[1] - degrees[0]))), len(course) - 1)
    return Label(role, float(degrees[place]) + 4, float(course[place]), name)
