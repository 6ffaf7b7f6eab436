"""The linear programme in which counterweights of minimum inertia are sought, by cutting planes.

Its variables are the counterweights' parts opposite their pins (and, if they may stand aside, a
quarter turn ahead of that), their lengths, their inertias, and the worst main's load. What is
convex is held from below by tangents; more of them where an answer is still too low.

Source: J. E. Kelley, The cutting-plane method for solving convex programs, J. SIAM 8, 1960 (from
memory).
"""

import math

import numpy as np
from scipy.optimize import linprog  # type: ignore[import-untyped]

from kinematics.array import Array
from kinematics.one_line import frozen_record
from kinematics.shaft.counterweight_cost import SectorCost

NEAR = 1e-3  # relative: so much above its limit, or above its tangents, is let pass
ROUNDING = 1e-6  # of the largest counterweight's inertia
NO_LIMIT = 10.0  # times the scale of loads
FIRST_TURNS = np.linspace(-1, 1, 7)  # of the widest turn: where lengths are held from the start


@frozen_record
class Answer:
    """What the programme finds; its tangents may still lie too low for it."""

    placed: Array  # [kg·m] (axes · webs,): opposite the pins, then a quarter turn ahead of that
    inertia: Array  # [kg·m²] (webs,)
    load: float  # [N], of the worst main


class CounterweightOptimiser:
    """Minimum inertia for a limit on the load [N]; without a limit, the least load.

    `balance` is rows (k, axes · webs) and values (k,) that counterweights must keep. Within,
    unbalances count by the largest that has room, inertias by its own, loads by `scale` [N].
    """

    def __init__(
        self, cost: SectorCost, balance: tuple[Array, Array], webs: int, limit: float | None,
        scale: float,
    ) -> None:  # fmt: skip
        rows, value = balance
        self._cost, self._webs, self._limited = cost, webs, limit is not None
        self._many = rows.shape[1] // webs  # axes: 1 or 2
        self._most, self._load = cost.most or 1.0, scale
        self._heavy = float(cost.inertia(np.array(self._most)))
        room = cost.most / self._most
        top = math.inf if limit is None else min(limit / scale, NO_LIMIT)
        low = self._variables(0.0, 0.0, 0.0, 0.0 if limit is None else top)
        low[webs : self._many * webs] = -room
        self._bounds = np.stack((low, self._variables(room, room, math.inf, top)), axis=1)
        self._equal = np.pad(rows, ((0, 0), (0, 2 * webs + 1))), value / self._most
        self._rows, self._right = np.zeros((0, len(low))), np.zeros(0)
        if self._many == 2:
            self._hold_turns()
        for turn in cost.widest * FIRST_TURNS if self._many == 2 else (0.0,):
            self._hold_lengths(np.full(webs, turn))
        for length in (0.0, cost.most):
            self._hold_inertias(np.full(webs, length))

    def solve(self) -> Answer | None:
        """Return the best answer for the cuts so far, None if there is none.

        Reference: Kelley, J. SIAM 8, 1960 (from memory).
        """
        sought = self._variables(0, 0, 1, 0) if self._limited else self._variables(0, 0, 0, 1)
        equal, value = self._equal
        found = linprog(
            sought, A_ub=self._rows, b_ub=self._right, A_eq=equal, b_eq=value,
            bounds=self._bounds, method="highs",
        )  # fmt: skip
        if found.status != 0:
            return None
        parts = self._many * self._webs
        return Answer(
            found.x[:parts] * self._most,
            found.x[parts + self._webs : -1] * self._heavy,
            float(found.x[-1]) * self._load,
        )

    def hold_loads(self, pull: Array, at_rest: Array) -> None:
        """Hold the load above pull (k, axes · webs) times what is placed, plus at_rest (k,) [N].

        Reference: Kelley, J. SIAM 8, 1960 (from memory).
        """
        rows = np.pad(pull * (self._most / self._load), ((0, 0), (0, 2 * self._webs + 1)))
        rows[:, -1] = -1.0
        self._hold(rows, -at_rest / self._load)

    def hold_below(self, pull: Array, bound: Array) -> None:
        """Hold pull (k, axes · webs) times what is placed below bounds (k,), in any unit.

        Reference: Kelley, J. SIAM 8, 1960 (from memory).
        """
        size = np.abs(pull).max(axis=1, initial=0.0) * self._most
        size = np.where(size > 0, size, 1.0)
        rows = np.pad(pull * (self._most / size)[:, None], ((0, 0), (0, 2 * self._webs + 1)))
        self._hold(rows, bound / size)

    def hold_inertias(self, answer: Answer) -> bool:
        """Hold inertias, or room alone where inertia is not sought, where an answer is too low.

        Return whether any was.

        Reference: Kelley, J. SIAM 8, 1960 (from memory).
        """
        along, ahead = answer.placed.reshape(self._many, -1)[[0, -1]]
        ahead = ahead * (self._many - 1)
        length = np.hypot(along, ahead)
        short = float((length - self._cost.most * (1 + NEAR)).max()) > 0
        if self._limited:
            inertia = self._cost.inertia(length)
            gap = float((inertia - answer.inertia).sum())
            short |= gap > NEAR * float(inertia.sum()) + ROUNDING * self._heavy
        if short:
            self._hold_lengths(np.arctan2(ahead, along))
            self._hold_inertias(length)
        return short

    def _hold_turns(self) -> None:
        """Hold what stands ahead or behind below the widest turn's share."""
        widest, identity = self._cost.widest, np.eye(self._webs)
        for side in (1.0, -1.0):
            rows = (-math.sin(widest) * identity, side * math.cos(widest) * identity)
            rest = np.zeros((self._webs, 2 * self._webs + 1))
            self._hold(np.concatenate((*rows, rest), axis=1), np.zeros(self._webs))

    def _hold_lengths(self, turn: Array) -> None:
        """Hold lengths above their vectors' parts in directions [rad] (webs,)."""
        sides = (np.cos(turn), np.sin(turn))[: self._many]
        identity, none = np.eye(self._webs), np.zeros((self._webs, self._webs + 1))
        rows = [np.diag(side) for side in sides] + [-identity, none]
        self._hold(np.concatenate(rows, axis=1), np.zeros(self._webs))

    def _hold_inertias(self, length: Array) -> None:
        """Hold inertias above their tangents at lengths [kg·m] (webs,)."""
        slope = self._cost.slope(length)
        before = np.zeros((self._webs, self._many * self._webs))
        tangent = np.diag(slope * (self._most / self._heavy))
        rows = [before, tangent, -np.eye(self._webs), np.zeros((self._webs, 1))]
        right = (slope * length - self._cost.inertia(length)) / self._heavy
        self._hold(np.concatenate(rows, axis=1), right)

    def _hold(self, rows: Array, right: Array) -> None:
        self._rows = np.concatenate((self._rows, rows))
        self._right = np.concatenate((self._right, right))

    def _variables(self, placed: float, length: float, inertia: float, load: float) -> Array:
        """Return a value for each variable."""
        counts = (self._many * self._webs, self._webs, self._webs, 1)
        return np.repeat((placed, length, inertia, load), counts).astype(float)
