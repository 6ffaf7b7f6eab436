"""What lightens a crank web, each cut where it is: a chamfer at the pin end and a round pocket.

Both are cut from the web's face at the main journal. The chamfer is a plane across the web at an
angle to that face: at a height y over its start it is (y − start) · tan(angle) deep. The pocket
is flat-bottomed. Volume, static moment and polar moment are integrals over the height of depth
times chord, by Gauss's rule between all kinks of the outline and of the cuts.

Source: statics of solids by slices; any book on engineering mechanics. Gauss's rule: any book on
numerical analysis.
"""

import math
from dataclasses import dataclass

import numpy as np

from kinematics.array import Array
from kinematics.mechanics.web_outline import PlaneArea

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(40)


@dataclass(frozen=True, slots=True)
class WebPlate:
    """A web before it is lightened: the hull of two discs, of one thickness [m]."""

    main_radius: float
    pin_radius: float
    crank_radius: float
    thickness: float

    @property
    def tip(self) -> float:
        """Height of the outermost point at the pin end over the main axis [m].

        Reference: plane geometry, by definition.
        """
        return max(self.crank_radius + self.pin_radius, self.main_radius)


@dataclass(frozen=True, slots=True)
class WebCuts:
    """Chamfer and pocket; lengths [m], 0 is none."""

    chamfer_depth: float = 0.0  # from the tip toward the main axis, on the face at the main
    chamfer_angle: float = math.pi / 4  # between cut and face [rad]
    pocket_diameter: float = 0.0
    pocket_depth: float = 0.0
    pocket_height: float = 0.0  # of its middle over the main axis

    def chamfer_start(self, plate: WebPlate) -> float:
        """Return the height over the main axis at which the chamfer leaves the face [m].

        Reference: plane geometry, by definition.
        """
        return plate.tip - self.chamfer_depth

    def chamfer_end(self, plate: WebPlate) -> float:
        """Return the height at which the chamfer's plane meets the face at the pin [m].

        Reference: plane geometry, by definition.
        """
        return self.chamfer_start(plate) + plate.thickness / math.tan(self.chamfer_angle)


@dataclass(frozen=True, slots=True)
class WebSolid:
    """A solid's volume and moments about the main axis; `first` counts toward the pin."""

    volume: float  # [m³]
    first: float  # [m⁴]
    polar: float  # [m⁵]
    along: float  # ∫ s dV [m⁴], s along the shaft from the web's face at the pin

    @property
    def middle(self) -> float:
        """Distance of its centre from the web's face at the pin [m].

        Reference: statics, by definition.
        """
        return self.along / self.volume

    def __add__(self, other: "WebSolid") -> "WebSolid":
        return WebSolid(
            self.volume + other.volume, self.first + other.first,
            self.polar + other.polar, self.along + other.along,
        )  # fmt: skip

    def __mul__(self, factor: float) -> "WebSolid":
        return WebSolid(
            factor * self.volume, factor * self.first, factor * self.polar, factor * self.along
        )


def flat_web(outline: PlaneArea, thickness: float) -> WebSolid:
    """Return a web of one thickness [m].

    Reference: statics, a prism.
    """
    volume = outline.area * thickness
    return WebSolid(volume, outline.first * thickness, outline.polar * thickness,
                    volume * thickness / 2)  # fmt: skip


def web_chord(plate: WebPlate, height: Array) -> Array:
    """Return how wide a web is at heights [m] over the main axis [m], of their shape.

    Reference: plane geometry; the hull of two discs.
    """
    main, pin, crank = plate.main_radius, plate.pin_radius, plate.crank_radius
    on_main = np.sqrt(np.maximum(main**2 - height**2, 0.0))
    on_pin = np.sqrt(np.maximum(pin**2 - (height - crank) ** 2, 0.0))
    if abs(main - pin) >= crank:
        half: Array = on_main if main >= pin else on_pin
        return 2 * half
    sin = (main - pin) / crank
    cheek = (main - height * sin) / math.sqrt(1 - sin**2)
    half = np.where(height < main * sin, on_main, cheek)
    return 2 * np.where(height > crank + pin * sin, on_pin, half)


def chamfer_cut(plate: WebPlate, cuts: WebCuts) -> WebSolid:
    """Return what a chamfer removes.

    Reference: statics of solids by slices.
    """
    if cuts.chamfer_depth <= 0:
        return WebSolid(0.0, 0.0, 0.0, 0.0)
    height, step = _between(_kinks(plate, cuts), *_span(plate))
    return _removed(plate, height, step, (_chamfered(plate, cuts, height), 0.0),
                    web_chord(plate, height))  # fmt: skip


def pocket_cut(plate: WebPlate, cuts: WebCuts) -> WebSolid:
    """Return what a pocket removes that the chamfer has left, within the web's outline.

    Reference: statics of solids by slices.
    """
    radius, depth = cuts.pocket_diameter / 2, min(cuts.pocket_depth, plate.thickness)
    if radius <= 0 or depth <= 0:
        return WebSolid(0.0, 0.0, 0.0, 0.0)
    low, high = cuts.pocket_height - radius, cuts.pocket_height + radius
    kinks = [*_kinks(plate, cuts), low, high, *_crossings(plate, cuts)]
    height, step = _between(kinks, low, high)
    before = _chamfered(plate, cuts, height)
    chord = 2 * np.sqrt(np.maximum(radius**2 - (height - cuts.pocket_height) ** 2, 0.0))
    return _removed(plate, height, step, (np.maximum(before, depth), before),
                    np.minimum(chord, web_chord(plate, height)))  # fmt: skip


def pocket_wall(plate: WebPlate, cuts: WebCuts) -> float:
    """Return the least distance of a pocket from the web's outline [m], below 0 if it breaks out.

    Reference: plane geometry; distance of the hull's edges from a point on its middle line.
    """
    main, pin, crank, at = (
        plate.main_radius, plate.pin_radius, plate.crank_radius, cuts.pocket_height,
    )  # fmt: skip
    if abs(main - pin) >= crank:
        clear = main - abs(at) if main >= pin else pin - abs(at - crank)
    else:
        sin = (main - pin) / crank
        clear = min(
            main - at * sin if 0 <= at <= crank else math.inf,
            main - abs(at) if at < 0 else math.inf,
            pin - (at - crank) if at > crank else math.inf,
        )
    return clear - cuts.pocket_diameter / 2


def _chamfered(plate: WebPlate, cuts: WebCuts, height: Array) -> Array:
    """Return how deep the chamfer is at heights [m]."""
    if cuts.chamfer_depth <= 0:
        return np.zeros_like(height)
    deep = (height - cuts.chamfer_start(plate)) * math.tan(cuts.chamfer_angle)
    return np.clip(deep, 0.0, plate.thickness)


def _removed(
    plate: WebPlate, height: Array, step: Array, depths: tuple[Array, Array | float], chord: Array
) -> WebSolid:
    """Return the slices between two depths from the face at the main."""
    deep, before = depths
    cut = (deep - before) * chord * step
    along = plate.thickness - (deep + before) / 2
    return WebSolid(
        float(cut.sum()), float((cut * height).sum()),
        float((cut * (height**2 + chord**2 / 12)).sum()), float((cut * along).sum()),
    )  # fmt: skip


def _span(plate: WebPlate) -> tuple[float, float]:
    return min(-plate.main_radius, plate.crank_radius - plate.pin_radius), plate.tip


def outline_kinks(plate: WebPlate) -> list[float]:
    """Return heights at which a web's outline bends or ends [m], in no order.

    Reference: plane geometry; the hull of two circles.
    """
    main, pin, crank = plate.main_radius, plate.pin_radius, plate.crank_radius
    sin = min(max((main - pin) / crank, -1.0), 1.0)
    return [main * sin, crank + pin * sin, *_span(plate), -main, main, crank - pin, crank + pin]


def _kinks(plate: WebPlate, cuts: WebCuts) -> list[float]:
    """Return heights at which the outline or the chamfer's depth bends."""
    kinks = outline_kinks(plate)
    if cuts.chamfer_depth > 0:
        kinks += [cuts.chamfer_start(plate), cuts.chamfer_end(plate)]
    return kinks


def _crossings(plate: WebPlate, cuts: WebCuts) -> list[float]:
    """Return the height at which the chamfer reaches the pocket's floor."""
    if cuts.chamfer_depth <= 0:
        return []
    return [cuts.chamfer_start(plate) + cuts.pocket_depth / math.tan(cuts.chamfer_angle)]


def _between(kinks: list[float], low: float, high: float) -> tuple[Array, Array]:
    """Return nodes and weights from low to high, smooth between kinks; roots end as sines do."""
    ends = np.unique(np.clip([*kinks, low, high], low, high))
    middle, half = (ends[1:] + ends[:-1]) / 2, np.diff(ends) / 2
    turn = math.pi / 2 * _NODES
    height = middle[:, None] + half[:, None] * np.sin(turn)
    step = half[:, None] * np.cos(turn) * (math.pi / 2) * _WEIGHTS
    return height.ravel(), step.ravel()
