"""How the criteria of minimum oil film thickness are shown."""

from collections.abc import Callable

import numpy as np

from kinematics.design.design_bearings import BARUS, MainBearing, Oil
from kinematics.film.journal_film import JournalFilms, journal_films
from kinematics.limits.speed_limits import Ladder, Rung
from kinematics.train.cycle import Cycle
from kinematics.units import shown_unit
from viz.chart import Chart, Views
from viz.film.film_model_words import THICKENED, FilmModelWords, film_model_words
from viz.film.groove_words import (
    GROOVE_FORMULA,
    GROOVE_SOURCE,
    groove_words,
    has_partial_groove,
)
from viz.limits.criterion_view import FILMS, CriterionView
from viz.limits.plain_story import HAIR, PlainStory, SentenceTemplate, SpokenNumber
from viz.limits.rung_chart import OVER_CYCLE, angle_chart, bar_chart
from viz.limits.substitution import degrees, result
from viz.number_words import axis, format_short, operand
from viz.speed_words import rpm_text

ECCENTRICITY_DIGITS = 7  # 1 − ε is small: five digits of ε would leave it three
_CONVENTIONS = (
    "Full load at every speed, the minimum of all such bearings, assessed from the lowest speed of "
    "full load upward. Viscosity at high shear, heat carried by the oil that passes. Round, rigid "
    "shells: elastic ones, misalignment and crown are ignored."
)


def films_at(rung: Rung) -> JournalFilms:
    """Return the films at the speed where a rung is shown."""
    return journal_films(Cycle(rung.parts.train, rung.at))


def _model(rung: Rung) -> FilmModelWords:
    oil: Oil = rung.parts.train.design.needed("oil", "the oil film")
    return film_model_words(oil.film_model)


def _main(rung: Rung) -> MainBearing | None:
    """Return the main bearings where the rung is theirs."""
    main: MainBearing | None = rung.parts.train.design.main_bearing
    return main if rung.criterion.key == "main_film" else None


def _grooved(rung: Rung) -> bool:
    main = _main(rung)
    return main is not None and has_partial_groove(main)


def _formula(rung: Rung) -> str:
    oil: Oil = rung.parts.train.design.needed("oil", "the oil film")
    thickened = f", {THICKENED}" if oil.under_pressure == BARUS else ""
    words = f"{_model(rung).formula}, μ by the heat balance{thickened}"
    return f"{words}\n{GROOVE_FORMULA}" if _grooved(rung) else words


def _source(rung: Rung) -> str:
    words = _model(rung).sources
    return f"{words}; {GROOVE_SOURCE}" if _grooved(rung) else words


def _substitution(kind: str) -> Callable[[Rung], str]:
    def write(rung: Rung) -> str:
        films = films_at(rung)
        own = films.big_ends if kind == "big_end" else films.mains
        row = int(own.minimum_film.argmin())
        i = int(own.minimum_index[row])
        name = f"main {row + 1}" if kind == "main" else f"cylinder {row + 1}'s big end"
        eccentricity = format_short(float(own.size[row, i]), ECCENTRICITY_DIGITS)
        expression = f"{operand(own.bearing.radial_clearance)}·(1 − {eccentricity})"
        where = f"{name} at {degrees(rung, i)}, μ {operand(float(own.viscosity[row]))} Pa·s"
        main = _main(rung)
        groove = groove_words(main) if main is not None else ""
        return "\n".join(line for line in (result(rung, "h", expression), where, groove) if line)

    return write


def _over_cycle(_ladder: Ladder, rung: Rung) -> Chart:
    films = films_at(rung)
    own = films.big_ends if rung.criterion.key == "big_end_film" else films.mains
    row = int(own.minimum_film.argmin())
    name = "Big ends" if rung.criterion.key == "big_end_film" else f"Main {row + 1}"
    return angle_chart(
        rung, f"{name}: minimum film thickness over the cycle", axis("film", "um"),
        [("main", "film", shown_unit("um").array_from_si(own.film[row]))],
        [("allowed", shown_unit("um").from_si(rung.allowed.value))],
    )  # fmt: skip


def _every_main(_ladder: Ladder, rung: Rung) -> Chart:
    films = shown_unit("um").array_from_si(films_at(rung).mains.minimum_film)
    bound = shown_unit("um").from_si(rung.allowed.value)
    return bar_chart(
        f"Minimum oil film thickness of every main at {rpm_text(rung.at)}",
        axis("minimum film thickness", "um"), "main bearing", np.asarray(films), bound,
    )  # fmt: skip


def _view(kind: str, sentence: str, parted: str, charts: Views) -> CriterionView:
    """Return the view of a kind of bearing; the oil film separates the two parts named."""
    words = (
        f"Only oil separates {parted}: a hair is {{n}} times as thick as the oil at its minimum."
    )
    return CriterionView(
        sentence=sentence,
        formula=_formula, source=_source,
        substitution=_substitution(kind), conventions=_CONVENTIONS,
        charts=charts,
        story=PlainStory(
            SpokenNumber("oil film thickness"), (SentenceTemplate(words, HAIR),),
            inverse=True,
        ),
        group=FILMS,
    )  # fmt: skip


FILM_VIEWS = {
    "big_end_film": _view(
        "big_end", "The oil film of the big ends falls below its allowable thickness",
        "rod and crank", ((OVER_CYCLE, _over_cycle),)),
    "main_film": _view(
        "main", "The oil film of the mains falls below its allowable thickness",
        "crank and block", ((OVER_CYCLE, _over_cycle), ("Every main", _every_main))),
}  # fmt: skip
