"""The counterweights of least added inertia that keep every main bearing within a limit.

In the crank's frame a counterweight adds a constant vector to the loads of its two mains, so peak
and mean load are convex in the counterweights' vectors, and the inertia of a ring sector in the
length of its own. So is the internal bending moment, which may be held below a bound.
Counterweights stand opposite their pins or, if asked, turned aside, as far as
their flanks stay clear of the web's cheeks. Loads are by the determinate rule of `bearing_loads`.
"""

import cmath
import dataclasses
import math

import numpy as np

from kinematics.array import Array, ComplexArray
from kinematics.design.design import DETERMINATE, Counterweight, Design
from kinematics.errors import DesignError
from kinematics.one_line import frozen_record, one_line, quantity
from kinematics.shaft.counterweight_cost import sector_cost
from kinematics.shaft.counterweight_optimum import NEAR, CounterweightOptimiser
from kinematics.shaft.counterweight_schemes import internal_moment
from kinematics.shaft.part_geometry import part_geometry
from kinematics.train.balance import throw_positions, web_positions
from kinematics.train.bearing_loads import main_shares
from kinematics.train.cycle import RigidTrain, rigid_train
from kinematics.units import in_words

MEASURES = ("peak", "mean")
MOST_CUTS = 80  # rounds
NEGLIGIBLE_WEIGHT = 1e-6  # [kg·m], a counterweight of less is none
SMOOTHEST = 3  # places a bearing at which a peak is cut in a round


@frozen_record
class Choice:
    """Counterweights found; loads are of the worst main at the speed that was asked for."""

    unbalance: Array  # [kg·m] (2t,), of each web, front to rear
    turned: Array  # [rad] (2t,), from opposite the web's pin, with rotation
    load: float  # [N], peak or mean
    mass: float  # [kg], of all of them
    inertia: float  # [kg·m²]
    inside: float  # [N·m], peak internal bending moment of what rotates

    def __repr__(self) -> str:
        return one_line(
            self,
            f"{len(self.counterweights())} counterweights",
            quantity(self.mass, "kg"),
            f"inertia {quantity(self.inertia, 'kg_mm2')}",
            f"worst main {quantity(self.load, 'kN')}",
            f"inside {quantity(self.inside, 'Nm')}",
        )

    def counterweights(self) -> tuple[Counterweight, ...]:
        """Return them as a design holds them."""
        return tuple(
            Counterweight(web, float(unbalance), math.pi + float(turned))
            for web, (unbalance, turned) in enumerate(
                zip(self.unbalance, self.turned, strict=True), 1
            )
            if unbalance > NEGLIGIBLE_WEIGHT
        )


class CounterweightChoice:
    """The problem of one design at one speed [rad/s], for "peak" or "mean" main loads.

    Static moment and couple of the whole shaft stay what they are, so a shaft that is balanced
    stays so. What is `placed` is (2t,) [kg·m] opposite the pins, or if weights may stand `aside`
    (4t,): all parts opposite the pins, then all a quarter turn ahead of that. Answers keep the
    internal bending moment within `moment_bound` [N·m]. Raises DesignError where dimensions are
    missing or the bound is not above zero.

    >>> from kinematics import CounterweightChoice, load_demo
    >>> design = load_demo("hill_climb_six")
    >>> choice = CounterweightChoice(design, design.layout.rated_speed)
    >>> choice.minimum_load()
    Choice(12 counterweights, 3.999 kg, inertia 9493 kg·mm², worst main 19.07 kN, inside
    2622 N·m)
    """

    def __repr__(self) -> str:
        name, speed = self.design.name[:60], quantity(self.speed, "rpm", 6)
        return f"CounterweightChoice({name!r} at {speed}, {self.measure} main load)"

    def __init__(
        self, design: Design, speed: float, measure: str = "peak", *, aside: bool = False,
        moment_bound: float = math.inf,
    ) -> None:  # fmt: skip
        if measure not in MEASURES:
            raise DesignError("measure", f"must be peak or mean (got {measure!r:.40})")
        self.design, self.speed, self.measure, self.aside = design, speed, measure, aside
        if not moment_bound > 0:
            found = in_words(moment_bound, "Nm")
            raise DesignError("moment_bound", f"must be above 0 (got {found})")
        self.moment_bound = moment_bound
        self.cost = sector_cost(design)
        self._base, pull = _loads(rigid_train(design), speed)
        self._shares = self._each_way(pull)
        self._inside, bending = _internal_moments(design, speed)
        self._bending = self._each_way(bending)
        columns = _balance_columns(design)
        held, rows = columns @ _present(design), self._each_way(columns)
        self._balance = np.concatenate((rows.real, rows.imag)), np.append(held.real, held.imag)

    def opposite(self) -> "CounterweightChoice":
        """Return the same problem with all counterweights opposite their pins."""
        return CounterweightChoice(
            self.design, self.speed, self.measure, moment_bound=self.moment_bound
        )

    @property
    def present(self) -> Array:
        """The present counterweights as placed; DesignError if one stands aside that may not."""
        vectors = _present(self.design)
        if self.aside:
            return np.concatenate((vectors.real, vectors.imag))
        if (askew := np.abs(vectors.imag) > NEGLIGIBLE_WEIGHT).any():
            web = int(askew.argmax())
            raise DesignError(
                "counterweight.angle_deg",
                "must be 180°, opposite the pin, unless an angular offset is allowed (got "
                f"{180 + math.degrees(np.angle(vectors[web])):.4g}° on web {web + 1})",
            )
        return vectors.real

    def load(self, placed: Array) -> float:
        """Return the worst main's load [N] with counterweights placed.

        Reference: the determinate rule as of `bearing_loads`.
        """
        return float(self._measured(np.abs(self._loaded(placed))).max())

    def internal_moment(self, placed: Array) -> float:
        """Return the peak internal bending moment [N·m] with counterweights placed.

        Reference: Maass and Klier, 1981 (from memory), as of `internal_moment`.
        """
        return float(np.abs(self._inside + self._bending @ placed).max())

    def choice(self, placed: Array) -> Choice:
        """Return counterweights with what they cost and leave."""
        if self.aside:
            along, ahead = placed.reshape(2, -1)
        else:
            along = placed = np.clip(placed, 0.0, None)
            ahead = 0.0 * along
        length = np.hypot(along, ahead)
        turned = np.where(length > NEGLIGIBLE_WEIGHT, np.arctan2(ahead, along), 0.0)
        mass, inertia = self.cost.mass(length), self.cost.inertia(length)
        return Choice(
            length, turned, self.load(placed), float(mass.sum()), float(inertia.sum()),
            self.internal_moment(placed),
        )  # fmt: skip

    def minimum_load(self) -> Choice:
        """Return the lightest of the counterweights that leave the lowest load that can be had.

        Reference: Kelley, J. SIAM 8, 1960 (from memory).
        """
        found = self._solve(None)
        if found is None:
            if math.isfinite(self.moment_bound):
                raise self._too_low()
            within = "at" if not self.aside else f"within {math.degrees(self.cost.widest):.0f}° of"
            raise DesignError(
                "counterweight.angle_deg",
                f"no counterweights {within} 180°, opposite their pins, hold the static moment and "
                "couple of the present ones",
            )
        lightest = self.minimum_inertia(self.load(found))
        return lightest or self.choice(found)

    def minimum_inertia(self, limit: float) -> Choice | None:
        """Return those of minimum inertia that keep all mains within a limit [N], or None.

        Reference: Kelley, J. SIAM 8, 1960 (from memory).
        """
        found = self._solve(limit)
        return None if found is None else self.choice(found)

    def front(self, points: int = 9) -> tuple[Choice, ...]:
        """Return choices from the lowest load to the load of minimum inertia, lowest load first."""
        best = self.minimum_load()
        lightest = self.minimum_inertia(math.inf)
        assert lightest is not None
        limits = np.linspace(best.load, lightest.load, points)[1:-1]
        between = [choice for limit in limits if (choice := self.minimum_inertia(float(limit)))]
        return (best, *between, lightest)

    def _too_low(self) -> DesignError:
        return DesignError(
            "moment_bound",
            f"must be higher (got {in_words(self.moment_bound, 'Nm')}): no counterweights that "
            "hold what the present ones hold of the shaft's balance keep the internal bending "
            "moment within it",
        )

    def _each_way(self, columns: ComplexArray) -> ComplexArray:
        """Return columns of weights opposite their pins, and of those a quarter turn ahead."""
        return np.concatenate((columns, 1j * columns), axis=1) if self.aside else columns

    def _loaded(self, placed: Array) -> ComplexArray:
        """Return main loads in the crank's frame (m, n)."""
        moved: ComplexArray = self._base + (self._shares @ placed)[:, None]
        return moved

    def _measured(self, size: Array) -> Array:
        measured: Array = size.max(axis=-1) if self.measure == "peak" else size.mean(axis=-1)
        return measured

    def _solve(self, limit: float | None) -> Array | None:
        """Return what the programme places when no cut is left to take."""
        webs, scale = 2 * self.design.layout.throws, float(np.abs(self._base).max())
        optimiser = CounterweightOptimiser(self.cost, self._balance, webs, limit, scale)
        answer = optimiser.solve()
        for _ in range(MOST_CUTS):
            if answer is None:
                return None
            pull, at_rest = self._cuts(answer.placed, answer.load)
            optimiser.hold_loads(pull, at_rest)
            bent = self._hold_moments(optimiser, answer.placed)
            if not (optimiser.hold_inertias(answer) or bent or len(pull)):
                break
            answer = optimiser.solve()
        return None if answer is None else answer.placed

    def _hold_moments(self, optimiser: CounterweightOptimiser, placed: Array) -> bool:
        """Hold the internal moment by tangents where it is above its bound; return if it was."""
        moment = self._inside + self._bending @ placed
        over = np.flatnonzero(np.abs(moment) > self.moment_bound * (1 + NEAR))
        toward = (moment[over] / np.abs(moment[over])).conj()
        slopes = (toward[:, None] * self._bending[over]).real
        at_rest = (toward * self._inside[over]).real
        optimiser.hold_below(slopes, self.moment_bound - at_rest)
        return len(over) > 0

    def _cuts(self, placed: Array, bound: float) -> tuple[Array, Array]:
        """Return tangents of the loads that are above a bound: their slopes, and at nothing."""
        loaded = self._loaded(placed)
        size = np.abs(loaded)
        slopes, at_rest = [], []
        for main in np.flatnonzero(self._measured(size) > bound * (1 + NEAR)):
            for toward in self._directions(loaded[main], size[main], bound):
                slopes.append((toward.conj().mean() * self._shares[main]).real)
                at_rest.append((toward.conj() * self._base[main]).real.mean())
        return np.array(slopes).reshape(-1, len(placed)), np.array(at_rest)

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


def _loads(train: RigidTrain, speed: float) -> tuple[ComplexArray, ComplexArray]:
    """Return main loads without counterweights (m, n), and what one of 1 kg·m adds, (m, 2t)."""
    determinate = dataclasses.replace(train.design.crank, main_loads=DETERMINATE)
    design = dataclasses.replace(train.design, counterweights=(), crank=determinate)
    load = rigid_train(design).main_crank.at(speed)
    throws = design.layout.throws
    throw = np.repeat(np.arange(throws), 2)
    offset = web_positions(design) - throw_positions(design)[throw]
    shares = main_shares(throws, 0.5 - offset / design.layout.throw_spacing, throw)
    away: ComplexArray = -np.exp(1j * np.array(design.layout.throw_angles)[throw])
    base: ComplexArray = load[:, 1] + 1j * load[:, 0]
    pull: ComplexArray = speed**2 * shares * away
    return base, pull


def _internal_moments(design: Design, speed: float) -> tuple[ComplexArray, ComplexArray]:
    """Return the internal moment without counterweights (k,) [N·m], and what 1 kg·m adds (k, 2t).

    It is straight between the masses, so their places hold its peak.
    """
    webs = web_positions(design)
    z = np.union1d(webs, throw_positions(design))
    bare = internal_moment(dataclasses.replace(design, counterweights=()))
    away: ComplexArray = -np.exp(1j * np.repeat(design.layout.throw_angles, 2))
    base: ComplexArray = speed**2 * np.interp(z, bare.z, bare.moment)
    added: ComplexArray = speed**2 * np.maximum(z[:, None] - webs, 0.0) * away
    return base, added


def _balance_columns(design: Design) -> ComplexArray:
    """Return rows (2, 2t) of what counterweights do to static moment and couple over a spacing."""
    toward: ComplexArray = np.exp(1j * np.repeat(design.layout.throw_angles, 2))
    return np.stack((toward, toward * web_positions(design) / design.layout.throw_spacing))


def _present(design: Design) -> ComplexArray:
    """Return the counterweights now on the webs (2t,) [kg·m], from opposite their pins."""
    found = np.zeros(2 * design.layout.throws, complex)
    for shape in part_geometry(design).counterweights:
        turned = math.remainder(shape.angle - math.pi, 2 * math.pi)
        found[shape.web - 1] += cmath.rect(shape.unbalance, turned)
    return found
