"""Torsional vibration of a crank train as a chain of inertias joined by shafts.

The chain runs from the free end to the flywheel and hangs from nothing: it may turn as a whole.
A harmonic of order h is T of Re(T exp(i h θ)), θ the crank angle; its frequency is h times the
speed. Angles, twists and torques of a response are such complex amplitudes, positive in the sense
of rotation; the mean torque is no part of them.

Source: Den Hartog, Mechanical Vibrations, chapter 5; Thomson, Theory of Vibration with
Applications, chapter 12 (both from memory).
"""

import math
from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
from scipy.linalg import eigh  # type: ignore[import-untyped]

from kinematics.array import Array, ComplexArray
from kinematics.errors import DesignError
from kinematics.mechanics.gas_and_inertia_loads import BySpeed, GasAndInertia
from kinematics.one_line import frozen_record, one_line, quantity

STANDS_STILL = 1e-9  # share of the largest amplitude below which an inertia is at a node


@dataclass(frozen=True, slots=True)
class TorsionalSystem:
    """N inertias in a row, N - 1 spans between neighbours.

    A span of stiffness zero is joined by its damping alone. Dampings left empty are zero. Raises
    DesignError where lengths do not fit or a value is negative, infinite or, of an inertia, zero.
    """

    inertias: tuple[float, ...]  # [kg·m²]
    stiffnesses: tuple[float, ...]  # of each span [N·m/rad]
    ground_damping: tuple[float, ...] = field(default=())  # of each inertia [N·m·s/rad]
    span_damping: tuple[float, ...] = field(default=())  # of each span [N·m·s/rad]

    __repr__ = one_line

    def __post_init__(self) -> None:
        count = len(self.inertias)
        if count < 2:
            raise DesignError("torsion.inertias", f"must be at least 2 (got {count})")
        object.__setattr__(self, "ground_damping", self.ground_damping or (0.0,) * count)
        object.__setattr__(self, "span_damping", self.span_damping or (0.0,) * (count - 1))
        _check("inertias", self.inertias, count, zero=False)
        _check("stiffnesses", self.stiffnesses, count - 1)
        _check("ground_damping", self.ground_damping, count)
        _check("span_damping", self.span_damping, count - 1)

    @property
    def stiffness_matrix(self) -> Array:
        """Stiffness matrix [N·m/rad], (N, N)."""
        return _chain_matrix(self.stiffnesses)

    @property
    def damping_matrix(self) -> Array:
        """Damping matrix [N·m·s/rad], (N, N)."""
        return _chain_matrix(self.span_damping) + np.diag(self.ground_damping)


@dataclass(frozen=True, slots=True)
class CrankThrow:
    """Dimensions of one throw, from the middle of a main journal to that of the next [m]."""

    journal_diameter: float
    journal_length: float
    pin_diameter: float
    pin_length: float
    web_thickness: float
    web_width: float
    crank_radius: float
    journal_bore: float = 0.0
    pin_bore: float = 0.0

    @property
    def journal_fourth_power(self) -> float:
        """Diameter less bore of the journal, each to the fourth [m⁴]."""
        return self.journal_diameter**4 - self.journal_bore**4

    @property
    def pin_fourth_power(self) -> float:
        """Diameter less bore of the pin, each to the fourth [m⁴]."""
        return self.pin_diameter**4 - self.pin_bore**4


@frozen_record
class TorsionModes:
    """Free vibration without damping, slowest mode first, the turning as a whole included."""

    system: TorsionalSystem
    angular_frequency: Array  # [rad/s] (N,)
    shape: Array  # (mode, inertia), 1 at the free end, or at its largest where that stands still

    def __repr__(self) -> str:
        hertz = self.angular_frequency[1:] / (2 * math.pi)
        return one_line(
            self, "natural frequencies " + ", ".join(f"{one:.1f}" for one in hertz) + " Hz"
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


def cylinder_stiffness(
    diameter: float, length: float, shear_modulus: float, *, bore: float = 0.0
) -> float:
    """Return the torsional stiffness π G (D⁴ - d⁴) / (32 l) of a plain shaft [N·m/rad].

    Parameters
    ----------
    diameter, length, bore : [m];  shear_modulus : [Pa]
    """
    return math.pi * shear_modulus * (diameter**4 - bore**4) / (32 * length)


def series_stiffness(stiffnesses: tuple[float, ...]) -> float:
    """Return the stiffness of shafts end to end, in the unit of each, none of them zero."""
    return 1 / sum(1 / stiffness for stiffness in stiffnesses)


def geared(value: float, speed_ratio: float) -> float:
    """Return an inertia, stiffness or damping as felt on a shaft that turns at another speed.

    Parameters
    ----------
    value : in its own unit
    speed_ratio : speed of its own shaft over that of the shaft referred to
    """
    return value * speed_ratio**2


def running_gear_inertia(
    rotating_mass: float, reciprocating_mass: float, crank_radius: float
) -> float:
    """Return the constant inertia (m_rot + m_osc / 2) r² of a cylinder's moving masses [kg·m²].

    Parameters
    ----------
    rotating_mass, reciprocating_mass : [kg];  crank_radius : [m]

    The mean over a turn but for λ²/4 of the reciprocating half, λ = r/l; Den Hartog, Mechanical
    Vibrations, section 5.2 (from memory).
    """
    return (rotating_mass + reciprocating_mass / 2) * crank_radius**2


def carter_flexibility(throw: CrankThrow) -> float:
    """Return a throw's equivalent length over equivalent diameter⁴ [1/m³], after Carter.

    (L_j + 0.8 t) / D_j⁴ + 0.75 L_p / D_p⁴ + 1.5 r / (t b³). For throws of stiff webs.

    References
    ----------
    Carter's formula as given in Ker Wilson, Practical Solution of Torsional Vibration Problems,
    vol. 1 (from memory).
    """
    t, r = throw.web_thickness, throw.crank_radius
    journal = (throw.journal_length + 0.8 * t) / throw.journal_fourth_power
    return journal + 0.75 * throw.pin_length / throw.pin_fourth_power + 1.5 * r * _web(throw)


def ker_wilson_flexibility(throw: CrankThrow) -> float:
    """Return a throw's equivalent length over equivalent diameter⁴ [1/m³], after Ker Wilson.

    (L_j + 0.4 D_j) / D_j⁴ + (L_p + 0.4 D_p) / D_p⁴ + (r - 0.2 (D_j + D_p)) / (t b³). For
    r > 0.2 (D_j + D_p), little overlap of pin and journal.

    References
    ----------
    Ker Wilson, Practical Solution of Torsional Vibration Problems, vol. 1 (from memory).
    """
    journal, pin = throw.journal_diameter, throw.pin_diameter
    return (
        (throw.journal_length + 0.4 * journal) / throw.journal_fourth_power
        + (throw.pin_length + 0.4 * pin) / throw.pin_fourth_power
        + (throw.crank_radius - 0.2 * (journal + pin)) * _web(throw)
    )


def zimanenko_flexibility(throw: CrankThrow) -> float:
    """Return a throw's equivalent length over equivalent diameter⁴ [1/m³], after Zimanenko.

    (L_j + 0.6 t D_j / L_j) / D_j⁴ + (0.8 L_p + 0.2 b D_j / r) / D_p⁴ + r √(r / D_p) / (t b³).

    References
    ----------
    Zimanenko's formula (from memory, less sure than the others); typical, unverified.
    """
    j, r = throw.journal_diameter, throw.crank_radius
    journal = throw.journal_length + 0.6 * throw.web_thickness * j / throw.journal_length
    pin = 0.8 * throw.pin_length + 0.2 * throw.web_width * j / r
    return (
        journal / throw.journal_fourth_power
        + pin / throw.pin_fourth_power
        + r * math.sqrt(r / throw.pin_diameter) * _web(throw)
    )


THROW_FORMULAS: dict[str, Callable[[CrankThrow], float]] = {
    "carter": carter_flexibility,
    "ker_wilson": ker_wilson_flexibility,
    "zimanenko": zimanenko_flexibility,
}


def throw_stiffness(throw: CrankThrow, shear_modulus: float, *, formula: str) -> float:
    """Return a throw's torsional stiffness [N·m/rad] by a formula of `THROW_FORMULAS`.

    Parameters
    ----------
    shear_modulus : [Pa]

    Notes
    -----
    The formulas disagree, by how much a design's `TorsionalChain.stiffness_spread` tells: take
    them as a band. Raises DesignError where there is no such formula.
    """
    if formula not in THROW_FORMULAS:
        raise DesignError("", f"must be one of {', '.join(THROW_FORMULAS)} (got {formula!r})")
    return math.pi * shear_modulus / (32 * THROW_FORMULAS[formula](throw))


def torsion_modes(system: TorsionalSystem) -> TorsionModes:
    """Return natural frequencies and mode shapes without damping.

    K φ = ω² J φ; Thomson, Theory of Vibration with Applications, chapter 6 (from memory).
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

    Turning as a whole has the critical speed 0. Den Hartog, Mechanical Vibrations, section 5.4
    (from memory).
    """
    return modes.angular_frequency[:, None] / order


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
    gas = harmonics.gas.mapped(lambda values: values * phases.T)
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
    """
    turned = np.multiply.outer(order, crank_angle)
    waves = np.concatenate((np.cos(turned), -np.sin(turned)))
    swapped = np.swapaxes(amplitude, -1, -2)
    return np.concatenate((swapped.real, swapped.imag), axis=-1) @ waves


def vibratory_amplitude(
    order: Array, amplitude: ComplexArray, *, turns: int, points: int = 720
) -> Array:
    """Return half the range over a cycle of what harmonics (..., k, m) add up to, (..., m).

    In the amplitude's unit; `turns` of the crank make the cycle. The nominal alternating torque
    (max - min) / 2 of IACS UR M53 (as adopted by a classification society).
    """
    angle = np.arange(points) * (2 * np.pi * turns / points)
    return np.ptp(synthesis(order, amplitude, angle), axis=-1) / 2


def polar_section_modulus(diameter: float, bore: float = 0.0) -> float:
    """Return W_p = π (D⁴ - d⁴) / (16 D) [m³] of a round section [m], as in IACS UR M53."""
    return math.pi * (diameter**4 - bore**4) / (16 * diameter)


def torsional_stress(torque: Array, section_modulus: Array) -> Array:
    """Return the nominal shear stress [Pa] of torques [N·m], (..., m), in spans of W_p [m³], (m,).

    Without the concentration at fillets and oil holes.
    """
    return torque / section_modulus


def _check(name: str, values: tuple[float, ...], count: int, *, zero: bool = True) -> None:
    if len(values) != count:
        raise DesignError(f"torsion.{name}", f"must have {count} values (got {len(values)})")
    for value in values:
        if not math.isfinite(value) or value < 0 or (value == 0 and not zero):
            least = "0 or more" if zero else "above 0"
            raise DesignError(f"torsion.{name}", f"must be {least} and finite (got {value:g})")


def _chain_matrix(spans: tuple[float, ...]) -> Array:
    """Return the matrix of elements between neighbours, its rows adding up to nothing."""
    count = len(spans) + 1
    difference = np.eye(count - 1, count) - np.eye(count - 1, count, 1)
    return difference.T @ (np.array(spans)[:, None] * difference)


def _scaled(shapes: Array) -> Array:
    """Return mode shapes with 1 at the first inertia, or at the largest where that is a node."""
    largest = np.argmax(np.abs(shapes), axis=1)
    peak = np.take_along_axis(shapes, largest[:, None], axis=1)
    first = shapes[:, :1]
    return shapes / np.where(np.abs(first) > STANDS_STILL * np.abs(peak), first, peak)


def _web(throw: CrankThrow) -> float:
    """1 / (t b³) [1/m⁴]."""
    return 1 / (throw.web_thickness * throw.web_width**3)
