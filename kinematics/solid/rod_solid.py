"""A rod and its cap as solids, the big end's centre in the origin and the small end up.

Eye, I-section shank and the big end's upper half are the rod; the lower half with the bolts' heads
is the cap. The split is square to the rod or oblique, as of `part_geometry`.

Source: elementary geometry; proportions are common practice, no source.
"""

import math

import numpy as np

from kinematics.array import Array
from kinematics.mechanics.part_shapes import PistonShape, RodShape
from kinematics.solid.mesh import Mesh, joined
from kinematics.solid.simple_solids import ROUND, band, block_of, circle, hollow_cylinder

_SHELL = 1.06  # outside of the shells over the journal
_GAP = 0.012  # of the split as drawn, over the big end's radius


def rod_solid(rod: RodShape, piston: PistonShape, pin_diameter: float) -> Mesh:
    """Return the rod without its cap [m].

    Reference: elementary geometry.
    """
    half = rod.small_end_width / 2
    eye = band(circle(rod.small_end_outer_radius), circle(piston.pin_diameter / 2), -half, half)
    return joined([
        eye.shifted(np.array([0.0, rod.length, 0.0])),
        *_shank(rod, pin_diameter),
        _half_end(rod, pin_diameter, upper=True),
    ])  # fmt: skip


def cap_solid(rod: RodShape, pin_diameter: float) -> Mesh:
    """Return the cap with the heads of its bolts [m].

    Reference: elementary geometry.
    """
    return joined([
        _half_end(rod, pin_diameter, upper=False),
        *(head.turned(rod.cap_split_angle) for head in _bolt_heads(rod)),
    ])  # fmt: skip


def _half_end(rod: RodShape, pin_diameter: float, *, upper: bool) -> Mesh:
    """Return the big end on one side of its split."""
    gap = _GAP * rod.big_end_outer_radius
    angle = np.linspace(0.0, math.pi, ROUND + 1)
    inner = _SHELL * pin_diameter / 2
    line = np.column_stack((np.cos(angle), np.sin(angle)))
    height = 0.85 * rod.bolt_top if upper else 0.62 * -rod.bolt_bottom
    reach = _reach(rod, line, height)
    sign, half = (1.0 if upper else -1.0), rod.big_end_width / 2
    lines = [
        np.column_stack((points[:, 0], sign * np.maximum(points[:, 1], gap)))
        for points in (line * reach[:, None], line * inner)
    ]
    return band(lines[0], lines[1], -half, half).turned(rod.cap_split_angle)


def _reach(rod: RodShape, line: Array, height: float) -> Array:
    """Return the outline along rays (n, 2): shoulders about the bolts of a height [m], or round."""
    across, up = np.abs(line[:, 0]), np.abs(line[:, 1])
    far = 1e9
    with np.errstate(divide="ignore"):
        aside = np.where(across > 0, rod.big_end_half_breadth / across, far)
        above = np.where(up > 0, height / up, far)
    return np.maximum(np.minimum(aside, above), rod.big_end_outer_radius)


def _shank(rod: RodShape, pin_diameter: float) -> list[Mesh]:
    """Return the I-section as a plate between two flanges, tapered toward the small end."""
    low = math.sqrt(max(rod.big_end_outer_radius**2 - (rod.shank_breadth_big_end / 2) ** 2, 0.0))
    low = max(low, _SHELL * pin_diameter / 2)
    narrow = rod.shank_breadth_small_end / 2
    high = rod.length - math.sqrt(max(rod.small_end_outer_radius**2 - narrow**2, 0.0))
    wide = rod.shank_breadth_big_end / 2
    web, flange = rod.web_width / 2, rod.shank_width / 2
    ends = ((wide, low), (narrow, high))
    inside = [(x - rod.flange_breadth, x, y) for x, y in ends]
    pieces = [
        [_level(-at, at, y, web) for at, _, y in inside],
        [_level(at, x, y, flange) for at, x, y in inside],
        [_level(-x, -at, y, flange) for at, x, y in inside],
    ]
    return [block_of(*piece) for piece in pieces]


def _level(left: float, right: float, y: float, half: float) -> Array:
    """Return a rectangle's corners (4, 3) at a height."""
    return np.array([(left, y, -half), (right, y, -half), (right, y, half), (left, y, half)])


def _bolt_heads(rod: RodShape) -> list[Mesh]:
    """Return the bolts' heads under the cap's bosses."""
    low, high = 1.15 * rod.bolt_bottom, 0.5 * rod.bolt_bottom
    head = hollow_cylinder(1.5 * rod.bolt_diameter, 0.0, low, high).upright()
    return [head.shifted(np.array([side * rod.bolt_offset, 0.0, 0.0])) for side in (-1, 1)]
