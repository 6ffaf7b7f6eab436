"""Expressions of lesson files: what they may hold, and their values."""

import math

import pytest

from apps.lessons.lesson_rule import read_expression

VALUES = {"a": 2.0, "b": 3.0, "other.a": 5.0, "rod.mass_g": 450.0, "none": math.nan}


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("a + b * 2", 8.0),
        ("(other.a - a) / b", 1.0),
        ("-a + rod.mass_g", 448.0),
        ("a / (b - 3)", math.nan),
        ("1e3 * a", 2000.0),
    ],
)
def test_numbers(text, value):
    found = read_expression(text, rule=False).value(VALUES.__getitem__)
    assert found == pytest.approx(value, nan_ok=True)


@pytest.mark.parametrize(
    ("text", "holds"),
    [
        ("a < b", True),
        ("a >= b", False),
        ("1 < a < b", True),
        ("1 < a and other.a > 7", False),
        ("a < b and b < other.a and 2 * a >= 4", True),
        ("none < 1", False),
        ("none >= 1", False),
    ],
)
def test_rules(text, holds):
    assert read_expression(text, rule=True).value(VALUES.__getitem__) == holds


def test_names_are_found_whole():
    assert read_expression("other.a - a > rod.mass_g", rule=True).names == (
        "other.a", "a", "rod.mass_g",
    )  # fmt: skip


@pytest.mark.parametrize(
    "text",
    [
        "__import__('os').system('true')", "a.b()", "open", "a if b else a", "[a]", "a ** b",
        "a % b", "'text'", "a or b", "not a", "lambda: a", "a; b", "", "a <", "a == b", "True",
        "1j", "(a := 2)", "f'{a}'", "a[0]", "a < b", "(" * 150 + "a", "a+" * 120 + "a",
    ],
)  # fmt: skip
def test_what_is_no_number_is_refused(text):
    if text == "open":  # a name like any other: whether it is known is asked elsewhere
        assert read_expression(text, rule=False).names == ("open",)
        return
    with pytest.raises(ValueError, match=r"must hold only|characters"):
        read_expression(text, rule=False)


@pytest.mark.parametrize("text", ["a", "a + b", "a < b or a > b", "a == b", "not a < b", "1"])
def test_what_is_no_rule_is_refused(text):
    with pytest.raises(ValueError, match="neither true nor false"):
        read_expression(text, rule=True)
