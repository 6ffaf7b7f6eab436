"""Khurmi and Gupta, Theory of Machines, 14th ed., 2009, chapter 15, examples 15.3 to 15.5.

Inputs and printed values (worked solutions). The book uses two terms of the series; the exact
values beside them are vector kinematics (recomputed).
"""

import math
from dataclasses import dataclass

import numpy as np
import pytest

from kinematics.mechanics.slider_crank import SliderCrank, piston_motion, two_term_acceleration


@dataclass(frozen=True)
class Example:
    train: SliderCrank
    rpm: float
    degrees: float
    printed_velocity: float
    printed_acceleration: float
    two_term: float
    velocity: float
    acceleration: float

    @property
    def speed(self) -> float:
        return self.rpm * math.pi / 30

    @property
    def angle(self) -> np.ndarray:
        return np.array(math.radians(self.degrees))


EXAMPLES = {
    "15.5": Example(SliderCrank(0.15, 0.6), 450, 60, 6.9, 124.91, 124.912, 6.90536, 124.94934),
    "15.4": Example(SliderCrank(0.3, 1.5), 180, 40, 4.19, 85.36, 85.356, 4.19643, 85.59886),
}


@pytest.mark.parametrize("example", EXAMPLES.values(), ids=EXAMPLES.keys())
def test_two_terms_give_the_printed_acceleration(example: Example) -> None:
    found = two_term_acceleration(example.train, example.angle, speed=example.speed)
    assert float(found) == pytest.approx(example.printed_acceleration, abs=0.005)
    assert float(found) == pytest.approx(example.two_term, abs=5e-4)


@pytest.mark.parametrize("example", EXAMPLES.values(), ids=EXAMPLES.keys())
def test_exact_motion_is_near_the_printed(example: Example) -> None:
    motion = piston_motion(example.train, example.angle, speed=example.speed)
    assert float(motion.velocity) == pytest.approx(example.velocity, abs=5e-6)
    assert float(motion.acceleration) == pytest.approx(example.acceleration, abs=5e-6)
    assert float(motion.velocity) == pytest.approx(example.printed_velocity, rel=0.01)
    assert float(motion.acceleration) == pytest.approx(example.printed_acceleration, rel=0.01)


def test_rod_rates_of_example_15_5() -> None:
    example = EXAMPLES["15.5"]
    motion = piston_motion(example.train, example.angle, speed=example.speed)
    assert float(motion.rod_angular_velocity) == pytest.approx(6.03360, abs=5e-6)
    assert -float(motion.rod_angular_acceleration) == pytest.approx(484.395, abs=5e-4)
    assert float(motion.rod_angular_velocity) == pytest.approx(5.9, rel=0.03)
    assert -float(motion.rod_angular_acceleration) == pytest.approx(481.0, rel=0.03)


def test_fastest_piston_of_example_15_3() -> None:
    angle = np.radians(np.linspace(74, 76, 2001))
    motion = piston_motion(SliderCrank(0.3, 1.0), angle, speed=200 * math.pi / 30)
    assert motion.velocity.max() == pytest.approx(6.56173, abs=5e-6)
    assert np.degrees(angle[motion.velocity.argmax()]) == pytest.approx(74.529, abs=1e-3)
    assert motion.velocity.max() == pytest.approx(6.54, rel=0.01)


def test_no_acceleration_in_example_15_4() -> None:
    train = EXAMPLES["15.4"].train
    angle = np.radians(np.linspace(78, 80, 200001))
    two_term = two_term_acceleration(train, angle, speed=1.0)
    exact = piston_motion(train, angle).acceleration
    assert np.degrees(angle[np.abs(two_term).argmin()]) == pytest.approx(79.27, abs=0.005)
    assert np.degrees(angle[np.abs(exact).argmin()]) == pytest.approx(79.10, abs=0.005)
