"""A drilling plan: two or three believable holes that bring a crankshaft within its tolerance.

Fewest holes first, then the smallest residual; or the least mass taken away. The plan is the best
among the places of most promise, which keeps the search short; `fewest_possible` says how few any
plan on the same grid of angles needs at least.

Source: see `drill_optimiser`.
"""

import math
from collections.abc import Sequence

import numpy as np

from kinematics.array import ComplexArray
from kinematics.balancing.balance_quality import PlaneTolerance
from kinematics.balancing.drill_optimum import Choice, HoleRange, drill_optimiser, searched, settled
from kinematics.balancing.drill_remedies import largest_excess, remedies
from kinematics.balancing.drill_sites import (
    Candidates,
    DrilledHole,
    Drilling,
    DrillSite,
    candidates,
)
from kinematics.balancing.drilled_hole import hole_depth, hole_mass, hole_moment
from kinematics.balancing.unbalance import TwoPlanes, in_planes
from kinematics.errors import DesignError
from kinematics.one_line import frozen_record, one_line, quantity

AIMS = ("fewest", "lightest")
MOST_HOLES = 12


@frozen_record
class DrillPlan:
    """Holes to drill, what they leave, and why; no holes where it cannot be done.

    `before` and `after` (2,) [kg·m] are in the tolerance's planes, `after` with the holes' true
    depths. `reach` is what parts of holes come to at best and `helps` what else would do, both
    only where it cannot be done.
    """

    feasible: bool
    why: str
    holes: tuple[DrilledHole, ...]
    before: ComplexArray
    after: ComplexArray
    tolerance: PlaneTolerance
    fewest_possible: int = 0
    reach: HoleRange | None = None
    helps: tuple[str, ...] = ()

    def __repr__(self) -> str:
        return one_line(
            self,
            f"{len(self.holes)} holes",
            quantity(self.mass, "g"),
            f"{100 * self.ratio:.0f} % of permissible left",
        )

    @property
    def ratio(self) -> float:
        """What is left over what is permissible, the larger of both planes."""
        return float((np.abs(self.after) / self.tolerance.amounts).max())

    @property
    def mass(self) -> float:
        """Mass taken away [kg]."""
        return math.fsum(hole.mass for hole in self.holes)


def removed(holes: Sequence[DrilledHole], planes: TwoPlanes) -> ComplexArray:
    """Return the unbalance (2,) [kg·m] in two planes that holes add: -u exp(i angle) each.

    Reference: follows from statics of a rigid rotor.
    """
    taken = np.array([-hole.moment * np.exp(1j * hole.angle) for hole in holes], dtype=complex)
    return in_planes(taken, np.array([hole.site.z for hole in holes], dtype=float), planes)


def drill_plan(
    residual: ComplexArray,
    tolerance: PlaneTolerance,
    sites: Sequence[DrillSite],
    drilling: Drilling = Drilling(),  # noqa: B008 - frozen
    *,
    aim: str = "fewest",
    most_holes: int = 4,
) -> DrillPlan:
    """Return which holes bring a residual unbalance within tolerance, or why none do.

    Parameters
    ----------
    residual : (2,) [kg·m], in the tolerance's planes
    aim : "fewest" holes and then the smallest residual, or "lightest": the least mass taken

    Raises DesignError for bad input, never because it cannot be done.

    Reference: Wolsey, Integer Programming (from memory), as of `drill_optimiser`.
    """
    residual = _checked(residual, aim, most_holes)
    if np.all(np.abs(residual) <= tolerance.amounts):
        why = "Both planes are within tolerance: nothing to drill."
        return DrillPlan(True, why, (), residual, residual, tolerance)
    own = candidates(sites, drilling)
    optimiser = drill_optimiser(residual, tolerance, own)
    found = searched(optimiser, aim, most_holes, drilling.angle_step)
    if found.choice is None:
        return _cannot(residual, tolerance, sites, drilling, most_holes)
    choice = found.choice
    if aim == "fewest":
        choice = settled(optimiser, choice, drilling.angle_step)
    holes = _holes(choice, own, sites, drilling)
    after = residual + removed(holes, tolerance.planes)
    left = float((np.abs(after) / tolerance.amounts).max())
    why = (
        f"{len(holes)} {'hole brings' if len(holes) == 1 else 'holes bring'} both planes within "
        f"tolerance: maximum residual {100 * left:.0f} % of permissible."
    )
    fewest = optimiser.promise("fewest", most_holes) if aim != "fewest" else None
    bound = fewest.bound if fewest else found.bound or 0.0
    return DrillPlan(left <= 1, why, holes, residual, after, tolerance, math.ceil(bound - 1e-6))


def _cannot(
    residual: ComplexArray,
    tolerance: PlaneTolerance,
    sites: Sequence[DrillSite],
    drilling: Drilling,
    most_holes: int,
) -> DrillPlan:
    """Return the plan without holes that says why, and what would help."""
    optimiser = drill_optimiser(residual, tolerance, candidates(sites, drilling))
    if len(optimiser) == 0:
        why = (
            "No place for a hole: no face is selected, or none is wide enough for drill and walls."
        )
        ratio = float((np.abs(residual) / tolerance.amounts).max())
        reach = HoleRange(residual, ratio)
    else:
        reach = optimiser.reach(most_holes)
        holes = "1 hole" if most_holes == 1 else f"{most_holes} holes"
        if reach.ratio > 1:
            why = (
                f"With {holes} of maximum depth there remain {largest_excess(reach, tolerance)}: "
                f"{reach.ratio:.2g} times permissible."
            )
        else:
            why = (
                f"{holes} can remove enough on these faces, but no set brings both planes within "
                "tolerance: the shallowest hole removes too much, or more holes are needed."
            )
    helps = remedies(residual, tolerance, sites, drilling, most_holes, reach)
    return DrillPlan(False, why, (), residual, residual, tolerance, reach=reach, helps=helps)


def _holes(
    choice: Choice, own: Candidates, sites: Sequence[DrillSite], drilling: Drilling
) -> tuple[DrilledHole, ...]:
    """Return chosen holes with the largest drill that suits and depths that are whole steps."""
    found = []
    for place, moment in zip(choice.places, choice.moments, strict=True):
        suiting = (reach for reach in reversed(own.drills[place]) if reach.least <= moment)
        drill = next(reach for reach in suiting if moment <= reach.most)
        step = drilling.depth_step
        depth = round(float(hole_depth(drill.hole, moment)) / step) * step
        depth = min(max(depth, drill.minimum_depth), drill.most_depth)
        found.append(
            DrilledHole(
                sites[own.site[place]],
                float(own.angle[place]) % (2 * math.pi),
                drill.hole.diameter,
                depth,
                float(hole_moment(drill.hole, np.array(depth))),
                float(hole_mass(drill.hole, np.array(depth))),
            )
        )
    return tuple(sorted(found, key=lambda hole: (hole.site.z, hole.angle)))


def _checked(residual: ComplexArray, aim: str, most_holes: int) -> ComplexArray:
    found: ComplexArray = np.asarray(residual, dtype=complex)
    if found.shape != (2,) or not np.all(np.isfinite(found)):
        raise DesignError("residual", "must be two finite vectors, front and rear")
    if aim not in AIMS:
        raise DesignError("aim", f"must be one of {', '.join(AIMS)} (got {aim[:20]!r})")
    if not 1 <= most_holes <= MOST_HOLES:
        raise DesignError("most_holes", f"must be 1 to {MOST_HOLES} (got {most_holes})")
    return found
