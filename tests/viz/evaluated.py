"""Formulas as they stand on the page, evaluated."""

import math
import re

SUPERSCRIPT = str.maketrans("⁻⁰¹²³⁴⁵⁶⁷⁸⁹", "-0123456789")
NAMES = {"sqrt": math.sqrt, "min": min, "pi": math.pi}
SI = {
    "MPa": 1e6,
    "%": 0.01,
    "km/s²": 1e3,
    "N/mm": 1e3,
    "µm": 1e-6,
    "°": math.pi / 180,
    "kW/m²": 1e3,
}


def _plain(expression: str) -> str:
    plain = expression.replace("\u2009", "").replace("−", "-").replace("·", "*")
    plain = plain.replace("√", "sqrt").replace("π", "pi")
    return re.sub(r"([⁻⁰¹²³⁴-⁹]+)", lambda m: f"**({m[1].translate(SUPERSCRIPT)})", plain)


def is_numeric(expression: str) -> bool:
    """Whether an expression holds numbers alone, no symbols or words."""
    return bool(re.fullmatch(r"([-+*/(), .0-9]|sqrt|min|pi)+", _plain(expression)))


def evaluated(expression: str) -> float:
    """The value of an expression as it stands on the page."""
    assert is_numeric(expression), expression
    return float(eval(_plain(expression), {"__builtins__": {}}, NAMES))


def shown_in_si(shown: str) -> float:
    """A value with its unit as it stands on the page, in SI; units not of `SI` are SI."""
    number, unit = re.fullmatch(r"([−\d.\u2009·⁻⁰¹²³⁴-⁹]+) ?(\D*)", shown).groups()
    return evaluated(number) * SI.get(unit, 1.0)
