"""Peaks of every load over speed, in one broadcast of gas + speed² · inertia."""

import numpy as np

from kinematics.array import Array
from kinematics.design.design import Design
from kinematics.errors import DesignError
from kinematics.mechanics.gas_and_inertia_loads import GasAndInertia
from kinematics.one_line import frozen_record, one_line, quantity
from kinematics.train.cycle import checked_speed, rigid_train

MOST_SPEEDS = 2000


@frozen_record
class SpeedSweep:
    """Peaks over the cycle at each speed.

    >>> from kinematics import load_demo, speed_sweep
    >>> speed_sweep(load_demo("hill_climb_six"), [3000, 8500])
    SpeedSweep(2 speeds, 3000 to 8500 rpm, rod compression up to 40.32 kN, tension up to
    13.29 kN, main load up to 27.21 kN)
    """

    speed: Array  # [rad/s] (s,)
    rod_compression: Array  # [N] (s, c), largest rod force
    rod_tension: Array  # [N] (s, c), largest pull, positive
    side_thrust: Array  # [N] (s, c), largest size
    big_end_peak: Array  # [N] (s, c)
    main_peak: Array  # [N] (s, m)
    torque_peak: Array  # [N·m] (s,)

    def __repr__(self) -> str:
        return one_line(
            self,
            f"{len(self.speed)} speeds",
            quantity(self.speed, "rpm", 6),
            f"rod compression up to {quantity(self.rod_compression.max(), 'kN')}",
            f"tension up to {quantity(self.rod_tension.max(), 'kN')}",
            f"main load up to {quantity(self.main_peak.max(), 'kN')}",
        )


def speed_sweep(design: Design, speeds_rpm: Array) -> SpeedSweep:
    """Return the peaks of all loads at speeds [rpm] (s,).

    Parameters
    ----------
    speeds_rpm : (s,) [rpm]

    Returns
    -------
    Peaks over the cycle, SI: of cylinders (s, c) and mains (s, m) [N], of the torque (s,) [N·m].

    Raises DesignError where there are no speeds or more than 2000, or one is out of range.

    Reference: follows from |g + ω² i|² as a quadratic in ω².

    >>> from kinematics import load_demo, speed_sweep
    >>> sweep = speed_sweep(load_demo("hill_climb_six"), [3000, 8500])
    >>> (sweep.rod_tension.max(axis=-1) / 1e3).round(2).tolist()
    [1.55, 13.29]
    """
    speeds_rpm = np.asarray(speeds_rpm, dtype=float)
    if speeds_rpm.ndim != 1 or not 1 <= speeds_rpm.size <= MOST_SPEEDS:
        raise DesignError(
            "speeds_rpm", f"must be 1 to {MOST_SPEEDS} speeds (got {speeds_rpm.size})"
        )
    for bound in (np.min(speeds_rpm), np.max(speeds_rpm)):
        checked_speed(float(bound))
    speed = speeds_rpm * checked_speed(1.0)
    train = rigid_train(design)
    loads = train.loads
    rod = loads.rod_force.over(speed)
    return SpeedSweep(
        speed=speed,
        rod_compression=rod.max(axis=-1),
        rod_tension=-rod.min(axis=-1),
        side_thrust=np.abs(loads.side_thrust.over(speed)).max(axis=-1),
        big_end_peak=_peak_size(train.big_end_block, speed),
        main_peak=_peak_size(train.main_block, speed),
        torque_peak=train.crank_torque.over(speed).max(axis=-1),
    )


def _peak_size(load: GasAndInertia, speed: Array) -> Array:
    """Return the largest size of a load (b, 2, n) at each speed, (s, b).

    |g + ω² i|² is a quadratic in ω² with three dot products as factors, g a blend of courses.
    """
    courses, inertia, share = load.gas.courses, load.inertia, load.gas.shares(speed)
    pairs = (share[:, :, None] * share[:, None]).reshape(len(speed), -1)
    products = np.stack([(course * other).sum(axis=1) for course in courses for other in courses])
    constant = np.tensordot(pairs, products, 1)
    linear = load.gas.mapped(lambda gas: 2 * (gas * inertia).sum(axis=-2)).over(speed)
    square = (inertia * inertia).sum(axis=1)
    squared = (speed**2)[:, None, None]
    return np.sqrt((constant + squared * (linear + squared * square)).max(axis=-1).clip(0))
