"""Free torsional vibration without damping: natural frequencies, mode shapes, critical speeds.

Source: Den Hartog, Mechanical Vibrations, chapter 5; Thomson, Theory of Vibration with
Applications, chapters 6 and 12 (both from memory).
"""

import math

import numpy as np
from scipy.linalg import eigh  # type: ignore[import-untyped]

from kinematics.array import Array
from kinematics.errors import DesignError
from kinematics.one_line import frozen_record, one_line
from kinematics.torsion.torsional_system import TorsionalSystem

STANDS_STILL = 1e-9  # share of the largest amplitude below which an inertia is at a node


@frozen_record
class TorsionModes:
    """Free vibration without damping, slowest mode first, the turning as a whole included."""

    system: TorsionalSystem
    angular_frequency: Array  # [rad/s] (N,)
    shape: Array  # (mode, inertia), 1 at the free end, or at its largest where that stands still

    def __repr__(self) -> str:
        hertz = self.angular_frequency[1:] / (2 * math.pi)
        return one_line(
            self,
            "natural frequencies " + ", ".join(f"{frequency:.1f}" for frequency in hertz) + " Hz",
        )

    @property
    def effective_inertia(self) -> Array:
        """Inertia that, where the shape is 1, has each mode's kinetic energy [kg·m²], (N,)."""
        return self.shape**2 @ np.array(self.system.inertias)

    @property
    def damping_ratio(self) -> Array:
        """Share of critical damping of each mode, (N,), 0 for turning as a whole.

        φᵀCφ / (2 ω φᵀJφ): right to first order in the damping.
        """
        loss = np.einsum("mi,ij,mj->m", self.shape, self.system.damping_matrix, self.shape)
        twice = 2 * self.angular_frequency * self.effective_inertia
        return np.divide(loss, twice, out=np.zeros_like(loss), where=twice > 0)


@frozen_record
class HolzerTable:
    """Holzer's table at trial frequencies, the free end swinging by 1 rad."""

    angular_frequency: Array  # [rad/s] (f,)
    angle: Array  # [rad] (f, N)
    torque: Array  # [N·m] (f, N), sum of ω² J θ up to each inertia

    @property
    def residual(self) -> Array:
        """Torque left over at the flywheel's end [N·m], (f,); zero at natural frequencies."""
        return self.torque[:, -1]


def torsion_modes(system: TorsionalSystem) -> TorsionModes:
    """Return natural frequencies and mode shapes without damping.

    Reference: K φ = ω² J φ; Thomson, Theory of Vibration with Applications, chapter 6 (from
    memory).
    """
    squares, vectors = eigh(system.stiffness_matrix, np.diag(system.inertias))
    loose = 1 + system.stiffnesses.count(0.0)  # parts that turn freely
    squares[:loose] = 0.0
    return TorsionModes(system, np.sqrt(squares), _scaled(vectors.T))


def holzer(system: TorsionalSystem, angular_frequency: Array) -> HolzerTable:
    """Return Holzer's table at trial frequencies [rad/s], (f,), without damping.

    Raises DesignError where a span has no stiffness to carry the table over.

    References
    ----------
    Thomson, Theory of Vibration with Applications, section 12.4 (from memory):
    θ_(i+1) = θ_i - (ω² / k_i) Σ J θ.
    """
    if 0.0 in system.stiffnesses:
        raise DesignError("torsion.stiffnesses", "must be above 0 for Holzer's table (got 0)")
    square = np.asarray(angular_frequency) ** 2
    angle, torque = np.ones_like(square), system.inertias[0] * square
    angles, torques = [angle], [torque]
    for inertia, stiffness in zip(system.inertias[1:], system.stiffnesses, strict=True):
        angle = angle - torque / stiffness
        torque = torque + square * inertia * angle
        angles.append(angle)
        torques.append(torque)
    return HolzerTable(
        np.asarray(angular_frequency), np.stack(angles, axis=-1), np.stack(torques, axis=-1)
    )


def critical_speeds(modes: TorsionModes, order: Array) -> Array:
    """Return the crank speeds [rad/s], (mode, k), at which orders (k,) meet modes.

    Turning as a whole has the critical speed 0.

    Reference: Den Hartog, Mechanical Vibrations, section 5.4 (from memory).
    """
    return modes.angular_frequency[:, None] / order


def _scaled(shapes: Array) -> Array:
    """Return mode shapes with 1 at the first inertia, or at the largest where that is a node."""
    largest = np.argmax(np.abs(shapes), axis=1)
    peak = np.take_along_axis(shapes, largest[:, None], axis=1)
    first = shapes[:, :1]
    return shapes / np.where(np.abs(first) > STANDS_STILL * np.abs(peak), first, peak)
