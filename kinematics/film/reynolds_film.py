"""The film of a plain round bearing of finite width: Reynolds' equation, squeezed, cavitating.

A rigid, fully round bearing without feed, ambient pressure at both sides, one viscosity. Angles
count from the eccentricity, where the film is thinnest, positive a quarter turn ahead (the house's
sense of rotation), so H = h/c = 1 - ε cos φ. The journal's centre moves at the velocity V, in
parts along the eccentricity and a quarter turn ahead of it; lengths along the width in radii:

    ∂/∂φ (H³ ∂P/∂φ) + ∂/∂Z (H³ ∂P/∂Z) = -12 (V · n),   P ≥ 0 on |Z| < L/D.

Where the film is filled the equation holds, elsewhere P is 0 and the film opens: Swift and
Stieber's condition, a linear complementarity problem. With v [1/s] the size of the rate of change
of the eccentricity ratio and V of size 1, the groups are

    P = p c² / (μ R² v),   F = W c² / (μ R⁴ v),   mean P = F / (4 L/D),   Q = q / (R L c v),

and the mobility, velocity over load, is M = 4 (L/D) V / F, so that v V = W (c/R)² / (μ L D) M. A
journal that turns at ω about a fixed place is squeezed at v = ω ε/2 against its sense of rotation.

Source: B. J. Hamrock, S. R. Schmid and B. O. Jacobson, Fundamentals of Fluid Film Lubrication,
2nd ed., 2004 (equation and condition, from memory); the active set is Howard's policy iteration,
exact in a finite number of steps as the matrix is an M-matrix.
"""

import math

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import csc_array  # type: ignore[import-untyped]
from scipy.sparse.linalg import splu  # type: ignore[import-untyped]

from kinematics.array import Array
from kinematics.errors import DesignError
from kinematics.one_line import frozen_record

Filled = NDArray[np.bool_]  # where the film is filled (angle, width)

_HALVINGS = 60
_STEPS = 400
_COARSE = 32  # angles of the coarsest grid that starts a finer one


@frozen_record
class FilmGrid:
    """Cells of half the width, from the middle plane to one side; angles from the thinnest film."""

    eccentricity: float
    width_ratio: float
    angle_faces: Array  # [rad] (angle + 1,), from -π to π
    angle: Array  # of the cells' middles [rad] (angle,)
    width_faces: Array  # [radii] (width + 1,), from 0 to L/D
    width: Array  # of the cells' middles [radii] (width,)

    def film(self, angle: Array) -> Array:
        """Return the film's thickness over the clearance at angles [rad], of their shape.

        Reference: h/c = 1 + ε cos φ, the geometry of two circles.
        """
        return 1 - self.eccentricity * np.cos(angle)


@frozen_record
class ReynoldsFilm:
    """A solved film, in the groups of the module."""

    grid: FilmGrid
    velocity: Array  # along the eccentricity and ahead of it, (2,)
    pressure: Array  # at the cells' middles (angle, width)
    filled: Filled  # where the film is filled (angle, width)
    lack: Array  # volume a cell would take up beyond what flows in (angle, width); 0 where filled
    force: Array  # of the journal on its shell, along the eccentricity and ahead of it, (2,)
    peak: float  # highest pressure
    peak_angle: float  # its place [rad], from the thinnest film
    side_flow: float  # out of both sides, Q

    @property
    def mobility(self) -> Array:
        """Velocity over load (2,), along the eccentricity and ahead of it.

        Reference: J. F. Booker, ASME J. Basic Eng. 87, 1965 (from memory).
        """
        return 4 * self.grid.width_ratio * self.velocity / np.hypot(*self.force)

    @property
    def load_angle(self) -> float:
        """Angle of the load [rad] from the eccentricity, positive ahead."""
        return math.atan2(self.force[1], self.force[0])

    @property
    def peak_over_mean(self) -> float:
        """Highest pressure over the load's share of the projected area, W/(L D)."""
        return self.peak * 4 * self.grid.width_ratio / float(np.hypot(*self.force))


@frozen_record
class _Flows:
    """What flows between neighbours for a unit of pressure, each (angle, width)."""

    ahead: Array  # to the next angle
    outward: Array  # to the next cell toward the side; the last to the ambient
    total: Array  # to all neighbours


def film_grid(
    eccentricity: float, width_ratio: float, cells: tuple[int, int] = (192, 16)
) -> FilmGrid:
    """Return a grid with cells (round the bearing, over half the width), fine where the film is.

    The density round the bearing is the mean of an even one and one even in Sommerfeld's angle
    ψ, tan(ψ/2) = √((1 + ε)/(1 - ε)) tan(φ/2); over the width the cells shrink toward the side
    where the pressed region √(2 (1 - ε)) is short beside L/D.

    Raises
    ------
    DesignError for an eccentricity ratio that is not from 0 to below 1, a width not above 0.
    """
    if not 0 <= eccentricity < 1:
        raise DesignError("eccentricity", f"must be 0 to below 1 (got {eccentricity:g})")
    if not 0 < width_ratio < math.inf:
        raise DesignError("width_ratio", f"must be above 0 and finite (got {width_ratio:g})")
    around, over = cells
    angles = clustered_angles(np.arange(2 * around + 1) / around - 1, eccentricity)
    widths = width_ratio * _clustered_widths(
        np.arange(2 * over + 1) / (2 * over), width_ratio / math.sqrt(2 * (1 - eccentricity))
    )
    halves = (angles[::2], angles[1::2], widths[::2], widths[1::2])  # faces and middles
    return FilmGrid(eccentricity, width_ratio, *halves)


def clustered_angles(share: Array, eccentricity: float) -> Array:
    """Return φ [rad] where (φ + ψ)/2 is the share (-1 to 1) of π.

    Reference: a choice of grid, common practice, no source.
    """
    slope = math.sqrt((1 + eccentricity) / (1 - eccentricity))
    size = np.abs(share) * math.pi
    low, high = np.zeros_like(size), np.full_like(size, math.pi)
    for _ in range(_HALVINGS):  # of ψ, which unlike φ is nowhere crowded
        middle = (low + high) / 2
        enough = middle + 2 * np.arctan(np.tan(middle / 2) / slope) >= 2 * size
        low, high = np.where(enough, low, middle), np.where(enough, middle, high)
    found = 2 * np.arctan(np.tan((low + high) / 4) / slope)
    return np.sign(share) * np.where(np.abs(share) == 1, math.pi, found)


def _clustered_widths(share: Array, slimness: float) -> Array:
    """Return places (0 to 1) at shares (0 to 1); the last cells are finer the greater the ratio."""
    strength = math.asinh(slimness)
    return 1 - np.sinh(strength * (1 - share)) / math.sinh(strength)


def solve_film(
    eccentricity: float,
    velocity: Array,
    width_ratio: float,
    *,
    cells: tuple[int, int] = (192, 16),
    groove: bool = False,
    start: Filled | None = None,
) -> ReynoldsFilm:
    """Return the film of a bearing of width L/D whose journal moves at a velocity (2,).

    Parameters
    ----------
    velocity : along the eccentricity and a quarter turn ahead of it; made of size 1 here
    cells : round the bearing and over half the width
    groove : an axial groove at the thickest film holds the ambient pressure there
    start : a guess of where the film is filled, bool (angle, width); it saves steps alone

    Raises
    ------
    DesignError for an impossible bearing, or a velocity of no size.

    Reference: Hamrock, Schmid and Jacobson, Fundamentals of Fluid Film Lubrication, 2nd ed., 2004
    (from memory).
    """
    grid = film_grid(eccentricity, width_ratio, cells)
    size = float(np.hypot(*velocity))
    if not 0 < size < math.inf:
        raise DesignError("velocity", f"must be above 0 and finite (got size {size:g})")
    unit = np.asarray(velocity, dtype=float) / size
    if start is None:
        start = _coarse_start(eccentricity, unit, width_ratio, cells, groove)
    flows = _flows(grid, groove)
    squeezed = 12 * np.outer(_normal(grid) @ unit, np.diff(grid.width_faces))
    pressure, filled = _complementary(flows, squeezed, start)
    lack = np.where(filled, 0.0, _residual(flows, squeezed, pressure))
    return _film(grid, unit, pressure, filled, lack / 12, flows)


def _coarse_start(
    eccentricity: float, unit: Array, width_ratio: float, cells: tuple[int, int], groove: bool
) -> Filled | None:
    """Return where a grid of half the cells is filled, on this grid; None for the coarsest."""
    around, over = cells
    if around % 2 or over % 2 or around < 2 * _COARSE:
        return None
    half = (around // 2, over // 2)
    coarse = solve_film(eccentricity, unit, width_ratio, cells=half, groove=groove)
    return np.repeat(np.repeat(coarse.filled, 2, axis=0), 2, axis=1)


def _flows(grid: FilmGrid, groove: bool) -> _Flows:
    """Return the flow between neighbours for a unit of pressure: H³ times breadth over distance."""
    angle_steps, width_steps = np.diff(grid.angle_faces), np.diff(grid.width_faces)
    ring = np.append(grid.angle, grid.angle[0] + 2 * math.pi)
    ahead = np.outer(grid.film(grid.angle_faces[1:]) ** 3 / np.diff(ring), width_steps)
    distances = np.diff(np.append(grid.width, grid.width_ratio))
    outward = np.outer(grid.film(grid.angle) ** 3 * angle_steps, 1 / distances)
    total = ahead + np.roll(ahead, 1, axis=0) + outward
    total[:, 1:] += outward[:, :-1]
    if groove:  # at half the distance, so twice the flow, and nothing across
        total[[0, -1]] += ahead[-1]
        ahead[-1] = 0.0
    return _Flows(ahead, outward, total)


def _normal(grid: FilmGrid) -> Array:
    """Return the integral of the shell's normal over each cell's angle (angle, 2)."""
    faces = grid.angle_faces
    return np.stack((np.diff(np.sin(faces)), -np.diff(np.cos(faces))), axis=1)


def _residual(flows: _Flows, squeezed: Array, pressure: Array) -> Array:
    """Return what flows out of each cell by pressure less what is squeezed (angle, width)."""
    ahead, outward = flows.ahead, flows.outward
    out = flows.total * pressure - squeezed
    out -= ahead * np.roll(pressure, -1, axis=0) + np.roll(ahead * pressure, 1, axis=0)
    out[:, :-1] -= outward[:, :-1] * pressure[:, 1:]
    out[:, 1:] -= outward[:, :-1] * pressure[:, :-1]
    return out


def _complementary(flows: _Flows, squeezed: Array, start: Filled | None) -> tuple[Array, Filled]:
    """Return the pressure and where the film is filled: P ≥ 0, residual ≥ 0, one of them 0."""
    filled = squeezed > 0 if start is None else start
    for _ in range(_STEPS):
        pressure = _filled_pressure(flows, squeezed, filled)
        lack = np.where(filled, 0.0, _residual(flows, squeezed, pressure))
        better = np.where(filled, pressure > 0, lack < 0)
        if (better == filled).all():
            return pressure, filled
        filled = better
    raise DesignError("cells", f"no film in {_STEPS} steps; use coarser cells")


def _filled_pressure(flows: _Flows, squeezed: Array, filled: Filled) -> Array:
    """Return the pressure (angle, width) with the equation where filled and 0 elsewhere."""
    number = np.full(filled.shape, -1)
    number[filled] = np.arange(filled.sum())
    rows, columns, values = [number[filled]], [number[filled]], [flows.total[filled]]
    for here, there, flow in (
        (number, np.roll(number, -1, axis=0), flows.ahead),
        (number[:, :-1], number[:, 1:], flows.outward[:, :-1]),
    ):
        both = (here >= 0) & (there >= 0)
        rows += [here[both], there[both]]
        columns += [there[both], here[both]]
        values += [-flow[both], -flow[both]]
    shape = (int(filled.sum()),) * 2
    entries = (np.concatenate(values), (np.concatenate(rows), np.concatenate(columns)))
    factors = splu(
        csc_array(entries, shape=shape),
        permc_spec="MMD_AT_PLUS_A",
        diag_pivot_thresh=0.0,
        options={"SymmetricMode": True},
    )
    pressure = np.zeros(filled.shape)
    pressure[filled] = factors.solve(squeezed[filled])
    return pressure


def _film(
    grid: FilmGrid, unit: Array, pressure: Array, filled: Filled, lack: Array, flows: _Flows
) -> ReynoldsFilm:
    """Return the record: force, peak and flow of a pressure field."""
    over_width = 2 * pressure @ np.diff(grid.width_faces)
    out = float((flows.outward[:, -1] * pressure[:, -1]).sum())
    peak, place = _peak(grid, pressure)
    return ReynoldsFilm(
        grid=grid,
        velocity=unit,
        pressure=pressure,
        filled=filled,
        lack=lack,
        force=over_width @ _normal(grid),
        peak=peak,
        peak_angle=place,
        side_flow=out / (12 * grid.width_ratio),
    )


def _middle_pressure(grid: FilmGrid, pressure: Array) -> Array:
    """Return the pressure in the middle plane (angle,), by an even parabola over the width."""
    first, second = grid.width[:2] ** 2
    return pressure[:, 0] + (pressure[:, 0] - pressure[:, 1]) * first / (second - first)


def _peak(grid: FilmGrid, pressure: Array) -> tuple[float, float]:
    """Return the highest pressure in the middle plane and its angle [rad], by a parabola."""
    middle = _middle_pressure(grid, pressure)
    top = int(middle.argmax())
    near = np.arange(top - 1, top + 2)
    angles = grid.angle[near % len(middle)] + 2 * math.pi * (near // len(middle))
    offset = angles - angles[1]
    bend, slope, height = np.polyfit(offset, middle[near % len(middle)], 2)
    place = -slope / (2 * bend)
    return float(height - slope**2 / (4 * bend)), float(angles[1] + place)
