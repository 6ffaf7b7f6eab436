"""Forces on piston, rod and crankpin of each cylinder, as gas + speed² · inertia.

Signs: gas and reciprocating inertia force positive toward the crank; rod force positive in
compression, along the rod, at the small end; side thrust positive when the piston presses on
its major thrust side; torque positive in the sense of rotation.

Source: Meriam and Kraige, Engineering Mechanics: Dynamics, plane kinetics of rigid bodies (from
memory); the two-mass answer and its correction couple as in Khurmi and Gupta, Theory of Machines,
14th ed., chapter 15 (public worked solutions). Gravity and friction are left out.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from kinematics.array import Array
from kinematics.mechanics.slider_crank import PistonMotion, Pose, SliderCrank
from kinematics.one_line import frozen_record

Values = NDArray[Any]  # real, or complex where they are harmonics


@frozen_record
class BySpeed:
    """What gas does over the cycle at some speeds: straight in speed between, level beyond.

    `courses` (k, …, n) are those at `speeds` (k,) [rad/s], rising; one course holds at all.
    """

    courses: Values
    speeds: Array

    @staticmethod
    def steady(course: Values) -> "BySpeed":
        """Return one course (…, n) for all speeds."""
        return BySpeed(course[None], np.zeros(1))

    @property
    def only(self) -> Values:
        """The course (…, n) that holds at all speeds; ValueError where there are several."""
        (course,) = self.courses
        return course

    def shares(self, speed: Array) -> Array:
        """Return what each course counts at speeds (s,) [rad/s]: (s, k), each row's sum 1.

        Reference: straight interpolation in speed, by definition.
        """
        counts = np.eye(len(self.speeds))
        before, after, share = self._between(speed)
        share = share[:, None]
        return (1 - share) * counts[before] + share * counts[after]

    def _between(self, speed: Array) -> tuple[NDArray[np.intp], NDArray[np.intp], Array]:
        """Return the courses before and after speeds, and the share of the way between them."""
        place = np.interp(speed, self.speeds, np.arange(len(self.speeds)))
        before = place.astype(np.intp)
        return before, np.minimum(before + 1, len(self.speeds) - 1), place - before

    def at(self, speed: float) -> Values:
        """Return the course (…, n) at a crank speed [rad/s].

        Reference: straight interpolation in speed, by definition.
        """
        before, after, share = self._between(np.array(speed))
        course: Values = self.courses[before]
        return course if share == 0 else (1 - share) * course + share * self.courses[after]

    def over(self, speed: Array) -> Values:
        """Return the courses at crank speeds (s,) [rad/s], (s, …, n); not to be written to.

        Reference: straight interpolation in speed, by definition.
        """
        if len(self.courses) == 1:
            return np.broadcast_to(self.courses[0], (len(speed), *self.courses.shape[1:]))
        return np.tensordot(self.shares(speed), self.courses, 1)

    def mapped(self, linear: Callable[[Values], Values]) -> "BySpeed":
        """Return what a linear map makes of all courses (k, …, n); it may add a constant."""
        return BySpeed(linear(self.courses), self.speeds)

    def __getitem__(self, rows: Any) -> "BySpeed":
        """Return some rows of each course, as of an array (…, n)."""
        wanted = rows if isinstance(rows, tuple) else (rows,)
        return BySpeed(self.courses[:, *wanted], self.speeds)


@frozen_record
class GasAndInertia:
    """A load as gas + speed² · inertia; `inertia` (…, n) is the part at 1 rad/s."""

    gas: BySpeed
    inertia: Values

    @staticmethod
    def steady(gas: Values, inertia: Values) -> "GasAndInertia":
        """Return a load whose gas part (…, n) is the same at all speeds."""
        return GasAndInertia(BySpeed.steady(gas), inertia)

    def at(self, speed: float) -> Values:
        """Return the load (…, n) at a crank speed [rad/s].

        Reference: follows from gas + speed² · inertia.
        """
        return self.gas.at(speed) + speed**2 * self.inertia

    def over(self, speed: Array) -> Values:
        """Return the load at crank speeds (s,) [rad/s], (s, …, n).

        Reference: follows from gas + speed² · inertia.
        """
        counts = np.column_stack((self.gas.shares(speed), speed**2))
        return np.tensordot(counts, self.parts, 1)

    @property
    def parts(self) -> Values:
        """All gas courses, then the inertia, as one array (k + 1, …, n).

        Reference: follows from gas + speed² · inertia.
        """
        return np.concatenate((self.gas.courses, self.inertia[None]))

    def mapped(self, linear: Callable[[Values], Values]) -> "GasAndInertia":
        """Return what a linear map makes of the load: of all gas courses (k, …, n) and of inertia.

        Reference: follows from gas + speed² · inertia.
        """
        return GasAndInertia(self.gas.mapped(linear), linear(self.inertia))

    def __getitem__(self, rows: Any) -> "GasAndInertia":
        """Return some rows of the load, as of an array (…, n)."""
        return GasAndInertia(self.gas[rows], self.inertia[rows])


def joined(loads: Sequence[GasAndInertia]) -> GasAndInertia:
    """Return loads one behind the other along their first axis, all with the same speeds of gas."""
    courses = np.concatenate([load.gas.courses for load in loads], axis=1)
    inertia = np.concatenate([load.inertia for load in loads])
    return GasAndInertia(BySpeed(courses, loads[0].gas.speeds), inertia)


@dataclass(frozen=True, slots=True)
class MovingMasses:
    """What is accelerated: piston assembly and rod [kg, m, kg·m²]."""

    piston: float
    rod: float
    rod_cg_from_big_end: float
    rod_inertia_about_cg: float


@frozen_record
class CylinderLoads:
    """Loads of each cylinder, (c, n), in the cylinder's own frame.

    `crankpin_force` (c, 2, n) is what the crankpin exerts on the rod: x to the right seen from
    the front with the cylinder upright, y along the cylinder.
    """

    gas_force: BySpeed  # [N]
    reciprocating_inertia: Array  # [N] at 1 rad/s, of piston and the rod's small-end share
    rod_force: GasAndInertia  # [N]
    side_thrust: GasAndInertia  # [N]
    cylinder_torque: GasAndInertia  # [N·m]
    crankpin_force: GasAndInertia  # [N]
    inertia_on_block: Array  # [N] at 1 rad/s, (c, 2, n), of piston and rod, in the same axes
    rod_spin_torque: Array  # [N·m] at 1 rad/s, change of the rod's moment of momentum


def cylinder_loads(
    train: SliderCrank,
    masses: MovingMasses,
    pose: Pose,
    motion: PistonMotion,
    gas_force: BySpeed,
) -> CylinderLoads:
    """Return the loads of cylinders from their motion at 1 rad/s.

    Parameters
    ----------
    pose, motion : (c, n), the motion at 1 rad/s
    gas_force : [N], its courses (c, n)

    Notes
    -----
    With S the force of the rod on the piston and B that of the crankpin on the rod:
    S_y = F - m_p a;  B = S + m_r a_G;  moments about the big end of the rod (mass m_r, centre
    of gravity at c on length l) give l (n × S) = -(I ψ'' + c m_r (n × a_G)), n the rod's axis.

    References
    ----------
    Meriam and Kraige, Engineering Mechanics: Dynamics, chapter 6 (from memory).
    """
    cg_x, cg_y = _cg_acceleration(train, masses, pose, motion)
    mass, arm = masses.rod, masses.rod_cg_from_big_end
    spin = masses.rod_inertia_about_cg * motion.rod_angular_acceleration
    across = -(spin + arm * mass * (-pose.sin_rod * cg_y - pose.cos_rod * cg_x)) / train.rod_length
    lift = -masses.piston * motion.acceleration
    gas = gas_force.mapped(lambda force: np.stack(_rod_on_piston(force, 0.0, pose), axis=-2))
    inertia = _rod_on_piston(lift, across, pose)
    piston = GasAndInertia(gas, np.stack(inertia, axis=-2))
    pin = GasAndInertia(
        gas, np.stack((inertia[0] + mass * cg_x, inertia[1] + mass * cg_y), axis=-2)
    )
    reciprocating = masses.piston + mass * arm / train.rod_length
    return CylinderLoads(
        gas_force=gas_force,
        reciprocating_inertia=-reciprocating * motion.acceleration,
        rod_force=piston.mapped(lambda force: _along(force, pose)),
        side_thrust=piston.mapped(lambda force: -force[..., 0, :]),
        cylinder_torque=pin.mapped(lambda force: _torque(train, force, pose)),
        crankpin_force=pin,
        inertia_on_block=np.stack((-mass * cg_x, -lift - mass * cg_y), axis=-2),
        rod_spin_torque=_momentum_change(train, masses, pose, (cg_x, cg_y), spin),
    )


def _cg_acceleration(
    train: SliderCrank, masses: MovingMasses, pose: Pose, motion: PistonMotion
) -> tuple[Array, Array]:
    """Return the rod's centre-of-gravity acceleration (x, y): it lies between those of its pins."""
    small_end = masses.rod_cg_from_big_end / train.rod_length
    radius = train.crank_radius * (1 - small_end)
    return -radius * pose.sin_crank, -radius * pose.cos_crank - small_end * motion.acceleration


def _rod_on_piston(
    along_cylinder: Array, across_rod: Array | float, pose: Pose
) -> tuple[Array, Array]:
    """Return the force of rod on piston (x, y) from its share along the cylinder and n × S."""
    return -(along_cylinder * pose.sin_rod + across_rod) / pose.cos_rod, along_cylinder


def _along(force: Array, pose: Pose) -> Array:
    return force[..., 1, :] * pose.cos_rod - force[..., 0, :] * pose.sin_rod


def _torque(train: SliderCrank, pin: Array, pose: Pose) -> Array:
    """Return the torque on the crank of the rod's force on its pin, the opposite of `pin`."""
    return train.crank_radius * (pose.sin_crank * pin[..., 1, :] - pose.cos_crank * pin[..., 0, :])


def _momentum_change(
    train: SliderCrank,
    masses: MovingMasses,
    pose: Pose,
    cg_acceleration: tuple[Array, Array],
    spin: Array,
) -> Array:
    """Return the rate of change of the rod's moment of momentum about the crank's axis."""
    arm = masses.rod_cg_from_big_end
    x = train.crank_radius * pose.sin_crank - arm * pose.sin_rod
    y = train.crank_radius * pose.cos_crank + arm * pose.cos_rod
    return masses.rod * (y * cg_acceleration[0] - x * cg_acceleration[1]) - spin
