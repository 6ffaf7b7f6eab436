"""All checks of fit, in the order in which they are read."""

from collections.abc import Callable
from dataclasses import dataclass

from kinematics.design.design import Design
from kinematics.errors import DesignError
from kinematics.fit import axial_fit, balance_fit, data_fit, piston_fit, rod_fit, web_fit
from kinematics.fit.fit_check import NOT_CHECKED, FitCheck, FitQuestion


@dataclass(frozen=True, slots=True)
class FitRule:
    """A question and the pure function of a design that answers it."""

    question: FitQuestion
    check: Callable[[Design], FitCheck]


RULES = (
    FitRule(axial_fit.STACK, axial_fit.axial_stack),
    FitRule(axial_fit.PIN_SHELLS, axial_fit.pin_shells),
    FitRule(axial_fit.MAIN_SHELLS, axial_fit.main_shells),
    FitRule(axial_fit.BORES, axial_fit.bores),
    FitRule(piston_fit.SKIRT, piston_fit.skirt_to_counterweight),
    FitRule(piston_fit.DECK, piston_fit.stack_to_deck),
    FitRule(piston_fit.HEAD, piston_fit.piston_to_head),
    FitRule(piston_fit.VALVE, piston_fit.piston_to_valve),
    FitRule(rod_fit.THROUGH, rod_fit.rod_through_bore),
    FitRule(rod_fit.BORE_END, rod_fit.rod_to_bore),
    FitRule(rod_fit.CASE, rod_fit.to_case),
    FitRule(web_fit.OIL_WALL, web_fit.oil_wall),
    FitRule(web_fit.CUTS, web_fit.web_cuts_clear),
    FitRule(balance_fit.FREE_FORCE, balance_fit.free_force),
    FitRule(balance_fit.FREE_MOMENT, balance_fit.free_moment),
    FitRule(balance_fit.UNBALANCE, balance_fit.unbalance_apart),
    FitRule(data_fit.PISTON_MASS, data_fit.piston_mass),
    FitRule(data_fit.ROD_MASS, data_fit.rod_mass),
    FitRule(data_fit.RED_LINE, data_fit.rated_to_red_line),
    FitRule(data_fit.BOLT, data_fit.bolt_in_range),
    FitRule(data_fit.PIN, data_fit.pin_in_range),
)


def fit_checks(design: Design) -> tuple[FitCheck, ...]:
    """Return every check of fit on a design; one whose data lack is not checked, and says why.

    Reference: as each question says.

    >>> from kinematics import fit_checks, load_demo
    >>> fit_checks(load_demo("hill_climb_six"))[0].values
    '1·19.5 + 2·20 + 22 = 81.5 mm, a = 97 mm'
    """
    return tuple(_checked(rule, design) for rule in RULES)


def _checked(rule: FitRule, design: Design) -> FitCheck:
    try:
        return rule.check(design)
    except DesignError as error:
        words = f"{error.field} {error.message}".strip()
        return FitCheck(rule.question, NOT_CHECKED, f"{words}.", missing=error.field)
