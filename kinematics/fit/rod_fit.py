"""Whether the rod passes the bore, and its bolts the bore's lower end and the crankcase.

The big end counts as a box over its bolts' bosses, in the plane of motion.

Reference: plane geometry of the slider-crank.
"""

import math

import numpy as np

from kinematics.array import Array
from kinematics.design.design import Design
from kinematics.fit.fit_check import (
    CLEARANCE,
    CLEARANCE_SOURCE,
    DOES_NOT_FIT,
    FitCheck,
    FitQuestion,
    by_clearance,
    drawn,
    given,
    length,
    mm,
    within,
)
from kinematics.mechanics.part_shapes import PartGeometry, RodShape
from kinematics.mechanics.slider_crank import Pose, pose
from kinematics.train.cylinder_pressure import slider_crank

ANGLES = 361  # looked at in a turn

THROUGH = FitQuestion(
    "rod_through_bore", "Rod bolts through bore", "rod_bolts.spacing_mm", "mm",
    "(spacing + boss)·cos γ ≤ bore\nγ angle of the split, 0 unless it is oblique",
    "plane geometry; the rod is assembled from above: common practice, no source")  # fmt: skip
BORE_END = FitQuestion(
    "rod_to_bore", "Rod bolts to lower end of bore", "cylinder.rod_length_mm", "mm",
    "minimum distance of the big end's box from the bore's lower edge over a turn ≥ 0.02·bore",
    "plane geometry, the bore's length by proportion (common practice, no source); "
    f"{CLEARANCE_SOURCE}")  # fmt: skip
CASE = FitQuestion(
    "case", "Rod bolts and counterweights to crankcase", "crank.case_radius_mm", "mm",
    "crankcase radius − maximum radius swept ≥ 0.02·bore",
    f"plane geometry of the slider-crank; {CLEARANCE_SOURCE}")  # fmt: skip


def rod_through_bore(design: Design) -> FitCheck:
    """Check that the big end without its cap passes the bore [m].

    Reference: plane geometry; assembly from above: common practice, no source.
    """
    rod, bore = drawn(design).rod, design.cylinder.bore
    breadth = 2 * rod.big_end_half_breadth * math.cos(rod.cap_split_angle)
    oblique = ", split obliquely," if rod.cap_split_angle else ""
    outcome = within(breadth, bore)
    spacing, boss = 2 * rod.bolt_offset, 2 * (rod.big_end_half_breadth - rod.bolt_offset)
    return FitCheck(
        THROUGH, outcome,
        f"The big end{oblique} is {length(breadth)} broad over its bolts, the bore is "
        f"{length(bore)}.",
        f"big end is {length(breadth - bore)} too broad for the bore", breadth, bore,
        values=f"({mm(spacing)} + {mm(boss)})·cos {math.degrees(rod.cap_split_angle):.3g}° = "
        f"{mm(breadth)} mm, bore {mm(bore)} mm",
    )  # fmt: skip


def rod_to_bore(design: Design) -> FitCheck:
    """Check the distance of the rod's bolts from the bore's lower edge over a turn [m].

    Reference: plane geometry of the slider-crank; clearance: common practice, no source.
    """
    parts, bore = drawn(design), design.cylinder.bore
    at = _turn(design)
    gap = min(
        float(_outside_box(_seen_from_rod(parts, at, side * bore / 2), parts.rod).min())
        for side in (-1, 1)
    )
    least, outcome = CLEARANCE * bore, by_clearance(gap, CLEARANCE * bore)
    found = "cut into" if outcome == DOES_NOT_FIT else "clear"
    return FitCheck(
        BORE_END, outcome,
        f"The rod's bolts {found} the lower end of the bore by {length(abs(gap))}.",
        f"rod bolts cut into the bore by {length(-gap)}", gap, least, at_least=True,
        values=f"{mm(gap)} mm, minimum {mm(least)} mm, the bore's lower end "
        f"{mm(parts.block.bore_bottom)} mm above the shaft's axis",
    )  # fmt: skip


def to_case(design: Design) -> FitCheck:
    """Check what turns against the crankcase's nearest wall [m].

    Reference: plane geometry of the slider-crank; clearance: common practice, no source.
    """
    case = given(design, "crank.case_radius_mm")
    parts = drawn(design)
    swept = {"rod bolts": _reach(design, parts), "webs": parts.crank_radius
             + parts.web.pin_end_radius}  # fmt: skip
    for weight in parts.counterweights:
        swept["counterweights"] = max(swept.get("counterweights", 0.0), weight.outer_radius)
    name = max(swept, key=lambda each: swept[each])
    gap, least = case - swept[name], CLEARANCE * design.cylinder.bore
    outcome = by_clearance(gap, least)
    found = "meet the crankcase by" if outcome == DOES_NOT_FIT else "clear the crankcase by"
    return FitCheck(
        CASE, outcome, f"The {name} {found} {length(abs(gap))}.",
        f"{name} meet crankcase by {length(-gap)}", gap, least, at_least=True,
        values=f"{mm(case)} − {mm(swept[name])} = {mm(gap)} mm, minimum {mm(least)} mm",
    )  # fmt: skip


def _turn(design: Design) -> Pose:
    return pose(slider_crank(design.cylinder), np.linspace(0.0, 2 * math.pi, ANGLES))


def _seen_from_rod(parts: PartGeometry, at: Pose, x: float) -> tuple[Array, Array]:
    """Return the bore's lower edge in the split's frame, along and square to it [m], (n,)."""
    across = x - parts.crank_radius * at.sin_crank
    up = parts.block.bore_bottom - parts.crank_radius * at.cos_crank
    lean = parts.rod.cap_split_angle
    # the rod leans by its angle from the crankpin back to the bore's axis
    x_rod = across * at.cos_rod + up * at.sin_rod
    y_rod = up * at.cos_rod - across * at.sin_rod
    sin, cos = math.sin(lean), math.cos(lean)
    return x_rod * cos + y_rod * sin, y_rod * cos - x_rod * sin


def _outside_box(place: tuple[Array, Array], rod: RodShape) -> Array:
    """Return the distance of points from the big end's box [m], negative inside, (n,)."""
    x, y = place
    aside = np.abs(x) - rod.big_end_half_breadth
    above = np.maximum(y - rod.bolt_top, rod.bolt_bottom - y)
    outside = np.hypot(np.maximum(aside, 0.0), np.maximum(above, 0.0))
    return outside + np.minimum(np.maximum(aside, above), 0.0)


def _reach(design: Design, parts: PartGeometry) -> float:
    """Return the largest distance of the big end's box from the shaft's axis [m]."""
    at, rod = _turn(design), parts.rod
    lean, farthest = rod.cap_split_angle, 0.0
    for x in (-rod.big_end_half_breadth, rod.big_end_half_breadth):
        for y in (rod.bolt_bottom, rod.bolt_top):
            along = x * math.cos(lean) - y * math.sin(lean)
            up = x * math.sin(lean) + y * math.cos(lean)
            across = parts.crank_radius * at.sin_crank + along * at.cos_rod - up * at.sin_rod
            height = parts.crank_radius * at.cos_crank + along * at.sin_rod + up * at.cos_rod
            farthest = max(farthest, float(np.hypot(across, height).max()))
    return farthest
