"""The big end's bolted joint: preload, load sharing, fatigue, opening and slip.

Signs: force positive where it pulls the cap off; the load is that in the split, for one bolt, so
of the cap's pull less what the cap's own acceleration takes. Pressure of the pin on the rod's
half does not pass the bolts: give it as no load.

Sources: Shigley, Mechanical Engineering Design, chapter 8 (from memory); Bhandari, Design of
Machine Elements, chapter 7 (public worked solutions); VDI 2230 part 1, relations named at each
function (from memory).
"""

import math
from dataclasses import dataclass

import numpy as np

from kinematics.array import Array
from kinematics.errors import DesignError
from kinematics.mechanics.round_area import round_area


@dataclass(frozen=True, slots=True)
class BoltedJoint:
    """One bolt and what it clamps."""

    preload: float  # [N] assembled, at rest
    load_factor: float  # share of the load that the bolt takes while the joint is closed
    stress_area: float  # [m²] of the bolt

    def __post_init__(self) -> None:
        """Refuse what is no joint."""
        if not 0 <= self.load_factor < 1:
            raise DesignError("load_factor", f"must be 0 to less than 1 (got {self.load_factor:g})")
        for field in ("preload", "stress_area"):
            if not 0 < getattr(self, field) < math.inf:
                raise DesignError(field, f"must be above 0 (got {getattr(self, field):g})")


def thread_stress_area(diameter: float, pitch: float) -> float:
    """Return the stress area [m²] of a metric thread, of nominal diameter and pitch [m].

    The circle of the mean of pitch and root diameter, d - 0.64952 P and d - 1.22687 P.

    References
    ----------
    ISO 898-1 (from memory).
    """
    pitch_diameter = diameter - 3 * math.sqrt(3) / 8 * pitch
    root_diameter = diameter - 17 * math.sqrt(3) / 24 * pitch
    return round_area((pitch_diameter + root_diameter) / 2)


def compliance(length: Array, area: Array, elastic_modulus: float) -> float:
    """Return the stretch a newton [m/N] of cylinders or sleeves in line, Σ l / (E A).

    Parameters
    ----------
    length : [m] (k,);  area : [m²] (k,);  elastic_modulus : [Pa]

    References
    ----------
    Hooke's law; VDI 2230 adds lengths for head and thread, which the caller may give.
    """
    return float((length / area).sum() / elastic_modulus)


def cone_compliance(
    thickness: float, face_diameter: float, hole_diameter: float, elastic_modulus: float
) -> float:
    """Return the compression a newton [m/N] of a clamped plate's 30° pressure cone.

    Parameters
    ----------
    thickness : [m];  face_diameter : under the head, above that of the hole [m]
    hole_diameter : [m];  elastic_modulus : [Pa]

    References
    ----------
    Shigley, Mechanical Engineering Design, equation 8-20 (from memory).
    """
    spread = 2 * math.tan(math.radians(30)) * thickness
    wide = face_diameter + spread
    logarithm = math.log(
        (wide - hole_diameter)
        * (face_diameter + hole_diameter)
        / ((wide + hole_diameter) * (face_diameter - hole_diameter))
    )
    slope = math.tan(math.radians(30))
    return logarithm / (math.pi * elastic_modulus * hole_diameter * slope)


def bolt_compliance(
    diameter: float, pitch: float, shank_diameter: float, grip: float, elastic_modulus: float
) -> float:
    """Return the stretch a newton [m/N] of a bolt screwed into the part behind the joint.

    Head 0.5 d, shank over the grip, engaged thread 0.5 d on the core and 0.33 d on the nominal
    area, in line; the core is d - 1.22687 P.

    Parameters
    ----------
    diameter, pitch, shank_diameter, grip : [m];  elastic_modulus : [Pa]

    References
    ----------
    VDI 2230 part 1, elastic resilience of the bolt, tapped-hole joint (from memory).
    """
    core = diameter - 17 * math.sqrt(3) / 24 * pitch
    length = np.array([0.5 * diameter, grip, 0.5 * diameter, 0.33 * diameter])
    across = np.array([diameter, shank_diameter, core, diameter])
    return compliance(length, round_area(across), elastic_modulus)


@dataclass(frozen=True, slots=True)
class ClampedBody:
    """What a bolt clamps between its head and its thread [m]."""

    grip: float
    face_diameter: float  # under the head
    hole_diameter: float
    body_diameter: float  # of the material round the bolt, where it ends


def clamped_compliance(body: ClampedBody, elastic_modulus: float) -> float:
    """Return the compression a newton [m/N] of what one bolt clamps; modulus in [Pa].

    Two 30° pressure cones, one from either end, that stop at the body's edge; between them a
    sleeve of the body's diameter.

    References
    ----------
    VDI 2230 part 1, deformation cone and sleeve (from memory); the cones by
    Shigley, Mechanical Engineering Design, equation 8-20 (from memory).
    """
    to_edge = (body.body_diameter - body.face_diameter) / (2 * math.tan(math.radians(30)))
    depth = min(max(to_edge, 0.0), body.grip / 2)
    cones = 2 * cone_compliance(depth, body.face_diameter, body.hole_diameter, elastic_modulus)
    sleeve = round_area(body.body_diameter, body.hole_diameter)
    left = np.array([body.grip - 2 * depth])
    return cones + compliance(left, np.array([sleeve]), elastic_modulus)


def load_factor(
    bolt_compliance: float, parts_compliance: float, introduction: float = 1.0
) -> float:
    """Return the bolt's share of the load, n δP / (δS + δP); compliances in [m/N].

    `introduction` n is 1 for a load under the head and less for one nearer the split.

    References
    ----------
    VDI 2230 part 1 (from memory); with n = 1 Shigley's C = kb / (kb + km).
    """
    return introduction * parts_compliance / (bolt_compliance + parts_compliance)


def bolt_force(joint: BoltedJoint, load: Array) -> Array:
    """Return the force in the bolt [N] under loads [N], of their shape.

    preload + Φ F while the joint is closed; the whole load once it is open.

    References
    ----------
    Shigley, Mechanical Engineering Design, equation 8-24 (from memory).
    """
    return np.maximum(joint.preload + joint.load_factor * load, load)


def clamp_force(joint: BoltedJoint, load: Array) -> Array:
    """Return what still presses the faces together [N] under loads [N], 0 where they are open.

    References
    ----------
    Shigley, Mechanical Engineering Design, equation 8-25 (from memory).
    """
    return bolt_force(joint, load) - load


def opening_load(joint: BoltedJoint) -> float:
    """Return the load that just opens the joint [N], preload / (1 - Φ).

    References
    ----------
    Shigley, Mechanical Engineering Design, equation 8-30 (from memory).
    """
    return joint.preload / (1 - joint.load_factor)


def preload_against_opening(load: float, load_factor: float, reserve: float = 1.0) -> float:
    """Return the preload [N] whose joint opens at `reserve` times the load [N].

    Inertia rises with speed², so a reserve of 2.25 is one of 50 % in speed.

    References
    ----------
    Bhandari, Design of Machine Elements, example 7.20 (public worked solutions).
    """
    return reserve * (1 - load_factor) * load


def assembly_preload(
    load: float,
    *,
    load_factor: float,
    residual_clamp: float,
    embedding_loss: float,
    tightening_factor: float,
) -> float:
    """Return the largest preload to expect at assembly [N], so that the least still suffices.

    αA [F_K + (1 - Φ) F_A + F_Z]; thermal change of preload left out. Forces in [N];
    `tightening_factor` αA is the largest over the least preload of the tightening method.

    References
    ----------
    VDI 2230 part 1, principal dimensioning formula (from memory).
    """
    least = residual_clamp + (1 - load_factor) * load + embedding_loss
    return tightening_factor * least


def bolt_stress_amplitude(joint: BoltedJoint, load: Array) -> Array:
    """Return half the range of the bolt's stress [Pa] over the last axis of loads [N].

    References
    ----------
    VDI 2230 part 1: Φ F / (2 A) for a load between 0 and F (from memory).
    """
    force = bolt_force(joint, load)
    return (force.max(axis=-1) - force.min(axis=-1)) / (2 * joint.stress_area)


def bolt_fatigue_safety(
    joint: BoltedJoint, load: Array, *, endurance: float, ultimate: float
) -> Array:
    """Return the factor on the alternating stress at which Goodman's line is met.

    (Sut - σi) / (σa (1 + Sut/Se)): the preload's stress σi stays and only the load grows, from
    none; loads [N] over the last axis, strengths in [Pa]. Infinite without load.

    References
    ----------
    Shigley, Mechanical Engineering Design, equation 8-38 (from memory); Bhandari, Design of
    Machine Elements, example 7.20 (public worked solutions).
    """
    amplitude = bolt_stress_amplitude(joint, np.maximum(load, 0.0))
    room = (ultimate - joint.preload / joint.stress_area) / (1 + ultimate / endurance)
    return np.divide(room, amplitude, out=np.full_like(amplitude, np.inf), where=amplitude > 0)


def rolled_thread_endurance(diameter: float) -> float:
    """Return the endurance amplitude [Pa] of a bolt rolled before heat treatment.

    0.85 (150 / d + 45) MPa with d in mm; nominal diameter in [m].

    References
    ----------
    VDI 2230 part 1 (from memory).
    """
    return 0.85e6 * (0.150 / diameter + 45)


def slip_safety(
    joint: BoltedJoint, load: Array, shear: Array, *, friction: float, bolts: int = 2
) -> Array:
    """Return what friction in the split can hold over the shear there, point by point.

    Parameters
    ----------
    load : [N] of one bolt;  shear : [N] on the whole split, along its face; of one shape
    friction : coefficient of the faces; for a fracture-split face without dowel the bare
        friction is on the safe side, as its interlocking is left out

    Returns
    -------
    Array of the loads' shape; infinite without shear, 0 where the joint is open.

    References
    ----------
    Coulomb; VDI 2230 part 1, F_KQ = F_Q / (q μ) (from memory).
    """
    held, asked = bolts * friction * clamp_force(joint, load), np.abs(shear)
    return np.divide(held, asked, out=np.full_like(held, np.inf), where=asked > 0)


def cap_bending_moment(pull: float, bolt_span: float) -> float:
    """Return the bending moment of the cap [N·m], F x / 6, of its pull [N] and span [m].

    References
    ----------
    Khurmi and Gupta, A Textbook of Machine Design, example 32.3 (public excerpt).
    """
    return pull * bolt_span / 6


def cap_stress(moment: float, width: float, thickness: float) -> float:
    """Return the bending stress [Pa] of a cap of rectangular section [m] under a moment [N·m].

    References
    ----------
    Khurmi and Gupta, A Textbook of Machine Design, example 32.3 (public excerpt): M = σ b t² / 6.
    """
    return 6 * moment / (width * thickness**2)
