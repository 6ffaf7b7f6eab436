"""When each cylinder reaches its firing top dead centre."""

import math
from collections.abc import Sequence
from typing import Protocol

from kinematics.errors import DesignError


class FiringLayout(Protocol):
    """What the firing angles follow from."""

    @property
    def throw_angles(self) -> tuple[float, ...]:
        """Angle of each throw from throw 1 [rad]."""

    @property
    def throw_of_cylinder(self) -> tuple[int, ...]:
        """Throw of each cylinder, from 1."""

    @property
    def bank_angle(self) -> tuple[float, ...]:
        """Bank angle of each cylinder [rad]."""

    @property
    def firing_order(self) -> tuple[int, ...]:
        """Cylinders in the order in which they fire."""

    @property
    def cycle_angle(self) -> float:
        """Crank angle of one cycle [rad]."""


def upright_angles(layout: FiringLayout) -> tuple[float, ...]:
    """Return for each cylinder the crank angle [rad, 0 … 2π) at which its throw stands along it.

    Banks count from cylinder 1, whose axis is the block's y.

    Reference: follows from the geometry of throws and banks.
    """
    first = layout.bank_angle[0]
    angles = (
        bank - first - layout.throw_angles[throw - 1]
        for bank, throw in zip(layout.bank_angle, layout.throw_of_cylinder, strict=True)
    )
    return tuple(_folded(angle) for angle in angles)


def firing_angles(layout: FiringLayout) -> tuple[float, ...]:
    """Return the crank angle [rad, 0 … cycle) of each cylinder's firing TDC, by cylinder.

    Each cylinder takes the first dead centre of its own that comes after the cylinder before it
    in the firing order. Raises DesignError where the crank cannot fire in that order.

    Reference: follows from the geometry of throws and banks.
    """
    order, cylinders = layout.firing_order, len(layout.throw_of_cylinder)
    if sorted(order) != list(range(1, cylinders + 1)) or order[0] != 1:
        raise DesignError(
            "layout.firing_order",
            f"must start with 1 and name each of the {cylinders} cylinders once "
            f"(got {list(order)[:30]})",
        )
    if layout.throw_of_cylinder[0] != 1:
        raise DesignError("layout.throw_of_cylinder", "cylinder 1 must be on throw 1")
    upright = upright_angles(layout)
    firing = [0.0] * cylinders
    before = -1.0
    for cylinder in order:
        angle = upright[cylinder - 1]
        while angle <= before + 1e-9:
            angle += 2 * math.pi
        firing[cylinder - 1] = before = angle
    if before > layout.cycle_angle - 1e-9:
        raise DesignError(
            "layout.firing_order",
            f"the throws cannot fire in the order {list(order)[:30]} within one cycle "
            f"of {math.degrees(layout.cycle_angle):.0f}°",
        )
    return tuple(firing)


def order_of_dead_centres(
    throw_angles: Sequence[float], pins: Sequence[int], banks: Sequence[float]
) -> tuple[int, ...]:
    """Return an order in two turns, angles in rad: of cylinders that come up together one waits.

    Reference: follows from the geometry of throws and banks.
    """
    upright = [
        round(_folded(bank - banks[0] - throw_angles[pin - 1]), 9)
        for pin, bank in zip(pins, banks, strict=True)
    ]
    turn = [upright[:place].count(angle) for place, angle in enumerate(upright)]
    cylinders = range(1, len(pins) + 1)
    return tuple(sorted(cylinders, key=lambda k: (turn[k - 1], upright[k - 1], k)))


def _folded(angle: float) -> float:
    """Fold an angle into 0 … 2π, taking rounding just below a full turn for zero."""
    folded = math.remainder(angle, 2 * math.pi)
    return 0.0 if abs(folded) < 1e-9 else folded % (2 * math.pi)
