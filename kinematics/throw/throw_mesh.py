"""A triangle mesh of half of a throw's cross sections, one for all slabs.

Journal, pin, bores and the web's outline are lines of the mesh, so that each slab is made of whole
triangles. The half plane is x ≥ 0, y from the main axis toward the pin. Points stand on the lines
and on a grid between; Delaunay's triangulation joins them, and a piece of a line that it does not
hold is halved until it does. Triangles have six nodes, those on round lines curved with them.

Source: P.-L. George and H. Borouchaki, Delaunay Triangulation and Meshing, 1998 (from memory).
"""

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import Delaunay  # type: ignore[import-untyped]

from kinematics.array import Array
from kinematics.one_line import frozen_record
from kinematics.throw.throw_shape import ThrowShape

CLEAR = 0.6  # of the grid's points from a line, over the mesh size
SHORTEST = 0.1  # piece of a line, over the mesh size: halving ends there
ROUNDS = 12  # of halving
WIDEST = math.pi / 6  # [rad] of a piece of a round line
FOLDED = 0.05  # least share of a straight triangle's Jacobian
FLAT = 1e-9  # area of a triangle without any, over the mesh size squared


@dataclass(frozen=True, slots=True)
class Arc:
    """Part of a circle about a point of the line x = 0, angles from +y toward +x."""

    centre: float
    radius: float
    start: float = 0.0
    end: float = math.pi

    def at(self, share: Array) -> Array:
        """Return points at shares of the way, (2, n)."""
        angle = self.start + share * (self.end - self.start)
        return np.stack((self.radius * np.sin(angle), self.centre + self.radius * np.cos(angle)))

    def length(self) -> float:
        """Of the whole arc."""
        return self.radius * (self.end - self.start)

    def distance(self, point: Array) -> Array:
        """Of points (2, n) from the circle."""
        return np.abs(np.hypot(point[0], point[1] - self.centre) - self.radius)


@dataclass(frozen=True, slots=True)
class Straight:
    """A straight line between two points."""

    start: tuple[float, float]
    end: tuple[float, float]

    def at(self, share: Array) -> Array:
        """Return points at shares of the way, (2, n)."""
        a, b = np.array(self.start)[:, None], np.array(self.end)[:, None]
        return a + share * (b - a)

    def length(self) -> float:
        """Of the whole line."""
        return math.dist(self.start, self.end)

    def distance(self, point: Array) -> Array:
        """Of points (2, n) from the endless line."""
        (x, y), (u, v) = self.start, self.end
        return np.abs((point[0] - x) * (v - y) - (point[1] - y) * (u - x)) / self.length()


@frozen_record
class PlaneMesh:
    """Six-node triangles: corners, then the middles of the sides opposite to each."""

    node: Array  # (2, n)
    triangle: NDArray[np.intp]  # (6, e)
    in_journal: NDArray[np.bool_]  # (e,)
    in_pin: NDArray[np.bool_]  # (e,)


@frozen_record
class _Lines:
    """Pieces of the lines: the number of their ends' pair (p,) and their middles (2, p)."""

    key: NDArray[np.intp]
    middle: Array


def plane_mesh(shape: ThrowShape, size: float, ring: float = 0.0) -> PlaneMesh:
    """Return the mesh of a throw's half sections.

    Parameters
    ----------
    size : length of the sides, as `shape`'s
    ring : distance of extra rings of points on both sides of journal and pin, over the size,
        where stress peaks at the webs' faces; 0 for none
    """
    curves = _curves(shape)
    pieces = [piece for number, curve in enumerate(curves) for piece in _pieces(number, curve,
              curves, size)]  # fmt: skip
    grid = _grid(shape, curves, size)
    if ring:
        grid = _with_rings(grid, _rings(shape, curves, size, ring * size), size)
    for _ in range(ROUNDS):
        point, ends = _numbered(curves, pieces)
        points = np.concatenate((point, grid), axis=1)
        lines = _Lines(_keys(ends), _middles(curves, pieces))
        mesh, wrong = _six_nodes(shape, points, _triangles(points, size), lines)
        long = np.array([(b - a) * curves[n].length() for n, a, b in pieces]) > SHORTEST * size
        if not np.any(wrong & long):
            break
        pieces = [half for piece, halved in zip(pieces, wrong & long, strict=True)
                  for half in (_halves(piece) if halved else (piece,))]  # fmt: skip
    return mesh


def own_slopes(share: Array) -> Array:
    """Return slopes of the six shape functions, (2, 6, q), at shares b and c of points (2, q).

    Reference: Zienkiewicz and Taylor, The Finite Element Method, vol. 1 (from memory).
    """
    b, c = share
    a, none = 1 - b - c, np.zeros_like(b)
    return np.array([
        [1 - 4 * a, 4 * b - 1, none, 4 * c, -4 * c, 4 * (a - b)],
        [1 - 4 * a, none, 4 * c - 1, 4 * b, 4 * (a - c), -4 * b],
    ])  # fmt: skip


def _curves(shape: ThrowShape) -> list[Arc | Straight]:
    radius = shape.crank_radius
    circles = ((0.0, shape.main_diameter), (radius, shape.pin_diameter),
               (0.0, shape.journal_bore), (radius, shape.pin_bore))  # fmt: skip
    round_lines: list[Arc | Straight] = [Arc(c, d / 2) for c, d in circles if d > 0]
    outline = _outline(shape.main_width / 2, shape.pin_width / 2, radius)
    low, high = outline[-1].at(np.ones(1))[1, 0], outline[0].at(np.zeros(1))[1, 0]
    return [*outline, *round_lines, Straight((0.0, low), (0.0, high))]


def _outline(main: float, pin: float, radius: float) -> list[Arc | Straight]:
    """Return the web's outline from above the pin to below the main, as of `web_outline`."""
    if abs(main - pin) >= radius:
        return [Arc(0.0, main) if main > pin else Arc(radius, pin)]
    touch = math.pi / 2 - math.asin((main - pin) / radius)
    at_pin, at_main = Arc(radius, pin, 0.0, touch), Arc(0.0, main, touch, math.pi)
    ends = (at_pin.at(np.ones(1))[:, 0], at_main.at(np.zeros(1))[:, 0])
    return [at_pin, Straight(*((float(x), float(y)) for x, y in ends)), at_main]


Piece = tuple[int, float, float]  # of which curve, between which shares of it


def _pieces(number: int, curve: Arc | Straight, curves: list[Arc | Straight],
            size: float) -> list[Piece]:  # fmt: skip
    """Cut a curve where others cross it, and each part into pieces of about `size`."""
    cuts = np.array(sorted({0.0, 1.0, *_crossings(curve, curves)}))
    cuts = cuts[np.append(True, np.diff(cuts) * curve.length() > 1e-9)]
    found: list[Piece] = []
    for a, b in pairwise(cuts):
        step = size if isinstance(curve, Straight) else min(size, WIDEST * curve.radius)
        at = np.linspace(a, b, 1 + max(1, math.ceil((b - a) * curve.length() / step - 0.1)))
        found += [(number, float(p), float(q)) for p, q in pairwise(at)]
    return found


def _crossings(curve: Arc | Straight, curves: list[Arc | Straight]) -> list[float]:
    """Return shares of a curve where circles cross it; those of the web's outline cross none."""
    circles = [one for one in curves if isinstance(one, Arc) and one != curve]
    if isinstance(curve, Straight):
        (x, low), (u, high) = curve.start, curve.end
        if x or u:
            return []
        at = [one.centre + side * one.radius for one in circles for side in (-1, 1)]
        return [share for y in at if 0 < (share := (y - low) / (high - low)) < 1]
    shares = []
    for one in circles:
        apart = one.centre - curve.centre
        if apart and one.end - one.start == math.pi == curve.end - curve.start:
            cosine = (apart**2 + curve.radius**2 - one.radius**2) / (2 * apart * curve.radius)
            shares += [math.acos(cosine) / math.pi] if abs(cosine) < 1 else []
    return shares


def _halves(piece: Piece) -> tuple[Piece, Piece]:
    number, a, b = piece
    return (number, a, (a + b) / 2), (number, (a + b) / 2, b)


def _grid(shape: ThrowShape, curves: list[Arc | Straight], size: float) -> Array:
    """Return points of an even grid of triangles within the outline and clear of all lines."""
    reach = max(shape.main_width, shape.pin_width) / 2 + size
    row = np.arange(-reach, shape.crank_radius + reach, size * math.sqrt(0.75))
    x, y = np.meshgrid(np.arange(0.0, reach, size), row)
    x[1::2] += size / 2
    point = np.stack((x.ravel(), y.ravel()))
    clear = np.all([one.distance(point) > CLEAR * size for one in curves], axis=0)
    return point[:, clear & _inside(shape, point)]


def _rings(shape: ThrowShape, curves: list[Arc | Straight], size: float, offset: float) -> Array:
    """Return points inside and outside of journal and pin, clear of all lines and each other."""
    found = []
    for centre, diameter in ((0.0, shape.main_diameter), (shape.crank_radius, shape.pin_diameter)):
        circle = Arc(centre, diameter / 2)
        pieces = _pieces(0, circle, curves, size)
        share = np.array([piece[1] for piece in pieces] + [1.0])
        around = circle.at(share) - ((0.0,), (centre,))
        found += [(1 + side * 2 * offset / diameter) * around + ((0.0,), (centre,))
                  for side in (-1, 1)]  # fmt: skip
    point = np.concatenate(found, axis=1)
    clear = np.all([one.distance(point) > CLEAR * offset for one in curves], axis=0)
    point = point[:, clear & _inside(shape, point)]
    apart = np.hypot(*(point[:, :, None] - point[:, None])) > CLEAR * offset
    first = np.all(apart | ~np.tri(point.shape[1], k=-1, dtype=bool), axis=1)
    return point[:, first]


def _with_rings(grid: Array, ring: Array, size: float) -> Array:
    """Return both, less the grid's points near a ring's."""
    near = np.hypot(*(grid[:, :, None] - ring[:, None])) < CLEAR * size
    return np.concatenate((grid[:, ~near.any(axis=1)], ring), axis=1)


def _inside(shape: ThrowShape, point: Array) -> NDArray[np.bool_]:
    """Tell which points (2, n) lie in the hull of the web's two discs."""
    main, pin, radius = shape.main_width / 2, shape.pin_width / 2, shape.crank_radius
    share = np.linspace(0, 1, 65)[:, None]
    off = np.hypot(point[0], point[1] - share * radius)
    return np.any(off < main + share * (pin - main), axis=0)


def _numbered(curves: list[Arc | Straight], pieces: list[Piece]) -> tuple[Array, NDArray[np.intp]]:
    """Return the pieces' end points, each once (2, n), and their numbers (2, p)."""
    number, first, last = (np.array(each) for each in zip(*pieces, strict=True))
    ends = np.empty((2, 2, len(pieces)))
    for k, curve in enumerate(curves):
        mine = number == k
        ends[:, 0, mine], ends[:, 1, mine] = curve.at(first[mine]), curve.at(last[mine])
    flat = ends.reshape(2, -1)
    _, at, back = np.unique(np.round(flat, 9), axis=1, return_index=True, return_inverse=True)
    point = flat[:, at]
    point[0, np.abs(point[0]) < 1e-9] = 0.0
    return point, back.reshape(2, -1).astype(np.intp)


def _middles(curves: list[Arc | Straight], pieces: list[Piece]) -> Array:
    return np.concatenate([curves[n].at(np.array([(a + b) / 2])) for n, a, b in pieces], axis=1)


def _triangles(point: Array, size: float) -> NDArray[np.intp]:
    """Return Delaunay's triangles (3, e), anticlockwise, none flat."""
    triangle = Delaunay(point.T).simplices.T
    (ax, bx, cx), (ay, by, cy) = point[:, triangle]
    twice = (bx - ax) * (cy - ay) - (cx - ax) * (by - ay)
    triangle[1:] = np.where(twice < 0, triangle[:0:-1], triangle[1:])
    found: NDArray[np.intp] = triangle[:, np.abs(twice) > FLAT * size**2].astype(np.intp)
    return found


def _sides(triangle: NDArray[np.intp]) -> NDArray[np.intp]:
    """Return the ends of the sides opposite to each corner, (2, 3, e)."""
    return np.stack((triangle[[1, 2, 0]], triangle[[2, 0, 1]]))


def _keys(ends: NDArray[np.intp]) -> NDArray[np.intp]:
    """Return one number for each pair (2, n), whichever way round."""
    keys: NDArray[np.intp] = ends.min(axis=0) * 2**31 + ends.max(axis=0)
    return keys


def _six_nodes(
    shape: ThrowShape, point: Array, triangle: NDArray[np.intp], lines: _Lines
) -> tuple[PlaneMesh, NDArray[np.bool_]]:
    """Return the mesh with a node in the middle of each side, on its line if it belongs to one.

    With it the pieces of lines (p,) that no side follows, or that would fold a triangle: those
    stay straight.
    """
    sides = _sides(triangle).reshape(2, -1)
    keys, at, back = np.unique(_keys(sides), return_index=True, return_inverse=True)
    straight = point[:, sides[:, at]].mean(axis=1)
    place = np.searchsorted(keys, lines.key).clip(max=len(keys) - 1)
    wrong = keys[place] != lines.key
    middle = straight.copy()
    middle[:, place[~wrong]] = lines.middle[:, ~wrong]
    six = np.concatenate((triangle, len(point.T) + back.reshape(3, -1)))
    flat, curved = (_least_jacobian(np.concatenate((point, each), axis=1)[:, six])
                    for each in (straight, middle))  # fmt: skip
    folded = six[3:, curved < FOLDED * flat] - len(point.T)
    middle[:, folded] = straight[:, folded]
    x, y = point[:, triangle].mean(axis=1)
    off_main, off_pin = np.hypot(x, y), np.hypot(x, y - shape.crank_radius)
    mesh = PlaneMesh(
        node=np.concatenate((point, middle), axis=1),
        triangle=six,
        in_journal=(off_main < shape.main_diameter / 2) & (off_main > shape.journal_bore / 2),
        in_pin=(off_pin < shape.pin_diameter / 2) & (off_pin > shape.pin_bore / 2),
    )
    return mesh, wrong | np.isin(place, folded)


def _least_jacobian(six: Array) -> Array:
    """Return the least of what maps areas, over the six nodes of triangles (2, 6, e)."""
    share = np.array([[0.0, 1.0, 0.0, 0.5, 0.0, 0.5], [0.0, 0.0, 1.0, 0.5, 0.5, 0.0]])
    jacobian = np.einsum("kaq,lae->klqe", own_slopes(share), six)
    area = jacobian[0, 0] * jacobian[1, 1] - jacobian[0, 1] * jacobian[1, 0]
    least: Array = area.min(axis=0)
    return least
