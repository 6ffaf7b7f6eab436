"""A radial hole drilled into a round face of a web: mass and static moment that it takes away.

The depth is that of the full cylinder along its axis, from the face's surface; the drill's cone
lies below it and is extra. The face is round about the crank's axis and straight along it, and
the curved entry is counted exactly: with hole radius a, face radius R and y square to the axis,

    cylinder, moment: ρ ∬ ((R² - y²) - (R - h)²) / 2 dA = ρ A (R h - h²/2 - a²/8)
    cylinder, mass:   ρ ∬ (√(R² - y²) - (R - h)) dA = ρ A (h - R + R ₂F₁(-½, ½; 2; a²/R²))
    cone of height c: mass ρ A c / 3, its centre at R - h - c/4

Source: geometry; the mean of y² over a disc is a²/4, of y⁴ a⁴/8, and so on.
"""

import math
from dataclasses import dataclass

import numpy as np
from scipy.special import hyp2f1  # type: ignore[import-untyped]

from kinematics.array import Array
from kinematics.design.design_parts import STEEL_DENSITY
from kinematics.errors import DesignError
from kinematics.mechanics.round_area import round_area
from kinematics.units import in_words

POINT_ANGLE = math.radians(118)  # of a twist drill, common practice, no source
LEAST_DEPTH = 0.1  # over the diameter: the shallowest hole that is one, common practice, no source


@dataclass(frozen=True, slots=True)
class RadialHole:
    """A hole of any depth: face and drill."""

    face_radius: float  # of the face about the crank's axis [m]
    diameter: float  # of the drill [m]
    density: float = STEEL_DENSITY  # [kg/m³]
    point_angle: float = POINT_ANGLE  # of the drill, whole [rad]; π is a flat bottom

    def __post_init__(self) -> None:
        """Refuse a hole as wide as the web, and an impossible drill."""
        for field in ("face_radius", "density"):
            if not 0 < getattr(self, field) < math.inf:
                raise DesignError(field, f"must be above 0 (got {getattr(self, field):g})")
        if not 0 < self.diameter <= self.face_radius / 2:
            raise DesignError(
                "diameter",
                f"must be above 0 and at most {in_words(self.face_radius / 2, 'mm')}, half the "
                f"face radius (got {in_words(self.diameter, 'mm')})",
            )
        if not math.pi / 4 <= self.point_angle <= math.pi:
            raise DesignError(
                "point_angle",
                f"must be 45° to 180° (got {math.degrees(self.point_angle):g}°)",
            )

    @property
    def area(self) -> float:
        """Cross-section [m²].

        Reference: area of a circle.
        """
        return round_area(self.diameter)

    @property
    def cone_height(self) -> float:
        """Height of the drill's point [m].

        Reference: height of a cone of the drill's point angle.
        """
        return self.diameter / 2 / math.tan(self.point_angle / 2)

    @property
    def minimum_depth(self) -> float:
        """A tenth of the diameter [m], and no less than what brings the cylinder under the face.

        Reference: common practice, no source.
        """
        reach = self.face_radius - math.sqrt(self.face_radius**2 - self.diameter**2 / 4)
        return max(LEAST_DEPTH * self.diameter, reach)

    @property
    def most_depth(self) -> float:
        """Where the drill's point is at the crank's axis [m].

        Reference: follows from geometry.
        """
        return self.face_radius - self.cone_height


def hole_mass(hole: RadialHole, depth: Array) -> Array:
    """Return the mass [kg] that holes of depths [m] take away, of their shape.

    Raises DesignError for a depth outside the hole's least and most.

    Reference: volume of cylinder and cone less the segment of a round face, from geometry.
    """
    _check(hole, "depth", depth, hole.minimum_depth, hole.most_depth)
    R, a = hole.face_radius, hole.diameter / 2  # noqa: N806
    entry = R * (1 - hyp2f1(-0.5, 0.5, 2, (a / R) ** 2))
    return hole.density * hole.area * (depth - entry + hole.cone_height / 3)


def hole_moment(hole: RadialHole, depth: Array) -> Array:
    """Return the static moment [kg·m] about the crank's axis that holes take away, as `depth`.

    It grows with depth [m] all the way. Raises DesignError for a depth outside least and most.

    Reference: volume of cylinder and cone less the segment of a round face, from geometry.
    """
    _check(hole, "depth", depth, hole.minimum_depth, hole.most_depth)
    return _moment(hole, np.asarray(depth, dtype=float))


def hole_depth(hole: RadialHole, moment: Array) -> Array:
    """Return the depth [m] of holes that take static moments [kg·m] away, of their shape.

    The root of the moment's quadratic in depth, written so that no digits cancel. Raises
    DesignError for a moment that no allowed depth gives, a negative one among them.

    Reference: inverse of `hole_moment`.
    """
    least, most = _moment(hole, np.array([hole.minimum_depth, hole.most_depth]))
    _check(hole, "moment", moment, least, most)
    reach, constant = _quadratic(hole)
    rest = np.asarray(moment, dtype=float) / (hole.density * hole.area) - constant
    return 2 * rest / (reach + np.sqrt(np.maximum(reach**2 - 2 * rest, 0.0)))


def moment_per_depth(hole: RadialHole, depth: Array) -> Array:
    """Return how fast the static moment grows with depth [kg], at depths [m], of their shape.

    Reference: derivative of `hole_moment`.
    """
    reach, _ = _quadratic(hole)
    return hole.density * hole.area * (reach - depth)


def _quadratic(hole: RadialHole) -> tuple[float, float]:
    """Return b and k of moment = ρ A (k + b h - h²/2), with the cone."""
    R, c = hole.face_radius, hole.cone_height  # noqa: N806
    return R - c / 3, c / 3 * (R - c / 4) - hole.diameter**2 / 32


def _moment(hole: RadialHole, depth: Array) -> Array:
    reach, constant = _quadratic(hole)
    return hole.density * hole.area * (constant + depth * (reach - depth / 2))


def _check(hole: RadialHole, field: str, found: Array, low: float, high: float) -> None:
    values = np.asarray(found, dtype=float)
    slack = 1e-9 * high
    wrong = values[~((values >= low - slack) & (values <= high + slack))]
    if wrong.size:
        unit = "mm" if field == "depth" else "kg_mm"
        raise DesignError(
            field,
            f"must be {in_words(low, unit)} to {in_words(high, unit)} for a hole of "
            f"{in_words(hole.diameter, 'mm')} (got {in_words(float(wrong.flat[0]), unit)})",
        )
