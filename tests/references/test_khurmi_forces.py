"""Khurmi and Gupta, Theory of Machines, 14th ed., 2009, chapter 15, examples 15.7, 15.9, 15.11.

Inputs and printed values (worked solutions). The book takes inertia from two terms of the
series, so that column goes through `two_term_acceleration`, with the pressing force handed to
the core as a gas force; the exact column is the core's own (recomputed). A horizontal engine
feels no weight along its cylinder; example 15.11 is upright, its piston's weight is added to the
gas force.
"""

import math
from dataclasses import dataclass

import numpy as np
import pytest

from kinematics.mechanics.gas_and_inertia_loads import (
    BySpeed,
    CylinderLoads,
    MovingMasses,
    cylinder_loads,
)
from kinematics.mechanics.slider_crank import SliderCrank, pose, posed_motion, two_term_acceleration


@dataclass(frozen=True)
class Engine:
    bore: float
    crank_radius: float
    rod_length: float
    mass: float
    pressure: float
    rpm: float
    weight: float = 0.0

    @property
    def train(self) -> SliderCrank:
        return SliderCrank(self.crank_radius, self.rod_length)

    @property
    def speed(self) -> float:
        return self.rpm * math.pi / 30

    @property
    def pressing(self) -> float:
        return self.pressure * math.pi / 4 * self.bore**2 + self.weight

    def loads(self, degrees: float, *, mass: float, force: float) -> CylinderLoads:
        at = pose(self.train, np.array([[math.radians(degrees)]]))
        motion = posed_motion(self.train, at)
        masses = MovingMasses(mass, 0.0, 0.0, 0.0)
        return cylinder_loads(self.train, masses, at, motion, BySpeed.steady(np.array([[force]])))

    def exact(self, degrees: float) -> "Chain":
        loads = self.loads(degrees, mass=self.mass, force=self.pressing)
        return chain(loads, self.speed, degrees)

    def two_term(self, degrees: float) -> "Chain":
        acceleration = two_term_acceleration(
            self.train, np.array(math.radians(degrees)), speed=self.speed
        )
        force = self.pressing - self.mass * float(acceleration)
        return chain(self.loads(degrees, mass=0.0, force=force), self.speed, degrees)

    def two_term_reversal(self, degrees: float) -> float:
        """Speed [rpm] at which inertia takes up the whole pressing force."""
        unit = two_term_acceleration(self.train, np.array(math.radians(degrees)), speed=1.0)
        return math.sqrt(self.pressing / (self.mass * float(unit))) * 30 / math.pi


@dataclass(frozen=True)
class Chain:
    """Force on the small end, rod force, side thrust, torque, and crankpin force on the rod."""

    piston: float
    rod: float
    side: float
    torque: float
    tangential: float
    radial: float


def chain(loads: CylinderLoads, speed: float, degrees: float) -> Chain:
    x, y = loads.crankpin_force.at(speed)[0, :, 0]
    sin, cos = math.sin(math.radians(degrees)), math.cos(math.radians(degrees))
    rod, side = loads.rod_force.at(speed).item(), loads.side_thrust.at(speed).item()
    return Chain(
        piston=math.sqrt(rod**2 - side**2),
        rod=rod,
        side=side,
        torque=loads.cylinder_torque.at(speed).item(),
        tangential=sin * y - cos * x,
        radial=sin * x + cos * y,
    )


LARGE = Engine(0.5, 0.3, 1.2, 250.0, 0.35e6, 250)
PETROL = Engine(0.08, 0.05, 0.2, 1.0, 0.7e6, 1800)
UPRIGHT = Engine(0.1, 0.06, 0.25, 1.1, 700e3, 2000, weight=1.1 * 9.81)


def test_example_15_7_as_printed() -> None:
    found = LARGE.two_term(60)
    assert found.side == pytest.approx(10.97e3, abs=5)
    assert found.rod == pytest.approx(50.65e3, abs=5)
    assert found.tangential == pytest.approx(48.30e3, abs=5)
    assert found.torque == pytest.approx(14.491e3, abs=0.5)
    assert found.piston == pytest.approx(49445.77, abs=0.01)
    assert found.radial == pytest.approx(15226.56, abs=0.01)


def test_example_15_7_exact() -> None:
    found = LARGE.exact(60)
    assert LARGE.pressing == pytest.approx(68722.34, abs=0.01)
    assert found.piston == pytest.approx(49440.03, abs=0.01)
    assert found.side == pytest.approx(10964.14, abs=0.01)
    assert found.rod == pytest.approx(50641.18, abs=0.01)
    assert found.torque == pytest.approx(14489.52, abs=0.01)


def test_example_15_9_as_printed() -> None:
    found = PETROL.two_term(33)
    assert found.piston == pytest.approx(1848.0, abs=0.5)
    assert found.rod == pytest.approx(1865.8, abs=0.5)  # the book rounds the rod's angle
    assert found.side == pytest.approx(254.0, abs=0.5)
    assert found.torque == pytest.approx(60.976, abs=5e-4)
    assert PETROL.two_term_reversal(33) == pytest.approx(2612.0, abs=0.5)


@pytest.mark.parametrize(
    ("degrees", "piston", "rod", "side"),
    [(33.0, 1840.36, 1857.66, 252.94), (33.12294, 1844.17, 1861.62, 254.31)],
)
def test_example_15_9_exact(degrees: float, piston: float, rod: float, side: float) -> None:
    found = PETROL.exact(degrees)
    assert found.piston == pytest.approx(piston, abs=0.005)
    assert found.rod == pytest.approx(rod, abs=0.005)
    assert found.side == pytest.approx(side, abs=0.005)


def test_angle_at_which_the_piston_of_example_15_9_is_10_mm_down() -> None:
    motion = posed_motion(PETROL.train, pose(PETROL.train, np.array(math.radians(33.12294))))
    assert float(motion.displacement) == pytest.approx(0.010, abs=5e-9)
    assert PETROL.exact(33.12294).torque == pytest.approx(61.0355, abs=5e-5)


def test_example_15_11_as_printed() -> None:
    found = UPRIGHT.two_term(20)
    assert found.piston == pytest.approx(2255.6, abs=0.5)
    assert found.rod == pytest.approx(2265.0, rel=1e-3)  # see the book's own rounding
    assert found.side == pytest.approx(185.4, abs=0.5)
    assert UPRIGHT.two_term_reversal(20) == pytest.approx(2606.0, rel=2e-3)


def test_example_15_11_exact() -> None:
    found = UPRIGHT.exact(20)
    assert found.piston == pytest.approx(2249.85, abs=0.005)
    assert found.rod == pytest.approx(2257.47, abs=0.005)
    assert found.side == pytest.approx(185.30, abs=0.005)
