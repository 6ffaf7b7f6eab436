"""How the criteria of oil feed are shown: what passes against what a full film would pass."""

from collections.abc import Callable

from kinematics.film.journal_film import BearingFilms
from kinematics.limits.speed_limits import Ladder, Rung
from kinematics.units import shown_unit
from viz.chart import Chart, Views
from viz.film.feed_words import FEED_FORMULA, FEED_SOURCE, feed_values
from viz.limits.criterion_view import FILMS, CriterionView
from viz.limits.film_views import films_at
from viz.limits.plain_story import share_used
from viz.limits.rung_chart import bar_chart
from viz.limits.substitution import result
from viz.number_words import axis, operand
from viz.speed_words import rpm_text

_CONVENTIONS = (
    "Means of the cycle in formulas for steady loads; a hole feeds nothing while it stands in the "
    "pressed half of the shell. Half of a full film's flow fills the gap from a quarter turn ahead "
    "of the minimum film. The oil that passes carries away the film's heat, so less feed means "
    "hotter, thinner oil. "
)


def _own(rung: Rung) -> BearingFilms:
    return films_at(rung).of("main" if rung.criterion.key == "main_feed" else "big_end")


def _substitution(rung: Rung) -> str:
    own = _own(rung)
    row = int(own.filling.argmin())
    name = f"main {row + 1}" if rung.criterion.key == "main_feed" else f"big end {row + 1}"
    passed = float(own.passed_flow[row])
    full = float(own.full_flow[row])
    return f"{name}: {feed_values(own, row)}\n" + result(
        rung, "f", f"{operand(passed)}/{operand(full)}"
    )


def _every_bearing(words: str) -> Callable[[Ladder, Rung], Chart]:
    def draw(_ladder: Ladder, rung: Rung) -> Chart:
        unit = shown_unit("percent")
        return bar_chart(
            f"Oil feed of every {words} at {rpm_text(rung.at)}",
            axis("oil feed", "percent"), words,
            unit.array_from_si(_own(rung).filling), unit.from_si(rung.allowed.value),
        )  # fmt: skip

    return draw


def _view(parts: str, helps: str, charts: Views) -> CriterionView:
    return CriterionView(
        sentence=f"The {parts} starve: less oil is fed than a film needs",
        formula=FEED_FORMULA, substitution=_substitution,
        conventions=f"{_CONVENTIONS}What helps: {helps}.",
        source=FEED_SOURCE, charts=charts,
        story=share_used(f"oil feed of the {parts}"), group=FILMS,
    )  # fmt: skip


FEED_VIEWS = {
    "big_end_feed": _view(
        "big ends", "a larger oil hole, higher supply pressure, more clearance",
        (("Every big end", _every_bearing("big end")),)),
    "main_feed": _view(
        "mains", "a wider or longer groove, higher supply pressure, more clearance",
        (("Every main", _every_bearing("main bearing")),)),
}  # fmt: skip
