"""What limits speed at the connecting rod: shank, buckling, fatigue, the bolted cap.

Loads are those of cylinder 1's rod; every rod's are the same at their own time. Sources of the
formulas are in `rod_strength` and `bolted_joint`, of the allowables in `allowables`.
"""

import dataclasses
import math
from functools import cached_property

import numpy as np

from kinematics.array import Array
from kinematics.design.design_parts import STEEL_MODULUS
from kinematics.design.rod_metal import rod_modulus
from kinematics.limits.criterion import Criterion, OptionalGroup, safety
from kinematics.limits.kept_answers import KeptAnswers
from kinematics.limits.left_out import one_temperature, strength_gas_of_one_cylinder, together
from kinematics.limits.other_models import by_fatigue_lines, by_load_factors
from kinematics.mechanics.gas_and_inertia_loads import GasAndInertia
from kinematics.strength.bolted_joint import (
    BoltedJoint,
    bolt_compliance,
    bolt_force,
    bolt_stress_amplitude,
    clamped_compliance,
    load_factor,
    opening_load,
    rolled_thread_endurance,
    slip_safety,
    thread_stress_area,
)
from kinematics.strength.rod_strength import (
    FibreStress,
    ISection,
    PinAccelerations,
    Shank,
    StressRange,
    column_load,
    elliptic_safety,
    endurance_limit,
    fibre_stress,
    gerber_safety,
    goodman_safety,
    pin_accelerations,
    shank_force,
    slenderness,
    whipping_moment,
)
from kinematics.train.cycle import RigidTrain
from kinematics.train.full_load import full_load_from, has_curve

SECTIONS = 9
DUTY_SPEEDS = 41  # looked at along a full-load curve


@dataclasses.dataclass(frozen=True, slots=True, eq=False)
class SplitLoad:
    """Load on the fracture face between rod and cap [N], (s, n)."""

    pull: Array  # positive where it pulls the cap off, of all bolts together
    shear: Array  # along the face


class RodParts:
    """Rod, shank and cap joint of cylinder 1, their loads as gas and inertia.

    Of measured cycles they are those that strength takes.
    """

    def __init__(self, train: RigidTrain) -> None:
        self.train = train.for_strength
        self.design = train.design
        self._kept = KeptAnswers()

    @cached_property
    def sections(self) -> list[ISection]:
        """The shank's I-sections from the small end, the depth growing in a straight line."""
        size = self.design.needed("rod_shank", "the rod's strength")
        depths = np.linspace(size.depth, size.big_end_depth, SECTIONS)
        return [
            ISection(float(depth), size.width, size.flange_thickness, size.web_thickness)
            for depth in depths
        ]

    @cached_property
    def shank(self) -> Shank:
        """The shank's sections with their places."""
        size = self.design.needed("rod_shank", "the rod's strength")
        material = self.design.needed("rod_material", "the rod's strength")
        length = self.design.cylinder.rod_length
        return Shank(
            place=np.linspace(size.start, length - size.end, SECTIONS) / length,
            area=np.array([section.area for section in self.sections]),
            section_modulus=np.array([section.section_modulus for section in self.sections]),
            rod_length=length,
            density=material.density,
            eye_mass=size.eye_mass,
        )

    @cached_property
    def pins(self) -> PinAccelerations:
        """Accelerations of the rod's pin centres at 1 rad/s, (n,)."""
        both = pin_accelerations(self.train.crank, self.train.pose, self.train.motion)
        one, names = self.train.assessed_cylinder, dataclasses.fields(both)
        return PinAccelerations(**{name.name: getattr(both, name.name)[one] for name in names})

    @cached_property
    def force(self) -> GasAndInertia:
        """Force in each section [N], (k, n), compression positive.

        Reference: balance of forces on the part of the rod beyond each section.
        """
        rod = self.train.loads.rod_force
        return shank_force(self.shank, rod[self.train.assessed_cylinder], self.pins)

    @cached_property
    def whipping(self) -> Array:
        """Bending moment of the shank's own inertia [N·m at 1 rad/s], (k, n).

        The shank counts as a uniform rod of its mean section, as long as the pins' distance.

        Reference: bending by the rod's own inertia, follows from rigid-body motion.
        """
        shank = self.shank
        mass = shank.density * float(shank.area.mean()) * shank.rod_length
        return whipping_moment(shank.place, mass, shank.rod_length, self.pins)

    @cached_property
    def stress(self) -> FibreStress:
        """Stress of both outer fibres in each section [Pa], (k, n).

        Reference: M / W + F / A; any book on strength.
        """
        return fibre_stress(self.shank, self.force, self.whipping)

    @cached_property
    def endurance(self) -> float:
        """Endurance limit of the shank [Pa], its factors put in.

        Reference: Shigley, Mechanical Engineering Design, chapter on fatigue (from memory).
        """
        material = self.design.needed("rod_material", "the rod's fatigue")
        return endurance_limit(
            material.endurance,
            size=material.size_factor,
            surface=material.surface_factor,
            reliability=material.reliability_factor,
            notch=material.notch_factor,
        )

    def fibres(self, speed: Array) -> Array:
        """Return the stress of left and right fibres [Pa], (2, s, k, n), at speeds (s,).

        Reference: M / W + F / A; any book on strength.
        """
        return np.stack([load.over(speed) for load in (self.stress.left, self.stress.right)])

    def extremes(self, speed: Array) -> tuple[Array, Array]:
        """Return the highest and the lowest stress of both fibres [Pa], (2, s, k) each.

        Reference: M / W + F / A; any book on strength.
        """
        found: tuple[Array, Array] = self._kept.of("extremes", speed, self._extremes)
        return found

    def _extremes(self, speed: Array) -> tuple[Array, Array]:
        both = [load.over(speed) for load in (self.stress.left, self.stress.right)]
        return (
            np.stack([stress.max(axis=-1) for stress in both]),
            np.stack([stress.min(axis=-1) for stress in both]),
        )

    def ranges(self, speed: Array) -> StressRange:
        """Return mean and alternating stress [Pa], (2, s, k), at speeds (s,).

        Reference: mean and half the range, by definition.
        """
        return StressRange.between(*self.extremes(speed))

    @property
    def duty_from(self) -> float:
        """Lowest speed of full load [rad/s]."""
        return full_load_from(self.design)

    @cached_property
    def duty(self) -> tuple[Array, Array, Array]:
        """Speeds of a duty [rad/s] (d,), and fibre stress extremes [Pa] since its start, (2, d, k).

        At one course of gas each stress is straight in speed², so its extremes lie at the start
        and at the speed asked for; along a full-load curve `DUTY_SPEEDS` are looked at as well.
        """
        first, speed = self.duty_from, np.array([self.duty_from])
        if has_curve(self.design):
            last = self.design.full_load[-1].speed
            speed = np.linspace(first, max(first, last), DUTY_SPEEDS)
        high, low = self.extremes(speed)
        return speed, np.maximum.accumulate(high, axis=1), np.minimum.accumulate(low, axis=1)

    def duty_ranges(self, speed: Array) -> StressRange:
        """Return mean and alternating stress [Pa], (2, s, k), of the cycle over a duty.

        From full load at its lowest speed, with most compression, to a speed, with most tension:
        the widest range that a fibre sees on the way. Never narrower than that of one speed.

        Reference: mean and half the range, by definition.
        """
        on_the_way, high, low = self.duty
        before = np.maximum(np.searchsorted(on_the_way, speed, side="right") - 1, 0)
        most, least = self.extremes(speed)
        most, least = np.maximum(most, high[:, before]), np.minimum(least, low[:, before])
        return StressRange.between(most, least)

    def cycle_safety(self, speed: Array) -> Array:
        """Return the safety factor of cycles at one speed, (2, s, k), by the design's line.

        Reference: Shigley, Mechanical Engineering Design, chapter on fatigue (from memory).
        """
        return self.line_safety(self.ranges(speed), self._fatigue_line)

    def fatigue_safety(self, speed: Array) -> Array:
        """Return the safety factor over the duty, (2, s, k): both fibres of each section.

        Reference: Shigley, Mechanical Engineering Design, chapter on fatigue (from memory).
        """
        return self.line_safety(self.duty_ranges(speed), self._fatigue_line)

    @property
    def _fatigue_line(self) -> str:
        line: str = self.design.needed("rod_material", "the rod's fatigue").fatigue_line
        return line

    def line_safety(self, ranges: StressRange, line: str) -> Array:
        """Return the safety factor of stress ranges by one of the fatigue lines, their shape.

        Reference: Shigley, Mechanical Engineering Design, chapter on fatigue (from memory).
        """
        material = self.design.needed("rod_material", "the rod's fatigue")
        if line == "asme_elliptic":
            return elliptic_safety(
                ranges, endurance=self.endurance, yield_strength=material.yield_stress
            )
        by_ultimate = gerber_safety if line == "gerber" else goodman_safety
        return by_ultimate(ranges, endurance=self.endurance, ultimate=material.tensile)

    def minimum_fatigue_safety(self, speed: Array) -> Array:
        """Return the minimum safety factor in fatigue, (s,).

        Reference: Shigley, Mechanical Engineering Design, chapter on fatigue (from memory).
        """
        return self.fatigue_safety(speed).min(axis=(0, 2))

    def yield_safety(self, speed: Array) -> Array:
        """Return yield strength over the maximum stress in size, (s,).

        Reference: strength over stress, by definition.
        """
        high, low = self.extremes(speed)
        largest = np.maximum(high, -low).max(axis=(0, 2))
        return safety(self.design.needed("rod_material", "the rod").yield_stress, largest)

    def buckling_load(self, plane: str) -> float:
        """Return the buckling load of the shank [N], of its smallest section, "in plane" or not.

        Reference: Shigley, Mechanical Engineering Design, chapter on columns (from memory).
        """
        material = self.design.needed("rod_material", "the rod's buckling")
        section = min(self.sections, key=lambda shape: shape.area)
        moment = (
            section.second_moment_in_plane if plane == "in plane" else section.second_moment_across
        )
        ratio = slenderness(self.design.cylinder.rod_length, plane, section.area, moment)
        return column_load(
            section.area,
            ratio,
            yield_strength=material.yield_stress,
            elastic_modulus=material.elastic_modulus,
        )

    def compression(self, speed: Array) -> Array:
        """Return the maximum compression of the rod [N], at the small end, (s,)."""
        force = self.train.loads.rod_force[self.train.assessed_cylinder]
        return self._kept.array(
            "compression", speed, lambda at: np.maximum(force.over(at).max(axis=-1), 0.0)
        )

    def buckling_in_plane(self, speed: Array) -> Array:
        """Return the buckling load over the compression in the plane of motion, (s,).

        Reference: Shigley, Mechanical Engineering Design, chapter on columns (from memory).
        """
        return safety(self.buckling_load("in plane"), self.compression(speed))

    def buckling_across(self, speed: Array) -> Array:
        """Return the buckling load over the compression across the plane of motion, (s,).

        Reference: Shigley, Mechanical Engineering Design, chapter on columns (from memory).
        """
        return safety(self.buckling_load("across"), self.compression(speed))

    @cached_property
    def load_factor(self) -> float:
        """Share of the cap's load that a bolt carries: as given, else from the dimensions.

        Reference: as of `bolted_joint`.
        """
        bolts = self.design.needed("rod_bolts", "the big end's joint")
        if bolts.load_factor is not None:
            given: float = bolts.load_factor
            return given
        return load_factor(*self.compliances, bolts.load_introduction)

    @cached_property
    def compliances(self) -> tuple[float, float]:
        """Compliance of one bolt and of what it clamps [m/N].

        Reference: as of `bolted_joint`.
        """
        bolts = self.design.needed("rod_bolts", "the big end's joint")
        bolt = bolt_compliance(
            bolts.diameter, bolts.pitch, bolts.shank, bolts.clamped.grip, STEEL_MODULUS
        )
        return bolt, clamped_compliance(bolts.clamped, rod_modulus(self.design))

    @cached_property
    def joint(self) -> BoltedJoint:
        """One bolt of the cap's joint at its minimum preload."""
        return self._joint_at(self.design.needed("rod_bolts", "the big end's joint").preload)

    @cached_property
    def tightest_joint(self) -> BoltedJoint:
        """One bolt of the cap's joint at the maximum preload of the tightening method."""
        bolts = self.design.needed("rod_bolts", "the big end's joint")
        return self._joint_at(bolts.tightening_factor * bolts.preload)

    def _joint_at(self, preload: float) -> BoltedJoint:
        bolts = self.design.needed("rod_bolts", "the big end's joint")
        area = thread_stress_area(bolts.diameter, bolts.pitch)
        return BoltedJoint(preload, self.load_factor, area)

    def split_load(self, speed: Array) -> SplitLoad:
        """Return the load on the fracture face, (s, n), at speeds (s,) [rad/s].

        The share of the pin's pressure that lies on the cap, less the force for the cap's own
        acceleration. The pressure counts as a cosine over half the shell: of a load F at an
        angle β from the cap's middle the cap carries F ((π - β) cos β + sin β) / π along the rod
        and F (π - β) sin β / π across it (common practice, no source).
        """
        found: SplitLoad = self._kept.of("split load", speed, self._split_load)
        return found

    def _split_load(self, speed: Array) -> SplitLoad:
        bolts = self.design.needed("rod_bolts", "the big end's joint")
        square = speed[:, None] ** 2
        across, along = np.moveaxis(
            self.train.big_end_rod[self.train.assessed_cylinder].over(speed), -2, 0
        )
        size, aside = np.hypot(across, along), np.arctan2(np.abs(across), -along)
        pulled = size * ((math.pi - aside) * np.cos(aside) + np.sin(aside)) / math.pi
        sheared = np.sign(across) * size * (math.pi - aside) * np.sin(aside) / math.pi
        inertia = bolts.cap_mass * square
        return SplitLoad(
            pull=pulled - inertia * self.pins.along_big_end,
            shear=sheared + inertia * self.pins.across_big_end,
        )

    def bolt_load(self, speed: Array) -> Array:
        """Return the load on one bolt [N], (s, n)."""
        count = self.design.needed("rod_bolts", "the big end's joint").count
        return self.split_load(speed).pull / count

    def opening_safety(self, speed: Array) -> Array:
        """Return the load that separates the joint over the maximum load, (s,).

        Reference: as of `bolted_joint`.
        """
        return safety(opening_load(self.joint), self.bolt_load(speed).max(axis=-1))

    def bolt_amplitude(self, speed: Array) -> Array:
        """Return the amplitude of the bolt's stress [Pa], (s,), half peak-to-peak.

        Reference: as of `bolted_joint`.
        """
        return bolt_stress_amplitude(self.joint, self.bolt_load(speed))

    def bolt_safety(self, speed: Array) -> Array:
        """Return the endurance of a rolled thread over the bolt's amplitude, (s,).

        Reference: as of `bolted_joint`.
        """
        bolts = self.design.needed("rod_bolts", "the big end's joint")
        return safety(rolled_thread_endurance(bolts.diameter), self.bolt_amplitude(speed))

    def bolt_yield(self, speed: Array) -> Array:
        """Return the bolt's yield strength over its maximum stress at maximum preload, (s,).

        Reference: as of `bolted_joint`.
        """
        bolts = self.design.needed("rod_bolts", "the big end's joint")
        force = bolt_force(self.tightest_joint, self.bolt_load(speed)).max(axis=-1)
        return safety(bolts.yield_stress, force / self.joint.stress_area)

    def slip(self, speed: Array) -> Array:
        """Return the friction capacity of the fracture face over its shear, (s, n).

        Reference: Coulomb friction: what presses times the coefficient.
        """
        bolts = self.design.needed("rod_bolts", "the big end's joint")
        load = self.split_load(speed)
        return slip_safety(
            self.joint, load.pull / bolts.count, load.shear,
            friction=bolts.split_friction, bolts=bolts.count,
        )  # fmt: skip

    def minimum_slip(self, speed: Array) -> Array:
        """Return the minimum safety on slip, (s,).

        Reference: Coulomb friction: what presses times the coefficient.
        """
        return self.slip(speed).min(axis=-1)


_ROD, _CAP = "Rod", "Big-end cap"
_SHANK: tuple[OptionalGroup, ...] = ("rod_shank", "rod_material")
_BOLTS: tuple[OptionalGroup, ...] = ("rod_bolts",)
_SHANK_MARKS = together(one_temperature, strength_gas_of_one_cylinder)
ROD_CRITERIA = (
    Criterion(
        "rod_yield", _ROD, "Shank yield", "", "rod_yield_safety", _SHANK,
        RodParts.yield_safety, at_least=True, left_out=_SHANK_MARKS),
    Criterion(
        "rod_fatigue", _ROD, "Shank fatigue", "", "rod_fatigue_safety", _SHANK,
        RodParts.minimum_fatigue_safety, at_least=True, left_out=_SHANK_MARKS,
        band=by_fatigue_lines),
    Criterion(
        "buckling_in_plane", _ROD, "Buckling in plane", "", "buckling_safety",
        _SHANK, RodParts.buckling_in_plane, at_least=True, left_out=_SHANK_MARKS),
    Criterion(
        "buckling_across", _ROD, "Buckling across", "", "buckling_safety", _SHANK,
        RodParts.buckling_across, at_least=True, left_out=_SHANK_MARKS),
    Criterion(
        "joint_opening", _CAP, "Joint separation", "", "joint_reserve", _BOLTS,
        RodParts.opening_safety, at_least=True, left_out=strength_gas_of_one_cylinder,
        band=by_load_factors),
    Criterion(
        "bolt_fatigue", _CAP, "Bolt fatigue", "", "bolt_fatigue_safety", _BOLTS,
        RodParts.bolt_safety, at_least=True, left_out=strength_gas_of_one_cylinder,
        band=by_load_factors),
    Criterion(
        "bolt_yield", _CAP, "Bolt yield", "", "bolt_yield_safety", _BOLTS,
        RodParts.bolt_yield, at_least=True, left_out=strength_gas_of_one_cylinder,
        band=by_load_factors),
    Criterion(
        "split_slip", _CAP, "Slip at fracture face", "", "slip_safety", _BOLTS,
        RodParts.minimum_slip, at_least=True, left_out=strength_gas_of_one_cylinder,
        band=by_load_factors),
)  # fmt: skip
