"""The pictures of a rung: its value against speed, and the part's own plot."""

import math

import numpy as np

from kinematics.array import Array
from kinematics.limits.misfire import misfire_rung
from kinematics.limits.speed_limits import Ladder, Rung
from kinematics.units import UNITS, shown_unit
from viz.chart import Chart, Label, Line, Mark
from viz.chart_figure import ChartPicture, chart_picture
from viz.limits.criterion_views import view_of
from viz.limits.limit_board import limit_text, own_picture
from viz.number_words import format_number, join_unit
from viz.speed_words import rpm, rpm_text

RPM = UNITS["rpm"]
SMOOTH = 60  # points of a curve without resonances
TALLEST = 2.6  # allowables that the value axis shows at most


def limit_pictures() -> tuple[ChartPicture, ...]:
    """Return the page's empty figures: against speed, the part's own, and a polar one."""
    return (
        chart_picture("limit_speed"),
        chart_picture("limit_own"),
        chart_picture("limit_polar", polar=True),
    )


def rung_charts(
    ladder: Ladder, key: str, reference: Ladder | None, view: int = 0
) -> dict[str, Chart]:
    """Return by figure a rung against speed and one of its own charts, as far as it has any."""
    rung = ladder.rung(key)
    if rung is None:
        return {}
    over_speed = speed_chart(ladder, rung, reference.rung(key) if reference else None)
    shown = view_of(rung.criterion)
    own = {own_picture(shown): shown.charts[view][1](ladder, rung)} if shown.charts else {}
    return {"limit_speed": over_speed} | own


def view_names(ladder: Ladder, key: str) -> tuple[str, ...]:
    """Return the names of a rung's own charts."""
    rung = ladder.rung(key)
    return () if rung is None else tuple(name for name, _ in view_of(rung.criterion).charts)


def speed_chart(ladder: Ladder, rung: Rung, before: Rung | None) -> Chart:
    """Return a criterion's value against speed, with its allowable, rated speed and red line."""
    unit = shown_unit(rung.criterion.unit)
    allowed = unit.from_si(rung.allowed.value)
    end = _end(ladder, rung)
    speed, value = _curve(ladder, rung, end)
    top = _top(value, allowed, rung)
    lines = [
        Line("main", speed, np.where(value <= 1.2 * top, value, np.nan), rung.criterion.label),
        Line("allowed", [0, end], [allowed, allowed]),
        Line("faint", [rpm(ladder.rated)] * 2, [0, top]),
    ]
    if before is not None:
        speeds, was = _curve(ladder, before, end)
        lines.append(
            Line("reference", speeds, np.where(was <= 1.2 * top, was, np.nan), "reference")
        )
    misfire = misfire_rung(ladder, rung)
    if misfire is not None:
        speeds, own = _curve(ladder, misfire.rung, end)
        words = f"cylinder {misfire.cylinder} misfiring"
        lines.append(Line("second", speeds, np.where(own <= 1.2 * top, own, np.nan), words))
    word = "at least" if rung.criterion.at_least else "at most"
    labels = [
        Label("allowed", 0.02 * end, allowed,
              f"{word} {join_unit(format_number(allowed, 3), unit.symbol)}"),
        Label("faint", rpm(ladder.rated), 0.02 * top, "rated", "right"),
    ]  # fmt: skip
    if misfire is not None:
        labels.append(Label("second", 0.02 * end, 0.85 * top, words))
    if ladder.red_line < end * RPM.factor:
        lines.append(Line("faint", [rpm(ladder.red_line)] * 2, [0, top]))
        labels.append(Label("faint", rpm(ladder.red_line), 0.02 * top, "red line"))
    marks = []
    if 0 < rung.limit < math.inf and rpm(rung.limit) < end:
        marks.append(Mark("main", rpm(rung.limit), allowed))
        labels.append(Label("main", rpm(rung.limit), allowed + 0.03 * top, rpm_text(rung.limit),
                            "right" if rpm(rung.limit) > 0.7 * end else "center"))  # fmt: skip
    label = unit.symbol or view_of(rung.criterion).symbol
    return Chart(
        f"{rung.criterion.part}: {rung.criterion.label} against speed; {limit_text(ladder, rung)}",
        "crank speed, rpm", label, (0, end), (0, top), tuple(lines), tuple(labels), tuple(marks),
    )  # fmt: skip


def _curve(ladder: Ladder, rung: Rung, end: float) -> tuple[Array, Array]:
    """Return speeds [rpm] up to an end [rpm] and the values at them, as shown."""
    speed = rung.speed[rung.speed <= 1.05 * RPM.to_si(end)]
    if not rung.criterion.resonant:
        speed = np.linspace(min(rung.speed[0], ladder.low), RPM.to_si(end), SMOOTH)
    value = rung.criterion.value(rung.parts, speed)
    return RPM.array_from_si(speed), shown_unit(rung.criterion.unit).array_from_si(value)


def _top(value: Array, allowed: float, rung: Rung) -> float:
    """Return the top of the value axis: what is seen, but not the far beyond."""
    finite = value[np.isfinite(value)]
    most = float(finite.max()) if finite.size else allowed
    at = (
        shown_unit(rung.criterion.unit).from_si(rung.value_at)
        if math.isfinite(rung.value_at)
        else 0
    )
    return 1.1 * max(min(most, TALLEST * allowed), 1.25 * allowed, min(at, 6 * allowed))


def _end(ladder: Ladder, rung: Rung) -> float:
    """Return the end of the speed axis [rpm]: past the limit and the red line."""
    if rung.criterion.at_idle:
        return rpm(ladder.rated)
    limit = rung.limit if 0 < rung.limit < math.inf else ladder.rated
    return min(1.15 * max(rpm(limit), rpm(ladder.red_line)), rpm(ladder.high))
