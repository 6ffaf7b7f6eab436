"""Big ends and mains of a design as rows of loaded journals, at one speed or many.

All cylinders do the same at their own time, and so do some mains, so only those bearings are
computed whose load is not that of another, later by whole points of the angle grid.
"""

import dataclasses
import math
from operator import attrgetter
from typing import Any

import numpy as np
from numpy.typing import NDArray

from kinematics.array import Array
from kinematics.design.design_bearings import BARUS, BigEnd, MainBearing, Oil
from kinematics.film.journal_orbit import LoadedJournals
from kinematics.film.mobility import mobility_rate
from kinematics.kept_with import kept_with_first
from kinematics.mechanics.gas_and_inertia_loads import GasAndInertia, joined
from kinematics.one_line import frozen_record
from kinematics.train.cycle import RigidTrain

KINDS = ("big_end", "main")
SAME = 1e-9  # relative; loads closer than this are one
HOLE_OVER_DIAMETER = 0.1  # of the crankpin's oil hole, where none is given; common practice
PRESSURE_COEFFICIENT = 1.2e-8  # α [1/Pa], of mineral oils at 110 to 130 °C (from memory)
HOLE_ANGLE = math.pi / 2  # of the same, from outward; common practice


@frozen_record
class RunningBearings:
    """Plain bearings under their loads, one a row, (b,) where not said; SI.

    A bearing with a groove all round is two `lands` side by side, each with half the load and
    its own width.
    """

    load: Array  # [N] (b, 2, n) of the whole bearing, journal on shell, in the shell's axes
    slip: Array  # (b, n), journal's speed against its shell over crank speed
    speed: Array  # of the crank [rad/s]
    radius: Array  # of the journal [m]
    width: Array  # of one land [m]
    clearance: Array  # radial [m]
    lands: Array  # 1 or 2
    groove_arc: Array  # of the feeding groove [rad]; 0 for a hole
    groove_angle: Array  # of its middle [rad], from the shell's y axis in the sense of rotation
    groove_width: Array  # [m]
    hole: Array  # diameter of the feeding hole [m] where there is no groove
    hole_angle: Array  # its place from the shell's y axis [rad], (b, n)
    is_main: NDArray[np.bool_]
    cycle_angle: float  # [rad]
    pressure_coefficient: float = 0.0  # α of the oil [1/Pa], 0: even viscosity

    def journals(self, viscosity: Array, stride: int = 1) -> LoadedJournals:
        """Return one land of each as a loaded journal, at viscosities [Pa·s] (b,).

        `stride` leaves out points of the cycle. Oil that thickens under pressure, μ exp(α p) with
        p = W/(L D) at each instant, moves the film as a load so much smaller would.

        Reference: J. F. Booker, ASME J. Basic Eng. 87, 1965; C. Barus, 1893 (both from memory).
        """
        load = self.load[..., ::stride] / self.lands[:, None, None]
        if self.pressure_coefficient:
            mean = self.specific_load[:, None, ::stride]
            load = load * np.exp(-self.pressure_coefficient * mean)
        rate = mobility_rate(self.radius, self.width, self.clearance, viscosity)
        return LoadedJournals(
            load,
            self.slip[..., ::stride],
            rate / self.speed,
            self.width_ratio,
            self.cycle_angle,
        )

    def taken(self, rows: NDArray[np.intp]) -> "RunningBearings":
        """Return some of the rows."""
        values = {field.name: getattr(self, field.name) for field in dataclasses.fields(self)}
        taken: dict[str, Any] = {
            name: value[rows] if isinstance(value, np.ndarray) else value
            for name, value in values.items()
        }
        return RunningBearings(**taken)

    @property
    def width_ratio(self) -> Array:
        """Width of one land over the journal's diameter, L/D, by definition.

        Reference: L/D, by definition.
        """
        return self.width / (2 * self.radius)

    @property
    def specific_load(self) -> Array:
        """Load over projected area [Pa], (b, n)."""
        size = np.sqrt(self.load[:, 0] ** 2 + self.load[:, 1] ** 2)
        return np.asarray(size / self.projected_area[:, None])

    @property
    def projected_area(self) -> Array:
        """Projected area of all lands [m²]."""
        return self.lands * self.width * 2 * self.radius


def running_bearings(
    train: RigidTrain, speed: Array, kinds: tuple[str, ...] = KINDS
) -> RunningBearings:
    """Return the bearings of a train at crank speeds (s,) [rad/s]: rows by speed, then bearing.

    At each speed come those of `symmetric_copies` that stand for themselves, big ends first.

    Raises DesignError where the design lacks its bearings.
    """
    groups = [_group(train, kind) for kind in kinds]
    load = joined([group.load for group in groups])
    loads = np.stack([load.at(one) for one in speed.tolist()])  # each as if it were asked alone
    slip = np.concatenate([group.slip for group in groups])
    hole_angle = np.concatenate([group.hole_angle for group in groups])

    counts = [len(group.slip) for group in groups]
    each = np.repeat([_NUMBERS(group) for group in groups], counts, axis=0)
    numbers = np.ascontiguousarray(np.tile(each, (len(speed), 1)).T, dtype=float)
    *columns, is_main = numbers
    return RunningBearings(
        load=loads.reshape(-1, 2, train.points),
        slip=np.tile(slip, (len(speed), 1)),
        speed=np.repeat(speed, len(slip)),
        **dict(zip(_COLUMNS, columns, strict=True)),
        hole_angle=np.tile(hole_angle, (len(speed), 1)),
        is_main=is_main > 0,
        cycle_angle=train.design.layout.cycle_angle,
        pressure_coefficient=_pressure_coefficient(train.design.oil),
    )


def _pressure_coefficient(oil: Oil | None) -> float:
    return PRESSURE_COEFFICIENT if oil is not None and oil.under_pressure == BARUS else 0.0


@frozen_record
class _Group:
    """The bearings of one kind that stand for themselves; names as of `RunningBearings`."""

    load: GasAndInertia  # (b, 2, n)
    slip: Array  # (b, n)
    hole_angle: Array  # (b, n)
    radius: float
    width: float
    clearance: float
    hole: float
    is_main: bool
    lands: int = 1
    groove_arc: float = 0.0
    groove_angle: float = 0.0
    groove_width: float = 0.0


_COLUMNS = (
    "radius", "width", "clearance", "lands", "groove_arc", "groove_angle", "groove_width", "hole",
)  # fmt: skip
_NUMBERS = attrgetter(*_COLUMNS, "is_main")


def _group(train: RigidTrain, kind: str) -> _Group:
    design = train.design
    owners = list(dict.fromkeys(owner for owner, _ in symmetric_copies(train, kind)))
    load = _load(train, kind)[owners]
    big_end: BigEnd = design.needed("big_end", "the oil film")
    main: MainBearing = design.needed("main_bearing", "the oil film")
    throw = design.crank_throw
    hole = throw.oil_bore if throw is not None else HOLE_OVER_DIAMETER * big_end.diameter
    if kind == "big_end":
        slip = 1 + train.motion.rod_angular_velocity[owners]  # motion is that at 1 rad/s
        clearance = big_end.radial_clearance
        outward = throw.oil_hole_angle if throw is not None else HOLE_ANGLE
        # the crankpin turns ahead of its cylinder's axis, the rod swings back
        place = outward + train.own_angle[owners] + train.motion.rod_angle[owners]
        size = (big_end.diameter / 2, big_end.width, clearance, hole)
        return _Group(load, slip, place, *size, False)
    shape = load.inertia[:, 0].shape
    return _Group(
        load,
        np.ones(shape),
        np.zeros(shape),  # a shell's hole is at its top
        main.diameter / 2,
        main.bearing_width / 2 if main.is_parted else main.width,
        main.radial_clearance,
        hole,
        True,
        2 if main.is_parted else 1,
        main.groove_arc,
        main.groove_angle,
        main.groove,
    )


def _load(train: RigidTrain, kind: str) -> GasAndInertia:
    return train.big_end_rod if kind == "big_end" else train.main_block


@kept_with_first
def symmetric_copies(train: RigidTrain, kind: str) -> tuple[tuple[int, int], ...]:
    """Return for each bearing of a kind the one that stands for it, and the points it is behind.

    A bearing whose load is that of an earlier one, later by whole points of the grid, has the
    same film; where none is, it stands for itself.

    Reference: follows from the firing order: equal loads at shifted times have equal films.
    """
    load = _load(train, kind)
    inertia = train.design.layout.rated_speed**2 * load.inertia
    both = np.concatenate((*load.gas.courses, inertia), axis=1)
    size = np.abs(both).sum(axis=1)
    peak, total = size.argmax(axis=-1), size.sum(axis=-1)
    found: list[tuple[int, int]] = []
    for bearing in range(len(both)):
        for owner in dict.fromkeys(owner for owner, _ in found):
            behind = int(peak[bearing] - peak[owner]) % train.points
            if math.isclose(total[bearing], total[owner], rel_tol=SAME) and np.allclose(
                np.roll(both[owner], behind, axis=-1), both[bearing], rtol=0, atol=SAME * size.max()
            ):
                found.append((owner, behind))
                break
        else:
            found.append((bearing, 0))
    return tuple(found)


def row_of(train: RigidTrain, kind: str) -> list[tuple[int, int]]:
    """Return for each bearing its row among those of `running_bearings`, and points behind.

    Reference: follows from the firing order: equal loads at shifted times have equal films.
    """
    like = symmetric_copies(train, kind)
    rows = {owner: row for row, owner in enumerate(dict.fromkeys(owner for owner, _ in like))}
    return [(rows[owner], behind) for owner, behind in like]
