"""Peak pressure, IMEP, torque and power over speed: the full-load curve as it is felt."""

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from kinematics.array import Array
from kinematics.design.design import Design
from kinematics.train.cycle import Cycle, rigid_train
from kinematics.train.full_load import full_load_from, has_curve
from kinematics.units import UNITS, shown_unit
from viz.chart import Chart, Label, Line, Mark
from viz.chart_figure import chart_picture
from viz.number_words import as_drawn, short_with_unit
from viz.themed import Picture

POINTS = 17  # of a curve, beside the rows of the full-load curve
_ROOM = 1.2


Quantity = Callable[[Cycle], float]


@dataclass(frozen=True, slots=True)
class OverSpeed:
    """A figure over speed: its title, its unit, and by role the name and value of each curve."""

    name: str
    title: str
    unit: str  # a key of UNITS
    curves: tuple[tuple[str, str, Quantity], ...]


def _peak(cycle: Cycle) -> float:
    return float(cycle.forces.cylinder_pressure.max())


OVER_SPEED = (
    OverSpeed(
        "speed_pressure", "Peak pressure and IMEP", "bar",
        (("main", "peak", _peak), ("mean", "IMEP", lambda cycle: cycle.indicated_mean_pressure)),
    ),
    OverSpeed(
        "speed_torque", "Mean torque", "Nm", (("main", "", lambda cycle: cycle.mean_torque),)
    ),
    OverSpeed(
        "speed_power", "Indicated power", "kW",
        (("main", "", lambda cycle: cycle.indicated_power),),
    ),
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
    rows = {row.speed for row in design.full_load} if has_curve(design) else set()
    lines, labels, marks = [], [], []
    for role, name, of in shown.curves:
        if other:
            lines.append(Line("reference", *_course(other, of, shown.unit), f"reference {name}"))
        speed, values = _course(own, of, shown.unit)
        lines.append(Line(role, speed, values, name or shown.title))
        if name:
            middle = len(speed) // 2
            labels.append(Label(role, float(speed[middle]), float(values[middle]), name, "center"))
        marks += [
            Mark(role, float(at), float(value))
            for cycle, at, value in zip(own, speed, values, strict=True)
            if cycle.speed in rows
        ]
    speeds = np.concatenate([np.asarray(line.x) for line in lines])
    values = np.concatenate([np.asarray(line.y) for line in lines])
    high, low = max(float(values.max()), 1e-9), float(speeds.min())
    ends = low, max(float(speeds.max()), low + 1)  # a design may have one speed alone
    labels.append(Label("faint", ends[1], 0.04 * high, _basis(design), "right"))
    return Chart(
        shown.title, "speed, rpm", shown_unit(shown.unit).symbol, ends,
        (_ROOM * min(0.0, float(values.min())), _ROOM * high), tuple(lines), tuple(labels),
        tuple(marks), x_ticks=_ticks(*ends),
    )  # fmt: skip


def _ticks(low: float, high: float) -> tuple[float, ...]:
    """Return two to four round speeds [rpm] of a narrow axis."""
    size = 10 ** math.floor(math.log10(high - low))
    step = next(s for s in (size / 2, size, 2 * size, 5 * size) if (high - low) / s < 4)
    return tuple(step * k for k in range(math.ceil(low / step), math.floor(high / step) + 1))


def _course(cycles: list[Cycle], of: Quantity, unit: str) -> tuple[Array, Array]:
    speed = np.array([UNITS["rpm"].from_si(cycle.speed) for cycle in cycles])
    return speed, as_drawn(np.array([of(cycle) for cycle in cycles]), unit)


def _basis(design: Design) -> str:
    """Return what the gas of a design is over speed."""
    if design.pressure.source == "trace":
        return "one trace at every speed"
    if design.pressure.load < 1:
        return f"{short_with_unit(design.pressure.load, 'percent', 3)} load"
    return "full load" if has_curve(design) else "one pressure at every speed"
