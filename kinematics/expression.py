"""Expressions of lesson files and design files: arithmetic and comparisons over named quantities.

`unloading_speed > 5000 and unloading_speed <= 9000` or `big_end_load/sqrt(cylinder.bore_mm)`:
names, numbers, + - * / ** ( ), the functions of `FUNCTIONS`, and in a rule comparisons joined by
`and` and `or`. They are read as a tree whose every node is one of those, and worked out here; no
text of a file is ever run.
"""

import ast
import math
import operator
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import lru_cache, reduce
from typing import Any

import numpy as np

LONGEST = 200  # characters
DEEPEST = 40  # operations within one another
LARGEST_EXPONENT = 6
ALLOWED = (
    "must hold only names, numbers, + - * / ** ( ), abs, sqrt, min and max, comparisons such as < "
    "and >=, and the words and and or"
)
_SIGNS = str.maketrans({"−": "-", "×": "*", "·": "*", "÷": "/", "^": "**"})
_COMMA = re.compile(r"(?<![\w.])\d+,\d")
_COMPARES: dict[type, Callable[[float, float], bool]] = {
    ast.Lt: operator.lt,
    ast.LtE: operator.le,
    ast.Gt: operator.gt,
    ast.GtE: operator.ge,
}


def _finite(operation: Callable[..., Any]) -> Callable[..., Any]:
    """Return an operation that gives NaN where finite operands give what is not."""

    def of(*operands: Any) -> Any:
        with np.errstate(all="ignore"):
            found = operation(*operands)
        bad = ~np.isfinite(found)
        for operand in operands:
            bad = bad & np.isfinite(operand)
        return np.where(bad, math.nan, found)

    return of


def _of_all(operation: Callable[..., Any]) -> Callable[..., Any]:
    return lambda *operands: reduce(operation, operands)


_SUMS: dict[type, Callable[..., Any]] = {
    ast.Add: _finite(np.add),
    ast.Sub: _finite(np.subtract),
    ast.Mult: _finite(np.multiply),
    ast.Div: _finite(np.divide),
    ast.Pow: _finite(np.power),
}
FUNCTIONS: dict[str, tuple[Callable[..., Any], int, int]] = {  # fewest and most arguments
    "abs": (np.abs, 1, 1),
    "sqrt": (_finite(np.sqrt), 1, 1),
    "min": (_of_all(np.minimum), 2, 8),
    "max": (_of_all(np.maximum), 2, 8),
}


@dataclass(frozen=True, slots=True)
class Expression:
    """An expression that was read; it is true or false if `is_rule`, else a number."""

    text: str
    tree: ast.expr
    is_rule: bool

    @property
    def names(self) -> tuple[str, ...]:
        """The names that stand in it, dotted ones whole."""
        return tuple(_names(self.tree))

    @property
    def is_smooth(self) -> bool:
        """Whether it has no function with a kink: all but the square root."""
        calls = (node for node in ast.walk(self.tree) if isinstance(node, ast.Call))
        return all(called(node) == "sqrt" for node in calls)

    def value(self, of: Callable[[str], float]) -> float:
        """Return the number, or 1 and 0 for true and false; `of` gives a name's value."""
        return float(_value(self.tree, of))

    def values(self, of: Callable[[str], Any]) -> Any:
        """Return the numbers for names that have arrays, of their common shape.

        NaN where there is none: after a division by zero, the root of a negative number, overflow.
        """
        return _value(self.tree, of)


@lru_cache(maxsize=256)
def read_expression(text: str, *, rule: bool) -> Expression:
    """Return a text as an expression; raises ValueError with what is wrong with it."""
    if len(text) > LONGEST:
        raise ValueError(f"must have at most {LONGEST} characters (got {len(text)})")
    if found := _COMMA.search(text):
        raise ValueError(f"holds {found[0]!r}: write a decimal point, or a space after a comma")
    try:
        tree = ast.parse(text.translate(_SIGNS).strip(), mode="eval").body
    except (SyntaxError, ValueError, RecursionError, MemoryError):
        raise ValueError(f"cannot be read; {ALLOWED}") from None
    if _depth(tree) > DEEPEST:
        raise ValueError(f"is nested too deep: at most {DEEPEST} operations within one another")
    _check(tree, rule)
    return Expression(text, tree, rule)


def _depth(tree: ast.expr) -> int:
    depth, level = 0, [tree]
    while level:
        depth += 1
        level = [
            child for node in level for child in ast.iter_child_nodes(node)
            if isinstance(child, ast.expr)
        ]  # fmt: skip
    return depth


def _check(node: ast.expr, rule: bool) -> None:
    if rule:
        _check_rule(node)
    elif isinstance(node, ast.BinOp) and type(node.op) in _SUMS:
        _check(node.left, False)
        _check(node.right, False)
        if isinstance(node.op, ast.Pow):
            _check_exponent(node.right)
    elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub):
        _check(node.operand, False)
    elif isinstance(node, ast.Call):
        _check_call(node)
    elif not (_is_number(node) or dotted(node)):
        raise ValueError(f"holds {_shown(node)}; {ALLOWED}")


def _check_exponent(node: ast.expr) -> None:
    """Raise ValueError unless an exponent is a plain number that is not huge."""
    found = exponent(node)
    if found is None or abs(found) > LARGEST_EXPONENT:
        raise ValueError(
            f"holds the exponent {_shown(node)}; an exponent must be a number from "
            f"-{LARGEST_EXPONENT} to {LARGEST_EXPONENT}"
        )


def _check_call(node: ast.Call) -> None:
    name = called(node)
    if name not in FUNCTIONS or node.keywords:
        raise ValueError(f"holds {_shown(node)}; {ALLOWED}")
    _, fewest, most = FUNCTIONS[name]
    if not fewest <= len(node.args) <= most:
        count = str(fewest) if fewest == most else f"{fewest} to {most}"
        raise ValueError(f"holds {_shown(node)}; {name} must have {count} values in its brackets")
    for argument in node.args:
        _check(argument, False)


def _check_rule(node: ast.expr) -> None:
    if isinstance(node, ast.BoolOp):
        for part in node.values:
            _check_rule(part)
    elif isinstance(node, ast.Compare) and all(
        type(comparison) in _COMPARES for comparison in node.ops
    ):
        for side in (node.left, *node.comparators):
            _check(side, False)
    else:
        raise ValueError(f"holds {_shown(node)}, which is neither true nor false")


def _shown(node: ast.expr) -> str:
    return repr(ast.unparse(node)[:40])


def _is_number(node: ast.expr) -> bool:
    """Return whether a node is a plain number that a float can hold."""
    if not isinstance(node, ast.Constant) or isinstance(node.value, bool):
        return False
    return isinstance(node.value, int | float) and abs(node.value) < 1e300


def exponent(node: ast.expr) -> float | None:
    """Return the number that an exponent is, None where it is none."""
    sign, inner = 1, node
    if isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub):
        sign, inner = -1, node.operand
    if not isinstance(inner, ast.Constant) or not _is_number(inner):
        return None
    return sign * float(inner.value)  # type: ignore[arg-type]


def called(node: ast.Call) -> str:
    """Return the name of the function that a call is of, empty where it has no plain name."""
    return node.func.id if isinstance(node.func, ast.Name) else ""


def dotted(node: ast.expr) -> str:
    """Return a name such as `heavier.rod_tension`, or nothing where the node is no name."""
    if isinstance(node, ast.Name):
        return node.id
    if isinstance(node, ast.Attribute) and (left := dotted(node.value)):
        return f"{left}.{node.attr}"
    return ""


def _names(node: ast.expr) -> Iterator[str]:
    if name := dotted(node):
        yield name
        return
    children = node.args if isinstance(node, ast.Call) else ast.iter_child_nodes(node)
    for child in children:
        if isinstance(child, ast.expr):
            yield from _names(child)


def _value(node: ast.expr, of: Callable[[str], Any]) -> Any:
    if isinstance(node, ast.BoolOp):
        joined = all if isinstance(node.op, ast.And) else any
        return joined(_value(part, of) for part in node.values)
    if isinstance(node, ast.Compare):
        sides = [_value(side, of) for side in (node.left, *node.comparators)]
        pairs = zip(node.ops, sides, sides[1:], strict=False)
        return all(_COMPARES[type(sign)](left, right) for sign, left, right in pairs)
    if isinstance(node, ast.BinOp):
        return _SUMS[type(node.op)](_value(node.left, of), _value(node.right, of))
    if isinstance(node, ast.UnaryOp):
        return -_value(node.operand, of)
    if isinstance(node, ast.Call):
        return FUNCTIONS[called(node)][0](*(_value(argument, of) for argument in node.args))
    if isinstance(node, ast.Constant) and isinstance(node.value, int | float):
        return float(node.value)
    return of(dotted(node))
