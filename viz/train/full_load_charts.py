"""Peak pressure, IMEP, torque and power over speed: the full-load curve as it is felt."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from kinematics.array import Array
from kinematics.design.design import Design
from kinematics.train.cycle import Cycle, rigid_train
from kinematics.train.full_load import full_load_from, has_curve
from kinematics.units import UNITS
from viz.chart import Chart, Label, Line, Mark
from viz.chart_figure import chart_picture
from viz.number_words import as_drawn, axis, short_with_unit
from viz.themed import Picture

POINTS = 17  # of a curve, beside the rows of the full-load curve
_ROOM = 1.12


@dataclass(frozen=True, slots=True)
class OverSpeed:
    """One quantity over speed: its figure, what it is called, its unit, and how it is had."""

    name: str
    title: str
    unit: str  # a key of UNITS
    of: Callable[[Cycle], float]


OVER_SPEED = (
    OverSpeed(
        "full_load_peak", "Peak cylinder pressure", "bar",
        lambda cycle: float(cycle.forces.cylinder_pressure.max()),
    ),
    OverSpeed(
        "full_load_imep", "Indicated mean effective pressure (IMEP)", "bar",
        lambda cycle: cycle.indicated_mean_pressure,
    ),
    OverSpeed("full_load_torque", "Mean torque", "Nm", lambda cycle: cycle.mean_torque),
    OverSpeed("full_load_power", "Indicated power", "kW", lambda cycle: cycle.indicated_power),
)  # fmt: skip


def full_load_pictures() -> tuple[Picture, ...]:
    """Return the empty figures."""
    return tuple(chart_picture(shown.name, shown.title) for shown in OVER_SPEED)


def full_load_charts(design: Design, reference: Design | None) -> dict[str, Chart]:
    """Return the charts by the names of their figures, beside those of a reference."""
    own = _cycles(design)
    other = [] if reference is None else _cycles(reference)
    return {shown.name: _chart(shown, design, own, other) for shown in OVER_SPEED}


def _cycles(design: Design) -> list[Cycle]:
    """Return cycles from the lowest speed of full load to the red line, and at the curve's rows."""
    train = rigid_train(design)
    low, rated = full_load_from(design), design.layout.rated_speed
    high = max(rated, design.limits.red_line or rated)
    rows = [row.speed for row in design.full_load if low <= row.speed <= high]
    return [Cycle(train, float(speed)) for speed in np.unique([*np.linspace(low, high, POINTS),
                                                               *rows])]  # fmt: skip


def _chart(shown: OverSpeed, design: Design, own: list[Cycle], other: list[Cycle]) -> Chart:
    speed, values = _course(shown, own)
    lines, highest, ends = [], float(values.max()), (float(speed[0]), float(speed[-1]))
    lowest = min(0.0, float(values.min()))
    labels = [Label("main", float(speed[-1]), float(values[-1]), _basis(design), "right")]
    if other:
        there, before = _course(shown, other)
        lines.append(Line("reference", there, before, "reference"))
        highest, lowest = max(highest, float(before.max())), min(lowest, float(before.min()))
        ends = min(ends[0], float(there[0])), max(ends[1], float(there[-1]))
    lines.append(Line("main", speed, values, shown.title))
    rows = [row.speed for row in design.full_load] if has_curve(design) else []
    marks = [
        Mark("main", float(at), float(value))
        for cycle, at, value in zip(own, speed, values, strict=True)
        if cycle.speed in rows
    ]
    return Chart(
        shown.title, "speed, rpm", axis(shown.title, shown.unit).split(", ")[-1], ends,
        (_ROOM * lowest, _ROOM * highest if highest > 0 else 1.0), tuple(lines), tuple(labels),
        tuple(marks),
    )  # fmt: skip


def _course(shown: OverSpeed, cycles: list[Cycle]) -> tuple[Array, Array]:
    speed = np.array([UNITS["rpm"].from_si(cycle.speed) for cycle in cycles])
    return speed, as_drawn(np.array([shown.of(cycle) for cycle in cycles]), shown.unit)


def _basis(design: Design) -> str:
    """Return what the gas of a design is over speed."""
    if design.pressure.source == "trace":
        return "one measured trace at every speed"
    if design.pressure.load < 1:
        return f"{short_with_unit(design.pressure.load, 'percent', 3)} load"
    return "full load" if has_curve(design) else "full load, one pressure at every speed"
