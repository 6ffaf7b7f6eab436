"""The variants of a design in one chart: a quantity of all over the crank angle, or over speed."""

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from kinematics.array import Array
from kinematics.limits.speed_limits import Ladder, speed_limits
from kinematics.train.cycle import Cycle, rigid_train
from kinematics.train.full_load import full_load_from
from kinematics.units import UNITS
from viz.chart import Chart, Label, Line
from viz.chart_figure import ChartPicture, chart_picture
from viz.limits.criterion_views import short_name
from viz.limits.rung_chart import ANGLE_LABEL
from viz.number_words import as_drawn, axis, capitalised
from viz.review.review_numbers import rated_cycle
from viz.review.variant_table import Column

FIGURE = "variant_curves"
STROKES = {  # by letter, the role whose colour and dash its curve has
    "A": "reference", "B": "main", "C": "gas", "D": "inertia", "E": "second", "F": "mean",
}  # fmt: skip
POINTS = 49  # of a curve over speed
FILM_POINTS = 25  # of one whose value costs an orbit each
SLOWEST = 0.4  # of the lowest rated speed, where the speeds begin
ROOM = 0.08  # of the height, above and below the curves
EDGE = 0.1  # of a letter's share of the width, at both ends, that stays free
BELOW = 3.0  # a letter stands above its curve: a curve below is so much less near


@dataclass(frozen=True, slots=True)
class OverAngle:
    """A quantity over the crank angle: of a cycle and the index of a cylinder or main (n,)."""

    title: str
    unit: str
    values: Callable[[Cycle, int], Array]
    peaks: Callable[[Cycle], Array] | None = None  # of every main, where the worst is shown


def _size(load: Array) -> Array:
    return np.asarray(np.hypot(load[..., 0, :], load[..., 1, :]))


def _main_peaks(cycle: Cycle) -> Array:
    return np.asarray(_size(cycle.bearings.mains["block"]).max(axis=-1))


OVER_ANGLE = {
    "big_end_load": OverAngle(
        "Big-end load", "kN", lambda cycle, i: _size(cycle.bearings.big_ends["rod"][i])),
    "main_load": OverAngle(
        "Main load", "kN", lambda cycle, i: _size(cycle.bearings.mains["block"][i]), _main_peaks),
    "side_thrust": OverAngle(
        "Side thrust, major side +", "kN", lambda cycle, i: cycle.forces.side_thrust[i]),
    "rod_force": OverAngle(
        "Rod force, compression +", "kN", lambda cycle, i: cycle.forces.rod_force[i]),
    "cylinder_pressure": OverAngle(
        "Cylinder pressure", "bar", lambda cycle, i: cycle.forces.cylinder_pressure[i]),
    "crank_torque": OverAngle(
        "Crank torque", "Nm", lambda cycle, _: cycle.forces.crank_torque),
    "acceleration": OverAngle(
        "Piston acceleration", "km_s2", lambda cycle, i: cycle.motion.acceleration[i]),
}  # fmt: skip
POWERS = {
    "power": ("Indicated power", "kW", lambda cycle: cycle.indicated_power),
    "torque": ("Mean torque", "Nm", lambda cycle: cycle.mean_torque),
}
RUNGS = ("big_end_specific_load", "main_specific_load", "big_end_film", "main_film")
USE = "use:"  # before the key of a rung whose share of the allowable is shown


@dataclass(frozen=True, slots=True)
class _Curve:
    column: Column
    x: Array
    y: Array  # as shown; NaN where there is none


def variant_pictures() -> tuple[ChartPicture, ...]:
    """Return the empty figure."""
    return (chart_picture(FIGURE),)


def curve_choices(columns: list[Column]) -> list[tuple[str, str, str]]:
    """Return what may be drawn of variants: group, key and name of each quantity."""
    ladders = [speed_limits(column.cycle.design) for column in columns]
    angle, speed = "Over the crank angle, each at its rated speed", "Over speed"
    found = [(angle, key, shown.title) for key, shown in OVER_ANGLE.items()]
    found += [(speed, key, title) for key, (title, _, _) in POWERS.items()]
    for key in RUNGS:
        name = _rung_name(ladders, key)
        found += [(speed, key, name)] if name else []
    for key in _governing(ladders):
        found.append((speed, f"{USE}{key}", f"Used of {_rung_name(ladders, key)}"))
    return found


def variant_chart(columns: list[Column], key: str, *, difference: bool) -> Chart:
    """Return the curves of a quantity of `curve_choices`, or how each differs from the first's."""
    make = _over_angle if key in OVER_ANGLE else _over_speed
    title, label, curves = make(columns, key)
    first = curves[0]
    if difference:
        title = f"{title}: difference from {first.column.letter}"
        curves = [_Curve(curve.column, curve.x, curve.y - first.y) for curve in curves[1:]]
    return _chart(title, label, curves, ANGLE_LABEL if key in OVER_ANGLE else "speed, rpm")


def _over_angle(columns: list[Column], key: str) -> tuple[str, str, list[_Curve]]:
    shown = OVER_ANGLE[key]
    cycles = [rated_cycle(column.cycle.design) for column in columns]
    end = max(cycle.design.layout.cycle_angle for cycle in cycles)
    angle = np.linspace(0, end, cycles[0].train.points + 1)
    first, place = cycles[0], ""
    index = first.train.assessed_cylinder
    if shown.peaks is not None:
        index = int(shown.peaks(first).argmax())
        place = f" {index + 1}"
    curves = [
        _Curve(column, np.degrees(angle), as_drawn(_recurring(shown, cycle, index, angle),
                                                   shown.unit))
        for column, cycle in zip(columns, cycles, strict=True)
    ]  # fmt: skip
    title = f"{shown.title}{place}, each at its rated speed"
    return title, axis(shown.title.split(",")[0].lower(), shown.unit), curves


def _recurring(shown: OverAngle, cycle: Cycle, index: int, angle: Array) -> Array:
    """Return the values at angles [rad] that may go beyond the cycle's end: it recurs."""
    of = cycle.forces.side_thrust if shown.peaks is None else shown.peaks(cycle)
    values = shown.values(cycle, min(index, len(of) - 1))
    period = cycle.design.layout.cycle_angle
    return np.interp(angle, cycle.crank_angle, values, period=period)


def _over_speed(columns: list[Column], key: str) -> tuple[str, str, list[_Curve]]:
    ladders = [speed_limits(column.cycle.design) for column in columns]
    points = FILM_POINTS if key.endswith("film") else POINTS
    low = SLOWEST * min(ladder.rated for ladder in ladders)
    speeds = np.linspace(low, max(ladder.red_line for ladder in ladders), points)
    if key in POWERS:
        title, unit, of = POWERS[key]
        found = [_power(ladder, speeds, of) for ladder in ladders]
    else:
        rung_key, is_use = key.removeprefix(USE), key.startswith(USE)
        name = _rung_name(ladders, rung_key)
        title = f"Used of {name}" if is_use else name
        known = next(rung for ladder in ladders if (rung := ladder.rung(rung_key)))
        unit = "percent" if is_use else known.criterion.unit
        found = [_rung_values(ladder, rung_key, speeds, is_use=is_use) for ladder in ladders]
    label = "used" if key.startswith(USE) else title.rpartition(": ")[2].lower()
    rpms = UNITS["rpm"].array_from_si(speeds)
    curves = [
        _Curve(column, rpms, as_drawn(values, unit))
        for column, values in zip(columns, found, strict=True)
    ]
    return f"{title} over speed", axis(label, unit), curves


def _power(ladder: Ladder, speeds: Array, of: Callable[[Cycle], float]) -> Array:
    """Return a number of each speed's cycle, NaN beyond the design's own speeds at full load."""
    train, low = rigid_train(ladder.design), full_load_from(ladder.design)
    high = max(ladder.rated, ladder.red_line)
    return np.array([
        of(Cycle(train, float(speed))) if low <= speed <= high else math.nan for speed in speeds
    ])  # fmt: skip


def _rung_values(ladder: Ladder, key: str, speeds: Array, *, is_use: bool) -> Array:
    """Return a rung's value at speeds, or the share of its allowable; NaN where it has none."""
    rung = ladder.rung(key)
    if rung is None:
        return np.full(len(speeds), math.nan)
    value = rung.criterion.value(rung.parts, speeds)
    return rung.criterion.use(value, rung.allowed.value) if is_use else value


def _rung_name(ladders: list[Ladder], key: str) -> str:
    """Return a rung's part and name; empty where no design has it."""
    known = next((rung for ladder in ladders if (rung := ladder.rung(key))), None)
    return capitalised(short_name(known.criterion)) if known else ""


def _governing(ladders: list[Ladder]) -> list[str]:
    """Return the keys of the governing rungs, each once."""
    lowest = [ladder.lowest for ladder in ladders]
    return list(dict.fromkeys(rung.criterion.key for rung in lowest if rung))


def _chart(title: str, label: str, curves: list[_Curve], x_label: str) -> Chart:
    values = np.concatenate([curve.y for curve in curves] or [np.zeros(1)])
    finite = np.append(values[np.isfinite(values)], 0.0)
    low, high = float(finite.min()), float(finite.max())
    room = ROOM * max(high - low, 1e-9)
    ends = (float(curves[0].x[0]), float(curves[0].x[-1]))
    over_angle = x_label == ANGLE_LABEL
    return Chart(
        title, x_label, label, ends, (low - room if low < 0 else 0.0, high + 1.5 * room),
        (Line("ring", ends, (0, 0)), *(_line(curve) for curve in curves)),
        tuple(_letters(curves)),
        x_ticks=tuple(range(0, round(ends[1]) + 1, 180 if ends[1] > 400 else 90))
        if over_angle else (),
    )  # fmt: skip


def _line(curve: _Curve) -> Line:
    column = curve.column
    return Line(STROKES[column.letter], curve.x, curve.y, f"{column.letter}, {column.name}")


def _letters(curves: list[_Curve]) -> list[Label]:
    """Return each curve's letter in its own share of the width, where it has most room."""
    found = []
    for place, curve in enumerate(curves):
        room = _room(curve, curves)
        across = np.arange(len(room)) / (len(room) - 1) * len(curves) - place
        own = np.where((across > EDGE) & (across < 1 - EDGE), room, -1.0)
        i = int((own if own.max() >= 0 else room).argmax())
        if room[i] >= 0:
            letter = curve.column.letter
            at = float(curve.x[i]), float(curve.y[i])
            found.append(Label(STROKES[letter], *at, letter, "center"))
    return found


def _room(curve: _Curve, curves: list[_Curve]) -> Array:
    """Return how far a curve is from the nearest other one (n,); -1 where it has no value."""
    nearest = np.abs(curve.y)
    others = [other.y - curve.y for other in curves if other is not curve]
    if others:
        apart = [np.where(gap >= 0, gap, -BELOW * gap) for gap in others]
        nearest = np.min([np.nan_to_num(gap, nan=np.inf) for gap in apart], axis=0)
    return np.where(np.isfinite(curve.y), nearest, -1.0)
