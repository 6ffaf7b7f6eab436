"""Filled figures for a notebook: a result in, a Bokeh figure out, labelled, with units.

They are the charts of the pages in a figure of its own size; units are those shown now.
"""

import math
from typing import Any

import numpy as np

from kinematics.array import Array
from kinematics.errors import DesignError
from kinematics.film.journal_film import BearingFilms
from kinematics.limits.speed_limits import Ladder
from kinematics.train.cycle import Cycle
from kinematics.units import UNITS
from viz.chart import Bar, Chart, Label, Line, Mark
from viz.chart_figure import chart_picture, draw
from viz.number_words import as_drawn, axis, with_unit

WIDTH, HEIGHT, SQUARE = 760, 380, 480  # of a figure, and of the frame of one with equal scales [px]
ROW = 22  # height of a ladder's bar [px]
ROOM = 0.12  # of the values' range, left free above and below
RPM = UNITS["rpm"]
Curve = tuple[str, str, Array]  # role of a chart's line, name, values


def plot_forces(cycle: Cycle, cylinder: int = 1) -> Any:
    """Return a figure of gas, inertia, rod and side force of a cylinder over the crank angle.

    Raises DesignError where there is no such cylinder.
    """
    row, forces = _place(cylinder, len(cycle.forces.rod_force), "cylinder"), cycle.forces
    curves = [
        ("gas", "gas", forces.gas_force[row]),
        ("inertia", "inertia, reciprocating", forces.inertia_force[row]),
        ("main", "rod, compression +", forces.rod_force[row]),
        ("second", "side thrust", forces.side_thrust[row]),
    ]
    return _over_angle(cycle, f"Forces of cylinder {cylinder}", "force", "kN", curves)


def plot_torque(cycle: Cycle) -> Any:
    """Return a figure of the crank torque of all cylinders over the crank angle, and its mean."""
    torque = cycle.forces.crank_torque
    mean = np.full(torque.shape, cycle.mean_torque)
    curves = [("main", "crank torque", torque), ("mean", "mean", mean)]
    return _over_angle(cycle, "Crank torque", "torque", "Nm", curves)


def plot_polar(
    cycle: Cycle, bearing: str = "big_end", number: int = 1, *, frame: str | None = None
) -> Any:
    """Return a figure of a bearing's load over the cycle as a vector, its peak marked.

    Parameters
    ----------
    bearing : "big_end" or "main"
    number : of the bearing from the front, 1 is the first
    frame : a frame of `cycle.bearings`; left out it is that of the shell

    Raises
    ------
    DesignError where there is no such bearing or frame.
    """
    if bearing not in ("big_end", "main"):
        raise DesignError("bearing", f"must be one of big_end, main (got {bearing!r})")
    big_end = bearing == "big_end"
    frame = frame or ("rod" if big_end else "block")
    loads = (cycle.bearings.big_ends if big_end else cycle.bearings.mains)[frame]
    x, y = as_drawn(loads[_place(number, len(loads), "number")], "kN")
    peak = int(np.hypot(x, y).argmax())
    title = f"Load on {'big end' if big_end else 'main'} {number}, {frame} frame"
    return _square(title, (axis("x", "kN"), axis("y", "kN")), (x, y), peak=peak)


def plot_orbit(films: BearingFilms, bearing: int = 1) -> Any:
    """Return a figure of a journal's path in its clearance over the cycle, the thinnest marked.

    Raises DesignError where there is no such bearing.
    """
    row = _place(bearing, len(films.load), "bearing")
    clearance = films.bearing.radial_clearance
    x, y = as_drawn(clearance * films.eccentricity[row], "um")
    title = f"Orbit of journal {bearing}, {with_unit(clearance, 'um')} clearance"
    ring, thinnest = float(as_drawn(clearance, "um")), int(films.minimum_index[row])
    return _square(title, (axis("x", "um"), axis("y", "um")), (x, y), peak=thinnest, ring=ring)


def plot_ladder(ladder: Ladder) -> Any:
    """Return a figure of the speed limit of every criterion as a bar, with the rated speed.

    A criterion without a limit has a pale bar to the end of the speeds looked at.
    """
    bars, labels, high = [], [], RPM.from_si(ladder.high)
    for place, rung in enumerate(ladder):
        top = float(len(ladder) - place)
        end, steel = min(rung.limit_rpm, high), rung.limit <= ladder.high
        name = f"{rung.criterion.part}: {rung.criterion.label}"
        bars.append(Bar("steel" if steel else "band", 0.0, end, top - 0.85, top - 0.05, name))
        words = f"{rung.limit_rpm:.0f}" if steel else f"none up to {high:.0f}"
        labels.append(Label("main", 0.01 * high, top - 0.75, f"{name}: {words} rpm"))
    count = float(len(ladder))
    speeds = [("rated", ladder.rated), ("red line", ladder.red_line)]
    lines = [Line("allowed", [RPM.from_si(s)] * 2, [0.0, count], name) for name, s in speeds]
    chart = Chart(
        f"Speed limits of {ladder.design.name}", "crank speed, rpm", "criterion", (0.0, high),
        (0.0, count), tuple(lines), tuple(labels), bars=tuple(bars),
    )  # fmt: skip
    made = _figure("notebook_ladder", chart, WIDTH, 80 + ROW * len(ladder))
    made.yaxis.major_label_text_alpha = made.yaxis.major_tick_line_alpha = 0.0
    return made


def plot_film(films: BearingFilms, bearing: int = 1) -> Any:
    """Return a figure of the thinnest film round a bearing's shell over the crank angle.

    Raises DesignError where there is no such bearing.
    """
    film = films.film[_place(bearing, len(films.load), "bearing")]
    return _lines(
        films.crank_angle, f"Oil film of bearing {bearing}", "film", "um", [("main", "film", film)]
    )


def _place(number: int, count: int, field: str) -> int:
    if isinstance(number, bool) or number not in range(1, count + 1):
        raise DesignError(field, f"must be 1 to {count} (got {number!r:.40})")
    return number - 1


def _over_angle(cycle: Cycle, title: str, words: str, unit: str, curves: list[Curve]) -> Any:
    speed = f"{RPM.from_si(cycle.speed):.0f} rpm"
    return _lines(cycle.crank_angle, f"{title} at {speed}", words, unit, curves)


def _lines(angle: Array, title: str, words: str, unit: str, curves: list[Curve]) -> Any:
    """Return a figure of curves (n,) [SI] over the crank angle (n,) [rad], each with its name."""
    degrees = np.degrees(angle)
    drawn = [(role, name, as_drawn(values, unit)) for role, name, values in curves]
    every = np.concatenate([values for _, _, values in drawn])
    low, high = min(float(every.min()), 0.0), max(float(every.max()), 0.0)
    room, end = ROOM * (high - low), float(degrees[-1] + degrees[1])
    labels = []
    for place, (role, name, values) in enumerate(drawn):
        share = len(values) // len(drawn)  # each curve is named in its own part of the cycle
        at = place * share + int(np.abs(values[place * share : (place + 1) * share]).argmax())
        align = "left" if at < 0.7 * len(values) else "right"
        labels.append(Label(role, float(degrees[at]), float(values[at]), name, align))
    chart = Chart(
        title, "crank angle φ, °", axis(words, unit), (0.0, end), (low - room, high + room),
        (Line("ring", [0.0, end], [0.0, 0.0]),
         *(Line(role, degrees, values, name) for role, name, values in drawn)),
        tuple(labels), x_ticks=tuple(range(0, round(end) + 1, 90)),
    )  # fmt: skip
    return _figure("notebook_lines", chart, WIDTH, HEIGHT)


def _square(
    title: str, axes: tuple[str, str], path: tuple[Array, Array], *, peak: int,
    ring: float | None = None,
) -> Any:  # fmt: skip
    """Return a figure of equal scales of a closed path, a point of it marked, a circle round it."""
    x, y = path
    half = 1.1 * (ring or float(np.hypot(x, y).max()))
    lines = [
        Line("ring", [-half, half, math.nan, 0.0, 0.0], [0.0, 0.0, math.nan, -half, half]),
        Line("main", np.append(x, x[:1]), np.append(y, y[:1]), "path"),
    ]
    if ring is not None:
        turn = np.linspace(0.0, 2 * math.pi, 181)
        lines.append(Line("allowed", ring * np.sin(turn), ring * np.cos(turn), "clearance"))
    chart = Chart(
        title, *axes, (-half, half), (-half, half), tuple(lines),
        marks=(Mark("main", float(x[peak]), float(y[peak])),),
    )  # fmt: skip
    made = _figure("notebook_square", chart, None, None)
    made.frame_width = made.frame_height = SQUARE
    return made


def _figure(name: str, chart: Chart, width: int | None, height: int | None) -> Any:
    """Return a figure with a chart in it and its title above."""
    picture = chart_picture(name, chart.title)
    draw(picture, chart)
    made = picture.figure
    made.update(sizing_mode="fixed" if width else None, width=width, height=height)
    made.title.text = chart.title
    return made
