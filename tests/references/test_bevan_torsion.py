"""Bevan, The Theory of Machines, chapter 15: torsional vibration in old units.

Examples 1 (p. 535), 8 (p. 570) and 9 (p. 572), inputs and answers (worked solutions); tight
values (recomputed). The notebook's 23.8 /s of example 8 is wrong: integer division drops three
sections of its shaft. Its 1784 /min of example 9 is 16 Hz, rounded; the root is 1787.48.
g = 32.2 ft/s².
"""

import math

import numpy as np
import pytest

from kinematics.torsion.shaft_stiffness import cylinder_stiffness, series_stiffness
from kinematics.torsion.torsion_modes import torsion_modes
from kinematics.torsion.torsional_system import TorsionalSystem

INCH, POUND = 0.0254, 0.45359237
FOOT, TON = 12 * INCH, 2240 * POUND
PSI = POUND * 32.2 * FOOT / INCH**2


def test_example_1_one_rotor_on_a_fixed_shaft() -> None:
    stiffness = cylinder_stiffness(3 * INCH, 36 * INCH, 12e6 * PSI)
    system = TorsionalSystem((0.3 * TON * (15 * INCH) ** 2, 1e12), (stiffness,))
    per_minute = torsion_modes(system).angular_frequency[1] * 30 / math.pi
    assert per_minute == pytest.approx(786, abs=0.5)
    assert per_minute == pytest.approx(785.95, abs=0.0051)


def test_example_8_stepped_shaft() -> None:
    sections = ((11, 3), (10, 5), (15, 3.5), (4, 7), (10, 5))
    shear_modulus = 12e6 * PSI
    stiffness = series_stiffness(
        tuple(cylinder_stiffness(d * INCH, l * INCH, shear_modulus) for l, d in sections)
    )
    equivalent = cylinder_stiffness(3 * INCH, INCH, shear_modulus) / stiffness
    assert equivalent == pytest.approx(21.8236, abs=5.1e-5)
    inertias = (1500 * POUND * FOOT**2, 1000 * POUND * FOOT**2)
    modes = torsion_modes(TorsionalSystem(inertias, (stiffness,)))
    frequency = modes.angular_frequency[1] / (2 * math.pi)
    assert frequency == pytest.approx(22.256, abs=5.1e-4)
    node = equivalent / (1 - modes.shape[1, 1])
    assert node == pytest.approx(8.7294, abs=5.1e-5)
    assert frequency != pytest.approx(23.8, rel=0.05)


def test_example_9_three_rotors() -> None:
    inertias = tuple(tons * TON * FOOT**2 for tons in (2.5, 7.5, 3.0))
    stiffnesses = tuple(
        cylinder_stiffness(8.5 * INCH, feet * FOOT, 11.8e6 * PSI) for feet in (9.5, 25.0)
    )
    modes = torsion_modes(TorsionalSystem(inertias, stiffnesses))
    per_minute = modes.angular_frequency[1:] * 30 / math.pi
    np.testing.assert_allclose(per_minute, [961, 1784], rtol=3e-3)
    np.testing.assert_allclose(per_minute, [960.69, 1787.48], rtol=0, atol=0.0051)
    expected = [[1, 0.60182, -2.33788], [1, -0.37848, 0.11288]]
    np.testing.assert_allclose(modes.shape[1:], expected, rtol=0, atol=5.1e-6)
