"""An imported full-load curve: what is assumed of it in words, and its torque over speed."""

import numpy as np

from kinematics.array import Array
from kinematics.design.design import Design
from kinematics.mechanics.speed_curve import CurveSettings, EngineSize
from kinematics.train.cycle import Cycle, RigidTrain, rigid_train
from kinematics.train.measured_full_load import MeasuredFullLoad
from kinematics.units import UNITS, shown_unit
from viz.chart import Chart, Label, Line, Mark
from viz.chart_figure import chart_picture
from viz.number_words import as_drawn, format_number, short_with_unit, with_unit
from viz.themed import Picture

POINTS = 25  # of a line over speed
SMALLEST_ERROR = 0.0005  # between rows, that is said
_ROOM = 1.2


def curve_pictures() -> tuple[Picture, ...]:
    """Return the empty figure of the import."""
    return (chart_picture("curve_torque", "Mean indicated torque over speed"),)


def curve_words(measured: MeasuredFullLoad) -> str:
    """Return how many points and rows there are, and how far the IMEP reaches."""
    curve, rows = measured.curve, measured.rows
    low, high = (short_with_unit(float(end), "rpm", 6) for end in curve.speed[[0, -1]])
    least, most = (with_unit(float(end), "bar") for end in _ends(curve.mean_pressure))
    words = f"{len(curve.speed)} points from {low} to {high}, IMEP {least} to {most}."
    if len(rows) < len(curve.speed):
        words += f" The curve takes {len(rows)} rows"
        error = format_number(100 * measured.error, 2)
        words += f", within {error} %." if measured.error > SMALLEST_ERROR else ", without error."
    return words


def curve_note(settings: CurveSettings, measured: MeasuredFullLoad) -> str:
    """Return what is assumed: of friction, and of what in the cylinder makes the curve."""
    share = short_with_unit(settings.efficiency, "percent", 4)
    friction = (
        f"Brake over indicated is the mechanical efficiency, {share} at every speed. "
        if settings.basis == "brake"
        else "Indicated values are taken as they are. "
    )
    least, most = (format_number(100 * end, 3) for end in _ends([r.peak for r in measured.rows]))
    return (
        f"{friction}Each row's charge and peak pressure change alike, {least} to {most} % of the "
        "design's, until the model has the measured IMEP; combustion keeps its angle."
    )


def curve_doubts(design: Design, measured: MeasuredFullLoad) -> tuple[str, ...]:
    """Return where the rated speed lies outside the curve, a sentence each."""
    rated, speed = design.layout.rated_speed, measured.curve.speed
    if speed[0] <= rated <= speed[-1] * (1 + 1e-9):
        return ()
    end = "first" if rated < speed[0] else "last"
    return (
        f"The rated speed, {short_with_unit(rated, 'rpm', 6)}, is outside the file: there the "
        f"{end} row holds.",
    )


def curve_chart(
    present: Design, trial: RigidTrain, measured: MeasuredFullLoad, size: EngineSize
) -> Chart:
    """Return mean indicated torque over speed, now and with the rows, and the points measured."""
    curve = measured.curve
    rows = np.array([row.speed for row in measured.rows])
    grid = np.union1d(np.linspace(curve.speed[0], curve.speed[-1], POINTS), rows)
    now, new = (_torque(train, grid) for train in (rigid_train(present), trial))
    points = as_drawn(curve.mean_pressure * size.swept_volume / size.cycle_angle, "Nm")
    step = -(-len(points) // 200)
    speed, at = (np.array([UNITS["rpm"].from_si(float(s)) for s in own]) for own in
                 (grid, curve.speed[::step]))  # fmt: skip
    middle = len(grid) // 2
    top = _ROOM * max(float(now.max()), float(new.max()), float(points.max()))
    return Chart(
        "Mean indicated torque over speed", "speed, rpm", shown_unit("Nm").symbol,
        (float(speed[0]), float(speed[-1])), (0.0, top),
        (Line("reference", speed, now, "now"), Line("main", speed, new, "with this curve")),
        (Label("reference", float(speed[middle]), 0.74 * float(new[middle]), "now", "center"),
         Label("main", float(speed[middle]), 0.86 * float(new[middle]), "with this curve",
               "center")),
        tuple(Mark("main", float(x), float(y)) for x, y in zip(at, points[::step], strict=True)),
    )  # fmt: skip


def _torque(train: RigidTrain, speed: Array) -> Array:
    return as_drawn(np.array([Cycle(train, float(one)).mean_torque for one in speed]), "Nm")


def _ends(values: Array | list[float]) -> tuple[float, float]:
    return float(np.min(values)), float(np.max(values))
