"""Forced torsional vibration: harmonics of the torque, phase-vector sums, response and stress.

A harmonic of order h is T of Re(T exp(i h θ)), θ the crank angle; its frequency is h times the
speed. Angles, twists and torques of a response are such complex amplitudes, positive in the sense
of rotation; the mean torque is no part of them.

Source: Den Hartog, Mechanical Vibrations, chapter 5; Thomson, Theory of Vibration with
Applications, chapter 6 (both from memory); IACS Unified Requirement M53 (read in a public
reprint).
"""

import math

import numpy as np

from kinematics.array import Array, ComplexArray
from kinematics.errors import DesignError
from kinematics.mechanics.gas_and_inertia_loads import BySpeed, GasAndInertia
from kinematics.one_line import frozen_record, one_line, quantity
from kinematics.torsion.torsional_system import TorsionalSystem

AT_ONCE = 192  # signals added up at once: what the processor keeps near


@frozen_record
class TorqueHarmonics:
    """Harmonics of torque as gas + speed² · inertia, without the mean."""

    order: Array  # (k,)
    gas: BySpeed  # [N·m] (..., k), complex
    inertia: ComplexArray  # [N·m] at 1 rad/s, (..., k)

    def at(self, speed: Array) -> ComplexArray:
        """Return the harmonics [N·m], (s, ..., k), at crank speeds [rad/s], (s,)."""
        return GasAndInertia(self.gas, self.inertia).over(np.asarray(speed))


@frozen_record
class ForcedResponse:
    """Steady vibration at each speed and order."""

    system: TorsionalSystem
    speed: Array  # [rad/s] (s,)
    order: Array  # (k,)
    angle: ComplexArray  # [rad] (s, k, N)

    def __repr__(self) -> str:
        return one_line(
            self, f"speeds {quantity(self.speed, 'rpm', 5)}", f"angle {self.angle.shape} rad"
        )

    @property
    def angular_frequency(self) -> Array:
        """Order times speed [rad/s], (s, k)."""
        return self.speed[:, None] * self.order

    @property
    def twist(self) -> ComplexArray:
        """Angle of each inertia less that of the next [rad], (s, k, N - 1)."""
        return self.angle[..., :-1] - self.angle[..., 1:]

    @property
    def span_torque(self) -> ComplexArray:
        """Torque that each span passes on toward the flywheel [N·m], (s, k, N - 1)."""
        rate = 1j * self.angular_frequency[..., None]
        return (np.array(self.system.stiffnesses) + rate * self.system.span_damping) * self.twist

    @property
    def span_heat(self) -> Array:
        """Power that each span's damping turns into heat [W], (s, k, N - 1)."""
        rate = self.angular_frequency[..., None] * np.abs(self.twist)
        return rate**2 * self.system.span_damping / 2

    @property
    def ground_heat(self) -> Array:
        """Power that each inertia's damping to ground turns into heat [W], (s, k, N)."""
        rate = self.angular_frequency[..., None] * np.abs(self.angle)
        return rate**2 * self.system.ground_damping / 2


def torque_harmonics(torque: GasAndInertia, *, turns: int, highest_order: float) -> TorqueHarmonics:
    """Return the harmonics of a torque over one cycle.

    Parameters
    ----------
    torque : [N·m] (..., n), evenly spaced over the cycle, its end left out
    turns : of the crank in a cycle: 2 for a four-stroke, whose orders are halves
    highest_order : up to this, or half the points of a turn if that is less

    Notes
    -----
    Against the crank angle the harmonics of cylinders (c, k) carry their phases already; of one
    cylinder against its own angle from firing, `phased` gives them to all.
    """
    points = torque.inertia.shape[-1]
    count = min(int(highest_order * turns + 1e-9), (points - 1) // 2)
    wanted = slice(1, count + 1)
    found = torque.mapped(lambda values: np.fft.rfft(values)[..., wanted] * (2 / points))
    return TorqueHarmonics(np.arange(1, count + 1) / turns, found.gas, found.inertia)


def phase_vectors(order: Array, firing_angle: Array) -> ComplexArray:
    """Return exp(-i h φ), (k, c), for orders h (k,) and firing angles φ [rad], (c,).

    References
    ----------
    Den Hartog, Mechanical Vibrations, section 5.3, star diagrams (from memory).
    """
    return np.exp(-1j * np.multiply.outer(order, firing_angle))


def phased(harmonics: TorqueHarmonics, phases: ComplexArray) -> TorqueHarmonics:
    """Return the harmonics of all cylinders, (c, k), from those of one, (k,), and phases (k, c)."""
    gas = harmonics.gas.mapped(lambda courses: courses[:, None] * phases.T)
    return TorqueHarmonics(harmonics.order, gas, harmonics.inertia * phases.T)


def phasor_sums(phases: ComplexArray, shape: Array) -> ComplexArray:
    """Return Σ φ_c exp(-i h φ_c), (..., k), from phases (k, c) and shapes at cylinders (..., c).

    Its size tells major from minor orders of a mode; Den Hartog, Mechanical Vibrations,
    section 5.3 (from memory).
    """
    return shape @ phases.T


def excitation(
    harmonics: TorqueHarmonics, speed: Array, *, place: tuple[int, ...], inertias: int
) -> ComplexArray:
    """Return the torques on a chain of `inertias` [N·m], (s, k, N), at speeds [rad/s], (s,).

    Parameters
    ----------
    harmonics : of each cylinder, (c, k)
    place : of each cylinder, the inertia that it drives, from 0; two may share one
    """
    at_inertia = np.eye(inertias)[list(place)]
    return np.einsum("sck,cn->skn", harmonics.at(speed), at_inertia)


def forced_response(
    system: TorsionalSystem, speed: Array, order: Array, torque: ComplexArray
) -> ForcedResponse:
    """Return the steady response to torques [N·m], (s, k, N), at speeds [rad/s] and orders.

    Solves (K - ω² J + i ω C) Θ = T for all speeds (s,) and orders (k,) at once. Speeds and orders
    must be above zero. Raises DesignError where no damping bounds the response.

    References
    ----------
    Thomson, Theory of Vibration with Applications, chapter 6 (from memory). Linear, inertias
    constant over the turn.
    """
    rate = np.multiply.outer(speed, order)[..., None, None]
    inertia = np.diag(system.inertias)
    dynamic = system.stiffness_matrix - rate**2 * inertia + 1j * rate * system.damping_matrix
    try:
        angle = np.linalg.solve(dynamic, torque[..., None])[..., 0]
    except np.linalg.LinAlgError:
        raise DesignError(
            "torsion.ground_damping", "no damping bounds the response at a critical speed"
        ) from None
    return ForcedResponse(system, np.asarray(speed), np.asarray(order), angle)


def synthesis(order: Array, amplitude: ComplexArray, crank_angle: Array) -> Array:
    """Return what harmonics (..., k, m) of orders (k,) add up to at crank angles [rad].

    Array (..., m, n), in the amplitude's unit.

    Reference: Fourier series, by definition of the amplitude.
    """
    turned = np.multiply.outer(order, crank_angle)
    waves = np.concatenate((np.cos(turned), -np.sin(turned)))
    swapped = np.swapaxes(amplitude, -1, -2)
    return np.concatenate((swapped.real, swapped.imag), axis=-1) @ waves


def vibratory_amplitude(
    order: Array, amplitude: ComplexArray, *, turns: int, points: int = 720
) -> Array:
    """Return half the range over a cycle of what harmonics (..., k, m) add up to, (..., m).

    In the amplitude's unit; `turns` of the crank make the cycle.

    Reference: the nominal alternating torque (max - min) / 2 of IACS Unified Requirement M53 (read
    in a public reprint).
    """
    # at angles of one sign: at the others the sines have the other sign
    angle = np.arange(points // 2 + 1) * (2 * np.pi * turns / points)
    turned = np.multiply.outer(order, angle)
    signals = np.swapaxes(amplitude, -1, -2)
    flat, cosine, sine = signals.reshape(-1, len(order)), np.cos(turned), np.sin(turned)
    found = np.empty(len(flat))
    for first in range(0, len(flat), AT_ONCE):
        some = flat[first : first + AT_ONCE]
        even, odd = some.real @ cosine, np.abs(some.imag @ sine)
        extent = (even + odd).max(axis=-1) - (even - odd).min(axis=-1)
        found[first : first + AT_ONCE] = extent / 2
    return found.reshape(signals.shape[:-1])


def polar_section_modulus(diameter: float, bore: float = 0.0) -> float:
    """Return W_p = π (D⁴ - d⁴) / (16 D) [m³] of a round section [m].

    Reference: IACS Unified Requirement M53 (read in a public reprint).
    """
    return math.pi * (diameter**4 - bore**4) / (16 * diameter)


def torsional_stress(torque: Array, section_modulus: Array) -> Array:
    """Return the nominal shear stress [Pa] of torques [N·m], (..., m), in spans of W_p [m³], (m,).

    Without the concentration at fillets and oil holes.

    Reference: torque over section modulus, by definition of W_p.
    """
    return torque / section_modulus
