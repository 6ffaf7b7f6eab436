"""The same planar linkage in MuJoCo, whose inverse dynamics know nothing of ours.

Axes as in the block: x to the right, y up; the crank turns clockwise, hinges turn the other way.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import mujoco
import numpy as np

from kinematics.mechanics.gas_and_inertia_loads import MovingMasses
from kinematics.mechanics.slider_crank import PistonMotion, SliderCrank

ROD = (
    '<inertial pos="0 {rod_cg_from_big_end!r} 0" mass="{rod!r}" '
    'diaginertia="{rod_inertia_about_cg!r} {rod_inertia_about_cg!r} {rod_inertia_about_cg!r}"/>'
)
PISTON = (
    '<body><joint type="slide" axis="0 1 0"/>'
    '<inertial pos="0 0 0" mass="{piston!r}" diaginertia="1 1 1"/></body>'
)
WORLD = '<mujoco><option gravity="0 0 0"/><worldbody>{}</worldbody></mujoco>'


def _values(masses: MovingMasses) -> dict[str, float]:
    return {name: float(getattr(masses, name)) for name in masses.__dataclass_fields__}


def compiled(bodies: str) -> tuple[mujoco.MjModel, mujoco.MjData]:
    model = mujoco.MjModel.from_xml_string(WORLD.format(bodies))
    return model, mujoco.MjData(model)


def inverse_dynamics(model: mujoco.MjModel, data: mujoco.MjData, state: np.ndarray) -> np.ndarray:
    """Generalized forces (n, dof) for states (3, n, dof): place, rate and change of rate."""
    forces = np.empty(state.shape[1:])
    for row in range(state.shape[1]):
        data.qpos, data.qvel, data.qacc = state[:, row]
        mujoco.mj_inverse(model, data)
        forces[row] = data.qfrc_inverse
    return forces


@dataclass(frozen=True)
class FreeParts:
    """Rod and piston set free: what each of them needs to move as it does, at 1 rad/s."""

    train: SliderCrank
    masses: MovingMasses

    def forces(self, angle: np.ndarray, motion: PistonMotion) -> np.ndarray:
        """Generalized forces (n, 4): at the rod's big end x, y and couple, at the piston y."""
        values = _values(self.masses)
        rod = (
            '<body><joint type="slide" axis="1 0 0"/><joint type="slide" axis="0 1 0"/>'
            '<joint type="hinge" axis="0 0 1"/>' + ROD.format(**values) + "</body>"
        )
        model, data = compiled(rod + PISTON.format(**values))
        r = self.train.crank_radius
        sin, cos = r * np.sin(angle), r * np.cos(angle)
        state = [
            (sin, cos, motion.rod_angle, -motion.displacement),
            (cos, -sin, motion.rod_angular_velocity, -motion.velocity),
            (-sin, -cos, motion.rod_angular_acceleration, -motion.acceleration),
        ]
        return inverse_dynamics(model, data, np.array(state).transpose(0, 2, 1))


@dataclass(frozen=True)
class InLineTrain:
    """A whole in-line engine as a tree: a crank with its rods, and the pistons on their slides."""

    train: SliderCrank
    masses: MovingMasses
    throw_angles: Sequence[float]

    def model(self) -> tuple[mujoco.MjModel, mujoco.MjData]:
        values = _values(self.masses)
        r = self.train.crank_radius
        rods = "".join(
            f'<body pos="{r * math.sin(angle)!r} {r * math.cos(angle)!r} 0">'
            f'<joint type="hinge" axis="0 0 1"/>{ROD.format(**values)}</body>'
            for angle in self.throw_angles
        )
        crank = (
            '<body><joint type="hinge" axis="0 0 -1"/>'
            f'<inertial pos="0 0 0" mass="1" diaginertia="1 1 1"/>{rods}</body>'
        )
        return compiled(crank + PISTON.format(**values) * len(self.throw_angles))

    def state(self, angle: np.ndarray, motion: PistonMotion) -> np.ndarray:
        """Places, rates and changes of rate (3, n, 1 + 2c) of the closed linkage at 1 rad/s.

        Depth first, as MuJoCo numbers joints: crank, rods, pistons. A rod's hinge turns against
        the crank it hangs on.
        """
        zero = np.zeros_like(angle)
        return np.stack(
            [
                np.vstack((crank, motion_rod + crank, -motion_piston)).T
                for crank, motion_rod, motion_piston in (
                    (angle, motion.rod_angle, motion.displacement),
                    (zero + 1, motion.rod_angular_velocity, motion.velocity),
                    (zero, motion.rod_angular_acceleration, motion.acceleration),
                )
            ]
        )

    def torque(self, forces: np.ndarray, rates: np.ndarray) -> np.ndarray:
        """Torque (n,) of inertia on the crank by virtual work: the linkage's rates at 1 rad/s."""
        return -(forces * rates).sum(axis=1)
