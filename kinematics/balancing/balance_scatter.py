"""How the scatter of parts scatters the balance: the shaft on the machine, the running engine.

Every result is a sum Σ coefficient · part · exp(i k δ), with the mass or static moment of each
part, the order k, and the error δ of its throw's angle. An angle error moves the pin with throw
and rods; counterweights stay with the webs. Parts are independent, so the variance is exact too:
what turns with one throw is Y exp(i k δ), of variance |y|² + v - |y|² χ(k)², with mean y and
variance v of Y, and χ(k) the mean of cos kδ.

A shaft that is not balanced by itself runs on the machine with bob weights (`bob_weights`).

Source: sums over phasors as in Bevan, The Theory of Machines, chapter 14 (from memory); moments of
independent sums from any book on probability.
"""

import math
from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from kinematics.array import Array, ComplexArray
from kinematics.balancing.bob_weights import bob_weight
from kinematics.balancing.unbalance import TwoPlanes, plane_shares
from kinematics.design.design import Design
from kinematics.errors import DesignError
from kinematics.mechanics.firing_order import upright_angles
from kinematics.mechanics.rod_mass import two_mass_rod
from kinematics.mechanics.slider_crank import SliderCrank, acceleration_harmonics
from kinematics.one_line import frozen_record, one_line
from kinematics.train.balance import cylinder_positions, ellipse, throw_positions
from kinematics.train.bearing_loads import rotating_parts
from kinematics.train.cylinder_pressure import slider_crank

ORDERS = (1, 2)
KINDS = ("normal", "uniform")
MOST_SAMPLES = 200_000
PERCENTILES = (50.0, 95.0, 99.0)


@dataclass(frozen=True, slots=True)
class Spread:
    """Scatter about the nominal value: standard deviation if "normal", half width if "uniform".

    >>> from kinematics import Spread
    >>> Spread(0.002, "uniform")
    Spread(size=0.002, kind='uniform')
    >>> round(Spread(0.002, "uniform").deviation, 6)
    0.001155
    """

    size: float = 0.0
    kind: str = "normal"

    def __post_init__(self) -> None:
        """Refuse a spread that is none."""
        if not 0 <= self.size < math.inf:
            raise DesignError("spread", f"must be 0 or more (got {self.size:g})")
        if self.kind not in KINDS:
            raise DesignError(
                "spread", f"must be one of {', '.join(KINDS)} (got {self.kind[:20]!r})"
            )

    @property
    def deviation(self) -> float:
        """Standard deviation.

        Reference: variance of a uniform distribution, half width² / 3; any book on probability.
        """
        return self.size if self.kind == "normal" else self.size / math.sqrt(3)

    def mean_cosine(self, order: int) -> float:
        """Return the mean of cos(order δ) of an angle's scatter [rad].

        Reference: characteristic function of the distribution; any book on probability.
        """
        if self.kind == "normal":
            return math.exp(-((order * self.size) ** 2) / 2)
        return float(np.sinc(order * self.size / math.pi))

    def drawn(self, random: np.random.Generator, shape: tuple[int, ...]) -> Array:
        """Return drawn deviations from the nominal value, of a shape."""
        if self.kind == "normal":
            return random.normal(0.0, self.size, shape)
        return random.uniform(-self.size, self.size, shape)


NONE = Spread()


@dataclass(frozen=True, slots=True)
class Spreads:
    """Scatter of each kind of part, the same for all of a kind.

    >>> from kinematics import Spread, Spreads
    >>> Spreads(piston_mass=Spread(0.002), rod_big_end=Spread(0.003))
    Spreads(piston_mass Spread, rod_small_end Spread, rod_big_end Spread, throw_moment
    Spread, throw_angle Spread, counterweight_moment Spread)
    """

    piston_mass: Spread = NONE  # [kg]
    rod_small_end: Spread = NONE  # [kg], the reciprocating share of a rod
    rod_big_end: Spread = NONE  # [kg], the rotating share
    throw_moment: Spread = NONE  # [kg·m], of a throw without counterweights
    throw_angle: Spread = NONE  # [rad]
    counterweight_moment: Spread = NONE  # [kg·m]

    __repr__ = one_line


@frozen_record
class Drawn:
    """Samples (s, …) of a vector, its exact mean (…), and the exact variance (…) of its phasor."""

    samples: ComplexArray
    mean: ComplexArray
    variance: Array

    @property
    def sample_variance(self) -> Array:
        """Mean square distance of the samples from the exact mean (…)."""
        return (np.abs(self.samples - self.mean) ** 2).mean(axis=0)


@frozen_record
class BalanceScatter:
    """Scatter of the rotor in two planes, and of free loads at 1 rad/s by order.

    `residual` (s, 2) [kg·m] is the shaft on the machine, front and rear; `force` (s, orders, 2)
    [N] is (x, y) and `moment` (s, orders, 2) [N·m] (pitching, yawing), complex amplitudes as of
    `balance.inertia_phasors`.
    """

    residual: Drawn
    force: Drawn
    moment: Drawn

    @property
    def residual_size(self) -> Array:
        """Sizes in both planes (s, 2) [kg·m]."""
        return np.abs(self.residual.samples)

    @property
    def largest_force(self) -> Array:
        """Maximum free force of each order (s, orders) [N] at 1 rad/s: times speed² at a speed.

        Reference: follows from the ellipse of two phasors, as of `balance.ellipse`.
        """
        x, y = np.moveaxis(self.force.samples, -1, 0)
        return ellipse(x, y).largest

    @property
    def largest_moment(self) -> Array:
        """Maximum free moment of each order (s, orders) [N·m] at 1 rad/s.

        Reference: follows from the ellipse of two phasors, as of `balance.ellipse`.
        """
        pitching, yawing = np.moveaxis(self.moment.samples, -1, 0)
        return ellipse(yawing, pitching).largest


def percentiles(sizes: Array, shares: tuple[float, ...] = PERCENTILES) -> Array:
    """Return what that many per cent of the samples stay below, (shares, …), of sizes (s, …)."""
    return np.percentile(sizes, shares, axis=0)


@frozen_record
class _Parts:
    """All parts (p,): nominal value, scatter, throw that turns it or -1, place, and coefficients.

    `residual` (p, 2) and `loads` (orders, p, 4) multiply its value; loads are Fx, Fy, pitching,
    yawing.
    """

    value: Array
    spread: tuple[Spread, ...]
    throw: NDArray[np.intp]
    residual: ComplexArray
    loads: ComplexArray


def balance_scatter(
    design: Design,
    planes: TwoPlanes,
    spreads: Spreads,
    *,
    bob_share: float | None = None,
    samples: int = 10_000,
    seed: int = 0,
) -> BalanceScatter:
    """Return how shaft and free loads scatter, from that many random engines.

    Parameters
    ----------
    planes : where the rotor's residual is told
    bob_share : share of the reciprocating mass in bob weights of nominal mass on the pins; without
        it the shaft runs alone (see `bob_weights.needs_bob_weights`)

    Raises DesignError for a number of samples outside 2 … 200 000.

    Reference: sums over phasors as in Bevan, The Theory of Machines, chapter 14 (from memory).
    """
    if not 2 <= samples <= MOST_SAMPLES:
        raise DesignError("samples", f"must be 2 to {MOST_SAMPLES} (got {samples})")
    parts = _parts(design, planes, spreads, bob_share)
    throws, random = design.layout.throws, np.random.default_rng(seed)
    angles = spreads.throw_angle.drawn(random, (samples, throws))
    drawn = np.stack([spread.drawn(random, (samples,)) for spread in parts.spread], axis=1)
    values = parts.value + drawn

    def told(coefficient: ComplexArray, order: int) -> Drawn:
        """Return one order's sums; coefficient (p, outputs)."""
        found = _sums(values, parts.throw == -1, coefficient)
        for throw, angle in enumerate(angles.T):
            phasor = np.exp(1j * order * angle)[:, None]
            found += phasor * _sums(values, parts.throw == throw, coefficient)
        return Drawn(found, *_exact(parts, coefficient, throws, spreads.throw_angle, order))

    loads = [told(own, order) for own, order in zip(parts.loads, ORDERS, strict=True)]
    both = Drawn(*(np.stack([getattr(load, field.name) for load in loads], axis=-2)
                   for field in fields(Drawn)))  # fmt: skip
    force, moment = (
        Drawn(*(getattr(both, field.name)[..., part] for field in fields(Drawn)))
        for part in (slice(0, 2), slice(2, 4))
    )
    return BalanceScatter(told(parts.residual, 1), force, moment)


def _sums(values: Array, own: NDArray[np.bool_], coefficient: ComplexArray) -> ComplexArray:
    """Return Σ value · coefficient (s, outputs) over the parts (p,) that are `own`."""
    mine, by = values[:, own], coefficient[own]
    found: ComplexArray = mine @ by.real + 1j * (mine @ by.imag)
    return found


def _exact(
    parts: _Parts, coefficient: ComplexArray, throws: int, angle: Spread, order: int
) -> tuple[ComplexArray, Array]:
    """Return exact mean and variance (outputs,) of an order's sums; coefficient (p, outputs)."""
    turned = np.zeros((throws + 1, len(parts.value)))
    turned[parts.throw, np.arange(len(parts.value))] = 1.0
    deviation = np.array([spread.deviation for spread in parts.spread])
    mean = turned @ (coefficient * parts.value[:, None])
    own = turned @ (np.abs(coefficient) ** 2 * deviation[:, None] ** 2)
    cosine = np.append(np.full(throws, angle.mean_cosine(order)), 1.0)[:, None]
    variance = np.abs(mean) ** 2 * (1 - cosine**2) + own
    return (mean * cosine).sum(axis=0), variance.sum(axis=0)


@frozen_record
class KindVariances:
    """Exact variance that each kind of `Spreads` brings by itself, in its order on the first axis.

    `residual` (kinds, 2) [(kg·m)²], `force` (kinds, orders, 2) [N²] and `moment`
    (kinds, orders, 2) [(N·m)²] at 1 rad/s. Their sums over the kinds are the whole variances.
    """

    residual: Array
    force: Array
    moment: Array


def variance_by_kind(
    design: Design, planes: TwoPlanes, spreads: Spreads, *, bob_share: float | None = None
) -> KindVariances:
    """Return how much of the variance each kind of part brings: exact, without samples.

    Parts and angles are independent, and |y|² (1 - χ²) + v holds the angle's variance apart from
    that of the masses, so nothing is shared between kinds.

    Reference: variance of an independent sum; any book on probability.
    """
    throws, residual, loads = design.layout.throws, [], []
    for field in fields(Spreads):
        alone = Spreads(**{field.name: getattr(spreads, field.name)})
        parts = _parts(design, planes, alone, bob_share)
        angle = alone.throw_angle
        residual.append(_exact(parts, parts.residual, throws, angle, 1)[1])
        orders = zip(parts.loads, ORDERS, strict=True)
        loads.append([_exact(parts, own, throws, angle, order)[1] for own, order in orders])
    both = np.array(loads)
    return KindVariances(np.array(residual), both[..., :2], both[..., 2:])


@frozen_record
class _Kind:
    """Parts of a kind (p,), as of `_Parts`; `loads` (orders, p, 4)."""

    value: Array
    spread: Spread
    throw: NDArray[np.intp]
    residual: ComplexArray
    loads: ComplexArray


def _parts(design: Design, planes: TwoPlanes, spreads: Spreads, bob_share: float | None) -> _Parts:
    """Return pistons, both rod ends, throws, counterweights and bob weights, in this order."""
    layout, rod, crank = design.layout, design.rod, slider_crank(design.cylinder)
    split = two_mass_rod(
        rod.mass, rod.cg_from_big_end, rod.inertia_about_cg, design.cylinder.rod_length
    )
    cylinders, on = layout.cylinders, np.array(layout.throw_of_cylinder) - 1
    angle = np.array(layout.throw_angles)
    pin: ComplexArray = crank.crank_radius * np.exp(1j * angle[on])
    z_pin, none = cylinder_positions(design), np.zeros((cylinders, 2), complex)
    swinging, turning = _swinging(design, crank), _turning(pin, z_pin)
    ones = np.ones(cylinders)
    piston = design.piston.assembly_mass
    kinds = [
        _Kind(piston * ones, spreads.piston_mass, on, none, swinging),
        _Kind(split.reciprocating * ones, spreads.rod_small_end, on, none, swinging),
        _Kind(split.rotating * ones, spreads.rod_big_end, on, none, turning),
        *_shaft_kinds(design, planes, spreads),
    ]
    if bob_share is not None:
        bob = bob_weight(split.rotating * ones, (piston + split.reciprocating) * ones, bob_share)
        held = pin[:, None] * plane_shares(z_pin, planes)
        kinds.append(_Kind(bob, NONE, on, held, 0 * turning))
    return _Parts(
        np.concatenate([kind.value for kind in kinds]),
        tuple(kind.spread for kind in kinds for _ in kind.value),
        np.concatenate([kind.throw for kind in kinds]),
        np.concatenate([kind.residual for kind in kinds]),
        np.concatenate([kind.loads for kind in kinds], axis=1),
    )


def _shaft_kinds(design: Design, planes: TwoPlanes, spreads: Spreads) -> list[_Kind]:
    """Return throws, which an angle error turns, and counterweights, which stay with their webs."""
    shaft, throws = rotating_parts(design), design.layout.throws
    from_pin = [0.0] * throws + [weight.angle for weight in design.counterweights]
    angle = np.array(design.layout.throw_angles)[shaft.throw] + np.array(from_pin)
    phase: ComplexArray = np.exp(1j * angle)  # also where there is no unbalance to take it from
    size = (shaft.unbalance * phase.conj()).real
    z = throw_positions(design)[shaft.throw] + shaft.offset
    held, turning = phase[:, None] * plane_shares(z, planes), _turning(phase, z)
    turned_by = np.where(np.arange(len(size)) < throws, shaft.throw, -1)
    return [
        _Kind(size[own], spread, turned_by[own], held[own], turning[:, own])
        for own, spread in (
            (slice(0, throws), spreads.throw_moment),
            (slice(throws, None), spreads.counterweight_moment),
        )
    ]


def _turning(phasor: ComplexArray, z: Array) -> ComplexArray:
    """Return loads (orders, p, 4) at 1 rad/s of what turns with the crank: of order 1 alone."""
    first = phasor[:, None] * np.stack((0 * z - 1j, 0 * z + 1, z + 0j, -1j * z), axis=1)
    return np.stack((first, *(0 * first for _ in ORDERS[1:])))


def _swinging(design: Design, crank: SliderCrank) -> ComplexArray:
    """Return loads (orders, c, 4) at 1 rad/s of 1 kg that moves with each piston."""
    layout, z = design.layout, cylinder_positions(design)
    bank = np.array(layout.bank_angle) - layout.bank_angle[0]
    upright = np.array(upright_angles(layout))
    harmonics = crank.crank_radius * acceleration_harmonics(crank, max(ORDERS))
    sin, cos = np.sin(bank), np.cos(bank)
    ways = np.stack((sin, cos, cos * z, sin * z), axis=1)
    orders = [harmonics[k] * np.exp(-1j * k * upright)[:, None] * ways for k in ORDERS]
    found: ComplexArray = np.stack(orders)
    return found
