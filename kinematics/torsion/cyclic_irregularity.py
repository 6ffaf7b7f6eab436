"""How unevenly a crank turns over a cycle, and the flywheel that keeps it even enough.

The crank is rigid: every inertia turns with it. The degree of irregularity, also called the
coefficient of fluctuation of speed, is (ω_max - ω_min) / ω_mean, with ω_mean midway between the
two, so that ΔE = J ω_mean² δ holds exactly.

Source: Khurmi and Gupta, Theory of Machines, 14th ed., chapter 16 (public worked solutions).
"""

import numpy as np

from kinematics.array import Array
from kinematics.errors import DesignError
from kinematics.one_line import frozen_record, one_line, quantity


@frozen_record
class EnergyFluctuation:
    """Energy that torque gives over a cycle beyond what the load takes; (...) is the sweep."""

    cycle_angle: float  # [rad]
    mean_torque: Array  # [N·m] (...)
    energy: Array  # [J] (..., n), from the cycle's start, gained by the flywheel
    largest: Array  # [J] (...), ΔE, highest less lowest energy
    largest_surplus: Array  # [N·m] (...), greatest size of torque less load

    def __repr__(self) -> str:
        return one_line(
            self,
            f"mean torque {quantity(self.mean_torque, 'Nm')}",
            f"largest {quantity(self.largest, 'J')}",
        )

    @property
    def work(self) -> Array:
        """Work of the torque over a cycle [J], (...).

        Reference: mean torque times angle, by definition.
        """
        return self.mean_torque * self.cycle_angle

    @property
    def coefficient(self) -> Array:
        """Coefficient of fluctuation of energy, (...): ΔE over the work of a *cycle*.

        Reference: Khurmi and Gupta, Theory of Machines, 14th ed., chapter 16
        (public worked solutions).
        """
        return self.largest / self.work

    @property
    def coefficient_per_turn(self) -> Array:
        """ΔE over the work of a *turn*, (...); twice `coefficient` for a four-stroke.

        Tables mix the two: the 1.93 given for a four-stroke single is of this kind (Bevan, The
        Theory of Machines, example 9, p. 443, worked solutions).

        Reference: Khurmi and Gupta, Theory of Machines, 14th ed., chapter 16
        (public worked solutions).
        """
        return self.largest / (2 * np.pi * self.mean_torque)


def energy_fluctuation(
    torque: Array, cycle_angle: float, *, load: Array | None = None
) -> EnergyFluctuation:
    """Return how the flywheel's energy swings over a cycle.

    Parameters
    ----------
    torque : [N·m] (..., n), evenly spaced over the cycle, its end left out
    cycle_angle : [rad]
    load : [N·m] of the same shape and mean; without it the load is steady

    Notes
    -----
    Exact for torque that is straight between the points, extremes between them included; of a
    smooth torque of order h the error is about (h × step)² / 12.
    Raises DesignError where load and torque differ in mean: the speed would not be steady.

    References
    ----------
    Khurmi and Gupta, Theory of Machines, 14th ed., sections 16.4 to 16.6 (public worked solutions).
    """
    mean = torque.mean(axis=-1)
    surplus = torque - (mean[..., None] if load is None else _balanced(load, torque))
    after, step = np.roll(surplus, -1, axis=-1), cycle_angle / torque.shape[-1]
    gained = np.cumsum((surplus + after) * (step / 2), axis=-1)
    energy = np.concatenate((np.zeros_like(gained[..., :1]), gained[..., :-1]), axis=-1)
    turning = surplus * after < 0
    share = np.divide(surplus, surplus - after, out=np.zeros_like(surplus), where=turning)
    extreme = energy + surplus * share * (step / 2)
    return EnergyFluctuation(
        cycle_angle=cycle_angle,
        mean_torque=mean,
        energy=energy,
        largest=np.ptp(extreme, axis=-1),
        largest_surplus=np.abs(surplus).max(axis=-1),
    )


def degree_of_irregularity(fluctuation: Array, *, inertia: float, speed: Array) -> Array:
    """Return δ = ΔE / (J ω²), (...), from ΔE [J], (...).

    Parameters
    ----------
    inertia : all that turns with the crank [kg·m²]
    speed : midway between highest and lowest [rad/s]; a number or (...)

    References
    ----------
    Khurmi and Gupta, Theory of Machines, 14th ed., section 16.10 (public worked solutions).
    """
    return fluctuation / (inertia * speed**2)


def flywheel_inertia(fluctuation: Array, *, irregularity: float, speed: Array) -> Array:
    """Return the inertia ΔE / (ω² δ) [kg·m²], (...), that a degree of irregularity asks for.

    It is of all that turns; the crank train's own is part of it. Arguments as in
    `degree_of_irregularity`.

    References
    ----------
    Khurmi and Gupta, Theory of Machines, 14th ed., section 16.10 (public worked solutions).
    """
    return fluctuation / (irregularity * speed**2)


def speed_drop(missing_work: float, *, inertia: float, speed: float) -> float:
    """Return how much a flywheel slows while it gives a work [J], ΔE / (J ω) [rad/s].

    Small against the speed [rad/s]; inertia of all that turns with the crank [kg·m²].

    References
    ----------
    J. E. Shigley and J. J. Uicker, Theory of Machines and Mechanisms, chapter on flywheels (from
    memory).
    """
    return missing_work / (inertia * speed)


def speed_over_cycle(fluctuation: EnergyFluctuation, *, inertia: float, speed: float) -> Array:
    """Return the crank's speed [rad/s], (..., n), whose mean square over the cycle is speed².

    ½ J ω² changes by the energy; raises DesignError where the crank would stop.

    Reference: follows from kinetic energy, J ω² / 2.
    """
    energy = fluctuation.energy - fluctuation.energy.mean(axis=-1, keepdims=True)
    square = speed**2 + 2 * energy / inertia
    if np.any(square <= 0):
        raise DesignError(
            "", f"the inertia {inertia:g} kg·m² does not carry the crank through at this speed"
        )
    return np.sqrt(square)


def _balanced(load: Array, torque: Array) -> Array:
    """Return the load, whose mean must be that of the torque."""
    size = np.abs(torque).max()
    if np.any(np.abs(load.mean(axis=-1) - torque.mean(axis=-1)) > 1e-6 * size):
        raise DesignError("", "the load's mean differs from that of the torque; they must agree")
    return load
