"""VDI 2230 part 1, relations from memory, on an invented case (recomputed).

M9 × 1, load 20 kN, Φ 0.2, αA 1.2, residual clamp 8 kN, embedding 3 kN: stress area 51.045 mm²,
preload at most 32.40 and at least 27.00 kN, separation at 30.0 kN once embedded, amplitude 39.18
MPa against 52.42 MPa allowed.
"""

import numpy as np
import pytest

from kinematics.strength.bolted_joint import (
    BoltedJoint,
    assembly_preload,
    bolt_stress_amplitude,
    opening_load,
    rolled_thread_endurance,
    thread_stress_area,
)

LARGEST = assembly_preload(
    20e3, load_factor=0.2, residual_clamp=8e3, embedding_loss=3e3, tightening_factor=1.2
)


def test_area_and_preloads() -> None:
    assert thread_stress_area(0.009, 0.001) == pytest.approx(51.045e-6, abs=5e-10)
    assert pytest.approx(32.40e3, rel=1e-12) == LARGEST
    assert pytest.approx(27.00e3, rel=1e-12) == LARGEST / 1.2


def test_separation_and_fatigue() -> None:
    joint = BoltedJoint(LARGEST / 1.2 - 3e3, 0.2, thread_stress_area(0.009, 0.001))
    assert opening_load(joint) == pytest.approx(30.0e3, rel=1e-12)
    amplitude = bolt_stress_amplitude(joint, np.array([0.0, 20e3]))
    assert amplitude == pytest.approx(39.18e6, abs=5e3)
    assert rolled_thread_endurance(0.009) == pytest.approx(52.42e6, abs=5e3)
