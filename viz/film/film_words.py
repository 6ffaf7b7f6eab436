"""The least film as a rung of the ladder, in words with the values put in."""

from collections.abc import Callable

from kinematics.film.journal_film import JournalFilms, journal_films
from kinematics.limits.speed_limits import Rung
from kinematics.train.cycle import Cycle
from viz.film.shown_films import LIMITS, ShownFilms
from viz.limits.limit_words import FormulaSheet, degrees, result
from viz.number_words import operand, with_unit

_SOURCE = (
    "J. F. Booker, ASME J. Basic Eng. 87, 1965 (from memory); map from Reynolds' equation solved "
    "in two dimensions, checked against A. A. Raimondi and J. Boyd, 1958 (from memory)"
)
_LEFT_OUT = (
    "Full load at every speed, the least of all such bearings. Judged from the lowest speed of "
    "full load upward. Round, rigid shells: elastic ones, tilt and crown are left out."
)


def films_at(rung: Rung) -> JournalFilms:
    """Return the films at the speed where a rung is shown."""
    return journal_films(Cycle(rung.parts.train, rung.at))


def edge_warnings(rung: Rung) -> list[str]:
    """Return in words where tilt and crown leave less at the edges than the film allowed.

    At the speed where the rung is shown; the rung itself leaves tilt and crown out.
    """
    shown = ShownFilms(Cycle(rung.parts.train, rung.at))
    kind = next(kind for kind, key in LIMITS.items() if key == rung.criterion.key)
    least = float(shown.edges[kind].min())
    if least >= rung.allowed.value:
        return []
    return [
        f"Left out, and applies here: with tilt and crown {with_unit(least, 'um')} is left at an "
        "edge, less than allowed, if shells and housings are rigid. An estimate: elastic ones give "
        "way."
    ]


def _put_in(kind: str) -> Callable[[Rung], str]:
    def write(rung: Rung) -> str:
        films = films_at(rung)
        own = films.big_ends if kind == "big_end" else films.mains
        row = int(own.least_film.argmin())
        i = int(own.least_index[row])
        name = f"main {row + 1}" if kind == "main" else f"cylinder {row + 1}'s big end"
        expression = (
            f"{operand(own.bearing.radial_clearance)}·(1 − "
            f"{operand(float(own.size[row, i]))}), {name} at "
            f"{degrees(rung, i)}, μ {operand(float(own.viscosity[row]))} Pa·s"
        )
        return result(rung, "h", expression)

    return write


FILM_WORDS = {
    key: FormulaSheet(
        "h = c·(1 − ε),  dε/dφ = W·k·M(ε) + ½·(ω_journal − ω_shell)/ω × ε\n"
        "k = (c/R)²/(μ·L·D·ω), M mobility of the finite bearing, μ by the heat balance",
        _put_in(kind), _LEFT_OUT, _SOURCE)
    for key, kind in (("big_end_film", "big_end"), ("main_film", "main"))
}  # fmt: skip
