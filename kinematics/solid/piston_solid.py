"""A piston, its rings and its pin as solids, the origin where the pin's height meets the bore.

A crown with the ring belt, two skirt panels on the thrust sides and two bosses; what a design
does not give follows the bore, as of `part_geometry`. The pin stands `pin_offset` to the left.

Source: elementary geometry; proportions are common practice, no source.
"""

import math
from collections.abc import Iterator

import numpy as np

from kinematics.array import Array
from kinematics.mechanics.part_shapes import PistonShape, RodShape
from kinematics.solid.mesh import Mesh, joined
from kinematics.solid.simple_solids import arc, band, block_of, circle, hollow_cylinder, revolved

_CLEAR = 1.06  # gap between bosses over the rod's width


def piston_solid(piston: PistonShape, rod: RodShape, pin_offset: float) -> Mesh:
    """Return a piston without rings and pin [m].

    Reference: elementary geometry.
    """
    gap = _CLEAR * rod.small_end_width / 2
    ends = ((gap, piston.pin_length / 2), (-piston.pin_length / 2, -gap))
    bosses = [_boss(piston, pin_offset, *end) for end in ends]
    return joined([revolved(_crown(piston)), *_skirt(piston), *bosses])


def ring_solids(piston: PistonShape) -> Mesh:
    """Return the rings in their grooves [m].

    Reference: elementary geometry.
    """
    outer = piston.diameter / 2 * 1.002
    inner = piston.diameter / 2 - 0.9 * piston.ring_depth
    return joined(
        revolved(_box(inner, outer, *_groove(piston, at, height, 0.06)))
        for at, height in piston.ring_grooves
    )


def pin_solid(piston: PistonShape, pin_offset: float) -> Mesh:
    """Return the piston pin [m].

    Reference: elementary geometry.
    """
    half = piston.pin_length / 2
    pin = hollow_cylinder(piston.pin_diameter, piston.pin_bore, -half, half)
    return pin.shifted(np.array([-pin_offset, 0.0, 0.0]))


def _roof(piston: PistonShape) -> float:
    """Return the height of the crown's underside over the pin."""
    deep = max(piston.crown_thickness, piston.bowl_depth + 0.5 * piston.crown_thickness)
    return piston.compression_height - deep


def _belt_end(piston: PistonShape) -> float:
    at, height = piston.ring_grooves[-1]
    return piston.compression_height - at - height - 0.6 * piston.wall_thickness


def _crown(piston: PistonShape) -> Array:
    """Return crown and ring belt as radius and height, from the crown's middle outward."""
    radius, crown = piston.diameter / 2, piston.compression_height
    inside, end = radius - 2.2 * piston.wall_thickness, _belt_end(piston)
    profile = [*_bowl(piston), (radius - 0.01 * radius, crown), (radius, crown - 0.01 * radius)]
    for at, height in piston.ring_grooves:
        profile += [
            (r, y)
            for y, order in zip(_groove(piston, at, height, 0.0)[::-1], (1, -1), strict=True)
            for r in (radius, radius - piston.ring_depth)[::order]
        ]
    roof = min(_roof(piston), crown - 0.3 * piston.crown_thickness)
    profile += [(radius, end), (inside, end)]
    if roof > end:
        profile += [(inside, roof - 0.3 * (roof - end)), (0.9 * inside, roof), (0.0, roof)]
    else:
        profile += [(0.0, end)]
    return np.array(profile)


def _bowl(piston: PistonShape) -> list[tuple[float, float]]:
    """Return the crown from its middle to the bowl's lip."""
    crown, half, deep = piston.compression_height, piston.bowl_diameter / 2, piston.bowl_depth
    if not deep > 0:
        return [(0.0, crown)]
    floor = [(0.0, 0.5), (0.25, 0.72), (0.5, 0.97), (0.62, 1.0), (0.8, 0.95), (0.95, 0.72),
             (1.03, 0.4), (1.0, 0.0)]  # fmt: skip
    return [(share * half, crown - depth * deep) for share, depth in floor]


def _groove(piston: PistonShape, at: float, height: float, less: float) -> tuple[float, float]:
    """Return a groove's lower and upper height, or less than it by a share at both."""
    top = piston.compression_height - at
    return top - (1 - less) * height, top - less * height


def _box(inner: float, outer: float, low: float, high: float) -> Array:
    return np.array([(inner, low), (outer, low), (outer, high), (inner, high)])


def _skirt(piston: PistonShape) -> Iterator[Mesh]:
    """Yield the two panels that carry the side thrust, from the belt to the skirt's end."""
    radius, low, high = piston.diameter / 2, -piston.skirt_length, _belt_end(piston)
    if not high > low:
        return
    half = math.asin(min(piston.skirt_width / piston.diameter, 1.0))
    inner = radius - piston.wall_thickness
    for middle in (0.0, math.pi):
        ends = middle - half, middle + half
        panel = band(arc(0.998 * radius, *ends), arc(inner, *ends), low, high)
        yield panel.upright()


def _boss(piston: PistonShape, pin_offset: float, low: float, high: float) -> Mesh:
    """Return a pin boss about the pin, with its pillar up to the crown."""
    eye = band(circle(piston.boss_radius), circle(piston.pin_diameter / 2), low, high)
    foot, top = 0.9 * piston.boss_radius, max(_roof(piston), _belt_end(piston))
    shift = np.array([-pin_offset, 0.0, 0.0])
    if not top > foot:
        return eye.shifted(shift)
    half = 0.75 * piston.boss_radius
    corners = np.array([(-half, low), (half, low), (half, high), (-half, high)])
    levels = [
        np.insert(corners, 1, y, axis=1) for y in (math.sqrt(piston.boss_radius**2 - half**2), top)
    ]
    return joined([eye, block_of(*levels)]).shifted(shift)
