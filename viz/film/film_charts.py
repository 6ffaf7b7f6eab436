"""Charts of the minimum oil film thickness: over speed and load, over the crown."""

import contourpy
import numpy as np

from kinematics.array import Array
from kinematics.film.film_survey import FilmSurvey
from kinematics.film.journal_shape import crown_choice
from kinematics.units import UNITS, shown_unit
from viz.chart import Chart, Label, Line, Mark
from viz.chart_figure import ChartPicture, chart_picture
from viz.film.shown_films import TITLES, ShownBearing
from viz.number_words import axis, format_short, with_unit
from viz.style import ALLOWED, BOTH, FIRST_ORDER
from viz.themed import Picture
from viz.train.line_plots import Curve, LinePlot, line_picture

RPM = UNITS["rpm"]
LEVELS = tuple(step * 10.0**power for power in range(-2, 5) for step in (1, 1.5, 2, 3, 4, 5, 6, 8))
MOST_LEVELS = 7
SHOWN_LIMITS = 6.0  # allowed films up to which the thickness is shown: the thin ones matter
NEAR = 0.15  # levels closer to the allowed film than this share of it are left out
RISING = 6  # of the crowns tried: there the minimum film thickness is still held by an edge
FILM_PLOTS = (
    LinePlot(
        "film_thickness", "Minimum film thickness", "um",
        (Curve("film", BOTH, "film", with_reference=True),
         Curve("limit", ALLOWED, "allowed")), True, 0.1,
        False, ("limit", SHOWN_LIMITS),
    ),
    LinePlot(
        "film_pressure", "Pressure", "MPa",
        (Curve("pressure", BOTH, "peak oil film pressure", with_reference=True),
         Curve("specific", FIRST_ORDER, "specific load")), True, 0.1,
    ),
)  # fmt: skip


def film_curves() -> tuple[Picture, ...]:
    """Return the empty figures over the crank angle."""
    return tuple(line_picture(plot) for plot in FILM_PLOTS)


def film_charts() -> tuple[ChartPicture, ChartPicture]:
    """Return the empty figures of survey and shape."""
    return (
        chart_picture(
            "film_survey", "Minimum film thickness over speed and load, not computed yet"
        ),
        chart_picture("film_shape"),
    )


def survey_chart(survey: FilmSurvey, kind: str, allowed: float, at: tuple[float, float]) -> Chart:
    """Return lines of equal minimum film thickness over speed and load, with the allowed one.

    `allowed` [m] is the film allowed, `at` the speed [rad/s] and load that are shown now.
    """
    fine = survey.refined()
    speed, load = RPM.array_from_si(fine.speed), 100 * fine.load
    film = shown_unit("um").array_from_si(fine.film[kind])
    contours = contourpy.contour_generator(speed, load, film)
    lines: list[Line] = []
    labels: list[Label] = []
    for level in _levels(film, shown_unit("um").from_si(allowed)):
        _contour(contours, "inertia", level, format_short(level), lines, labels)
    bound = shown_unit("um").from_si(allowed)
    _contour(contours, "allowed", bound, f"allowed {with_unit(allowed, 'um')}", lines, labels)
    if not film.min() < bound < film.max():
        words = "thicker" if film.min() >= bound else "thinner"
        labels.append(Label("allowed", float(speed[0]), 104.0, f"everywhere {words} than allowed"))
    now = (RPM.from_si(at[0]), 100 * at[1])
    return Chart(
        axis(f"{TITLES[kind]}s: minimum film thickness", "um"),
        "crank speed, rpm", "engine load, %",
        (float(speed[0]), float(speed[-1])), (0, 112), tuple(lines),
        (*labels, Label("main", now[0], now[1], "now", "center")), (Mark("main", *now),),
    )  # fmt: skip


def _levels(film: Array, allowed: float) -> list[float]:
    """Return the films to draw lines of, as shown: not too many, none beside the allowed one."""
    within = [
        level
        for level in LEVELS
        if film.min() < level < film.max() and abs(level - allowed) > NEAR * allowed
    ]
    step = max(1, -(-len(within) // MOST_LEVELS))
    return within[::step]


def _contour(
    contours: contourpy.ContourGenerator, role: str, level: float, text: str,
    lines: list[Line], labels: list[Label],
) -> None:  # fmt: skip
    """Add the line of a film, and its label where the line's longest piece is half done."""
    pieces = [np.asarray(piece) for piece in contours.lines(level)]
    lines += [Line(role, piece[:, 0], piece[:, 1], text) for piece in pieces]
    if pieces:
        longest = max(pieces, key=len)
        x, y = longest[len(longest) // 2]
        high = max(float(np.max(line.x)) for line in lines)
        side = "right" if x > 0.85 * high else "center"
        labels.append(Label(role, float(x), float(y), text, side))


def shape_chart(bearing: ShownBearing) -> Chart:
    """Return the minimum film over the journal's crown, over the width and at mid width."""
    films = bearing.films
    choice = crown_choice(films, bearing.shown.tilt(bearing.kind), bearing.index)
    crown = shown_unit("um").array_from_si(choice.crown)
    least, middle = (
        shown_unit("um").array_from_si(choice.minimum_film),
        shown_unit("um").array_from_si(choice.middle_film),
    )
    bound, given = (
        shown_unit("um").from_si(bearing.limit),
        shown_unit("um").from_si(films.bearing.crown),
    )
    low, high = min(0.0, float(least.min())), max(float(middle.max()), bound)
    room = 0.15 * (high - low)
    best = choice.best
    end = max(float(crown[-1]), 1.1 * given)
    return Chart(
        f"{bearing.title}: minimum film thickness against crown",
        axis("crown", "um"), axis("minimum film thickness", "um"),
        (0, end), (low - (room if low < 0 else 0), high + room),
        (Line("ring", [0, end], [0, 0]), Line("main", crown, least),
         Line("inertia", crown, middle), Line("allowed", [0, end], [bound, bound]),
         Line("faint", [given, given], [low, high])),
        (Label("main", float(crown[RISING]), float(least[RISING]), " anywhere over the width"),
         Label("inertia", 0.98 * end, float(middle[-1]) + 0.3 * room, "at mid width", "right"),
         Label("allowed", 0.02 * end, bound, "allowed"),
         Label("faint", given, low, f"crown {with_unit(films.bearing.crown, 'um', 2)}"),
         Label("main", float(crown[best]), float(least[best]) - 1.7 * room,
               f"best {with_unit(float(choice.crown[best]), 'um', 2)}", "center")),
        (Mark("main", float(crown[best]), float(least[best])),),
    )  # fmt: skip
