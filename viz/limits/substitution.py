"""A criterion's formula with the values of a rung: what the writers of all parts share.

Values are SI but for angles in degrees; the last one is in the unit shown. Text is plain: whoever
shows it must escape it.
"""

import math

import numpy as np

from kinematics.array import Array
from kinematics.limits.speed_limits import Rung
from kinematics.units import SI_SYMBOLS, UNITS, shown_unit
from viz.number_words import format_short, operand, with_unit


def result(rung: Rung, symbol: str, expression: str) -> str:
    """Return symbol = expression = value in the unit shown, at the rung's speed."""
    value, unit = rung.value_at, rung.criterion.unit
    steps = [symbol, expression, with_unit(value, unit, 4)]
    if unit in SI_SYMBOLS and shown_unit(unit) is not UNITS[unit]:
        steps.insert(2, f"{operand(value)} {SI_SYMBOLS[unit]}")
    return " = ".join(steps)


def at(rung: Rung) -> Array:
    """Return the rung's speed as an array (1,) [rad/s]."""
    return np.array([rung.at])


def degrees(rung: Rung, index: int) -> str:
    """Return the crank angle at a place of the grid, in words."""
    return f"φ = {format_short(math.degrees(rung.parts.train.crank_angle[index]), 4)}°"
