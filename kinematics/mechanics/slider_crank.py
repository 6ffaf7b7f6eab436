"""The slider-crank, exact, with pin offset.

Angles and signs: crank angle 0 with the throw along the cylinder's axis; displacement from TDC
positive toward the crank; rod angle positive while the crankpin is ahead of the piston pin on
the side that the pin moves to after TDC. Derivation: Meriam and Kraige, Engineering Mechanics:
Dynamics, sample problems 5/9 and 5/15 (public worked solutions; some values from memory), with an
offset added.
"""

import math
from dataclasses import dataclass

import numpy as np

from kinematics.array import Array, ComplexArray
from kinematics.one_line import frozen_record, one_line, quantity


@dataclass(frozen=True, slots=True)
class SliderCrank:
    """Lengths of a slider-crank [m].

    `pin_offset` is positive to the side that the crankpin leaves after TDC.
    """

    crank_radius: float
    rod_length: float
    pin_offset: float = 0.0

    @property
    def top(self) -> float:
        """Height of the piston pin over the crank's axis at true TDC [m].

        Reference: follows from rod and crank in line.
        """
        return math.sqrt((self.rod_length + self.crank_radius) ** 2 - self.pin_offset**2)

    @property
    def bottom(self) -> float:
        """Height of the piston pin over the crank's axis at true BDC [m].

        Reference: follows from rod and crank in line.
        """
        return math.sqrt((self.rod_length - self.crank_radius) ** 2 - self.pin_offset**2)

    @property
    def stroke(self) -> float:
        """True stroke [m].

        Reference: Norton, Design of Machinery, offset slider (from memory).
        """
        return self.top - self.bottom

    @property
    def top_dead_centre(self) -> float:
        """Crank angle of true TDC [rad]; rod and crank in line.

        Reference: follows from rod and crank in line.
        """
        return -math.asin(self.pin_offset / (self.rod_length + self.crank_radius))

    @property
    def bottom_dead_centre(self) -> float:
        """Crank angle of true BDC [rad]; rod folded back over the crank.

        Reference: follows from rod and crank in line.
        """
        return math.pi - math.asin(self.pin_offset / (self.rod_length - self.crank_radius))


@frozen_record
class Pose:
    """Sines and cosines of crank angle and rod angle, all of one shape."""

    sin_crank: Array
    cos_crank: Array
    sin_rod: Array
    cos_rod: Array


@frozen_record
class PistonMotion:
    """Motion of piston and rod, each of the crank angle's shape."""

    displacement: Array  # [m]
    velocity: Array  # [m/s]
    acceleration: Array  # [m/s²]
    rod_angle: Array  # [rad]
    rod_angular_velocity: Array  # [rad/s]
    rod_angular_acceleration: Array  # [rad/s²]

    def __repr__(self) -> str:
        return one_line(
            self,
            f"displacement {self.displacement.shape} {quantity(self.displacement, 'mm')}",
            f"velocity {quantity(self.velocity, 'm_s')}",
            f"acceleration {quantity(self.acceleration, 'm_s2')}",
        )

    def at(self, speed: float) -> "PistonMotion":
        """Return the motion at a crank speed [rad/s], from that at 1 rad/s.

        Reference: velocities grow as speed, accelerations as speed², by definition.
        """
        return PistonMotion(
            self.displacement,
            self.velocity * speed,
            self.acceleration * speed**2,
            self.rod_angle,
            self.rod_angular_velocity * speed,
            self.rod_angular_acceleration * speed**2,
        )


def pose(train: SliderCrank, crank_angle: Array) -> Pose:
    """Return where crank and rod stand at crank angles [rad], of their shape.

    l sin ψ = r sin θ + e, since the crankpin is r sin θ to one side and the piston pin e to the
    other.

    Reference: plane geometry of the slider-crank.
    """
    sin_crank = np.sin(crank_angle)
    sin_rod = (train.crank_radius * sin_crank + train.pin_offset) / train.rod_length
    return Pose(sin_crank, np.cos(crank_angle), sin_rod, np.sqrt(1.0 - sin_rod * sin_rod))


def piston_motion(train: SliderCrank, crank_angle: Array, *, speed: float = 1.0) -> PistonMotion:
    """Return the exact motion of piston and rod at a steady crank speed.

    Parameters
    ----------
    crank_angle : [rad], any shape; of the cylinder's own throw from its axis.
    speed : [rad/s]

    Returns
    -------
    PistonMotion with arrays of the same shape.

    Notes
    -----
    l sin ψ = r sin θ + e;  y = r cos θ + l cos ψ;  differentiated twice with θ' constant.

    References
    ----------
    Meriam and Kraige, Engineering Mechanics: Dynamics, sample problems 5/9 and 5/15
    (public worked solutions; some values from memory).
    """
    return posed_motion(train, pose(train, crank_angle)).at(speed)


def posed_motion(train: SliderCrank, at: Pose) -> PistonMotion:
    """Return the exact motion at 1 rad/s from a pose, of its shape.

    Reference: exact derivatives of the pose by the chain rule.
    """
    r, l = train.crank_radius, train.rod_length
    rate = (r / l) * at.cos_crank / at.cos_rod
    rate_change = (rate * rate * at.sin_rod - (r / l) * at.sin_crank) / at.cos_rod
    rod_lift = at.cos_rod * rate * rate + at.sin_rod * rate_change
    return PistonMotion(
        displacement=train.top - r * at.cos_crank - l * at.cos_rod,
        velocity=r * at.sin_crank + l * at.sin_rod * rate,
        acceleration=r * at.cos_crank + l * rod_lift,
        rod_angle=np.arcsin(at.sin_rod),
        rod_angular_velocity=rate,
        rod_angular_acceleration=rate_change,
    )


def mean_piston_speed(train: SliderCrank, speed: float) -> float:
    """Return twice the true stroke a turn [m/s] at a crank speed [rad/s].

    References
    ----------
    Heywood, Internal Combustion Engine Fundamentals, 1988, equation 2.9 (from memory).
    """
    return train.stroke * speed / math.pi


def acceleration_harmonics(train: SliderCrank, highest_order: int = 8) -> ComplexArray:
    """Return the exact harmonics of piston acceleration over crank radius and speed squared.

    Element k is c of Re(c exp(i k θ)), k = 0 … `highest_order`; exact to rounding, since the
    transform of a smooth periodic function converges faster than any power of its points.

    References
    ----------
    Definition as in Den Hartog, Mechanical Vibrations, section 5.2 (from memory).
    """
    points = 1024
    angle = np.arange(points) * (2 * np.pi / points)
    acceleration = piston_motion(train, angle).acceleration / train.crank_radius
    harmonics = np.fft.rfft(acceleration)[: highest_order + 1] * (2 / points)
    harmonics[0] /= 2
    return harmonics


def classical_harmonics(rod_ratio: float, highest_order: int = 8, terms: int = 4) -> Array:
    """Return the classical series in λ = r/l for the harmonics without pin offset.

    Parameters
    ----------
    rod_ratio : rod length over crank radius
    terms : powers of λ kept in each order; 1 gives the textbook's A2 = λ, A4 = -λ³/4.

    Returns
    -------
    Array (highest_order + 1,), element k the factor of cos kθ; A1 = 1, no other odd orders.

    References
    ----------
    Den Hartog, Mechanical Vibrations, section 5.2; Biezeno and Grammel, Technische Dynamik,
    vol. 2 (from memory); here as the binomial series of cos ψ.
    """
    ratio = 1.0 / rod_ratio
    series = np.zeros(highest_order + 1)
    series[1] = 1.0
    for order in range(2, highest_order + 1, 2):
        k = order // 2
        total = sum(
            _binomial_half(j) * (-1) ** j * (ratio / 2) ** (2 * j) * math.comb(2 * j, j - k)
            for j in range(k, k + terms)
        )
        series[order] = order**2 / ratio * 2 * (-1) ** k * total
    return series


def two_term_acceleration(train: SliderCrank, crank_angle: Array, *, speed: float) -> Array:
    """Return the textbooks' r ω² (cos θ + (r/l) cos 2θ) [m/s²], for comparison with the exact.

    References
    ----------
    Khurmi and Gupta, Theory of Machines, 14th ed., chapter 15 (public worked solutions).
    """
    ratio = train.crank_radius / train.rod_length
    return speed**2 * train.crank_radius * (np.cos(crank_angle) + ratio * np.cos(2 * crank_angle))


def _binomial_half(j: int) -> float:
    """Binomial coefficient of 1/2 over j."""
    return math.prod((0.5 - i) / (i + 1) for i in range(j))
