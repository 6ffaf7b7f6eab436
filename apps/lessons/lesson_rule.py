"""Expressions in lesson files: arithmetic and comparisons over named quantities, nothing else.

`unloading_speed > 5000 and unloading_speed <= 9000` or `(heavier.side_thrust - side_thrust) / 2`:
names, numbers, + - * / ( ), comparisons joined by `and`. They are read as a tree whose every node
is one of those, and worked out here; no text of a file is ever run.
"""

import ast
import math
import operator
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

LONGEST = 200  # characters
ALLOWED = (
    "must hold only names, numbers, + - * / ( ), comparisons such as < and >=, and the word and"
)
_SUMS: dict[type, Callable[[float, float], float]] = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: lambda a, b: a / b if b else math.nan,
}
_COMPARES: dict[type, Callable[[float, float], bool]] = {
    ast.Lt: operator.lt,
    ast.LtE: operator.le,
    ast.Gt: operator.gt,
    ast.GtE: operator.ge,
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

    def value(self, of: Callable[[str], float]) -> float:
        """Return the number, or 1 and 0 for true and false; `of` gives a name's value."""
        return float(_value(self.tree, of))


def read_expression(text: str, *, rule: bool) -> Expression:
    """Return a text as an expression; raises ValueError with what is wrong with it."""
    if len(text) > LONGEST:
        raise ValueError(f"must have at most {LONGEST} characters (got {len(text)})")
    try:
        tree = ast.parse(text.strip(), mode="eval").body
    except (SyntaxError, ValueError, RecursionError, MemoryError):
        raise ValueError(f"cannot be read; {ALLOWED}") from None
    _check(tree, rule)
    return Expression(text, tree, rule)


def _check(node: ast.expr, rule: bool) -> None:
    if rule:
        _check_rule(node)
    elif isinstance(node, ast.BinOp) and type(node.op) in _SUMS:
        _check(node.left, False)
        _check(node.right, False)
    elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.USub):
        _check(node.operand, False)
    elif not (_is_number(node) or _dotted(node)):
        raise ValueError(f"holds {ast.unparse(node)[:40]!r}; {ALLOWED}")


def _check_rule(node: ast.expr) -> None:
    if isinstance(node, ast.BoolOp) and isinstance(node.op, ast.And):
        for part in node.values:
            _check_rule(part)
    elif isinstance(node, ast.Compare) and all(
        type(comparison) in _COMPARES for comparison in node.ops
    ):
        for side in (node.left, *node.comparators):
            _check(side, False)
    else:
        raise ValueError(f"holds {ast.unparse(node)[:40]!r}, which is neither true nor false")


def _is_number(node: ast.expr) -> bool:
    return isinstance(node, ast.Constant) and type(node.value) in (int, float)


def _dotted(node: ast.expr) -> str:
    """Return a name such as `heavier.rod_tension`, or nothing where the node is no name."""
    if isinstance(node, ast.Name):
        return node.id
    if isinstance(node, ast.Attribute) and (left := _dotted(node.value)):
        return f"{left}.{node.attr}"
    return ""


def _names(node: ast.expr) -> Iterator[str]:
    if name := _dotted(node):
        yield name
        return
    for child in ast.iter_child_nodes(node):
        if isinstance(child, ast.expr):
            yield from _names(child)


def _value(node: ast.expr, of: Callable[[str], float]) -> Any:
    if isinstance(node, ast.BoolOp):
        return all(_value(part, of) for part in node.values)
    if isinstance(node, ast.Compare):
        sides = [_value(side, of) for side in (node.left, *node.comparators)]
        pairs = zip(node.ops, sides, sides[1:], strict=False)
        return all(_COMPARES[type(sign)](left, right) for sign, left, right in pairs)
    if isinstance(node, ast.BinOp):
        return _SUMS[type(node.op)](_value(node.left, of), _value(node.right, of))
    if isinstance(node, ast.UnaryOp):
        return -_value(node.operand, of)
    if isinstance(node, ast.Constant) and isinstance(node.value, int | float):
        return float(node.value)
    return of(_dotted(node))
