"""What expressions come out in."""

import pytest

from kinematics.dimensions import DIMENSIONS, PLAIN, dimension_of, dimension_words
from kinematics.expression import read_expression
from kinematics.units import SI_SYMBOLS, UNITS

NAMES = {"stress": "MPa", "force": "kN", "width": "mm", "speed": "rpm", "share": "percent"}


def of(text):
    return dimension_of(read_expression(text, rule=False), NAMES.__getitem__)


@pytest.mark.parametrize(
    ("text", "unit"),
    [
        ("force/(width*width)", "MPa"),
        ("force/width**2 + 2*stress", "bar"),
        ("sqrt(width*width)", "um"),
        ("max(stress, -stress)*abs(width)", "N_mm"),
        ("share*3", ""),
        ("2", ""),
    ],
)
def test_an_expression_has_the_dimension_of_its_unit(text, unit):
    assert of(text) == DIMENSIONS[unit]


@pytest.mark.parametrize("text", ["stress + force", "min(width, 3)", "speed*width + stress"])
def test_different_kinds_are_not_added(text):
    with pytest.raises(ValueError, match="together in"):
        of(text)


def test_a_rotational_speed_times_a_length_is_no_speed():
    assert of("speed*width") != DIMENSIONS["m_s"]
    assert dimension_words(of("speed*width")) == "m·s^-1·rad"
    assert dimension_words(PLAIN) == "a plain number"


def test_every_unit_has_the_dimension_of_its_si_unit():
    assert DIMENSIONS.keys() == UNITS.keys()
    kinds = {}
    for key, symbol in SI_SYMBOLS.items():
        kinds.setdefault(symbol, set()).add(DIMENSIONS[key])
    assert all(len(found) == 1 for found in kinds.values()), kinds
