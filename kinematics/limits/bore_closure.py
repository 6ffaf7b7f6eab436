"""How far the big end's bore leaves its circle under the rod's pull, as two bounds.

The pull across the split presses on the cap as a cosine over half the shell. The lower bound of the
change has a cap of even thickness, bolt bosses at the split, and a rod half that is rigid beyond
them, with a joint like solid steel: a real rod half and joint give, so the bore changes by more.
The upper bound has the mean section of the whole cap all round: bosses and shank stiffen it, so
the bore changes by less. Both count the shell as part of the ring and take its bore for the ring's
inside. What it does to the film is not computed: the journal's orbit is that of the round bore.

Source: `ring_bending`; what is made of it: common practice, no source.
"""

import math
from typing import Any

import numpy as np

from kinematics.array import Array
from kinematics.design.allowables import allowable
from kinematics.design.design import Design
from kinematics.design.design_parts import STEEL_DENSITY, RodBolts
from kinematics.design.rod_metal import rod_density, rod_modulus
from kinematics.errors import DesignError
from kinematics.film.journal_film import BearingFilms, train_films
from kinematics.limits.criterion import EITHER_WAY, THINNER, LeftOut
from kinematics.limits.rod_criteria import RodParts
from kinematics.mechanics.round_area import round_area
from kinematics.one_line import frozen_record
from kinematics.strength.ring_bending import RingChange, half_ring_angles, ring_change
from kinematics.train.cycle import RigidTrain
from kinematics.units import in_words

MARKED = 0.1  # closing over the diametral clearance from which it is said; common practice
_STEPS = 60  # of the arch's thickness, which its own radius depends on


@frozen_record
class BoreChange:
    """Change of the big end's bore at one speed, and the film beside it."""

    pull: float  # [N] across the split, maximum of the cycle
    least: RingChange  # with a rigid rod half
    most: RingChange  # with the cap's section all round
    clearance: float  # [m] diametral
    side_film: float  # [m] at the split, minimum of the cycle, at the least closing

    @property
    def share(self) -> float:
        """Least closing over the diametral clearance."""
        return self.least.closing / self.clearance


def bore_change(train: RigidTrain, films: BearingFilms) -> BoreChange:
    """Return how the bore of the big end assessed changes at the speed of its films.

    The film at the split is the round bore's, less half the closing, at each instant.

    Raises
    ------
    DesignError without rod bolts, or where the cap is lighter than its bolts and their bosses.

    Reference: as of `ring_change`.
    """
    parts = RodParts(train)
    pull = np.maximum(parts.split_load(np.array([films.speed])).pull[0], 0.0)
    least, most = _stiff_ring(train.design), _soft_ring(train.design)
    clearance = films.bearing.radial_clearance
    aside = np.abs(films.eccentricity[train.assessed_cylinder, 0])
    side = clearance * (1 - aside) - least.closing / 2 * pull
    peak = float(pull.max())
    return BoreChange(
        peak, _times(least, peak), _times(most, peak), 2 * clearance, float(side.min())
    )


def bore_closure(parts: Any) -> tuple[LeftOut, ...]:
    """Return a mark where the big end's bore closes by a noticeable share of its clearance.

    Reference: as of `bore_change`.
    """
    train: RigidTrain = parts.train
    try:
        films = train_films(train, train.design.layout.rated_speed).big_ends
        change = bore_change(train, films)
    except DesignError:
        return ()
    if change.share < MARKED:
        return ()
    allowed = allowable(train.design.limits, "big_end_film").value
    exceeds = change.side_film < allowed
    least, most, clearance, film = (
        in_words(length, "um", 3)
        for length in (change.least.closing, change.most.closing, change.clearance,
                       change.side_film)
    )  # fmt: skip
    return (
        LeftOut(
            f"The bore counts as round, but a pull of {in_words(change.pull, 'kN', 3)} at rated "
            f"speed closes it at the split by {least} (rod half rigid) to {most} (cap's section "
            f"all round), of {clearance} diametral clearance; on the orbit of a round bore {film} "
            "of film are left there", THINNER if exceeds else EITHER_WAY, exceeds),
    )  # fmt: skip


def _times(change: RingChange, pull: float) -> RingChange:
    return RingChange(change.opening * pull, change.closing * pull)


def _stiff_ring(design: Design) -> RingChange:
    """Return the change per newton [m/N] of cap and bosses before a rigid rod half."""
    bolts, bearing = _bolts(design), design.needed("big_end", "the bore's closing")
    body, half_grip = bolts.clamped, bolts.clamped.grip / 2
    deep = (body.hole_diameter + body.body_diameter) / 2  # from the bore to the boss's outer edge
    wide = min(body.body_diameter, bearing.width)
    bosses = 2 * half_grip * (wide * deep - round_area(body.hole_diameter))
    metal = (bolts.cap_mass - _lower_halves(bolts)) / rod_density(design) - bosses
    if not metal > 0:
        raise DesignError("rod_bolts.cap_mass_g", "must be more than that of bolts and bosses")
    inside = bearing.diameter / 2
    thickness = 0.0
    for _ in range(_STEPS):
        radius = inside + thickness / 2
        arch = math.acos(min(half_grip / radius, 1.0))  # from the cap's middle to a boss
        thickness = min(metal / (2 * max(arch, 0.1) * radius * bearing.width), inside)
    angle = half_ring_angles()
    at_cap, at_boss = bearing.width * thickness**3 / 12, wide * deep**3 / 12
    second_moment = np.where(angle < arch, at_cap, at_boss)
    flexible = angle < math.pi - arch
    flexibility = np.where(flexible, 1 / (rod_modulus(design) * second_moment), 0.0)
    return ring_change(flexibility, radius, _cosine(angle, radius))


def _soft_ring(design: Design) -> RingChange:
    """Return the change per newton [m/N] of a ring with the cap's mean section all round."""
    bolts, bearing = _bolts(design), design.needed("big_end", "the bore's closing")
    inside = bearing.diameter / 2
    half_ring = bolts.cap_mass / (rod_density(design) * bearing.width)  # area of its face
    thickness = math.sqrt(inside**2 + 2 / math.pi * half_ring) - inside
    radius, angle = inside + thickness / 2, half_ring_angles()
    flexibility = 12 / (rod_modulus(design) * bearing.width * thickness**3)
    load = _cosine(angle, radius) + _cosine(math.pi - angle, radius)
    return ring_change(np.full(angle.shape, flexibility), radius, load)


def _cosine(angle: Array, radius: float) -> Array:
    """Return the load per length [N/m] of 1 N, a cosine over the half ring round angle 0."""
    return np.maximum(np.cos(angle), 0.0) * (2 / (math.pi * radius))


def _lower_halves(bolts: RodBolts) -> float:
    """Return the mass of the bolts' lower halves [kg], heads as high as the bolt is thick."""
    shank = round_area(bolts.shank) * bolts.clamped.grip / 2
    head = round_area(bolts.clamped.face_diameter) * bolts.diameter
    return bolts.count * STEEL_DENSITY * (shank + head)


def _bolts(design: Design) -> RodBolts:
    bolts: RodBolts = design.needed("rod_bolts", "the bore's closing")
    return bolts
