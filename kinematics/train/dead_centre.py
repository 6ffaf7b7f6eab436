"""What happens about the dead centres: how long the piston dwells, and when the rod is unloaded."""

import math
from dataclasses import dataclass

import numpy as np

from kinematics.mechanics.gas_and_inertia_loads import GasAndInertia
from kinematics.mechanics.slider_crank import SliderCrank
from kinematics.train.cycle import RigidTrain


@dataclass(frozen=True, slots=True)
class Dwell:
    """Crank angle [rad] that the piston spends near each dead centre, in one turn."""

    top: float
    bottom: float


def dwell(train: SliderCrank, share: float) -> Dwell:
    """Return the crank angle within a share of the stroke of TDC and of BDC.

    Crank radius, rod and the line from crank to piston pin form a triangle; the angle at the crank
    is acos((r² + d² - l²) / (2 r d)), the same to both sides, d the length of that line.


    Reference: the cosine rule.
    """
    reach = share * train.stroke
    return Dwell(
        top=2 * _angle_at_crank(train, train.top - reach),
        bottom=2 * (math.pi - _angle_at_crank(train, train.bottom + reach)),
    )


def _angle_at_crank(train: SliderCrank, height: float) -> float:
    """Return the angle [rad] between throw and piston pin, seen from the crank's axis."""
    r, l = train.crank_radius, train.rod_length
    away = math.hypot(height, train.pin_offset)
    cosine = (r**2 + away**2 - l**2) / (2 * r * away)
    return math.acos(min(max(cosine, -1.0), 1.0))


def rod_force_at_tdc(train: RigidTrain) -> tuple[GasAndInertia, GasAndInertia]:
    """Return cylinder 1's rod force [N] at firing and at gas-exchange TDC, single values.

    At the crank angles 0 and one turn. A two-stroke has no second one: both are the first.

    Reference: follows from gas + speed² · inertia.
    """
    force = train.loads.rod_force
    turn = round(train.points * 2 * math.pi / train.design.layout.cycle_angle) % train.points
    return force[0, 0], force[0, turn]


def unloading_speed(train: RigidTrain) -> float:
    """Return the speed [rad/s] at which inertia takes all push from the rod at firing TDC.

    ω² = -gas / inertia; infinite where gas does not push, or inertia does not pull. Between two
    rows of a full-load curve the gas is straight in speed: gas + rise ω + inertia ω² = 0.

    Reference: follows from gas + speed² · inertia.
    """
    firing, _ = rod_force_at_tdc(train)
    gas, speeds, inertia = firing.gas.courses, firing.gas.speeds, float(firing.inertia)
    if not gas[0] > 0 > inertia:
        return math.inf
    rises = (0.0, *(np.diff(gas) / np.diff(speeds)), 0.0)
    for rise, at, push, end in zip(
        rises, (speeds[0], *speeds), (gas[0], *gas), (*speeds, math.inf), strict=True
    ):
        still = push - rise * at  # the straight line, back to rest
        unloaded = (rise + math.sqrt(rise**2 - 4 * inertia * still)) / (-2 * inertia)
        if unloaded <= end:
            break
    return float(unloaded)
