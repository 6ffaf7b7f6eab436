"""The balancing card as the browser draws it: two planes with their vectors, holes, and words.

Vectors are parts of the permissible residual unbalance of their plane; x points to the right and
y up, angles from throw 1 in the sense of rotation, clockwise seen from the front.
"""

import dataclasses
import math
from typing import Any

import numpy as np

from kinematics.balancing.balance_quality import GRADES, BalanceGrade
from kinematics.balancing.drill_plan import DrillPlan, removed
from kinematics.balancing.drill_sites import DrilledHole
from kinematics.balancing.shaft_drilling import ThinWebs
from kinematics.balancing.unbalance import MachineScale, shown_angle
from kinematics.design.design import Design
from kinematics.shaft.part_geometry import part_geometry
from kinematics.shaft.shaft_geometry import shaft_geometry
from viz.csv_text import Cell, csv_text
from viz.limits.limit_board import CAUTION
from viz.number_words import as_drawn, axis, format_whole, turn_text, with_unit
from viz.shaft.web_sketch import web_sketch
from viz.speed_words import rpm_text

PLANES = ("Front plane", "Rear plane")
HEADS = ("Hole", "Web", "Angle", "Drill", "Depth", "Removes")
HOLE_UNITS = ("deg", "mm", "mm", "g_mm")  # of the last four
PLANE_HEADS = ("Plane", "Before", "at", "After", "at", "Permissible")
PLANE_UNITS = ("", "g_mm", "deg", "g_mm", "deg", "g_mm")
NOTES = (
    "Planes are those of the first and the last main bearing; angles are measured from throw 1 in "
    "the sense of rotation. Holes are radial, from a counterweight's rim at mid thickness, "
    "drill point 118°; depth is that of the full cylinder.",
    "Permissible residual by ISO 21940-11: U = G·m/ω, split between the planes by the lever to the "
    "centre of gravity, each limited to 0.3 to 0.7 of the whole. A V engine's shaft is balanced "
    "with bob weights on its pins; the residual is that of shaft and bob weights.",
)


def grade_choices() -> list[tuple[str, str]]:
    """Return each grade's name and what it is for."""
    return [(row.name, f"{row.name}: {_use(row)}") for row in GRADES]


def _use(row: BalanceGrade) -> str:
    if not row.inherent:
        return row.use
    mounting = {"elastic": ", on rubber", "rigid": ", rigid"}.get(row.mounting, "")
    return f"{row.use}, inherently {row.inherent}{mounting}"


def never_drilled(plan: DrillPlan, thin: ThinWebs) -> DrillPlan:
    """Return a plan that cannot be had with the reason in the webs' thickness and what would do."""
    wall, drill = with_unit(thin.wall, "mm"), with_unit(thin.drill, "mm")
    why = (
        f"These webs cannot be drilled: they are {with_unit(thin.thickness, 'mm')} thick, and a "
        f"drill of {drill} with a wall of {wall} on either side needs more than "
        f"{with_unit(thin.needed_thickness, 'mm')}."
    )
    helps = [f"webs thicker than {with_unit(thin.needed_thickness, 'mm')}"]
    if thin.needed_drill > 0:
        helps.append(f"a drill narrower than {with_unit(thin.needed_drill, 'mm')}")
    if thin.needed_wall > 0:
        helps.append(f"a minimum wall below {with_unit(thin.needed_wall, 'mm')}")
    return dataclasses.replace(plan, why=why, helps=tuple(helps))


def card_message(
    design: Design, plan: DrillPlan, speed: float, grade: str, scale: MachineScale
) -> dict[str, Any]:
    """Return what the card shows of a plan; `speed` [rad/s] is the highest in service."""
    mass = with_unit(shaft_geometry(design).mass, "kg", 4)
    return {
        "design": design.name,
        "feasible": plan.feasible,
        "words": plan.why,
        "helps": list(plan.helps),
        "tolerance": f"{grade} at {rpm_text(speed)}, shaft of {mass}",
        "planes": [_plane(plan, place, scale) for place in (0, 1)],
        "webs": _webs(design, plan),
        "heads": HEADS,
        "holes": [_hole(number, hole) for number, hole in enumerate(plan.holes, 1)],
        "notes": NOTES,
        "caution": CAUTION,
    }


def _webs(design: Design, plan: DrillPlan) -> list[dict[str, Any]]:
    """Return the drilled webs as seen from the front, lengths in parts of their face's radius."""
    parts = part_geometry(design)
    found: dict[int, dict[str, Any]] = {}
    for number, hole in enumerate(plan.holes, 1):
        site, radius = hole.site, hole.site.radius
        web = found.setdefault(site.web, {
            "web": site.web,
            "pin": math.degrees(parts.throws[(site.web - 1) // 2].angle),
            "throw": [parts.crank_radius / radius, parts.crankpin.diameter / 2 / radius],
            "hub": parts.web.hub_radius / radius,
            "cut": web_sketch(parts.web, parts.crank_radius, site.web, radius),
            "face": [math.degrees(site.angle_low), math.degrees(site.angle_high)],
            "holes": [],
        })  # fmt: skip
        web["holes"].append({
            "number": number, "angle": math.degrees(hole.angle),
            "depth": hole.depth / radius, "width": hole.diameter / radius,
        })  # fmt: skip
    return list(found.values())


def _plane(plan: DrillPlan, place: int, scale: MachineScale) -> dict[str, Any]:
    """Return one plane: the vector before, each hole's after it, and what is left."""
    permissible = float(plan.tolerance.amounts[place])
    before, after = plan.before[place], plan.after[place]
    path = [before]
    for hole in plan.holes:
        path.append(path[-1] + removed([hole], plan.tolerance.planes)[place])
    return {
        "title": PLANES[place],
        "permissible": with_unit(permissible, "g_mm"),
        "path": [_point(point / permissible) for point in path],
        "before": _vector(before),
        "after": _vector(after),
        "machine": f"{_degrees(float(shown_angle(scale, after)))} on the machine",
        "share": f"{format_whole(100 * abs(after) / permissible)} % of permissible",
        "within": bool(abs(after) <= permissible),
    }


def _point(vector: complex) -> list[float]:
    return [round(float(vector.imag), 5), round(float(vector.real), 5)]


def _vector(vector: complex) -> str:
    return f"{with_unit(abs(vector), 'g_mm')} at {_degrees(float(np.angle(vector)))}"


def _degrees(angle: float) -> str:
    return turn_text(math.degrees(angle))


def _hole(number: int, hole: DrilledHole) -> list[str]:
    return [
        str(number),
        str(hole.site.web),
        _degrees(hole.angle),
        with_unit(hole.diameter, "mm"),
        with_unit(hole.depth, "mm"),
        with_unit(hole.moment, "g_mm"),
    ]


def card_csv(plan: DrillPlan) -> str:
    """Return the holes and what they leave as comma-separated values, in the units shown."""
    return csv_text([
        (*HEADS[:2], *_axes(HEADS[2:], HOLE_UNITS)),
        *(_hole_numbers(number, hole) for number, hole in enumerate(plan.holes, 1)),
        _axes(PLANE_HEADS, PLANE_UNITS),
        *(_plane_numbers(plan, place) for place in range(len(PLANES))),
        [CAUTION],
    ])  # fmt: skip


def _axes(heads: tuple[str, ...], units: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(
        axis(head, unit).removesuffix(", ") for head, unit in zip(heads, units, strict=True)
    )


def _hole_numbers(number: int, hole: DrilledHole) -> tuple[Cell, ...]:
    sizes = (hole.angle % (2 * math.pi), hole.diameter, hole.depth, hole.moment)
    return (number, hole.site.web, *map(as_drawn, sizes, HOLE_UNITS))


def _plane_numbers(plan: DrillPlan, place: int) -> tuple[Cell, ...]:
    """Return a plane's residual before and after with its direction, and what is permissible."""
    sizes: list[float] = []
    for left in (plan.before[place], plan.after[place]):
        sizes += [abs(left), float(np.angle(left)) % (2 * math.pi)]
    sizes.append(float(plan.tolerance.amounts[place]))
    return (PLANES[place], *map(as_drawn, sizes, PLANE_UNITS[1:]))
