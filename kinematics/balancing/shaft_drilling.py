"""Where a design's own shaft may be drilled, and how much unbalance it may keep in its end mains.

Faces are the round outsides of the counterweights. A hole keeps its wall to the web as well, so it
ends above where the counterweight begins.
"""

import math
from collections.abc import Collection, Sequence
from dataclasses import dataclass

from kinematics.balancing.balance_quality import (
    PlaneTolerance,
    named_grade,
    permissible_unbalance,
    plane_tolerance,
)
from kinematics.balancing.drill_sites import DrillSite
from kinematics.balancing.drilled_hole import POINT_ANGLE
from kinematics.balancing.unbalance import TwoPlanes
from kinematics.design.design import Design
from kinematics.shaft.part_geometry import part_geometry
from kinematics.shaft.shaft_geometry import shaft_geometry

LEAST_SECTOR = math.radians(5)  # of half a counterweight that is worth drilling


def end_mains(design: Design) -> TwoPlanes:
    """Return the planes of the first and the last main bearing."""
    z = part_geometry(design).main_journal.z
    return TwoPlanes(z[0], z[-1])


def shaft_tolerance(design: Design, grade: str, speed: float) -> PlaneTolerance:
    """Return the permissible residual unbalance in the end mains by a grade, at the highest speed.

    Parameters
    ----------
    grade : balance quality grade, "G16" for one
    speed : highest in service [rad/s]

    Returns
    -------
    Permissible residual unbalance in the planes of the end mains [kg·m].

    Raises DesignError where dimensions are missing or there is no such grade.

    Reference: ISO 21940-11 (from memory), as of `permissible_unbalance` and `plane_tolerance`.

    >>> from kinematics import load_demo, shaft_tolerance
    >>> design = load_demo("hill_climb_six")
    >>> shaft_tolerance(design, "G16", design.layout.rated_speed)
    PlaneTolerance(front 205.9 g·mm, rear 209.7 g·mm)
    """
    shaft = shaft_geometry(design)
    permissible = permissible_unbalance(named_grade(grade).speed, shaft.mass, speed)
    return plane_tolerance(permissible, shaft.centre, end_mains(design))


def drilled_webs(design: Design) -> tuple[int, ...]:
    """Return the webs whose counterweights have a face to drill, from the front."""
    weights = part_geometry(design).counterweights
    return tuple(weight.web for weight in weights if weight.half_angle > LEAST_SECTOR)


@dataclass(frozen=True, slots=True)
class ThinWebs:
    """Webs too thin for a drill and a wall on either side; what would be needed instead [m]."""

    thickness: float  # of the thickest counterweight allowed to be drilled
    drill: float  # the narrowest at hand
    wall: float  # minimum

    @property
    def needed_thickness(self) -> float:
        """What webs must be thicker than for the drill.

        Reference: follows from thickness = drill + two walls.
        """
        return self.drill + 2 * self.wall

    @property
    def needed_drill(self) -> float:
        """What a drill must be narrower than, 0 where no drill would do.

        Reference: follows from thickness = drill + two walls.
        """
        return max(self.thickness - 2 * self.wall, 0.0)

    @property
    def needed_wall(self) -> float:
        """What the wall must be less than, 0 where no wall would do.

        Reference: follows from thickness = drill + two walls.
        """
        return max((self.thickness - self.drill) / 2, 0.0)


def thin_webs(
    design: Design,
    diameters: Sequence[float],
    minimum_wall: float,
    webs: Collection[int] | None = None,
) -> ThinWebs | None:
    """Return why no web of a design (or of some) can ever take a drill; None where one can.

    Parameters
    ----------
    diameters : of the drills at hand [m];  minimum_wall : of metal beside a hole [m]
    """
    allowed = set(drilled_webs(design)) if webs is None else set(webs)
    weights = [weight for weight in part_geometry(design).counterweights if weight.web in allowed]
    thickness = max((weight.thickness for weight in weights), default=math.inf)
    found = ThinWebs(thickness, min(diameters), minimum_wall)
    return found if found.drill >= found.needed_drill else None


def drill_faces(
    design: Design,
    diameters: Sequence[float],
    *,
    most_depth: float,
    minimum_wall: float,
    webs: Collection[int] | None = None,
) -> tuple[DrillSite, ...]:
    """Return the faces of the counterweights that take a drill, of all webs or of some.

    Parameters
    ----------
    diameters : of the drills at hand [m];  most_depth : of a hole's full cylinder [m]
    minimum_wall : of metal beside and under a hole [m]

    Raises DesignError where dimensions are missing or a size cannot be.

    Reference: common practice, no source.
    """
    shaft_geometry(design)  # refused here where it cannot be weighed
    parts = part_geometry(design)
    allowed = set(drilled_webs(design)) if webs is None else set(webs)
    found = []
    for weight in parts.counterweights:
        drills = [
            diameter for diameter in diameters if diameter < weight.thickness - 2 * minimum_wall
        ]
        if weight.web not in allowed or weight.half_angle <= LEAST_SECTOR or not drills:
            continue
        point = max(drills) / 2 / math.tan(POINT_ANGLE / 2)
        room = weight.outer_radius - weight.inner_radius - minimum_wall - point
        if room <= 0:
            continue
        middle = parts.throws[weight.throw - 1].angle + weight.angle
        low = (middle - weight.half_angle) % (2 * math.pi)
        found.append(
            DrillSite(
                weight.web, weight.z, weight.outer_radius, low, low + 2 * weight.half_angle,
                weight.thickness, tuple(sorted(drills)), min(most_depth, room), minimum_wall,
            )
        )  # fmt: skip
    return tuple(found)
