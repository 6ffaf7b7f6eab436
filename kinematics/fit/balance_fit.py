"""Whether counterweights balance what they should, and a throw weighs what its sizes say.

References: Den Hartog, Mechanical Vibrations, chapter 5 (from memory); statics.
"""

from functools import lru_cache

from kinematics.design.design import Design
from kinematics.design.shaft_throw import throw_unbalance, throw_unbalance_by_size
from kinematics.fit.axial_fit import rods_abreast
from kinematics.fit.fit_check import (
    DOES_NOT_FIT,
    FITS,
    NOT_CHECKED,
    FitCheck,
    FitQuestion,
    within,
)
from kinematics.train.balance import InertiaPhasors, ellipse, inertia_phasors
from kinematics.train.cycle import rigid_train
from kinematics.units import in_words

SHARE = 0.01  # of one throw's m r ω²
ROUNDING = 1e-9  # of the bound: nothing is left
UNBALANCE_APART = 0.05  # of a throw's unbalance by size

_UNIT = "m·r = (piston + rod)·r + throw unbalance, of one throw, pistons and rods of its cylinders"
_BALANCE_SOURCE = (
    "J. P. Den Hartog, Mechanical Vibrations, chapter 5 (from memory); 1 %: common practice, "
    "no source"
)
FREE_FORCE = FitQuestion(
    "free_force", "Free force, order 1", "counterweight", "kN",
    f"F_1 ≤ 0.01·m·r·ω² at rated speed\n{_UNIT}", _BALANCE_SOURCE)  # fmt: skip
FREE_MOMENT = FitQuestion(
    "free_moment", "Free moment, order 1", "counterweight", "Nm",
    f"M_1 ≤ 0.01·m·r·ω²·throw spacing at rated speed\n{_UNIT}", _BALANCE_SOURCE)  # fmt: skip
UNBALANCE = FitQuestion(
    "throw_unbalance", "Throw unbalance, given and from geometry",
    "crank.throw_unbalance_kg_mm", "percent",
    "|U_given / U_geometry − 1| ≤ 5 %",
    "statics; oil drillings and fillets, which the geometry leaves out, make 2 to 3 %: common "
    "practice, no source")  # fmt: skip


def free_force(design: Design) -> FitCheck:
    """Check that the free force of order 1 [N] is small beside one throw's inertia force.

    Reference: Den Hartog, Mechanical Vibrations, chapter 5 (from memory).
    """
    return _free(design, FREE_FORCE, "force", 1.0)


def free_moment(design: Design) -> FitCheck:
    """Check that the free moment of order 1 [N·m] is small beside one throw's force and spacing.

    Reference: Den Hartog, Mechanical Vibrations, chapter 5 (from memory).
    """
    return _free(design, FREE_MOMENT, "moment", design.layout.throw_spacing)


def _free(design: Design, question: FitQuestion, part: str, arm: float) -> FitCheck:
    """Return the check of a free load; one that the pistons alone leave is the layout's own."""
    speed, unit = design.layout.rated_speed, _throw_moment(design)
    bound = SHARE * unit * arm * speed**2
    if _largest(_phasors(design, rotating=False), part) * speed**2 > bound:
        return FitCheck(
            question, NOT_CHECKED,
            f"The pistons alone leave a free {part} of order 1 in this layout, so that no bound "
            "tells right counterweights from wrong ones.")  # fmt: skip
    size = _largest(_phasors(design, rotating=True), part) * speed**2
    size = size if size > ROUNDING * bound else 0.0
    words = in_words(size, question.unit, 3)
    share = f"{100 * size / (unit * arm * speed**2):.3g} %"
    outcome = within(size, bound)
    at = in_words(speed, "rpm", 5)
    return FitCheck(
        question, outcome,
        f"The free {part} of order 1 is {words} at {at}, {share} of one throw's m·r·ω²"
        f"{'·a' if part == 'moment' else ''}.",
        f"free {part} of {words} at rated speed", size, bound,
        values=f"m·r = {unit * 1e3:.4g} kg·mm, ω = {speed:.4g} rad/s; {share} ≤ 1 %",
    )  # fmt: skip


@lru_cache(maxsize=8)
def _phasors(design: Design, *, rotating: bool) -> InertiaPhasors:
    train = rigid_train(design)
    return inertia_phasors(design, train.crank, train.masses, rotating=rotating)


def _largest(phasors: InertiaPhasors, part: str) -> float:
    """Return the long half axis of order 1 at 1 rad/s, [N] or [N·m]."""
    first = getattr(phasors, part)[:, 0]
    x, y = first if part == "force" else first[::-1]
    return float(ellipse(x, y).largest)


def _throw_moment(design: Design) -> float:
    """Return m r of all that moves at one throw [kg·m]."""
    moving = rods_abreast(design) * (design.piston.assembly_mass + design.rod.mass)
    return moving * design.cylinder.crank_radius + throw_unbalance(design)


def unbalance_apart(design: Design) -> FitCheck:
    """Check a throw's unbalance as given against that of its sizes, as a share of the latter.

    Reference: statics; 5 %: common practice, no source.
    """
    by_size, given = throw_unbalance_by_size(design), design.crank.throw_unbalance
    sized = in_words(by_size, "kg_mm", 4)
    if given is None:
        return FitCheck(
            UNBALANCE, FITS, f"The throw unbalance is that of the geometry, {sized}.", "", 0.0,
            UNBALANCE_APART, values=f"U_geometry = {by_size * 1e3:.4g} kg·mm",
        )  # fmt: skip
    apart = abs(given / by_size - 1)
    outcome = within(apart, UNBALANCE_APART)
    tail = "; one of them did not follow the other" if outcome == DOES_NOT_FIT else ""
    return FitCheck(
        UNBALANCE, outcome,
        f"The throw unbalance is {in_words(given, 'kg_mm', 4)} as given, {sized} from geometry"
        f"{tail}.",
        f"throw unbalance is {100 * apart:.2g} % from its geometry", apart, UNBALANCE_APART,
        values=f"|{given * 1e3:.4g}/{by_size * 1e3:.4g} − 1| = {100 * apart:.3g} % (kg·mm)",
    )  # fmt: skip
