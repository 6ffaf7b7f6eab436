"""The charts of bearings and oil supply: loads, surface speeds, loading of the crankpin."""

import math

import numpy as np

from kinematics.array import Array
from kinematics.limits.speed_limits import Ladder, Rung
from kinematics.units import UNITS, shown_unit
from viz.chart import Chart, Label, Line, Mark
from viz.limits.rung_chart import angle_chart, bar_chart
from viz.number_words import as_drawn, axis, whole_degrees
from viz.speed_words import rpm_text

RPM = UNITS["rpm"]


def big_end_load(_ladder: Ladder, rung: Rung) -> Chart:
    """Return the big-end load over the cycle, its gas and inertia parts beside it."""
    bearing = rung.parts.design.big_end
    scale, label, bound = _load_scale(rung, bearing)
    load = rung.parts.big_end_load(np.array([rung.at]))[0] / scale
    parted = rung.parts.train.big_end_rod[rung.parts.train.assessed_cylinder]
    gas, inertia = parted.gas.at(rung.at), parted.inertia
    return angle_chart(
        rung, "Big-end load", label,
        [("gas", "gas", np.hypot(*gas) / scale),
         ("inertia", "inertia", rung.at**2 * np.hypot(*inertia) / scale), ("main", "total", load)],
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


def every_main(_ladder: Ladder, rung: Rung) -> Chart:
    """Return a bar for every main bearing."""
    scale, label, bound = _load_scale(rung, rung.parts.design.main_bearing)
    peaks = rung.parts.main_peaks(np.array([rung.at]))[0] / scale
    title = f"Peak load of every main at {rpm_text(rung.at)}"
    return bar_chart(title, label, "main bearing", peaks, bound)


def journal_speed(ladder: Ladder, rung: Rung) -> Chart:
    """Return the surface speed of both journals over crank speed."""
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


def crankpin_loading(_ladder: Ladder, rung: Rung) -> Chart:
    """Return how the crankpin is loaded round its surface, its oil hole and least-loaded angle."""
    density = rung.parts.crankpin_density(rung.at)
    size = density.density / density.density.max()
    hole = rung.parts.design.crank_throw.oil_hole_angle
    best = density.least_loaded_angle
    angle = np.append(density.angle, density.angle[0])
    size = np.append(size, size[0])
    across, along = rung.parts.train.big_end_crank[rung.parts.train.assessed_cylinder].at(rung.at)
    peak = float(np.hypot(across, along).max())
    i = int(np.hypot(across, along).argmax())
    s = (int(size.argmax()) + 30) % len(density.density)
    around = np.linspace(0, 2 * math.pi, 181)

    def at(angles: Array | float, radius: Array | float) -> tuple[Array, Array]:
        return np.sin(angles) * radius, np.cos(angles) * radius

    def point(angle: float, radius: float) -> tuple[float, float]:
        return math.sin(angle) * float(radius), math.cos(angle) * float(radius)

    rings = [Line("ring", *at(around, r)) for r in (0.25, 0.5, 0.75, 1.0)]
    spokes = [Line("ring", *at(np.array([a, a]), np.array([0, 1.08])))
              for a in np.radians(range(0, 360, 45))]  # fmt: skip
    degrees = [Label("ring", *point(math.radians(a), 1.1), f"{a}°", "center")
               for a in range(0, 360, 45)]  # fmt: skip
    return Chart(
        f"Loading of crankpin 1 at {rpm_text(rung.at)}, 0° outward", "", "",
        (-1.5, 1.5), (-1.32, 1.4),
        (*rings, *spokes, Line("main", *at(angle, size)),
         Line("inertia", across / peak, along / peak),
         Line("mean", *at(np.array([best, best]), np.array([0, 1.0]))),
         Line("allowed", *at(np.array([hole, hole]), np.array([0, 1.0])))),
        (*degrees,
         Label("inertia", float(across[i]) / peak, float(along[i]) / peak, "load vector"),
         Label("main", *point(density.angle[s], size[s]), "load density", "right"),
         Label("mean", *point(best, 0.72), f"least-loaded {whole_degrees(best)}"),
         Label("allowed", *point(hole, 0.92), f"hole {whole_degrees(hole)}")),
        (Mark("allowed", *point(hole, 1.0)), Mark("mean", *point(best, 1.0))),
    )  # fmt: skip
