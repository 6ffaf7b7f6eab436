"""The charts that several parts share: curves over the crank angle, numbered bars."""

import math

import numpy as np

from kinematics.array import Array
from kinematics.limits.speed_limits import Rung
from kinematics.mechanics.gas_and_inertia_loads import GasAndInertia
from viz.chart import Bar, Chart, Label, Line, Mark
from viz.number_words import as_drawn, format_number
from viz.speed_words import rpm_text

ANGLE_LABEL = "crank angle φ of cylinder 1, °"
OVER_CYCLE = "Over the cycle"  # the name of a chart over the crank angle


def angle_chart(
    rung: Rung, title: str, label: str, curves: list[tuple[str, str, Array]],
    bounds: list[tuple[str, float]] | None = None,
) -> Chart:  # fmt: skip
    """Return curves (role, name, values (n,)) over the crank angle, with bounds (name, value)."""
    angle = np.degrees(rung.parts.train.crank_angle)
    end = math.degrees(rung.parts.design.layout.cycle_angle)
    values = np.concatenate([curve for _, _, curve in curves] + [np.zeros(1)])
    values = values[np.isfinite(values)]
    low, high = float(values.min()), float(values.max())
    for _, bound in bounds or []:
        if abs(bound) < 2.5 * max(abs(low), abs(high), 1e-12):
            low, high = min(low, bound), max(high, bound)
    room = 0.12 * max(high - low, 1e-9)
    lines = [Line("ring", [0, end], [0, 0])]
    lines += [Line(role, angle, values, name) for role, name, values in curves]
    labels = [_curve_label(angle, *curve, place) for place, curve in enumerate(curves)]
    for name, bound in bounds or []:
        if low - room <= bound <= high + room:
            lines.append(Line("allowed", [0, end], [bound, bound], name))
            labels.append(Label("allowed", 0.99 * end, bound, name, "right"))
    return Chart(
        f"{title} at {rpm_text(rung.at)}", ANGLE_LABEL, label, (0, end),
        (low - room if low < 0 else 0.0, high + 1.8 * room), tuple(lines), tuple(labels),
        x_ticks=tuple(range(0, round(end) + 1, 180 if end > 400 else 90)),
    )  # fmt: skip


def _curve_label(angle: Array, role: str, name: str, values: Array, place: int) -> Label:
    """Return a curve's name where it is largest in its own share of the cycle."""
    finite = np.where(np.isfinite(values), np.abs(values), -1.0)
    share = len(values) // 4
    start = place * share % (3 * share)
    window = finite[start : start + share]
    i = start + int(window.argmax()) if window.max() >= 0 else int(finite.argmax())
    align = "left" if angle[i] < 0.75 * angle[-1] else "right"
    return Label(role, float(angle[i]), float(values[i]), name, align)


def gas_inertia_total(load: GasAndInertia, speed: float) -> list[tuple[str, str, Array]]:
    """Return gas, inertia and total [N] of a load (n,) as curves over the crank angle."""
    gas, at_speed = as_drawn(load.gas.at(speed), "kN"), as_drawn(speed**2 * load.inertia, "kN")
    return [
        ("gas", "gas", gas),
        ("inertia", "inertia", at_speed),
        ("main", "total", gas + at_speed),
    ]


def bar_chart(
    title: str, label: str, x_label: str, values: Array, bound: float,
    beside: tuple[str, Array] | None = None,
) -> Chart:  # fmt: skip
    """Return bars numbered from 1 with a bound across them; `beside` (name, values) is marked."""
    count = len(values)
    bars = [Bar("steel", i + 0.65, i + 1.35, 0, float(value)) for i, value in enumerate(values)]
    labels = [
        Label("main", i + 1, 0.02 * bound, format_number(float(value), 3), "center")
        for i, value in enumerate(values)
        if count <= 12
    ]
    marks: list[Mark] = []
    high = max(bound, float(values.max()))
    if beside is not None:
        name, others = beside
        high = max(high, float(others.max()))
        marks = [Mark("second", i + 1, float(value)) for i, value in enumerate(others)]
        labels.append(Label("second", 0.45, 1.1 * high, f"○ {name}"))
    return Chart(
        title, x_label, label, (0.4, count + 0.6), (0, 1.25 * high),
        (Line("allowed", [0.4, count + 0.6], [bound, bound]),),
        (*labels, Label("allowed", count + 0.55, bound, "allowed", "right")),
        tuple(marks), tuple(bars), tuple(range(1, count + 1)),
    )  # fmt: skip
