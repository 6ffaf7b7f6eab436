"""The charts of the shaft's page: loads of the mains, moment inside the shaft, trade-off."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from kinematics import Design
from kinematics.array import Array
from kinematics.counterweight_choice import Choice
from kinematics.counterweight_schemes import internal_moment
from viz.chart import Bar, Chart, Label, Line, Mark
from viz.chart_figure import ChartPicture, chart_picture
from viz.number_words import as_drawn, axis, measured

MOMENT_ROLES = ("main", "inertia")  # in the plane of throw 1, and across it
MEASURE_WORDS = {"peak": "worst peak main load", "mean": "worst mean main load"}


@dataclass(frozen=True, slots=True)
class MainLoads:
    """Peak load of every main [N] (m,); continuous is None where it cannot be had."""

    determinate: Array
    continuous: Array | None
    pinned: Array | None


def shaft_pictures() -> tuple[ChartPicture, ...]:
    """Return the page's empty figures."""
    return (
        chart_picture("shaft_mains", "Peak load of every main"),
        chart_picture("shaft_moment", "Moment inside the shaft"),
        chart_picture("shaft_front", "Inertia of the counterweights against main load"),
    )


def mains_chart(loads: MainLoads, speed: float) -> Chart:
    """Return each main's peak load: bars cut at the mains, marks with the shaft in one piece."""
    bars = as_drawn(loads.determinate, "kN")
    count = len(bars)
    place = np.arange(1, count + 1)
    marks, most = [], [float(bars.max())]
    for role, found in (("second", loads.continuous), ("reference", loads.pinned)):
        if found is not None:
            drawn = as_drawn(found, "kN")
            most.append(float(drawn.max()))
            marks += [Mark(role, float(x), float(y)) for x, y in zip(place, drawn, strict=False)]
    top = 1.38 * max(most)
    labels = [Label("main", 0.45, 0.93 * top, "▮ cut at every main")]
    if loads.continuous is not None:
        labels.append(Label("second", 0.45, 0.84 * top, "○ continuous shaft"))
    if loads.pinned is not None:
        labels.append(Label("reference", 0.55 + count / 2, 0.84 * top, "○ pinned, cut"))
    return Chart(
        f"Peak load of every main at {measured(speed, 'rpm', 4)}",
        "main bearing, from the front", axis("peak load", "kN"), (0.4, count + 0.6), (0, top),
        bars=tuple(Bar("steel", x - 0.3, x + 0.3, 0, float(y))
                   for x, y in zip(place, bars, strict=True)),
        marks=tuple(marks), labels=tuple(labels), x_ticks=tuple(float(x) for x in place),
    )  # fmt: skip


def moment_chart(design: Design, pinned: Design | None, speed: float) -> Chart:
    """Return the bending by what rotates over z, in the plane of throw 1 and across it."""
    z, planes = _moments(design, speed)
    lines = [Line("faint", [z[0], z[-1]], [0, 0])]
    most = max(float(np.abs(planes).max()), 1e-9)
    if pinned is not None:
        before, was = _moments(pinned, speed)
        most = max(most, float(np.abs(was).max()))
        lines += [Line("reference", before, one, "pinned") for one in was]
    words = ("in the plane of throw 1", "across it")
    lines += [
        Line(role, z, one, name)
        for role, one, name in zip(MOMENT_ROLES, planes, words, strict=True)
    ]
    top, half = 1.5 * most, 0.05 * (z[-1] - z[0])
    labels = [
        Label(role, float(z[0]), (1 - 0.14 * (i + 1)) * top, f"{line} {name}")
        for i, (role, name, line) in enumerate(zip(MOMENT_ROLES, words, "—┄", strict=True))
    ]
    return Chart(
        f"Moment inside the shaft by what rotates, {measured(speed, 'rpm', 4)}",
        axis("place along the shaft, front to rear", "mm"), axis("bending moment", "Nm"),
        (float(z[0]) - half, float(z[-1]) + half), (-1.15 * most, top), tuple(lines), tuple(labels),
    )  # fmt: skip


def _moments(design: Design, speed: float) -> tuple[Array, Array]:
    found = internal_moment(design)
    both = np.stack((found.moment.real, found.moment.imag)) * speed**2
    return as_drawn(found.z, "mm"), as_drawn(both, "Nm")


def front_chart(
    front: Sequence[Choice], present: Choice, picked: int, measure: str, speed: float
) -> Chart:
    """Return the least inertia of the counterweights for every main load, the present marked.

    Without a front the present design stands alone.
    """
    load = as_drawn(np.array([one.load for one in front]), "kN")
    inertia = as_drawn(np.array([one.inertia for one in front]), "kg_mm2")
    now = float(as_drawn(present.load, "kN")), float(as_drawn(present.inertia, "kg_mm2"))
    left, right = min([*load, now[0]]), max([*load, now[0]])
    room = max(0.12 * (right - left), 0.1 * right)
    top = 1.25 * max([*inertia, now[1], 1e-9])
    side = "right" if now[0] > (left + right) / 2 else "left"
    marks = [Mark("main", float(x), float(y)) for x, y in zip(load, inertia, strict=True)]
    marks.append(Mark("mean", *now))
    labels = [Label("mean", *now, "present", side)]
    if 0 <= picked < len(front):
        at = float(load[picked]), float(inertia[picked])
        marks.append(Mark("inertia", *at))
        labels.append(Label("inertia", *at, f"picked: {picked + 1}", "left"))
    return Chart(
        f"Counterweights of least inertia at {measured(speed, 'rpm', 4)}",
        axis(MEASURE_WORDS[measure], "kN"), axis("inertia of the counterweights", "kg_mm2"),
        (float(left - room), float(right + room)), (-0.04 * top, top),
        (Line("main", load, inertia, "least inertia"),) if front else (),
        tuple(labels), tuple(marks),
    )  # fmt: skip
