"""The charts of the shaft's page: loads of the mains, moment inside the shaft."""

from dataclasses import dataclass

import numpy as np
from bokeh.events import Tap
from bokeh.models import CustomJS

from kinematics import Design
from kinematics.array import Array
from kinematics.design.allowables import in_force
from kinematics.errors import DesignError
from kinematics.shaft.counterweight_schemes import internal_moment
from kinematics.train.balance import throw_positions
from kinematics.train.cycle import Cycle, RigidTrain
from viz.chart import Bar, Chart, Label, Line, Mark
from viz.chart_figure import ChartPicture, chart_picture
from viz.number_words import as_drawn, axis, with_unit

MOMENT_ROLES = ("main", "inertia")  # in the plane of throw 1, and across it
TALLEST = 1.6  # of the highest load: an allowable beyond is told, not drawn


@dataclass(frozen=True, slots=True)
class MainLoads:
    """Peak load of every main [N] (m,); continuous is None where it cannot be had."""

    determinate: Array
    continuous: Array | None
    reference: Array | None
    slow: Array | None = None  # determinate, at `slow_speed` [rad/s]
    slow_continuous: Array | None = None
    slow_speed: float = 0.0
    allowed: float | None = None  # [N], of any main


def shaft_pictures() -> tuple[ChartPicture, ...]:
    """Return the page's empty figures."""
    return (
        chart_picture("shaft_mains", "Peak load of every main"),
        chart_picture("shaft_moment", "Internal bending moment (rotating masses only)"),
        _tapped(chart_picture("shaft_front", "Inertia of the counterweights against main load")),
        chart_picture("shaft_front_moment", "Internal bending moment against main load"),
    )


def _tapped(picture: ChartPicture) -> ChartPicture:
    """Let a figure tell the page where it is tapped, in its axes' units."""
    tell = CustomJS(
        args={"name": picture.name},
        code="""window.sixthrow?.events.dispatchEvent(
          new CustomEvent("tapped", { detail: { plot: name, x: cb_obj.x, y: cb_obj.y } }))""",
    )
    picture.figure.js_on_event(Tap, tell)
    return picture


def peak_main_loads(train: RigidTrain, speed: float) -> Array:
    """Return each main's peak load [N] (m,) at a speed [rad/s], determinate shaft."""
    load = train.determinate_main_block.at(speed)
    peak: Array = np.hypot(load[:, 0], load[:, 1]).max(axis=-1)
    return peak


def main_loads(cycle: Cycle, reference: Cycle | None) -> tuple[MainLoads, str]:
    """Return the peak loads of every main, each cycle at its speed; and why some are left out."""
    slow, elastic, why = cycle.design.layout.rated_speed / 3, None, ""
    try:
        elastic = cycle.train.continuous_shaft
    except DesignError as error:
        why = str(error)
    loads = MainLoads(
        peak_main_loads(cycle.train, cycle.speed),
        None if elastic is None else elastic.main_peaks(cycle.speed).peak,
        None if reference is None else peak_main_loads(reference.train, reference.speed),
        peak_main_loads(cycle.train, slow),
        None if elastic is None else elastic.main_peaks(slow).peak,
        slow,
        allowed_main_load(cycle.design),
    )
    return loads, why


def allowed_main_load(design: Design) -> float | None:
    """Return the load [N] at which a main meets its allowable specific load, None without sizes."""
    bearing = design.main_bearing
    pressure = in_force(design.limits, "main_specific_load", design.layout.rated_speed)
    return None if bearing is None or pressure is None else pressure * bearing.projected_area


def mains_chart(loads: MainLoads, speed: float) -> Chart:
    """Return each main's peak load: bars determinate, marks continuous."""
    bars = as_drawn(loads.determinate, "kN")
    count = len(bars)
    place = np.arange(1.0, count + 1)
    marks, most = [], [float(bars.max())]
    for role, found in (("second", loads.continuous), ("reference", loads.reference)):
        if found is not None:
            drawn = as_drawn(found, "kN")
            most.append(float(drawn.max()))
            marks += [Mark(role, float(x), float(y)) for x, y in zip(place, drawn, strict=False)]
    lines = _slow_strokes(loads, place)
    most += [float(np.nanmax(line.y)) for line in lines]
    allowed = None if loads.allowed is None else float(as_drawn(loads.allowed, "kN"))
    if drawn_allowed := allowed is not None and allowed <= TALLEST * max(most):
        most.append(allowed)
        lines.append(Line("allowed", [0.4, count + 0.6], [allowed, allowed], "allowed"))
    top = 1.38 * max(most)
    return Chart(
        f"Peak load of every main at {with_unit(speed, 'rpm', 4)}",
        "main bearing, from the front", axis("peak load", "kN"), (0.4, count + 0.6), (0, top),
        bars=tuple(Bar("steel", x - 0.3, x + 0.3, 0, float(y))
                   for x, y in zip(place, bars, strict=True)),
        lines=tuple(lines), marks=tuple(marks), x_ticks=tuple(float(x) for x in place),
        labels=_load_labels(loads, count, top, drawn_allowed),
    )  # fmt: skip


def _slow_strokes(loads: MainLoads, place: Array) -> list[Line]:
    """Return a level stroke over each main for both loads at the slow speed."""
    at = with_unit(loads.slow_speed, "rpm", 4)
    strokes = []
    for role, name, found in (
        ("main", f"determinate, {at}", loads.slow),
        ("second", f"continuous, {at}", loads.slow_continuous),
    ):  # fmt: skip
        if found is not None:
            drawn = as_drawn(found, "kN")
            x = np.stack((place - 0.34, place + 0.34, place + 0.34), axis=1).ravel()
            y = np.stack((drawn, drawn, np.full_like(drawn, np.nan)), axis=1).ravel()
            strokes.append(Line(role, x, y, name))
    return strokes


def _load_labels(
    loads: MainLoads, count: int, top: float, drawn_allowed: bool
) -> tuple[Label, ...]:
    """Return the key over the bars, in two columns, and the allowable."""
    middle, rows = 0.55 + count / 2, (0.93 * top, 0.84 * top)
    labels = [Label("main", 0.45, rows[0], "▮ determinate")]
    if loads.continuous is not None:
        labels.append(Label("second", middle, rows[0], "○ continuous"))
    if loads.slow is not None:
        strokes = "━" if loads.slow_continuous is None else "━ ┅"
        words = f"{strokes} at {with_unit(loads.slow_speed, 'rpm', 4)}"
        labels.append(Label("main", 0.45, rows[1], words))
    if loads.reference is not None:
        labels.append(Label("reference", middle, rows[1], "○ reference, determinate"))
    if loads.allowed is not None:
        words = f"allowed {with_unit(loads.allowed, 'kN')}"
        if drawn_allowed:
            at = float(as_drawn(loads.allowed, "kN"))
            labels.append(Label("allowed", 0.45, at, words))
        else:
            labels.append(
                Label("allowed", count + 0.55, 0.75 * top, f"{words}, far above", "right")
            )
    return tuple(labels)


def moment_chart(design: Design, reference: Design | None, speed: float) -> Chart:
    """Return the bending by what rotates over z, in the plane of throw 1 and across it."""
    z, planes = _moments(design, speed)
    lines = [Line("faint", [z[0], z[-1]], [0, 0])]
    most = max(float(np.abs(planes).max()), 1e-9)
    if reference is not None:
        before, was = _moments(reference, speed)
        most = max(most, float(np.abs(was).max()))
        lines += [Line("reference", before, moment, "reference") for moment in was]
    words = ("in the plane of throw 1", "across it")
    lines += [
        Line(role, z, moment, name)
        for role, moment, name in zip(MOMENT_ROLES, planes, words, strict=True)
    ]
    top, half = 1.5 * most, 0.05 * (z[-1] - z[0])
    labels = [
        Label(role, float(z[0]), (1 - 0.14 * (i + 1)) * top, f"{line} {name}")
        for i, (role, name, line) in enumerate(zip(MOMENT_ROLES, words, "—┄", strict=True))
    ]
    for t, place in enumerate(as_drawn(throw_positions(design), "mm"), 1):
        lines.insert(0, Line("ring", [place, place], [-1.3 * most, 0.98 * most]))
        labels.append(Label("ring", float(place), -1.28 * most, str(t), "center"))
    return Chart(
        f"Internal bending moment (rotating masses only), {with_unit(speed, 'rpm', 4)}",
        axis("position along the shaft, throws numbered", "mm"), axis("bending moment", "Nm"),
        (float(z[0]) - half, float(z[-1]) + half), (-1.3 * most, top), tuple(lines), tuple(labels),
    )  # fmt: skip


def _moments(design: Design, speed: float) -> tuple[Array, Array]:
    found = internal_moment(design)
    both = np.stack((found.moment.real, found.moment.imag)) * speed**2
    return as_drawn(found.z, "mm"), as_drawn(both, "Nm")
