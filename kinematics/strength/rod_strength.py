"""Strength of the connecting rod's shank: axial stress, buckling, whipping, fatigue.

Signs: rod force positive in compression, as everywhere; stress positive in tension. Places along
the shank are shares of the rod's length, 0 at the small end's pin and 1 at the big end's.

Sources: Khurmi and Gupta, A Textbook of Machine Design, chapter 32 (public excerpt); Shigley,
Mechanical Engineering Design, chapters on columns and on fatigue (from memory).
"""

import math
from dataclasses import dataclass

import numpy as np

from kinematics.array import Array
from kinematics.errors import DesignError
from kinematics.mechanics.gas_and_inertia_loads import GasAndInertia
from kinematics.mechanics.slider_crank import PistonMotion, Pose, SliderCrank
from kinematics.one_line import frozen_record

# Ends of the rod as a column (Khurmi and Gupta, chapter 32): pinned in the plane of motion,
# fixed across it. A factor on the length between pin centres.
EFFECTIVE_LENGTH = {"in plane": 1.0, "across": 0.5}
WORST_WHIPPING_PLACE = 1 / math.sqrt(3)  # share of the length from the small end


@dataclass(frozen=True, slots=True)
class ISection:
    """An I-section of a shank [m]: its depth in the plane of motion, its width along the crank."""

    depth: float
    width: float
    flange_thickness: float  # of one flange, measured along the depth
    web_thickness: float  # measured along the width

    def __post_init__(self) -> None:
        """Refuse what is no I."""
        self._check("flange_thickness", self.flange_thickness, self.depth / 2)
        self._check("web_thickness", self.web_thickness, self.width)

    def _check(self, field: str, found: float, most: float) -> None:
        if not 0 < found <= most < math.inf:
            raise DesignError(field, f"must be above 0, up to {most:g} m (got {found:g} m)")

    @property
    def area(self) -> float:
        """Area [m²].

        Reference: an outer rectangle less two inner ones, from geometry.
        """
        return 2 * self.width * self.flange_thickness + self._web_depth * self.web_thickness

    @property
    def second_moment_in_plane(self) -> float:
        """Second moment of area for bending in the plane of motion [m⁴].

        Reference: an outer rectangle less two inner ones, from geometry.
        """
        beside = self.width - self.web_thickness
        return (self.width * self.depth**3 - beside * self._web_depth**3) / 12

    @property
    def second_moment_across(self) -> float:
        """Second moment of area for bending across the plane of motion [m⁴].

        Reference: an outer rectangle less two inner ones, from geometry.
        """
        flanges = 2 * self.flange_thickness * self.width**3
        return (flanges + self._web_depth * self.web_thickness**3) / 12

    @property
    def section_modulus(self) -> float:
        """Section modulus for bending in the plane of motion [m³].

        Reference: second moment over half the depth, by definition.
        """
        return self.second_moment_in_plane / (self.depth / 2)

    @property
    def _web_depth(self) -> float:
        return self.depth - 2 * self.flange_thickness


@frozen_record
class Shank:
    """Sections (k,) along the rod, from the small end, with what their inertia needs."""

    place: Array  # share of the length, rising
    area: Array  # [m²]
    section_modulus: Array  # [m³] in the plane of motion
    rod_length: float  # [m]
    density: float  # [kg/m³]
    eye_mass: float = 0.0  # [kg] small end beyond the first section, taken to move with its pin


@frozen_record
class PinAccelerations:
    """Accelerations of the rod's pin centres at 1 rad/s [m], each of the crank angle's shape.

    `along` the rod positive toward the big end; `across` positive to the rod's left, seen with
    the small end up and the crank turning clockwise.
    """

    along_small_end: Array
    along_big_end: Array
    across_small_end: Array
    across_big_end: Array


@frozen_record
class FibreStress:
    """Stress [Pa] of the outer fibres to the rod's left and right, (k, n), tension positive."""

    left: GasAndInertia
    right: GasAndInertia


@frozen_record
class StressRange:
    """Mean and alternating stress of a cycle [Pa]."""

    mean: Array
    alternating: Array

    @staticmethod
    def between(high: Array, low: Array) -> "StressRange":
        """Return the range of a cycle from its extremes [Pa], of one shape.

        Reference: mean and half the range, by definition.
        """
        return StressRange((high + low) / 2, (high - low) / 2)


def pin_accelerations(train: SliderCrank, pose: Pose, motion: PistonMotion) -> PinAccelerations:
    """Return what moves the rod's ends, from the motion at 1 rad/s.

    References
    ----------
    Meriam and Kraige, Engineering Mechanics: Dynamics, sample problem 5/15
    (public worked solutions; some values from memory).
    """
    big_x, big_y = -train.crank_radius * pose.sin_crank, -train.crank_radius * pose.cos_crank
    small_y = -motion.acceleration
    return PinAccelerations(
        along_small_end=-small_y * pose.cos_rod,
        along_big_end=big_x * pose.sin_rod - big_y * pose.cos_rod,
        across_small_end=-small_y * pose.sin_rod,
        across_big_end=-big_y * pose.sin_rod - big_x * pose.cos_rod,
    )


def shank_force(
    shank: Shank, small_end_force: GasAndInertia, pins: PinAccelerations
) -> GasAndInertia:
    """Return the force [N] in each section, (k, n), compression positive.

    Parameters
    ----------
    small_end_force : [N] (n,), compression positive
    pins : (n,)

    Notes
    -----
    N = S - ∫ a dm over what lies between the section and the small end; a is linear along a
    rigid rod, and area is linear between sections.

    References
    ----------
    Newton's second law for the part cut off.
    """
    mass, moment = _mass_beyond(shank)
    along = mass * pins.along_small_end + moment * (pins.along_big_end - pins.along_small_end)
    gas = small_end_force.gas.mapped(
        lambda force: np.repeat(force[..., None, :], len(along), axis=-2)
    )
    return GasAndInertia(gas, small_end_force.inertia - along)


def _mass_beyond(shank: Shank) -> tuple[Array, Array]:
    """Return mass and mass · place between the small end and each section, (k, 1)."""
    step = np.diff(shank.place)[:, None] * shank.rod_length * shank.density
    area, place = shank.area[:, None], shank.place[:, None]
    ends = area[:-1], area[1:]
    mass = step * (ends[0] + ends[1]) / 2
    rise = np.diff(place, axis=0)
    moment = place[:-1] * mass + step * rise * (ends[0] + 2 * ends[1]) / 6
    start = np.zeros((1, 1))
    return (
        shank.eye_mass + np.concatenate((start, mass.cumsum(axis=0))),
        np.concatenate((start, moment.cumsum(axis=0))),
    )


def axial_stress(force: Array, area: Array) -> Array:
    """Return the stress [Pa] (k, n), tension positive, of forces [N] on areas [m²] (k,).

    `force` is (n,) or (k, n), compression positive.

    Reference: force over area, by definition.
    """
    return -force / area[:, None]


def whipping_moment(
    place: Array, rod_mass: float, rod_length: float, pins: PinAccelerations
) -> Array:
    """Return the bending moment of a uniform rod's own inertia [N·m at 1 rad/s], (k, n).

    Positive where it pulls the left fibres. Multiply by speed² [rad²/s²].

    Parameters
    ----------
    place : (k,);  rod_mass : [kg];  rod_length : [m];  pins : (n,)

    Notes
    -----
    A beam on its two pins under a load that is linear between its ends:
    M = -(m l / 6) [a_big (s - s³) + a_small (t - t³)], t = 1 - s.

    References
    ----------
    Elementary beam theory; reduces to the published moment of `peak_whipping_moment`.
    """
    s = place[:, None]
    t = 1 - s
    big, small = pins.across_big_end * (s - s**3), pins.across_small_end * (t - t**3)
    return -rod_mass * rod_length / 6 * (big + small)


def peak_whipping_moment(
    rod_mass: float, rod_length: float, crank_radius: float, speed: float
) -> float:
    """Return the textbooks' largest whipping moment [N·m], m ω² r l / (9 √3).

    Valid for a uniform rod with the crank square to it and the small end's acceleration across
    the rod neglected; it lies at `WORST_WHIPPING_PLACE`.

    Parameters
    ----------
    rod_mass : of the whole rod [kg], not of a metre;  rod_length, crank_radius : [m]
    speed : [rad/s]

    References
    ----------
    Khurmi and Gupta, A Textbook of Machine Design, chapter 32 (public excerpt).

    >>> round(peak_whipping_moment(1.6386, 0.380, 0.095, 188.4956), 1)
    134.8
    """
    return rod_mass * speed**2 * crank_radius * rod_length / (9 * math.sqrt(3))


def fibre_stress(shank: Shank, force: GasAndInertia, whipping: Array) -> FibreStress:
    """Return the stress of both outer fibres [Pa], (k, n).

    Parameters
    ----------
    force : [N] (k, n), compression positive;  whipping : [N·m at 1 rad/s] (k, n)

    Reference: bending of a beam, M / W; any book on strength.
    """
    axial = force.mapped(lambda load: axial_stress(load, shank.area))
    bending = whipping / shank.section_modulus[:, None]
    return FibreStress(
        GasAndInertia(axial.gas, axial.inertia + bending),
        GasAndInertia(axial.gas, axial.inertia - bending),
    )


def slenderness(rod_length: float, plane: str, area: float, second_moment: float) -> float:
    """Return effective length over radius of gyration, for a plane of `EFFECTIVE_LENGTH`.

    Parameters
    ----------
    rod_length : between pin centres [m];  area : [m²];  second_moment : [m⁴]

    Raises
    ------
    DesignError for a plane that is not there.

    Reference: effective length over radius of gyration, by definition.
    """
    if plane not in EFFECTIVE_LENGTH:
        raise DesignError("plane", f"must be one of {', '.join(EFFECTIVE_LENGTH)} (got {plane!r})")
    return EFFECTIVE_LENGTH[plane] * rod_length / math.sqrt(second_moment / area)


def rankine_load(
    area: float, slenderness: float, *, crushing_stress: float, constant: float
) -> float:
    """Return the buckling load [N], σc A / (1 + a (L/k)²).

    Parameters
    ----------
    area : [m²];  slenderness : of the effective length;  crushing_stress : [Pa]
    constant : a of pinned ends, 1/7500 for mild steel

    References
    ----------
    Khurmi and Gupta, A Textbook of Machine Design, chapter 32 (public excerpt).
    """
    return crushing_stress * area / (1 + constant * slenderness**2)


def euler_load(area: float, slenderness: float, *, elastic_modulus: float) -> float:
    """Return the elastic buckling load [N], π² E A / (L/k)².

    Valid above `transition_slenderness`. Area in [m²], modulus in [Pa].

    References
    ----------
    Shigley, Mechanical Engineering Design, columns with central loading (from memory).
    """
    return math.pi**2 * elastic_modulus * area / slenderness**2


def johnson_load(
    area: float, slenderness: float, *, yield_strength: float, elastic_modulus: float
) -> float:
    """Return the buckling load of a short column [N], A Sy (1 - Sy (L/k)² / (4 π² E)).

    Valid below `transition_slenderness`. Area in [m²], strength and modulus in [Pa].

    References
    ----------
    Shigley, Mechanical Engineering Design, columns with central loading (from memory).
    """
    lost = yield_strength * slenderness**2 / (4 * math.pi**2 * elastic_modulus)
    return area * yield_strength * (1 - lost)


def transition_slenderness(yield_strength: float, elastic_modulus: float) -> float:
    """Return where Johnson's and Euler's curves touch, √(2 π² E / Sy); strengths in [Pa].

    References
    ----------
    Shigley, Mechanical Engineering Design, columns with central loading (from memory).
    """
    return math.pi * math.sqrt(2 * elastic_modulus / yield_strength)


def column_load(
    area: float, slenderness: float, *, yield_strength: float, elastic_modulus: float
) -> float:
    """Return Johnson's load [N] below the transition and Euler's above it.

    Area in [m²], strength and modulus in [Pa]; slenderness that of the effective length.

    Reference: Shigley, Mechanical Engineering Design, chapter on columns (from memory).
    """
    if slenderness > transition_slenderness(yield_strength, elastic_modulus):
        return euler_load(area, slenderness, elastic_modulus=elastic_modulus)
    return johnson_load(
        area, slenderness, yield_strength=yield_strength, elastic_modulus=elastic_modulus
    )


def stress_range(stress: Array) -> StressRange:
    """Return mean and alternating stress [Pa] over the last axis, from its two extremes.

    Reference: mean and half the range, by definition.
    """
    return StressRange.between(stress.max(axis=-1), stress.min(axis=-1))


def endurance_limit(
    specimen_limit: float,
    *,
    size: float = 1.0,
    surface: float = 1.0,
    reliability: float = 1.0,
    notch: float = 1.0,
) -> float:
    """Return the part's endurance limit [Pa] from that of a polished specimen [Pa].

    The first three factors reduce (up to 1); `notch` is the fatigue notch factor, from 1.

    References
    ----------
    Marin's factors; Bhandari, Design of Machine Elements, chapter 5 (from memory).
    """
    return specimen_limit * size * surface * reliability / notch


def goodman_safety(cycle: StressRange, *, endurance: float, ultimate: float) -> Array:
    """Return the safety factor n of 1/n = σa/Se + σm/Sut, of the stresses' shape.

    Stresses and both strengths in [Pa]; a compressive mean is taken as none, which is on the
    safe side. Infinite where nothing alternates and nothing pulls.

    References
    ----------
    Shigley, Mechanical Engineering Design, modified Goodman line (from memory).
    """
    used = cycle.alternating / endurance + np.maximum(cycle.mean, 0.0) / ultimate
    return np.divide(1.0, used, out=np.full_like(used, np.inf), where=used > 0)


def gerber_safety(cycle: StressRange, *, endurance: float, ultimate: float) -> Array:
    """Return the safety factor n of n σa/Se + (n σm/Sut)² = 1, of the stresses' shape.

    Stresses and both strengths in [Pa]; a compressive mean is taken as none. Infinite where
    nothing alternates and nothing pulls.

    References
    ----------
    Shigley, Mechanical Engineering Design, Gerber line (from memory).
    """
    half, mean = cycle.alternating / endurance, np.maximum(cycle.mean, 0.0) / ultimate
    below = half + np.sqrt(half * half + 4 * mean * mean)
    return np.divide(2.0, below, out=np.full_like(below, np.inf), where=below > 0)


def elliptic_safety(cycle: StressRange, *, endurance: float, yield_strength: float) -> Array:
    """Return the safety factor n of (n σa/Se)² + (n σm/Sy)² = 1, of the stresses' shape.

    Stresses and both strengths in [Pa]; a compressive mean is taken as none. Infinite where
    nothing alternates and nothing pulls.

    References
    ----------
    Shigley, Mechanical Engineering Design, ASME-elliptic line (from memory).
    """
    used = np.hypot(cycle.alternating / endurance, np.maximum(cycle.mean, 0.0) / yield_strength)
    return np.divide(1.0, used, out=np.full_like(used, np.inf), where=used > 0)


def yield_safety(stress: Array, yield_strength: float) -> Array:
    """Return yield strength over the largest stress in size, over the last axis; both in [Pa].

    Reference: strength over stress, by definition.
    """
    largest = np.abs(stress).max(axis=-1)
    return np.divide(yield_strength, largest, out=np.full_like(largest, np.inf), where=largest > 0)
