"""A crank web's outline: the hull of a disc about the main axis and one about the pin's axis.

Area, static moment and polar moment about the main axis in closed form: two circular sectors and
two trapezia between the common tangents. Equal discs give a strip with round ends.

Source: plane geometry; sector and polygon formulas as in any handbook, e.g. Dubbel, Handbook of
Mechanical Engineering, table of areas (from memory).
"""

import math
from dataclasses import dataclass

from kinematics.errors import DesignError


@dataclass(frozen=True, slots=True)
class PlaneArea:
    """A plane area and its moments about the main axis; `first` counts toward the pin."""

    area: float  # [m²]
    first: float  # [m³]
    polar: float  # [m⁴]

    def __add__(self, other: "PlaneArea") -> "PlaneArea":
        return PlaneArea(self.area + other.area, self.first + other.first, self.polar + other.polar)

    def __mul__(self, factor: float) -> "PlaneArea":
        return PlaneArea(factor * self.area, factor * self.first, factor * self.polar)


def web_outline(main_radius: float, pin_radius: float, crank_radius: float) -> PlaneArea:
    """Return the hull of two discs [m], the second about the pin at the crank radius.

    Raises DesignError unless all three are above zero and finite.

    Reference: plane geometry, common tangents of two circles.
    """
    for name, found in (("main_radius", main_radius), ("pin_radius", pin_radius),
                        ("crank_radius", crank_radius)):  # fmt: skip
        if not 0 < found < math.inf:
            raise DesignError(name, f"must be above 0 and finite (got {found:g} m)")
    if abs(main_radius - pin_radius) >= crank_radius:  # one disc holds the other
        inside = main_radius >= pin_radius
        return _sector(main_radius if inside else pin_radius, math.pi, 1,
                       0.0 if inside else crank_radius)  # fmt: skip
    lean = math.asin((main_radius - pin_radius) / crank_radius)
    sin, cos = math.sin(lean), math.cos(lean)
    at_main = (main_radius * cos, main_radius * sin)
    at_pin = (pin_radius * cos, crank_radius + pin_radius * sin)
    return (
        _sector(main_radius, math.pi / 2 + lean, -1, 0.0)
        + _sector(pin_radius, math.pi / 2 - lean, 1, crank_radius)
        + _polygon(((0.0, 0.0), at_main, at_pin, (0.0, crank_radius))) * 2
    )


def round_end(main_radius: float, pin_radius: float, crank_radius: float) -> float:
    """Return half of the angle [rad] that the outline's round end about the main axis spans.

    It counts from away from the pin to where the straight cheeks begin.

    Reference: plane geometry, common tangents of two circles.
    """
    lean = (main_radius - pin_radius) / crank_radius
    return math.pi / 2 + math.asin(min(max(lean, -1.0), 1.0))


def ring_sector(inner: float, outer: float, half_angle: float) -> PlaneArea:
    """Return a ring sector about the main axis [m, rad]; its middle points away from the pin.

    Reference: Dubbel, Handbook of Mechanical Engineering, table of areas (from memory).
    """
    whole, hole = (_sector(radius, half_angle, -1, 0.0) for radius in (outer, inner))
    return whole + hole * -1.0


def _sector(radius: float, half_angle: float, side: int, centre: float) -> PlaneArea:
    """Return a sector about a centre; its middle points to the pin (side 1) or away from it (-1).

    αR², (2/3)R³ sin α and αR⁴/2 about its own centre, moved by the parallel-axis theorem.
    """
    area = half_angle * radius**2
    first = side * 2 / 3 * radius**3 * math.sin(half_angle)
    polar = half_angle * radius**4 / 2
    return PlaneArea(area, first + centre * area, polar + 2 * centre * first + centre**2 * area)


def _polygon(corners: tuple[tuple[float, float], ...]) -> PlaneArea:
    """Return a polygon (x, y), y toward the pin, by the sums over its edges (Green's theorem)."""
    area = first = polar = 0.0
    for (x0, y0), (x1, y1) in zip(corners, corners[1:] + corners[:1], strict=True):
        cross = x0 * y1 - x1 * y0
        area += cross / 2
        first += cross * (y0 + y1) / 6
        polar += cross * (x0**2 + x0 * x1 + x1**2 + y0**2 + y0 * y1 + y1**2) / 12
    return PlaneArea(area, first, polar)
