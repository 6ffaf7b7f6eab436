"""Where a crankshaft may be drilled: round faces of webs and counterweights, and holes on them.

A face may take several holes. Each keeps the least wall to the web's sides, to the ends of the
face and to its neighbours; holes draw together as they go inward, so the wall is asked for at the
depth of the deepest hole. Drills of one place whose moments overlap are one candidate, from the
shallowest hole of the smallest to the deepest of the largest.

Source: common practice, no source; the geometry is plane.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from kinematics.array import Array
from kinematics.balancing.drilled_hole import (
    POINT_ANGLE,
    RadialHole,
    hole_mass,
    hole_moment,
    moment_per_depth,
)
from kinematics.design.design_parts import STEEL_DENSITY
from kinematics.errors import DesignError
from kinematics.one_line import frozen_record, one_line
from kinematics.units import in_words

_ROUNDING = 1e-9  # of steps and angles


@dataclass(frozen=True, slots=True)
class Drilling:
    """How holes are made and set out."""

    density: float = STEEL_DENSITY  # [kg/m³]
    point_angle: float = POINT_ANGLE  # of the drill, whole [rad]
    angle_step: float = math.radians(5)  # holes stand at multiples of it from throw 1 [rad]
    depth_step: float = 1e-4  # depths are multiples of it [m]

    def __post_init__(self) -> None:
        """Reject steps out of range."""
        if not math.radians(0.1) <= self.angle_step <= math.radians(90):
            got = f"{math.degrees(self.angle_step):g}°"
            raise DesignError("angle_step", f"must be 0.1° to 90° (got {got})")
        if not 1e-6 <= self.depth_step <= 2e-3:
            raise DesignError(
                "depth_step",
                f"must be {in_words(1e-6, 'mm')} to {in_words(2e-3, 'mm')} "
                f"(got {in_words(self.depth_step, 'mm')})",
            )


@dataclass(frozen=True, slots=True)
class DrillSite:
    """A round face of a web or counterweight that may be drilled at its mid thickness.

    It goes from `angle_low` to `angle_high` [rad], from throw 1 with rotation; a whole turn or more
    is a disc without ends. `diameters` are those of the drills at hand [m].
    """

    web: int  # from 1 at the front; faces of one web must not overlap
    z: float  # of its mid thickness [m]
    radius: float  # of the face about the crank's axis [m]
    angle_low: float
    angle_high: float
    thickness: float  # along the crank [m]
    diameters: tuple[float, ...]
    most_depth: float  # of a hole's full cylinder [m]
    minimum_wall: float  # of metal beside a hole [m]

    __repr__ = one_line

    def __post_init__(self) -> None:
        """Reject invalid dimensions, and a drill too wide for the face."""
        for field in fields(self):
            if not np.all(np.isfinite(getattr(self, field.name))):
                raise DesignError(field.name, f"must be finite (got {getattr(self, field.name)})")
        for name in ("radius", "thickness", "most_depth"):
            if not getattr(self, name) > 0:
                raise DesignError(
                    name, f"must be above 0 (got {in_words(getattr(self, name), 'mm')})"
                )
        if self.minimum_wall < 0:
            raise DesignError(
                "minimum_wall", f"must be 0 or more (got {in_words(self.minimum_wall, 'mm')})"
            )
        if not self.angle_low < self.angle_high:
            raise DesignError("angle_high", "must lie beyond angle_low")
        self._check_drills()

    def _check_drills(self) -> None:
        if not self.diameters:
            raise DesignError("diameters", "must name at least one drill")
        widest = max(self.diameters)
        if widest >= self.widest_drill:
            raise DesignError(
                "diameters",
                f"must be less than {in_words(self.widest_drill, 'mm')}, web thickness less a wall "
                f"on either side (got {in_words(widest, 'mm')})",
            )
        for diameter in self.diameters:
            RadialHole(self.radius, diameter)
        if self.most_depth + widest / 2 >= self.radius:
            raise DesignError(
                "most_depth",
                f"must be less than {in_words(self.radius - widest / 2, 'mm')}, face radius less "
                f"half a drill (got {in_words(self.most_depth, 'mm')})",
            )

    @property
    def widest_drill(self) -> float:
        """Thickness less a wall on either side [m]; a drill must be narrower.

        Reference: follows from the drawing of a face: common practice, no source.
        """
        return self.thickness - 2 * self.minimum_wall

    @property
    def deepest_radius(self) -> float:
        """Where the full cylinder of the deepest hole ends, from the crank's axis [m].

        Reference: follows from the drawing of a face: common practice, no source.
        """
        return self.radius - self.most_depth


@dataclass(frozen=True, slots=True)
class DrilledHole:
    """A hole as it is to be drilled, with what it takes away."""

    site: DrillSite
    angle: float  # of its axis, from throw 1 with rotation [rad]
    diameter: float  # [m]
    depth: float  # of the full cylinder [m]
    moment: float  # [kg·m]
    mass: float  # [kg]

    __repr__ = one_line


@dataclass(frozen=True, slots=True)
class HoleRange:
    """The holes of one drill on one face, between two depths that are whole steps."""

    hole: RadialHole
    minimum_depth: float
    most_depth: float
    least: float  # static moment at the least depth [kg·m]
    most: float
    minimum_mass: float  # [kg]
    most_mass: float
    rounding: float  # most moment that half a step of depth is worth [kg·m]


@frozen_record
class Candidates:
    """Places for a hole, all of shape (n,), each with its drills, from the smallest up.

    Moments in [kg·m], masses in [kg], angles in [rad]; `clearance` is half the angle that a hole
    takes up on its web, `rounding` the most moment that half a step of depth is worth.
    """

    site: NDArray[np.intp]
    web: NDArray[np.intp]
    z: Array
    angle: Array
    least: Array
    most: Array
    minimum_mass: Array
    most_mass: Array
    rounding: Array
    clearance: Array
    drills: tuple[tuple[HoleRange, ...], ...]

    def __len__(self) -> int:
        return len(self.angle)


def candidates(sites: Sequence[DrillSite], drilling: Drilling) -> Candidates:
    """Return every place for a hole on the grid of angles, of all faces.

    Reference: common practice, no source.
    """
    rows: list[tuple[float, ...]] = []
    drills: list[tuple[HoleRange, ...]] = []
    for index, site in enumerate(sites):
        angles = grid(site, drilling.angle_step)
        to_end = _to_end(site, angles)
        for family in families(site, drilling):
            fitting = (to_end[:, None] >= _end_need(site, family)).sum(axis=1)
            for angle, count in zip(angles[fitting > 0], fitting[fitting > 0], strict=True):
                own = family[:count]
                small, large = own[0], own[-1]
                half = _half_angle(site, large.hole.diameter + site.minimum_wall)
                rows.append((
                    index, site.web, site.z, angle, small.least, large.most,
                    small.minimum_mass, large.most_mass, large.rounding, half,
                ))  # fmt: skip
                drills.append(own)
    table = np.array(rows).reshape(-1, 10).T
    whole = table[:2].astype(np.intp)
    z, angle, least, most, minimum_mass, most_mass, rounding, clearance = table[2:]
    return Candidates(
        whole[0], whole[1], z, angle, least, most, minimum_mass, most_mass, rounding, clearance,
        tuple(drills),
    )  # fmt: skip


def grid(site: DrillSite, step: float) -> Array:
    """Return the angles [rad] of a face at multiples of a step; its middle if it has none."""
    first = math.ceil(site.angle_low / step - _ROUNDING)
    last = math.floor(min(site.angle_high, site.angle_low + 2 * math.pi) / step + _ROUNDING)
    if (last - first) * step >= 2 * math.pi - _ROUNDING:
        last -= 1  # the same place again
    if last < first:
        return np.array([(site.angle_low + site.angle_high) / 2])
    return np.arange(first, last + 1) * step


def families(site: DrillSite, drilling: Drilling) -> list[tuple[HoleRange, ...]]:
    """Return a face's drills from the smallest up, those together whose moments overlap.

    Reference: common practice, no source.
    """
    found: list[tuple[HoleRange, ...]] = []
    for diameter in sorted(set(site.diameters)):
        own = _hole_range(site, diameter, drilling)
        if own is None:
            continue
        if found and own.least <= found[-1][-1].most:
            found[-1] = (*found[-1], own)
        else:
            found.append((own,))
    return found


def overlaps(own: Candidates) -> NDArray[np.bool_]:
    """Return sets of candidates (rows, n) of which no two may be drilled together.

    Each row holds those that cover the place where some candidate's share of its web begins; of
    any two that overlap, one covers the other's beginning.
    """
    begin = own.angle - own.clearance
    _, first = np.unique(np.stack((own.web, np.round(begin, 7))), axis=1, return_index=True)
    into = np.mod(begin[first, None] - begin[None, :] + _ROUNDING, 2 * np.pi)
    same_web = own.web[first, None] == own.web[None, :]
    covers = (into < 2 * own.clearance[None, :]) & same_web
    several: NDArray[np.bool_] = covers[covers.sum(axis=1) > 1]
    return several


def _hole_range(site: DrillSite, diameter: float, drilling: Drilling) -> HoleRange | None:
    """Return the holes of a drill, or None where it has no depth that is a whole step."""
    hole = RadialHole(site.radius, diameter, drilling.density, drilling.point_angle)
    step = drilling.depth_step
    first = math.ceil(hole.minimum_depth / step - _ROUNDING)
    last = math.floor(min(site.most_depth, hole.most_depth) / step + _ROUNDING)
    if last < first:
        return None
    depths = np.array([first, last]) * step
    least, most = (float(x) for x in hole_moment(hole, depths))
    light, heavy = (float(x) for x in hole_mass(hole, depths))
    rounding = float(moment_per_depth(hole, depths)[0]) * step / 2
    return HoleRange(hole, depths[0], depths[1], least, most, light, heavy, rounding)


def _half_angle(site: DrillSite, width: float) -> float:
    """Return half the angle [rad] that a width [m] takes up at the deepest hole's end."""
    return math.asin(min(1.0, width / 2 / site.deepest_radius))


def _end_need(site: DrillSite, family: Sequence[HoleRange]) -> Array:
    """Return how far from a face's end each drill must stay (k,) [rad]."""
    widths = (reach.hole.diameter + 2 * site.minimum_wall for reach in family)
    return np.array([_half_angle(site, width) for width in widths]) - _ROUNDING


def _to_end(site: DrillSite, angles: Array) -> Array:
    """Return how far angles lie from the nearer end of the face [rad], as `angles`."""
    if site.angle_high - site.angle_low >= 2 * math.pi - _ROUNDING:
        return np.full_like(angles, np.inf)
    return np.minimum(angles - site.angle_low, site.angle_high - angles)
