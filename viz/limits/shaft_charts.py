"""The own plots of bearings, oil, shaft and torsion."""

import dataclasses
import math
from collections.abc import Callable

import numpy as np

from kinematics.array import Array
from kinematics.limits.speed_limits import Ladder, Rung
from kinematics.torsion.cyclic_irregularity import energy_fluctuation, speed_over_cycle
from kinematics.units import UNITS, shown_unit
from viz.chart import Bar, Chart, Label, Line, Mark, Views
from viz.limits.limit_board import rpm_text
from viz.limits.part_charts import angle_chart
from viz.number_words import as_drawn, axis, format_number, whole_degrees

RPM = UNITS["rpm"]


def _big_end(_ladder: Ladder, rung: Rung) -> Chart:
    bearing = rung.parts.design.big_end
    scale, label, bound = _load_scale(rung, bearing)
    load = rung.parts.big_end_load(np.array([rung.at]))[0] / scale
    parted = rung.parts.train.big_end_rod[0]
    gas, inertia = parted.gas.at(rung.at), parted.inertia
    return angle_chart(
        rung, "Big-end load", label,
        [("gas", "gas", np.hypot(*gas) / scale),
         ("inertia", "inertia", rung.at**2 * np.hypot(*inertia) / scale), ("main", "both", load)],
        [("allowed", bound)],
    )  # fmt: skip


def _load_scale(rung: Rung, bearing: object) -> tuple[float, str, float]:
    """Return what a load [N] is divided by, the axis's label, and the allowable shown."""
    unit = shown_unit(rung.criterion.unit)
    width, diameter = bearing.bearing_width, bearing.diameter  # type: ignore[attr-defined]
    per_width = rung.criterion.unit == "N_mm"
    area = width if per_width else width * diameter
    label = f"{'load per width' if per_width else 'specific load'}, {unit.symbol}"
    return area * unit.factor, label, unit.from_si(rung.allowed.value)


def _mains(_ladder: Ladder, rung: Rung) -> Chart:
    """Return a bar for every main bearing."""
    scale, label, bound = _load_scale(rung, rung.parts.design.main_bearing)
    peaks = rung.parts.main_peaks(np.array([rung.at]))[0] / scale
    title = f"Peak load of every main at {rpm_text(rung.at)}"
    return bar_chart(title, label, "main bearing", peaks, bound)


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


def _journal_speed(ladder: Ladder, rung: Rung) -> Chart:
    design, end = rung.parts.design, 1.2 * ladder.red_line
    x = [0.0, RPM.from_si(end)]
    lines, labels = [], []
    for role, name, bearing in (
        ("main", "main journal", design.main_bearing), ("second", "crankpin", design.big_end),
    ):  # fmt: skip
        if bearing is not None:
            top = as_drawn(bearing.diameter / 2 * end, "m_s")
            lines.append(Line(role, x, [0, top]))
            labels.append(Label(role, 0.8 * x[1], 0.8 * top, name, "right"))
    allowed = as_drawn(rung.allowed.value, "m_s")
    high = 1.15 * max(allowed, *(line.y[1] for line in lines))
    rated = RPM.from_si(ladder.rated)
    lines += [Line("allowed", x, [allowed, allowed]), Line("faint", [rated] * 2, [0, high])]
    labels += [Label("allowed", 0.02 * x[1], allowed, "allowed"),
               Label("faint", rated, 0.0, "rated", "right")]  # fmt: skip
    return Chart(
        "Surface speed of both journals", "crank speed, rpm", axis("surface speed", "m_s"),
        (0, x[1]), (0, high), tuple(lines), tuple(labels),
    )  # fmt: skip


def _oil_polar(_ladder: Ladder, rung: Rung) -> Chart:
    """Return how the load is spread round the crankpin, with the hole and the best place for it."""
    density = rung.parts.crankpin_density(rung.at)
    size = density.density / density.density.max()
    hole = rung.parts.design.crank_throw.oil_hole_angle
    best = density.least_angle
    angle = np.append(density.angle, density.angle[0])
    size = np.append(size, size[0])
    across, along = rung.parts.train.big_end_crank[0].at(rung.at)
    peak = float(np.hypot(across, along).max())
    i = int(np.hypot(across, along).argmax())
    s = (int(size.argmax()) + 30) % len(density.density)
    around = np.linspace(0, 2 * math.pi, 181)

    def at(angles: Array | float, radius: Array | float) -> tuple[Array, Array]:
        return np.sin(angles) * radius, np.cos(angles) * radius

    rings = [Line("ring", *at(around, r)) for r in (0.25, 0.5, 0.75, 1.0)]
    spokes = [Line("ring", *at(np.array([a, a]), np.array([0, 1.08])))
              for a in np.radians(range(0, 360, 45))]  # fmt: skip
    degrees = [Label("ring", *map(float, at(math.radians(a), 1.1)), f"{a}°", "center")
               for a in range(0, 360, 45)]  # fmt: skip
    return Chart(
        f"Load round crankpin 1 at {rpm_text(rung.at)}, 0° outward", "", "",
        (-1.5, 1.5), (-1.32, 1.4),
        (*rings, *spokes, Line("main", *at(angle, size)),
         Line("inertia", across / peak, along / peak),
         Line("mean", *at(np.array([best, best]), np.array([0, 1.0]))),
         Line("allowed", *at(np.array([hole, hole]), np.array([0, 1.0])))),
        (*degrees,
         Label("inertia", float(across[i]) / peak, float(along[i]) / peak, "load vector"),
         Label("main", *map(float, at(density.angle[s], size[s])), "its density", "right"),
         Label("mean", *map(float, at(best, 0.72)), f"least load {whole_degrees(best)}"),
         Label("allowed", *map(float, at(hole, 0.92)), f"hole {whole_degrees(hole)}")),
        (Mark("allowed", *map(float, at(hole, 1.0))), Mark("mean", *map(float, at(best, 1.0)))),
    )  # fmt: skip


def _throws(place: str) -> Callable[[Ladder, Rung], Chart]:
    """Return a chart of Q for every throw, at the rated speed and at the red line."""

    def chart(ladder: Ladder, rung: Rung) -> Chart:
        both = getattr(rung.parts.acceptability(np.array([ladder.rated, ladder.red_line])), place)
        words = {"pin_fillet": "crankpin fillet", "journal_fillet": "journal fillet",
                 "oil_bore": "oil bore"}[place]  # fmt: skip
        return bar_chart(
            f"Q of every throw's {words} at rated speed", "acceptability factor Q", "throw",
            both[:, 0], rung.allowed.value, ("at the red line", both[:, 1]),
        )  # fmt: skip

    return chart


def _idle_turning(_ladder: Ladder, rung: Rung) -> Chart:
    """Return the crank's speed over a cycle at idle."""
    torque = rung.parts.idle_torque.at(rung.at)
    swing = energy_fluctuation(torque, rung.parts.design.layout.cycle_angle)
    inertia = sum(rung.parts.chain.system.inertias)
    turning = RPM.array_from_si(speed_over_cycle(swing, inertia=inertia, speed=rung.at))
    mean, half = RPM.from_si(rung.at), rung.allowed.value / 2
    chart = angle_chart(
        rung, "Crank speed over the cycle, the shaft stiff", "crank speed, rpm",
        [("main", "crank speed", turning)],
        [("allowed", mean * (1 + half)), ("", mean * (1 - half))],
    )  # fmt: skip
    room = 1.3 * max(float(np.abs(turning - mean).max()), half * mean)
    return dataclasses.replace(chart, y_range=(mean - room, mean + room))


_JOURNALS = (("Both journals", _journal_speed),)
SHAFT_CHARTS: dict[str, Views] = {
    "big_end_specific_load": (("Over the cycle", _big_end),),
    "big_end_load_per_width": (("Over the cycle", _big_end),),
    "crankpin_speed": _JOURNALS,
    "main_specific_load": (("Every main", _mains),),
    "main_load_per_width": (("Every main", _mains),),
    "main_journal_speed": _JOURNALS,
    "oil_supply": (("Round the crankpin", _oil_polar),),
    "pin_fillet": (("Every throw", _throws("pin_fillet")),),
    "journal_fillet": (("Every throw", _throws("journal_fillet")),),
    "oil_bore": (("Every throw", _throws("oil_bore")),),
    "irregularity": (("Over the cycle", _idle_turning),),
}
