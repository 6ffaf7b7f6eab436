"""B. K. Sarkar, Theory of Machines, chapter 11, geared example about p. 299 (worked solutions).

Motor 400 kg·m², pump 1400 kg·m² at a third of the speed; shafts 0.18 m of 45 mm and 0.45 m of
90 mm, G 84 GPa: equivalent length 0.433125 m of the 45 mm shaft, 4.20 Hz.
"""

import math

import pytest

from kinematics.torsion.shaft_stiffness import cylinder_stiffness, geared, series_stiffness
from kinematics.torsion.torsion_modes import torsion_modes
from kinematics.torsion.torsional_system import TorsionalSystem


def test_pump_behind_a_gear() -> None:
    motor_shaft = cylinder_stiffness(0.045, 0.18, 84e9)
    pump_shaft = geared(cylinder_stiffness(0.090, 0.45, 84e9), 1 / 3)
    stiffness = series_stiffness((motor_shaft, pump_shaft))
    assert cylinder_stiffness(0.045, 1.0, 84e9) / stiffness == pytest.approx(0.433125, rel=1e-12)
    modes = torsion_modes(TorsionalSystem((400.0, geared(1400.0, 1 / 3)), (stiffness,)))
    frequency = modes.angular_frequency[1] / (2 * math.pi)
    assert frequency == pytest.approx(4.20, abs=5.1e-3)
    assert frequency == pytest.approx(4.2021, abs=5.1e-5)
