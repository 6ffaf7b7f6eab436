"""The closed orbit of journals in their shells over a cycle, all bearings at once.

The mobility equation dε/dφ = W k M(ε, W) + drag × ε, with φ the crank angle, is written by the
trapezium rule between neighbouring points of the cycle, the last joined to the first, and the
whole is solved by Newton's method. Steps too long for the trapezium rule are taken by backward
Euler. Each step is a chain of linear maps of one point to the next, in which every second point
is left out, again and again, until one is left.

Source: as of `mobility`; the trapezium rule is of second order, both rules are stable for stiff
equations (E. Hairer and G. Wanner, Solving Ordinary Differential Equations II, from memory).
"""

import numpy as np
from numpy.typing import NDArray

from kinematics.array import Array
from kinematics.errors import DesignError
from kinematics.film.film_model import FilmModel, JournalPlaces, Velocity
from kinematics.one_line import frozen_record

FIRST_GUESS = 0.8  # eccentricity ratio along the load
MOST_STEPS, CLOSED = 60, 1e-5  # of Newton's method; error over film at which it ends
THINNEST = 2e-4  # film over clearance that is still computed
NEAR_CLOSED = 0.1  # change over film below which the steps shrink as Newton's method has it
NEAREST = 0.2  # share of the way to the shell that a change must leave
NEAR_SHELL = 0.3  # share of that way below which a step counts as coming near the shell
Maps = Array  # (2, 3, b, n), of one point to the next: a 2 × 2 matrix and what is added


@frozen_record
class LoadedJournals:
    """What drives journals in their shells, one a row; axes are those of the shells."""

    load: Array  # [N] (b, 2, n) of journal on shell
    slip: Array  # (b, n), journal's speed against its shell over crank speed
    mobility_rate: Array  # [1/(N·rad)] (b,), (c/R)² / (μ L D) over crank speed
    width_ratio: Array  # (b,), L/D
    cycle_angle: float  # [rad]

    @property
    def step(self) -> float:
        """Angle between points [rad]."""
        return self.cycle_angle / self.load.shape[-1]

    def places(self, orbit: Array) -> JournalPlaces:
        """Return the places of an orbit (b, 2, n) in axes that follow the load.

        Reference: J. F. Booker, ASME J. Basic Eng. 87, 1965 (from memory).
        """
        return _UnderLoad.of(self).places(orbit)


def closed_orbits(
    journals: LoadedJournals,
    film: FilmModel,
    *,
    start: Array | None = None,
    closed: Array | float = CLOSED,
    thrifty: bool = False,
) -> Array:
    """Return the eccentricity ratios (b, 2, n) of the closed orbits.

    Each is found as if it were alone: what is solved beside it changes nothing of it.

    Parameters
    ----------
    film : of the journals' rows
    start : (b, 2, n), a guess to begin with
    closed : error of any place over the film there below which an orbit counts as closed, or (b,)
    thrifty : every second step takes the slopes of the one before: from a start that is near, for
        orbits that need not close better than they have to

    Raises
    ------
    DesignError where no film is left.

    Reference: Hairer and Wanner, Solving Ordinary Differential Equations II (from memory).
    """
    problem = _Problem(_UnderLoad.of(journals), film, journals.slip / 2)
    orbit = FIRST_GUESS * problem.loads.along if start is None else start.copy()
    rows, before = np.arange(len(orbit)), np.zeros(len(orbit))
    closed = np.broadcast_to(closed, len(orbit))
    rule: _Linearised | None = None
    for count in range(MOST_STEPS):
        again = rule if thrifty and count % 2 else None
        own = orbit if len(rows) == len(orbit) else orbit[rows]
        step, rule = _newton_step(problem, own, journals.step, again)
        orbit[rows] = moved = _within(own + step, own)
        gap = 1 - np.sqrt(moved[:, 0] ** 2 + moved[:, 1] ** 2)
        change = (np.abs(step).max(axis=1) / gap).max(axis=-1)
        following = change**2 / np.maximum(change, before)  # what one more step would change
        left = np.flatnonzero((following >= closed[rows]) | (change >= NEAR_CLOSED))
        if not len(left):
            if (1 - np.sqrt(orbit[:, 0] ** 2 + orbit[:, 1] ** 2)).min() < THINNEST:
                break
            return orbit
        if len(left) < len(rows):
            problem, rule = problem.of_rows(left), rule.of_rows(left)
            rows, change = rows[left], change[left]
        before = change
    if thrifty:
        return closed_orbits(journals, film, start=start, closed=closed)
    raise DesignError(
        "bearings",
        "no oil film can be computed: the speed may be too low for the load, or the load may turn "
        "at half the journal's speed",
    )


@frozen_record
class _UnderLoad:
    along: Array  # (b, 2, n), unit vectors of the load
    angle: Array  # (b, n), their directions [rad] from the shell's y axis
    rate: Array  # (b, n), change of eccentricity ratio a radian at a mobility of 1

    @staticmethod
    def of(journals: LoadedJournals) -> "_UnderLoad":
        load = journals.load
        size = np.sqrt(load[:, 0] ** 2 + load[:, 1] ** 2)
        along = np.divide(load, size[:, None], out=np.zeros_like(load), where=size[:, None] > 0)
        angle = np.arctan2(along[:, 0], along[:, 1])
        return _UnderLoad(along, angle, size * journals.mobility_rate[:, None])

    def places(self, orbit: Array) -> JournalPlaces:
        ax, ay = self.along[:, 0], self.along[:, 1]
        x, y = orbit[:, 0], orbit[:, 1]
        at = JournalPlaces(x * ax + y * ay, x * ay - y * ax, ax, ay, self.rate)
        at.__dict__["load_angle"] = self.angle
        return at


@frozen_record
class _Problem:
    loads: _UnderLoad
    film: FilmModel
    drag: Array  # (b, n), half the slip: mean speed of the surfaces in the shell's axes

    def of_rows(self, rows: NDArray[np.intp]) -> "_Problem":
        under = self.loads
        loads = _UnderLoad(under.along[rows], under.angle[rows], under.rate[rows])
        return _Problem(loads, self.film.of_rows(rows), self.drag[rows])

    def velocity(self, orbit: Array) -> Array:
        """Return dε/dφ (b, 2, n)."""
        at = self.loads.places(orbit)
        return self._turned_on(at, self.film.velocity(at), orbit)

    def velocity_and_slopes(self, orbit: Array) -> tuple[Array, Array]:
        """Return dε/dφ (b, 2, n) and its slopes (2, 2, b, n)."""
        at = self.loads.places(orbit)
        ax, ay = at.load_x, at.load_y
        velocity, (xx, xy, yx, yy) = self.film.velocity_and_slopes(at)
        x_along, y_along = xx * ax + yx * ay, xx * ay - yx * ax
        x_ahead, y_ahead = yy * ay, -(yy * ax)
        if xy is not None:
            x_ahead, y_ahead = x_ahead + xy * ax, y_ahead + xy * ay
        slopes = np.empty((2, 2, *ax.shape))
        slopes[0, 0] = x_along * ax + x_ahead * ay
        slopes[0, 1] = x_along * ay - x_ahead * ax + self.drag
        slopes[1, 0] = y_along * ax + y_ahead * ay - self.drag
        slopes[1, 1] = y_along * ay - y_ahead * ax
        return self._turned_on(at, velocity, orbit), slopes

    def _turned_on(self, at: JournalPlaces, velocity: Velocity, orbit: Array) -> Array:
        """Return the velocity in the shell's axes with what the surfaces drag along."""
        moved = np.empty_like(orbit)
        moved[:, 0], moved[:, 1] = at.in_shell(*velocity)
        moved[:, 0] += self.drag * orbit[:, 1]
        moved[:, 1] -= self.drag * orbit[:, 0]
        return moved


@frozen_record
class _Linearised:
    """The rule about some orbits: how the change of a point follows from that of the one before."""

    inverse: Array  # (2, 2, b, n), of what the change itself does
    chain: Array  # (2, 2, b, n), that times what the change before does

    @staticmethod
    def of(slopes: Array, on: Array, off: Array) -> "_Linearised":
        """Return it of slopes (2, 2, b, n) that count so much on a step's later and earlier end."""
        here, before = -on * slopes, off * _one_before(slopes)
        for entry in (0, 1):
            here[entry, entry] += 1
            before[entry, entry] += 1
        inverse = _inverse(here)
        return _Linearised(inverse, _product(inverse, before))

    def of_rows(self, rows: NDArray[np.intp]) -> "_Linearised":
        return _Linearised(self.inverse[:, :, rows], self.chain[:, :, rows])

    def change(self, short: Array) -> Array:
        """Return the change of all points (b, 2, n) that makes up for what is short."""
        own = _product(self.inverse, np.swapaxes(short, 0, 1)[:, None])
        maps = np.concatenate((self.chain, own), axis=1)
        return np.swapaxes(_closed_chain(maps), 0, 1)


def _newton_step(
    problem: _Problem, orbit: Array, step: float, kept: _Linearised | None
) -> tuple[Array, _Linearised]:
    """Return the change of all points that the linearised rule asks for, and that rule.

    What is `kept` of a step before serves once more.
    """
    if kept is None:
        moved, slopes = problem.velocity_and_slopes(orbit)
    else:
        moved = problem.velocity(orbit)
    before, moved_before = _one_before(orbit), _one_before(moved)
    later = _share_of_later_end(before, moved_before, step)
    on, off = step * later, step * (1 - later)
    rule = _Linearised.of(slopes, on, off) if kept is None else kept
    short = before - orbit + on[:, None] * moved + off[:, None] * moved_before
    return rule.change(short), rule


def _one_before(values: Array) -> Array:
    """Return at every point of the cycle (…, n) the value at the point before."""
    out = np.empty_like(values)
    out[..., 1:], out[..., 0] = values[..., :-1], values[..., -1]
    return out


def _share_of_later_end(before: Array, moved: Array, step: float) -> Array:
    """Return how much the velocity at a step's later end counts (b, n): 1/2 to 1.

    A half, the trapezium rule, but where half a step at the earlier velocity would come near the
    shell or through it: there the later end counts alone (backward Euler), which has a solution
    however long the step.
    """
    x, y = before[:, 0], before[:, 1]
    room = 1 - np.sqrt(x * x + y * y)
    x, y = x + step / 2 * moved[:, 0], y + step / 2 * moved[:, 1]
    left = 1 - np.sqrt(x * x + y * y)
    return 1 - 0.5 * np.clip(left / (NEAR_SHELL * room), 0.0, 1.0)


def _closed_chain(maps: Maps) -> Array:
    """Return the x (2, b, n) with x_i = maps_i of x_(i-1), the first following the last.

    One point of each pair is left out and follows from the one before; a last one without a pair
    stays. One point alone follows itself.
    """
    count = maps.shape[-1]
    if count == 1:
        return _product(_inverse(np.eye(2)[..., None, None] - maps[:, :2]), maps[:, 2:])[:, 0]
    first, second = maps[..., 0 : count - 1 : 2], maps[..., 1::2]
    pairs = _joined(second, first)
    odd = count % 2
    kept = _closed_chain(np.concatenate((pairs, maps[..., -1:]), axis=-1) if odd else pairs)
    x = np.empty((2, *maps.shape[2:]))
    x[..., 1::2] = kept[..., : count // 2]
    x[..., 0 : count - 1 : 2] = _applied(first, _one_before(kept)[..., : count // 2])
    if odd:
        x[..., -1] = kept[..., -1]
    return x


def _within(orbit: Array, before: Array) -> Array:
    """Return points drawn back toward the middle where they come too near the shell."""
    size = np.sqrt(orbit[:, 0] ** 2 + orbit[:, 1] ** 2)
    gap = 1 - np.sqrt(before[:, 0] ** 2 + before[:, 1] ** 2)
    most = 1 - np.maximum(NEAREST * gap, 1e-9)
    shrunk = np.minimum(1.0, most / np.maximum(size, 1e-300))
    return orbit * shrunk[:, None]


def _inverse(matrix: Array) -> Array:
    """Return the inverse of matrices (2, 2, b, n)."""
    (a, b), (c, d) = matrix
    inverse = np.empty_like(matrix)
    inverse[0, 0], inverse[0, 1], inverse[1, 0], inverse[1, 1] = d, -b, -c, a
    inverse /= a * d - b * c
    return inverse


def _product(left: Array, right: Array) -> Array:
    """Return the product of matrices (2, 2, b, n) and (2, k, b, n)."""
    return left[:, :1] * right[:1] + left[:, 1:2] * right[1:]


def _joined(later: Maps, earlier: Maps) -> Maps:
    """Return what maps do after others."""
    both = _product(later, earlier)
    both[:, 2] += later[:, 2]
    return both


def _applied(maps: Maps, x: Array) -> Array:
    """Return what maps make of x (2, b, n)."""
    return maps[:, 0] * x[0] + maps[:, 1] * x[1] + maps[:, 2]
