"""How far the big end's bore closes under the rod's pull, as a number with its formula."""

from collections.abc import Iterator

from kinematics.errors import DesignError
from kinematics.limits.bore_closure import bore_change
from viz.film.shown_films import ShownBearing
from viz.number_words import operand, with_unit
from viz.train.main_number import Definition, MainNumber

BORE_CLOSING = Definition(
    "bore_closing", "Big-end bore closing at the split, at least", "um", "ΔD",
    "ΔD = 2·∫M·m/(E·I)·R dθ, M by the pull W across the split, cos θ over the cap, m by 1 N\n"
    "even section all round: ΔD = 0.061·W·R³/(E·I), two point loads 0.137",
    "Cap and bolt bosses as a ring in bending before a rigid rod half; at most that of a ring with "
    "the cap's mean section all round. Sections from cap mass, bolts and bearing. Of the cylinder "
    "with the highest gas load. Films count the bore as round.",
    "Castigliano's second theorem, as in Timoshenko, Strength of Materials; Roark and Young, "
    "Formulas for Stress and Strain, circular rings (both from memory)")  # fmt: skip
SPLIT_FILM = Definition(
    "split_film", "Oil film thickness at the split of a closing bore", "um", "h",
    "h = c·(1 − |ε_x|) − ΔD(W)/2, minimum over the cycle",
    "An estimate: on the orbit of the round bore, at the least closing.",
    "Geometry; common practice, no source")  # fmt: skip


def bore_numbers(bearing: ShownBearing) -> Iterator[MainNumber]:
    """Yield the numbers of a big end's bore; none of a main, nor without rod bolts."""
    if bearing.kind != "big_end":
        return
    try:
        change = bore_change(bearing.shown.cycle.train, bearing.films)
    except DesignError:
        return
    least, pull = change.least, change.pull
    yield BORE_CLOSING.number(
        least.closing, f"{operand(pull)}·{operand(least.closing / pull)}",
        f"at most {with_unit(change.most.closing, 'um')}; along the rod it opens by "
        f"{with_unit(least.opening, 'um')} or more",
    )  # fmt: skip
    yield SPLIT_FILM.number(
        change.side_film, "minimum over the cycle",
        f"of {with_unit(change.clearance, 'um')} diametral clearance",
    )  # fmt: skip
