"""Viscosity by SAE grade, and how a grade's name is read.

A. S. Seireg and S. Dandage, Empirical design procedure for the thermodynamic behavior of journal
bearings, ASME J. Lubr. Tech. 104, 1982, as in Shigley, Mechanical Engineering Design (constants
from memory; values at three temperatures recomputed). SAE J300, January 2015: kinematic viscosity
at 100 °C of each grade, in mm²/s.
"""

import numpy as np
import pytest

from assets_demo import FOLDER
from kinematics import load_design
from kinematics.design.oil_viscosity import (
    GRADES,
    OIL_DENSITY,
    grade_number,
    grade_viscosity,
    high_shear_minimum,
    high_shear_viscosity,
    low_shear_viscosity,
    oil_viscosity,
    shear_share,
)
from tests.conftest import changed

HILL = load_design(FOLDER / "hill_climb_six.toml")
J300 = {20: (6.9, 9.3), 30: (9.3, 12.5), 40: (12.5, 16.3), 50: (16.3, 21.9), 60: (21.9, 26.1)}


@pytest.mark.parametrize(
    ("number", "at_40", "at_100", "at_150"), [(30, 90.3, 8.16, 2.99), (40, 137.7, 10.16, 3.42)]
)
def test_printed_values(number, at_40, at_100, at_150):
    found = grade_viscosity(number, np.array([313.15, 373.15, 423.15])) * 1e3
    np.testing.assert_allclose(found, [at_40, at_100, at_150], rtol=5e-3)


@pytest.mark.parametrize("number", sorted(J300))
def test_each_grade_lies_near_its_kinematic_window(number):
    """At 100 °C, of the oil's density there; the fit lies up to 20 % below the window's middle."""
    low, high = J300[number]
    found = float(grade_viscosity(number, np.array([373.15]))[0]) / OIL_DENSITY * 1e6
    assert 0.75 * (low + high) / 2 < found < 1.1 * (low + high) / 2


def test_grades_are_in_order_at_every_temperature():
    temperature = np.linspace(300, 440, 30)
    values = [grade_viscosity(number, temperature) for number in sorted(GRADES)]
    assert np.all(np.diff(values, axis=0) > 0)


@pytest.mark.parametrize(
    ("grade", "number"),
    [
        ("SAE 10W-60", 60), ("SAE 5W-40", 40), ("SAE 40", 40), ("sae 0w20", 20), ("15W-40", 40),
        ("30", 30), (" SAE 5W 30 ", 30), ("SAE 10W", None), ("SAE 16", None),
        ("from the shelf", None), ("", None), ("SAE 5W-40 and more", None), ("SAE 400", None),
    ],
)  # fmt: skip
def test_a_grade_is_read_or_not_guessed(grade, number):
    assert grade_number(grade) == number


def test_two_viscosities_come_before_the_grade():
    """ASTM D341 through both, times density; a single grade loses nothing to shear."""
    oil = changed(HILL, "oil", grade="SAE 40", viscosity_40=95e-6, viscosity_100=14e-6,
                  high_shear_viscosity=None).oil  # fmt: skip
    law = oil_viscosity(oil)
    np.testing.assert_allclose(
        law(np.array([313.15, 373.15])), OIL_DENSITY * np.array([95e-6, 14e-6]), rtol=1e-9
    )


@pytest.mark.parametrize("data", [{}, {"viscosity_40": 160e-6, "viscosity_100": 24e-6}])
@pytest.mark.parametrize("high", [3.7e-3, 5.3e-3, 6.0e-3])
def test_the_film_has_the_high_shear_viscosity_at_150_degrees(data, high):
    """And elsewhere the same share of the low-shear curve."""
    oil = changed(HILL, "oil", high_shear_viscosity=high, **data).oil
    thin, thick = oil_viscosity(oil), low_shear_viscosity(oil)
    assert float(thin(np.array(423.15))) == pytest.approx(high, rel=1e-12)
    warm = np.array([350.0, 400.0, 423.15])
    np.testing.assert_allclose(thin(warm) / thick(warm), shear_share(oil), rtol=1e-12)


@pytest.mark.parametrize(
    ("grade", "minimum"),
    [("SAE 0W-16", 2.3), ("0W-20", 2.6), ("SAE 5W-30", 2.9), ("SAE 10W-40", 3.5),
     ("15W-40", 3.7), ("20W-50", 3.7), ("SAE 10W-60", 3.7), ("SAE 40", None), ("x", None)],
)  # fmt: skip
def test_high_shear_minimum_of_a_multigrade(grade, minimum):
    """SAE J300, January 2015, printed values [mPa·s] at 150 °C."""
    found = high_shear_minimum(grade)
    assert found == (None if minimum is None else pytest.approx(minimum * 1e-3, rel=1e-12))
    oil = changed(HILL, "oil", grade=grade, high_shear_viscosity=None).oil
    assert high_shear_viscosity(oil) == found
    assert minimum is not None or shear_share(oil) == 1.0


def test_without_a_known_grade_or_where_given_there_is_no_law():
    assert oil_viscosity(changed(HILL, "oil", grade="SAE 16").oil) is None
    assert oil_viscosity(changed(HILL, "oil", film_viscosity="given").oil) is None
