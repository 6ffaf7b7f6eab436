"""Forces on piston, rod and crankpin of each cylinder, as gas + speed² · inertia.

Signs: gas and oscillating inertia force positive toward the crank; rod force positive in
compression, along the rod, at the small end; side thrust positive when the piston presses on
its major thrust side; torque positive in the sense of rotation.

Source: Meriam and Kraige, Engineering Mechanics: Dynamics, plane kinetics of rigid bodies; the
two-mass answer and its correction couple as in Khurmi and Gupta, Theory of Machines, 14th ed.,
chapter 15. Gravity and friction are left out.
"""

from dataclasses import dataclass

import numpy as np

from kinematics.array import Array
from kinematics.slider_crank import PistonMotion, Pose, SliderCrank


@dataclass(frozen=True, slots=True, eq=False)
class GasAndInertia:
    """A load as gas + speed² · inertia; `inertia` is the part at 1 rad/s, of the same shape."""

    gas: Array
    inertia: Array

    def at(self, speed: float) -> Array:
        """Return the load at a crank speed [rad/s]."""
        return self.gas + speed**2 * self.inertia


@dataclass(frozen=True, slots=True)
class MovingMasses:
    """What is accelerated: piston assembly and rod [kg, m, kg·m²]."""

    piston: float
    rod: float
    rod_cg_from_big_end: float
    rod_inertia_about_cg: float


@dataclass(frozen=True, slots=True, eq=False)
class CylinderLoads:
    """Loads of each cylinder, (c, n), in the cylinder's own frame.

    `crankpin_force` (c, 2, n) is what the crankpin exerts on the rod: x to the right seen from
    the front with the cylinder upright, y along the cylinder.
    """

    gas_force: Array  # [N]
    oscillating_inertia: Array  # [N] at 1 rad/s, of piston and the rod's small-end share
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
    gas_force: Array,
) -> CylinderLoads:
    """Return the loads of cylinders from their motion at 1 rad/s.

    Parameters
    ----------
    pose, motion : (c, n), the motion at 1 rad/s
    gas_force : [N] (c, n)

    Notes
    -----
    With S the force of the rod on the piston and B that of the crankpin on the rod:
    S_y = F - m_p a;  B = S + m_r a_G;  moments about the big end of the rod (mass m_r, centre
    of gravity at c on length l) give l (n × S) = -(I ψ'' + c m_r (n × a_G)), n the rod's axis.

    References
    ----------
    Meriam and Kraige, Engineering Mechanics: Dynamics, chapter 6.
    """
    cg_x, cg_y = _cg_acceleration(train, masses, pose, motion)
    mass, arm = masses.rod, masses.rod_cg_from_big_end
    spin = masses.rod_inertia_about_cg * motion.rod_angular_acceleration
    across = -(spin + arm * mass * (-pose.sin_rod * cg_y - pose.cos_rod * cg_x)) / train.rod_length
    lift = -masses.piston * motion.acceleration
    gas = _rod_on_piston(gas_force, 0.0, pose)
    inertia = _rod_on_piston(lift, across, pose)
    pin = GasAndInertia(
        np.stack(gas, axis=-2),
        np.stack((inertia[0] + mass * cg_x, inertia[1] + mass * cg_y), axis=-2),
    )
    oscillating = masses.piston + mass * arm / train.rod_length
    return CylinderLoads(
        gas_force=gas_force,
        oscillating_inertia=-oscillating * motion.acceleration,
        rod_force=GasAndInertia(_along(gas, pose), _along(inertia, pose)),
        side_thrust=GasAndInertia(-gas[0], -inertia[0]),
        cylinder_torque=GasAndInertia(
            _torque(train, pin.gas, pose), _torque(train, pin.inertia, pose)
        ),
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


def _along(force: tuple[Array, Array], pose: Pose) -> Array:
    return force[1] * pose.cos_rod - force[0] * pose.sin_rod


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
