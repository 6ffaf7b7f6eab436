"""What an expression over named quantities comes out in: mass, length, time, angle, temperature.

An angle counts as a dimension of its own, so that a rotational speed times a length is no speed:
who forgets 2π is told.
"""

import ast
from collections.abc import Callable

from kinematics.expression import Expression, called, dotted, exponent
from kinematics.units import UNITS

Dimension = tuple[float, float, float, float, float]  # exponents of `_BASES`
_BASES = ("kg", "m", "s", "rad", "K")
PLAIN: Dimension = (0, 0, 0, 0, 0)
_PRESSURE: Dimension = (1, -1, -2, 0, 0)
_FORCE: Dimension = (1, 1, -2, 0, 0)
_WORK: Dimension = (1, 2, -2, 0, 0)
_LENGTH: Dimension = (0, 1, 0, 0, 0)
_MASS: Dimension = (1, 0, 0, 0, 0)
_MOMENT: Dimension = (1, 1, 0, 0, 0)
_POWER: Dimension = (1, 2, -3, 0, 0)
_TURNING: Dimension = (0, 0, -1, 1, 0)
_PER_LENGTH: Dimension = (1, 0, -2, 0, 0)
_ACCELERATION: Dimension = (0, 1, -2, 0, 0)
DIMENSIONS: dict[str, Dimension] = {  # by the key of a unit
    "": PLAIN, "percent": PLAIN, "HV": PLAIN,
    "mm": _LENGTH, "um": _LENGTH, "g": _MASS, "kg": _MASS, "kg_mm": _MOMENT, "g_mm": _MOMENT,
    "kg_mm2": (1, 2, 0, 0, 0), "deg": (0, 0, 0, 1, 0), "rpm": _TURNING, "rad_s": _TURNING,
    "rad_s2": (0, 0, -2, 1, 0), "bar": _PRESSURE, "MPa": _PRESSURE, "GPa": _PRESSURE,
    "kg_m3": (1, -3, 0, 0, 0), "N_mm": _PER_LENGTH, "kN_um": _PER_LENGTH,
    "kNm_rad": (1, 2, -2, -1, 0), "Nms_rad": (1, 2, -1, -1, 0), "kN": _FORCE, "N": _FORCE,
    "Nm": _WORK, "J": _WORK, "m_s": (0, 1, -1, 0, 0), "m_s2": _ACCELERATION,
    "km_s2": _ACCELERATION, "kW": _POWER, "W": _POWER, "mPa_s": (1, -1, -1, 0, 0),
    "mm2_s": (0, 2, -1, 0, 0), "l_min": (0, 3, -1, 0, 0), "kW_m2": (1, 0, -3, 0, 0),
    "degC": (0, 0, 0, 0, 1),
}  # fmt: skip


def dimension_of(expression: Expression, unit_of: Callable[[str], str]) -> Dimension:
    """Return what an expression comes out in; `unit_of` gives the key of a name's unit.

    Raises ValueError where it adds or compares quantities of different kinds.

    Reference: dimensional homogeneity, any book on physics.

    >>> from kinematics.expression import read_expression
    >>> speed = read_expression("stroke_mm*turns", rule=False)
    >>> dimension_words(dimension_of(speed, {"stroke_mm": "mm", "turns": "rpm"}.__getitem__))
    'm·s^-1·rad'
    """
    return _of(expression.tree, unit_of)


def _of(node: ast.expr, unit_of: Callable[[str], str]) -> Dimension:
    if isinstance(node, ast.BinOp):
        return _of_sum(node, unit_of)
    if isinstance(node, ast.UnaryOp):
        return _of(node.operand, unit_of)
    if isinstance(node, ast.Call):
        arguments = [_of(argument, unit_of) for argument in node.args]
        if called(node) == "sqrt":
            return _power(arguments[0], 0.5)
        return _alike(node, arguments)
    name = dotted(node)
    return DIMENSIONS[unit_of(name)] if name else PLAIN


def _of_sum(node: ast.BinOp, unit_of: Callable[[str], str]) -> Dimension:
    left = _of(node.left, unit_of)
    if isinstance(node.op, ast.Pow):
        return _power(left, exponent(node.right) or 0.0)
    right = _of(node.right, unit_of)
    if isinstance(node.op, ast.Mult):
        return _product(left, right, 1)
    if isinstance(node.op, ast.Div):
        return _product(left, right, -1)
    return _alike(node, [left, right])


def _alike(node: ast.expr, found: list[Dimension]) -> Dimension:
    for other in found[1:]:
        if other != found[0]:
            raise ValueError(
                f"puts {dimension_words(found[0])} and {dimension_words(other)} together in "
                f"{ast.unparse(node)[:40]!r}"
            )
    return found[0]


def _product(left: Dimension, right: Dimension, sign: int) -> Dimension:
    m, l, t, a, k = (x + sign * y for x, y in zip(left, right, strict=True))
    return (m, l, t, a, k)


def _power(base: Dimension, by: float) -> Dimension:
    m, l, t, a, k = (x * by for x in base)
    return (m, l, t, a, k)


def dimension_words(dimension: Dimension) -> str:
    """Return a dimension as a unit that has it, else in base units."""
    if dimension == PLAIN:
        return "a plain number"
    for key, other in DIMENSIONS.items():
        if other == dimension:
            return UNITS[key].symbol
    powers = (
        base if by == 1 else f"{base}^{by:g}"
        for base, by in zip(_BASES, dimension, strict=True) if by
    )  # fmt: skip
    return "·".join(powers)
