"""Oil from main journal to crankpin: what rotation asks of the supply, and where to drill.

Oil in the drilling turns with the crank, so its pressure rises with the square of the distance
from the crank's axis: p(r) = p(entry) + ρ ω² (r² - r_entry²) / 2. The place nearest the axis has
the least pressure; where that falls below what holds the column together, the crankpin starves.
Friction in the drilling, the flow's own losses and the pulses of a half groove are left out.

Source: F. M. White, Fluid Mechanics, rigid-body rotation of a liquid (from memory). The oil
hole in the least loaded part of the crankpin: common practice, no source.
"""

import math
from dataclasses import dataclass

import numpy as np

from kinematics.array import Array
from kinematics.design.design import Design
from kinematics.errors import DesignError
from kinematics.one_line import frozen_record

FILM_ARC = math.pi / 3  # half the arc on which a load is felt; common practice, no source
SECTORS = 360


@dataclass(frozen=True, slots=True)
class OilDrilling:
    """A drilling by its distances from the crank's axis [m].

    Raises
    ------
    DesignError
        For a distance that is negative or not finite, or a nearest place farther than an end.
    """

    entry_radius: float  # at the main journal's surface
    least_radius: float  # of the place nearest the axis; 0 for a drilling through the axis
    exit_radius: float  # at the crankpin's surface

    def __post_init__(self) -> None:
        for name in ("entry_radius", "least_radius", "exit_radius"):
            value = getattr(self, name)
            if not math.isfinite(value) or value < 0:
                raise DesignError(name, f"must not be negative (got {value:g} m)")
        nearest_end = min(self.entry_radius, self.exit_radius)
        if self.least_radius > nearest_end:
            raise DesignError(
                "least_radius",
                f"must not exceed {nearest_end:g} m, the distance of the nearer end,"
                f" got {self.least_radius:g} m",
            )


def straight_drilling(entry: tuple[float, float], exit_: tuple[float, float]) -> OilDrilling:
    """Return a straight drilling between two places (x, y) [m] in the crank's frame.

    Reference: a straight line between two places, from geometry.
    """
    start, end = np.array(entry), np.array(exit_)
    way = end - start
    length_squared = float(way @ way)
    share = 0.0 if length_squared == 0 else float(np.clip(-(start @ way) / length_squared, 0, 1))
    ends = math.hypot(*entry), math.hypot(*exit_)
    nearest = math.hypot(*(start + share * way))
    return OilDrilling(ends[0], min(nearest, *ends), ends[1])


def crank_drilling(design: Design) -> OilDrilling:
    """Return a design's drilling from main journal to crankpin by its distances from the axis.

    It leaves the crankpin at the oil hole and comes as near to the axis as is given, but not
    nearer than its ends allow.

    Raises DesignError where the design lacks throw or bearings.
    """
    throw = design.needed("crank_throw", "the oil's way to the pins")
    pin = design.needed("big_end", "the oil's way to the pins").diameter / 2
    main = design.needed("main_bearing", "the oil's way to the pins").diameter / 2
    radius, hole = design.cylinder.crank_radius, throw.oil_hole_angle
    leaves = math.hypot(radius + pin * math.cos(hole), pin * math.sin(hole))
    return OilDrilling(main, min(throw.oil_least_radius, main, leaves), leaves)


def required_pressure(
    drilling: OilDrilling, speed: Array, *, density: float, minimum_pressure: float = 0.0
) -> Array:
    """Return the gauge pressure [Pa] (n,) that the entry needs at crank speeds (n,) [rad/s].

    Parameters
    ----------
    density : of the oil [kg/m³]
    minimum_pressure : gauge pressure [Pa] to be kept at the place nearest the axis

    Reference: F. M. White, Fluid Mechanics, rigid-body rotation of a liquid (from memory).
    """
    return minimum_pressure + _per_speed_squared(drilling, density) * speed**2


def crankpin_pressure(
    drilling: OilDrilling, speed: Array, supply: Array | float, *, density: float
) -> Array:
    """Return the gauge pressure [Pa] (n,) of still oil at the crankpin's surface.

    `supply` [Pa] is that at the entry, one number or one a speed (n,) [rad/s].

    Reference: F. M. White, Fluid Mechanics, rigid-body rotation of a liquid (from memory).
    """
    outward = drilling.exit_radius**2 - drilling.entry_radius**2
    return supply + density / 2 * outward * speed**2


@frozen_record
class SupplyMargin:
    """Supply against need over speed, all of shape (n,)."""

    speed: Array  # [rad/s], rising
    supply: Array  # [Pa] gauge, at the entry
    required: Array  # [Pa] gauge

    @property
    def margin(self) -> Array:
        """Supply less need [Pa], (n,)."""
        return self.supply - self.required

    @property
    def met_up_to(self) -> float:
        """Speed [rad/s] at which the supply, once sufficient, first falls short.

        Linear between the margins at two speeds; infinite if it never falls short within the
        speeds given, nan if the supply suffices at none.
        """
        margin, met = self.margin, self.margin >= 0
        if not met.any():
            return math.nan
        first = int(met.argmax())
        short = np.flatnonzero(~met[first:])
        if short.size == 0:
            return math.inf
        after = first + int(short[0])
        share = margin[after - 1] / (margin[after - 1] - margin[after])
        return float(self.speed[after - 1] + share * (self.speed[after] - self.speed[after - 1]))


def supply_margin(
    drilling: OilDrilling,
    speed: Array,
    supply: Array | float,
    *,
    density: float,
    minimum_pressure: float = 0.0,
) -> SupplyMargin:
    """Return a supply [Pa], one number or one a speed, against the need at speeds (n,) [rad/s]."""
    required = required_pressure(
        drilling, speed, density=density, minimum_pressure=minimum_pressure
    )
    return SupplyMargin(speed, np.broadcast_to(np.asarray(supply, float), speed.shape), required)


def limit_speed(
    drilling: OilDrilling, supply: float, *, density: float, minimum_pressure: float = 0.0
) -> float:
    """Return the crank speed [rad/s] up to which a constant supply [Pa] meets the need.

    Infinite for a drilling that never comes nearer to the axis than its entry, 0 for a supply
    that does not suffice at rest.

    Reference: follows from `required_pressure`, which grows as speed².
    """
    spare, slope = supply - minimum_pressure, _per_speed_squared(drilling, density)
    if spare < 0:
        return 0.0
    return math.sqrt(spare / slope) if slope > 0 else math.inf


@frozen_record
class LoadDensity:
    """How the load is spread over the journal's angle, both (k,).

    Angles count from the crank frame's y axis in the sense of rotation; the density's integral
    over the angle is the mean size of the load.
    """

    angle: Array  # [rad], from 0
    density: Array  # [N/rad]

    @property
    def least_loaded_angle(self) -> float:
        """Middle [rad] of the longest arc of least density; 0 if the load is even all round.

        Reference: common practice, no source.
        """
        low, high = float(self.density.min()), float(self.density.max())
        quiet = self.density <= low + 1e-9 * high
        if quiet.all():
            return 0.0
        start = int((~quiet).argmax())
        runs = np.diff(np.roll(quiet, -start).astype(int), append=0)
        begins = np.flatnonzero(runs == 1) + 1
        ends = np.flatnonzero(runs == -1)
        longest = int((ends - begins).argmax())
        middle = start + (begins[longest] + ends[longest]) / 2
        return float(middle * self.angle[1] % (2 * math.pi))


def load_density(load: Array, *, spread: float = FILM_ARC, sectors: int = SECTORS) -> LoadDensity:
    """Return how a crank-frame load (2, n) [N] is spread over the journal's angle.

    Each load vector counts by its size, smeared over ± `spread` [rad] about its direction by a
    raised cosine. The load is the force of the journal on its shell, so its direction is the
    place on the journal that is pressed.

    Raises
    ------
    DesignError
        If `spread` is not between two sectors and half a turn.

    Reference: common practice, no source.
    """
    step = 2 * math.pi / sectors
    if not 2 * step <= spread <= math.pi:
        raise DesignError(
            "spread", f"must lie from {2 * step:g} to {math.pi:g} rad (got {spread:g})"
        )
    angle = np.arange(sectors) * step
    return LoadDensity(angle, load_densities(load[None], spread=spread, sectors=sectors)[0])


def load_densities(load: Array, *, spread: float = FILM_ARC, sectors: int = SECTORS) -> Array:
    """Return the density [N/rad] (b, sectors) of several loads (b, 2, n) as of `load_density`.

    Each load is shared between the two sectors beside its direction, then all are smeared.

    Reference: common practice, no source.
    """
    step = 2 * math.pi / sectors
    size = np.hypot(load[:, 0], load[:, 1])
    place = np.arctan2(load[:, 0], load[:, 1]) % (2 * math.pi) / step
    sector = place.astype(np.intp)
    beyond = (place - sector) * size
    row = np.arange(len(load))[:, None] * sectors
    first, second = row + sector % sectors, row + (sector + 1) % sectors
    count = len(load) * sectors
    binned = np.bincount(first.ravel(), (size - beyond).ravel(), count)
    binned += np.bincount(second.ravel(), beyond.ravel(), count)
    away = np.arange(sectors) * step
    away = np.minimum(away, 2 * math.pi - away)
    smear = np.where(away < spread, 1 + np.cos(math.pi * away / spread), 0.0) / (2 * spread)
    spectrum = np.fft.rfft(binned.reshape(-1, sectors)) * np.fft.rfft(smear)
    return np.fft.irfft(spectrum, sectors).clip(0) / load.shape[-1]


def _per_speed_squared(drilling: OilDrilling, density: float) -> float:
    """Return ρ (r_entry² - r_least²) / 2, the need at 1 rad/s [Pa]."""
    return density / 2 * (drilling.entry_radius**2 - drilling.least_radius**2)
