"""The counterweights of least added inertia that keep every main bearing within a limit.

In the crank's frame a counterweight opposite its pin adds a constant vector to the loads of its
two mains, so peak and mean load are convex in the unbalances, and so is the inertia of a ring
sector in its own. The least inertia is found by cutting planes: a linear programme holds
tangents of what is convex, and takes more where its answer still breaks a bound.

Source: J. E. Kelley, The cutting-plane method for solving convex programs, J. SIAM 8, 1960 (from
memory); loads by the determinate rule of `bearing_loads`.
"""

import dataclasses
import math
from dataclasses import dataclass

import numpy as np
from scipy.optimize import linprog  # type: ignore[import-untyped]

from kinematics.array import Array, ComplexArray
from kinematics.bearing_loads import main_shares
from kinematics.cycle import RigidTrain, rigid_train
from kinematics.design import Counterweight, Design
from kinematics.errors import DesignError
from kinematics.part_geometry import part_geometry
from kinematics.shaft_throw import shaft_density, shaft_throw

MEASURES = ("peak", "mean")
MOST_CUTS = 80  # rounds
NEAR = 1e-3  # relative, of a load above its limit that is let pass
NOTHING = 1e-6  # [kg·m], a counterweight of less is none
SMOOTHEST = 3  # places a bearing at which a peak is cut in a round


@dataclass(frozen=True, slots=True, eq=False)
class SectorCost:
    """What a counterweight of any unbalance costs: a ring sector that grows outward."""

    inner: float  # [m]
    half_angle: float  # [rad]
    heavy: float  # density times thickness [kg/m²]
    most: float  # the unbalance that still has room [kg·m]

    def outer(self, unbalance: Array) -> Array:
        """Return the outer radius [m] of unbalances [kg·m] of any shape."""
        grown = unbalance / (2 / 3 * self.heavy * math.sin(self.half_angle))
        return np.cbrt(self.inner**3 + grown)

    def mass(self, unbalance: Array) -> Array:
        """Return the mass [kg]."""
        return self.heavy * self.half_angle * (self.outer(unbalance) ** 2 - self.inner**2)

    def inertia(self, unbalance: Array) -> Array:
        """Return the inertia [kg·m²]; it grows faster than the unbalance."""
        return self.heavy * self.half_angle / 2 * (self.outer(unbalance) ** 4 - self.inner**4)

    def slope(self, unbalance: Array) -> Array:
        """Return the inertia's derivative [m]: α/sin α times the outer radius."""
        return self.half_angle / math.sin(self.half_angle) * self.outer(unbalance)


@dataclass(frozen=True, slots=True, eq=False)
class Choice:
    """Counterweights found; loads are of the worst main at the speed that was asked for."""

    unbalance: Array  # [kg·m] (2t,), opposite each web's pin, front to rear
    load: float  # [N], peak or mean
    mass: float  # [kg], of all of them
    inertia: float  # [kg·m²]

    def counterweights(self) -> tuple[Counterweight, ...]:
        """Return them as a design holds them."""
        return tuple(
            Counterweight(web, float(one), math.pi)
            for web, one in enumerate(self.unbalance, 1)
            if one > NOTHING
        )


class CounterweightChoice:
    """The problem of one design at one speed [rad/s], for "peak" or "mean" main loads.

    Static moment and couple of the whole shaft stay what they are, so a shaft that is balanced
    stays so. Raises DesignError where dimensions are missing or counterweights stand askew.
    """

    def __init__(self, design: Design, speed: float, measure: str = "peak") -> None:
        if measure not in MEASURES:
            raise DesignError("measure", f"found {measure!r:.40}; allowed are peak, mean")
        self.design, self.measure = design, measure
        self.cost = sector_cost(design)
        self._base, self._shares = _loads(rigid_train(design), speed)
        self._balance = _balance_rows(design)
        self.present = _present(design)

    def load(self, unbalance: Array) -> float:
        """Return the worst main's load [N] with counterweights (2t,) [kg·m]."""
        return float(self._measured(np.abs(self._vectors(unbalance))).max())

    def choice(self, unbalance: Array) -> Choice:
        """Return counterweights with what they cost and leave."""
        bounded = np.clip(unbalance, 0.0, None)
        mass, inertia = self.cost.mass(bounded), self.cost.inertia(bounded)
        return Choice(bounded, self.load(bounded), float(mass.sum()), float(inertia.sum()))

    def least_load(self) -> Choice:
        """Return the counterweights that leave the lowest load that can be had."""
        found = self._solve(None)
        assert found is not None  # the present counterweights are one answer
        return self.choice(found)

    def least_inertia(self, limit: float) -> Choice | None:
        """Return those of least inertia that keep all mains within a limit [N]; None if none do."""
        found = self._solve(limit)
        return None if found is None else self.choice(found)

    def front(self, points: int = 9) -> tuple[Choice, ...]:
        """Return choices from the lowest load to the load of least inertia, lowest load first."""
        best = self.least_load()
        lightest = self.least_inertia(math.inf)
        assert lightest is not None
        limits = np.linspace(best.load, lightest.load, points)[1:-1]
        between = [one for limit in limits if (one := self.least_inertia(float(limit)))]
        return (best, *between, lightest)

    def _vectors(self, unbalance: Array) -> ComplexArray:
        """Return main loads in the crank's frame (m, n)."""
        moved: ComplexArray = self._base + (self._shares @ unbalance)[:, None]
        return moved

    def _measured(self, size: Array) -> Array:
        measured: Array = size.max(axis=-1) if self.measure == "peak" else size.mean(axis=-1)
        return measured

    def _solve(self, limit: float | None) -> Array | None:
        """Return the answer of the linear programme when no cut is left to take.

        Variables: unbalances, each one's inertia, and the load if it is what is made least.
        """
        webs = self._shares.shape[1]
        scale = float(np.abs(self._base).max())
        cost = np.concatenate((np.zeros(webs), np.ones(webs), [0.0]))
        if limit is None:
            cost = np.concatenate((np.zeros(2 * webs), [1.0]))
        most = math.inf if limit is None else min(limit / scale, 10.0)
        low = np.concatenate((np.zeros(2 * webs), [0.0 if limit is None else most]))
        high = np.concatenate((np.full(webs, self.cost.most), np.full(webs, np.inf), [most]))
        bounds = np.stack((low, high), axis=1)
        rows, right = self._tangents(np.full(webs, 0.0))
        more, edges = self._tangents(np.full(webs, self.cost.most))
        rows, right = np.concatenate((rows, more)), np.concatenate((right, edges))
        equal, value = self._balance
        equal = np.concatenate((equal, np.zeros((len(equal), webs + 1))), axis=1)
        for _ in range(MOST_CUTS):
            found = linprog(
                cost, A_ub=rows, b_ub=right, A_eq=equal, b_eq=value, bounds=bounds, method="highs"
            )
            if found.status != 0:
                return None
            unbalance, bound = found.x[:webs], found.x[-1] * scale
            cuts, edges = self._cuts(unbalance, bound, scale)
            more, lines = self._tangents(unbalance)
            gap = float((self.cost.inertia(unbalance) - found.x[webs:-1]).sum())
            loose = limit is not None and gap > NEAR * float(self.cost.inertia(unbalance).sum())
            if not len(cuts) and not loose:
                return np.asarray(unbalance)
            rows = np.concatenate((rows, cuts, more) if loose else (rows, cuts))
            right = np.concatenate((right, edges, lines) if loose else (right, edges))
        return np.asarray(unbalance)

    def _tangents(self, at: Array) -> tuple[Array, Array]:
        """Return rows that hold each inertia above its tangent at unbalances (2t,)."""
        slope, webs = self.cost.slope(at), len(at)
        rows = np.concatenate((np.diag(slope), -np.eye(webs), np.zeros((webs, 1))), axis=1)
        return rows, slope * at - self.cost.inertia(at)

    def _cuts(self, unbalance: Array, bound: float, scale: float) -> tuple[Array, Array]:
        """Return rows that hold down the loads that are above a bound."""
        vectors = self._vectors(unbalance)
        size = np.abs(vectors)
        over = np.flatnonzero(self._measured(size) > bound * (1 + NEAR))
        rows, right = [], []
        for main in over:
            for toward in self._directions(vectors[main], size[main], bound):
                at_rest = (toward.conj() * self._base[main]).real
                pull = (toward.conj()[:, None] * self._shares[main]).real
                rows.append(np.concatenate((pull.mean(axis=0), 0 * unbalance, [-scale])) / scale)
                right.append(-at_rest.mean() / scale)
        width = 2 * len(unbalance) + 1
        return np.array(rows).reshape(-1, width), np.array(right)

    def _directions(self, vectors: ComplexArray, size: Array, bound: float) -> list[ComplexArray]:
        """Return the load's directions where cuts are taken: at its peaks, or all of the cycle."""
        unit = vectors / np.maximum(size, 1e-12)
        if self.measure == "mean":
            return [unit]
        peaks = (size >= np.roll(size, 1)) & (size > np.roll(size, -1)) & (size > bound)
        places = np.flatnonzero(peaks)
        self_cut = places[np.argsort(-size[places])][:SMOOTHEST]
        return [_only(unit, int(place)) for place in self_cut]


def _only(unit: ComplexArray, place: int) -> ComplexArray:
    """Return a direction at one place alone, weighted so that a mean is the value there."""
    alone: ComplexArray = np.zeros_like(unit)
    alone[place] = unit[place] * len(unit)
    return alone


def sector_cost(design: Design) -> SectorCost:
    """Return what counterweights cost in a design, and how large they may be."""
    parts = part_geometry(design)
    shaft = design.shaft
    half = math.radians(60) if shaft is None else shaft.counterweight_half_angle
    room = parts.bottom - parts.piston.skirt_length - 0.02 * parts.piston.diameter
    if shaft is not None and shaft.counterweight_radius is not None:
        room = min(room, shaft.counterweight_radius)
    inner = parts.web.hub_radius
    heavy = shaft_density(design) * shaft_throw(design).web_thickness
    most = 2 / 3 * heavy * math.sin(half) * max(room**3 - inner**3, 0.0)
    return SectorCost(inner, half, heavy, most)


def _loads(train: RigidTrain, speed: float) -> tuple[ComplexArray, ComplexArray]:
    """Return main loads without counterweights (m, n), and what one of 1 kg·m adds, (m, 2t)."""
    design = dataclasses.replace(train.design, counterweights=())
    load = rigid_train(design).main_crank.at(speed)
    throws = design.layout.throws
    throw = np.repeat(np.arange(throws), 2)
    offset = np.tile([-1.0, 1.0], throws) * design.crank.web_offset
    shares = main_shares(throws, 0.5 - offset / design.layout.throw_spacing, throw)
    away: ComplexArray = -np.exp(1j * np.array(design.layout.throw_angles)[throw])
    base: ComplexArray = load[:, 1] + 1j * load[:, 0]
    pull: ComplexArray = speed**2 * shares * away
    return base, pull


def _balance_rows(design: Design) -> tuple[Array, Array]:
    """Return rows (4, 2t) that keep static moment and couple what the present weights make them."""
    throws, spacing = design.layout.throws, design.layout.throw_spacing
    throw = np.repeat(np.arange(throws), 2)
    z = (throw - (throws - 1) / 2) * spacing
    z = z + np.tile([-1.0, 1.0], throws) * design.crank.web_offset
    toward = np.exp(1j * np.array(design.layout.throw_angles)[throw])
    rows = np.stack(
        (toward.real, toward.imag, toward.real * z / spacing, toward.imag * z / spacing)
    )
    return rows, rows @ _present(design)


def _present(design: Design) -> Array:
    """Return the unbalances now on the webs (2t,); raises DesignError where one stands askew."""
    found = np.zeros(2 * design.layout.throws)
    for shape in part_geometry(design).counterweights:
        if abs(math.remainder(shape.angle - math.pi, 2 * math.pi)) > 1e-6:
            raise DesignError(
                "counterweight.angle_deg",
                f"web {shape.web} has {math.degrees(shape.angle):g}°; only counterweights "
                "opposite their pins, at 180°, can be chosen here",
            )
        found[shape.web - 1] += shape.unbalance
    return found
