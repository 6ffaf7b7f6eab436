"""Which holes to drill, as a linear programme with a yes or no for each place.

Unknown are x, the moment of each place over its largest, y, whether it is drilled at all, and t:

    for each plane and each side of a polygon inscribed in its circle:
        (residual - Σ share most x exp(i angle)) · side + Σ |share| rounding y <= t permissible
    least/most y <= x <= y;  Σ y <= holes;  of places that overlap one at most;  t <= 1

A hole brings its own error of rounding its depth with it, so rounded depths keep the tolerance.

Source: Wolsey, Integer Programming (from memory), for the form with fixed charges; a polygon for a
circle is common practice, no source.
"""

import math

import numpy as np
from numpy.typing import NDArray
from scipy import sparse  # type: ignore[import-untyped]
from scipy.optimize import (  # type: ignore[import-untyped]
    Bounds,
    LinearConstraint,
    linprog,
    milp,
)

from kinematics.array import Array, ComplexArray
from kinematics.balancing.balance_quality import PlaneTolerance
from kinematics.balancing.drill_sites import Candidates, overlaps
from kinematics.balancing.unbalance import plane_shares
from kinematics.one_line import frozen_record

SIDES = 24  # of the polygon in each tolerance circle
_MARGIN = 1 - 1e-4  # for the solver's own tolerance
_FIRST, _NEXT, _ALL = 16, 32, 96  # numbers of places that are tried, by their promise
_NODES = 100  # branches looked at before the best that was found is taken
_HOLE_WORTH = 1e-3  # mass [kg] that a hole must save where the lightest is wanted
_GAP = {"fewest": 0.02, "lightest": 0.02, "closest": 0.1}  # of the aim, good enough
_NEAR = 2  # steps of angle that a chosen hole may still move

Places = NDArray[np.intp]


@frozen_record
class Choice:
    """Holes chosen: places among the candidates (k,), their moments (k,) [kg·m]."""

    places: Places
    moments: Array


@frozen_record
class HoleRange:
    """How near parts of holes come: what is left (2,) [kg·m], its largest ratio to what may be."""

    residual: ComplexArray
    ratio: float


@frozen_record
class Promise:
    """What parts of holes say: a bound on the aim, and the places by what they promise."""

    bound: float
    order: Places


@frozen_record
class DrillOptimiser:
    """The programme's rows; a row of a circle is over what is permissible.

    `direction` (2, n) is a place's share in each plane with its angle; `effect` and `rounding`
    (2·sides, n) belong to x and y, `start` (2·sides,) to the residual; `overlap` is (rows, n).
    """

    own: Candidates
    residual: ComplexArray
    direction: ComplexArray
    effect: Array
    rounding: Array
    start: Array
    overlap: Array

    def __len__(self) -> int:
        return len(self.own)

    def left_by(self, choice: Choice) -> ComplexArray:
        """Return what a choice leaves (2,) [kg·m].

        Reference: follows from statics of a rigid rotor.
        """
        left: ComplexArray = self.residual - self.direction[:, choice.places] @ choice.moments
        return left

    def reach(self, most_holes: int) -> HoleRange:
        """Return the smallest ratio that parts of holes reach, the larger of both planes."""
        n = len(self)
        rows, limits = self._relaxed_rows(most_holes)
        circle = np.arange(len(limits)) < len(self.start)
        found = linprog(
            np.append(np.zeros(n), 1.0),
            A_ub=sparse.hstack((rows, sparse.csr_array(-circle[:, None].astype(float)))),
            b_ub=limits - circle,
            bounds=[(0, 1)] * n + [(0, None)],
            method="highs",
        )
        every = Choice(np.arange(n), found.x[:n] * self.own.most)
        return HoleRange(self.left_by(every), float(found.x[n]))

    def promise(self, aim: str, most_holes: int) -> Promise | None:
        """Return bound and order of places for an aim; None if parts of holes cannot reach it.

        Places come by their reduced cost: what drilling a little of each would cost the aim.

        Reference: Wolsey, Integer Programming (from memory), the form with fixed charges.
        """
        cost = np.ones(len(self)) if aim == "fewest" else self.own.most_mass + _HOLE_WORTH
        rows, limits = self._relaxed_rows(most_holes)
        found = linprog(cost, A_ub=rows, b_ub=limits, bounds=(0, 1), method="highs")
        if found.status != 0:
            return None
        reduced = cost - rows.T @ found.ineqlin.marginals
        return Promise(float(found.fun), np.argsort(reduced, kind="stable"))

    def choice(self, among: Places, aim: str, fewest_holes: int, most_holes: int) -> Choice | None:
        """Return the best holes at places among all, or None if none were found.

        `aim` is "fewest", "lightest" or "closest": the smallest ratio in the worse plane.
        """
        n = len(among)
        rows, limits = self._rows(among)
        count = np.repeat((0.0, 1.0, 0.0), (n, n, 1))
        found = milp(
            self._cost(among, aim),
            constraints=(
                LinearConstraint(rows, -np.inf, limits),
                LinearConstraint(count[None, :], fewest_holes, most_holes),
            ),
            integrality=count,
            bounds=Bounds(0, 1),
            options={"node_limit": _NODES, "mip_rel_gap": _GAP[aim]},
        )
        if found.x is None:
            return None
        taken = np.flatnonzero(found.x[n : 2 * n] > 0.5)
        places = among[taken]
        moments = found.x[taken] * self.own.most[places]
        return Choice(places, np.clip(moments, self.own.least[places], self.own.most[places]))

    def _relaxed_rows(self, most_holes: int) -> tuple[sparse.csr_array, Array]:
        """Return rows and limits with y = x, so a part of a hole has that part of its cost."""
        n = len(self)
        blocks = (self.effect + self.rounding, self.overlap, np.ones((1, n)))
        limits = (1 - self.start, np.ones(len(self.overlap)), [float(most_holes)])
        return sparse.csr_array(np.vstack(blocks)), np.concatenate(limits)

    def _rows(self, among: Places) -> tuple[Array, Array]:
        """Return rows and limits over (x, y, t) for places among all."""
        n = len(among)
        identity, least = np.eye(n), np.diag(self.own.least[among] / self.own.most[among])
        overlap = self.overlap[:, among]
        overlap = overlap[overlap.sum(axis=1) > 1]
        blocks = (
            (self.effect[:, among], self.rounding[:, among], np.full((len(self.start), 1), -1.0)),
            (identity, -identity, np.zeros((n, 1))),
            (-identity, least, np.zeros((n, 1))),
            (np.zeros_like(overlap), overlap, np.zeros((len(overlap), 1))),
        )
        limits = (-self.start, np.zeros(2 * n), np.ones(len(overlap)))
        return np.vstack([np.hstack(block) for block in blocks]), np.concatenate(limits)

    def _cost(self, among: Places, aim: str) -> Array:
        """Return the aim's cost of (x, y, t); masses along the chord from least to most moment."""
        n = len(among)
        if aim != "lightest":
            counted = (0, 1, 0) if aim == "fewest" else (0, 0, 1)
            return np.repeat(np.array(counted, dtype=float), (n, n, 1))
        own = self.own
        least, most = own.least[among] / own.most[among], own.most_mass[among]
        slope = (most - own.minimum_mass[among]) / np.maximum(1 - least, 1e-9)
        return np.concatenate((slope, most - slope + _HOLE_WORTH, [0.0]))


def drill_optimiser(
    residual: ComplexArray, tolerance: PlaneTolerance, own: Candidates
) -> DrillOptimiser:
    """Return the programme for a residual unbalance (2,) [kg·m] in the tolerance's planes.

    Reference: Wolsey, Integer Programming (from memory), the form with fixed charges.
    """
    share = plane_shares(own.z, tolerance.planes).T
    sides = np.exp(-2j * np.pi * np.arange(SIDES) / SIDES)
    within = (tolerance.amounts * math.cos(math.pi / SIDES) * _MARGIN)[:, None]
    direction = share * np.exp(1j * own.angle)
    effect = -(sides[None, :, None] * (direction * own.most / within)[:, None, :]).real
    rounding = np.repeat(np.abs(share) * own.rounding / within, SIDES, axis=0)
    start = (sides * residual[:, None] / within).real
    return DrillOptimiser(
        own,
        residual,
        direction,
        effect.reshape(2 * SIDES, -1),
        rounding,
        start.ravel(),
        overlaps(own).astype(float),
    )


@frozen_record
class Search:
    """What was found: the best choice or None, and the relaxed bound on the aim or None."""

    choice: Choice | None
    bound: float | None


def searched(
    optimiser: DrillOptimiser, aim: str, most_holes: int, angle_step: float, *, patient: bool = True
) -> Search:
    """Return the best holes among the places of most promise.

    Beside the very first, only places on even steps are tried, for neighbours promise alike; if
    nothing is found and `patient`, more of all.
    """
    promise = optimiser.promise(aim, most_holes) if len(optimiser) else None
    if promise is None:
        return Search(None, None)
    best, rest = promise.order[:_FIRST], promise.order[_FIRST:]
    even = np.round(optimiser.own.angle[rest] / angle_step) % 2 == 0
    places = np.concatenate((best, rest[even][:_NEXT]))
    choice = optimiser.choice(places, aim, 0, most_holes)
    if choice is None and patient:
        choice = optimiser.choice(promise.order[:_ALL], aim, 0, most_holes)
    return Search(choice, promise.bound)


def settled(optimiser: DrillOptimiser, choice: Choice, angle_step: float) -> Choice:
    """Return as many holes, moved on their faces by a few steps to leave the least residual."""
    own, count = optimiser.own, len(choice.places)
    apart = own.angle[:, None] - own.angle[choice.places]
    apart = np.abs(np.mod(apart + np.pi, 2 * np.pi) - np.pi)
    near = (apart <= (_NEAR + 0.5) * angle_step) & (own.site[:, None] == own.site[choice.places])
    among = np.flatnonzero(near.any(axis=1))
    return optimiser.choice(among, "closest", count, count) or choice
