"""The view of a criterion of a design's own: its expression, with what its names stand for."""

import numpy as np

from kinematics.design.own_criterion import OwnCriterion
from kinematics.limits.named_results import INPUTS, RESULTS, unit_of
from kinematics.limits.own_criteria import operand_value
from kinematics.limits.speed_limits import Rung
from kinematics.units import SI_SYMBOLS, UNITS
from viz.limits.criterion_view import CriterionView
from viz.limits.substitution import result
from viz.number_words import join_unit, operand, short_with_unit

IN_SI = "computed in SI; the result's dimension is that of its unit"
PLAIN_NUMBERS = "plain numbers: each name in the unit given here; the result has no unit"


def own_words(own: OwnCriterion) -> str:
    """Return an own criterion in words: its expression, the bound and the allowable."""
    where = "at least" if own.at_least else "at most"
    allowed = short_with_unit(UNITS[own.unit].to_si(own.allowable), own.unit, 9)
    return f"{own.expression}, {where} {allowed}"


def _own(rung: Rung) -> OwnCriterion:
    return next(own for own in rung.parts.design.criteria if own.key == rung.criterion.key)


def _formula(rung: Rung) -> str:
    own = _own(rung)
    names = [_name_words(name) for name in _names(own)]
    return "\n".join([own.expression, *names, IN_SI if own.unit else PLAIN_NUMBERS])


def _names(own: OwnCriterion) -> tuple[str, ...]:
    return tuple(dict.fromkeys(own.read.names))


def _name_words(name: str) -> str:
    unit = UNITS[unit_of(name)].symbol
    return f"{name}: {name_label(name)}{f', {unit}' if unit else ''}"


def name_label(name: str) -> str:
    """Return what a named result or input is, in words."""
    return RESULTS[name].label if name in RESULTS else INPUTS[name].declared.label


def _substitution(rung: Rung) -> str:
    """Return what each name stands for at the rung's speed, then the result."""
    own, at = _own(rung), np.array([rung.at])
    lines = []
    for name in _names(own):
        value, key = float(operand_value(own, rung.parts, name, at)[0]), unit_of(name)
        symbol = UNITS[key].symbol if not own.unit else SI_SYMBOLS.get(key, _si_symbol(key))
        lines.append(f"{name} = {join_unit(operand(value), symbol)}")
    return "\n".join([*lines, result(rung, own.name, own.expression)])


def _si_symbol(key: str) -> str:
    return {"deg": "rad", "rpm": "rad/s", "percent": ""}.get(key, UNITS[key].symbol)


OWN_VIEW = CriterionView(
    formula=_formula,
    substitution=_substitution,
    conventions="The expression, its allowable and its source are the design's own. A verdict on "
    "it says no more than the expression does.",
    source="The design's own expression; of what it names, the sources of those criteria",
    symbol="value",
)
