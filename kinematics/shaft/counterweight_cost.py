"""What a counterweight costs: a ring sector that grows outward with its unbalance.

Source: elementary mechanics of the ring sector.
"""

import math

import numpy as np

from kinematics.array import Array
from kinematics.design.design import Design
from kinematics.design.shaft_throw import shaft_density, shaft_throw
from kinematics.mechanics.part_shapes import PartGeometry
from kinematics.mechanics.web_outline import round_end
from kinematics.one_line import frozen_record
from kinematics.shaft.part_geometry import part_geometry


@frozen_record
class SectorCost:
    """What a counterweight of any unbalance costs: a ring sector that grows outward."""

    inner: float  # [m]
    half_angle: float  # [rad]
    heavy: float  # density times thickness [kg/m²]
    most: float  # the unbalance that still has room [kg·m]
    widest: float  # [rad], turned aside so far a flank meets the web's cheek; no less than 0

    def outer(self, unbalance: Array) -> Array:
        """Return the outer radius [m] of unbalances [kg·m] of any shape.

        Reference: elementary mechanics of the ring sector.
        """
        grown = unbalance / (2 / 3 * self.heavy * math.sin(self.half_angle))
        return np.cbrt(self.inner**3 + grown)

    def mass(self, unbalance: Array) -> Array:
        """Return the mass [kg].

        Reference: elementary mechanics of the ring sector.
        """
        return self.heavy * self.half_angle * (self.outer(unbalance) ** 2 - self.inner**2)

    def inertia(self, unbalance: Array) -> Array:
        """Return the inertia [kg·m²]; it grows faster than the unbalance.

        Reference: elementary mechanics of the ring sector.
        """
        return self.heavy * self.half_angle / 2 * (self.outer(unbalance) ** 4 - self.inner**4)

    def slope(self, unbalance: Array) -> Array:
        """Return the inertia's derivative [m]: α/sin α times the outer radius.

        Reference: derivative of `inertia`.
        """
        return self.half_angle / math.sin(self.half_angle) * self.outer(unbalance)


def sector_cost(design: Design) -> SectorCost:
    """Return what counterweights cost in a design, and how large they may be.

    Reference: elementary mechanics of the ring sector.
    """
    parts = part_geometry(design)
    shaft = design.shaft
    half = math.radians(60) if shaft is None else shaft.counterweight_half_angle
    room = parts.bottom - parts.piston.skirt_length - 0.02 * parts.piston.diameter
    if shaft is not None and shaft.counterweight_radius is not None:
        room = min(room, shaft.counterweight_radius)
    inner = parts.web.hub_radius
    heavy = shaft_density(design) * shaft_throw(design).web_thickness
    most = 2 / 3 * heavy * math.sin(half) * max(room**3 - inner**3, 0.0)
    return SectorCost(inner, half, heavy, most, widest_turn(parts, half))


def widest_turn(parts: PartGeometry, half_angle: float) -> float:
    """Return how far [rad] a sector may turn aside before a flank meets the web's cheek.

    Reference: follows from plane geometry.
    """
    end = round_end(parts.web.hub_radius, parts.web.pin_end_radius, parts.crank_radius)
    return min(max(end - half_angle, 0.0), math.pi / 2)
