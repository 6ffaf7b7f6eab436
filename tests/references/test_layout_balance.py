"""Free forces and moments of the usual layouts, orders 1 to 6, by two rotating phasors.

Bosch Automotive Handbook, table "free forces and moments of the 1st and 2nd order" (from memory);
further layouts and orders as sums over phasors (recomputed). A factor is a force over |A_k| m r ω²,
or a moment over that times the throw spacing; order 1 is of the reciprocating masses alone.

Throws stand evenly in the core, so the two of a split pin stand a spacing apart; the tables put
them in one place. Moments are linear in place: the mean of the engine with the left cylinder in
front and of that with the right one in front has both at the pair's middle. The six with a wider
gap in its middle (Khurmi and Gupta, chapter 22) is left out for the same reason.
"""

import itertools
import math
from dataclasses import dataclass, replace

import numpy as np
import pytest

from kinematics import Design, solve_cycle
from kinematics.design.design import Layout
from kinematics.mechanics.slider_crank import classical_harmonics
from kinematics.train.balance import Ellipse, ellipse, inertia_phasors
from tests.conftest import layout_of, six, with_layout

FOUR = (0, 180, 180, 0)
CROSS = (0, 90, 270, 180)
FIVE = (0, 144, 288, 72, 216)
SIX = (0, 240, 120, 120, 240, 0)
THREE = (0, 120, 240)
SQRT2, SQRT3, SQRT6, SQRT10 = (math.sqrt(x) for x in (2, 3, 6, 10))


def inline(order: tuple[int, ...], step: float, strokes: int = 4) -> Layout:
    """An in-line engine that fires evenly in an order."""
    angles = [0.0] * len(order)
    for place, cylinder in enumerate(order):
        angles[cylinder - 1] = -step * place % 360
    return layout_of(angles, firing_order=order, strokes=strokes)


def on_common_pins(angles: tuple[float, ...], *banks: float, strokes: int = 4) -> Layout:
    """Every throw carries a cylinder of each bank."""
    pins = [throw for throw in range(1, len(angles) + 1) for _ in banks]
    return layout_of(
        angles, throw_of_cylinder=pins, bank_angle_deg=list(banks) * len(angles), strokes=strokes
    )


def flat(angles: tuple[float, ...]) -> Layout:
    """Cylinders to the left and to the right by turns, a throw each."""
    return layout_of(angles, bank_angle_deg=[0, 180] * (len(angles) // 2))


def engine(layout: Layout) -> Design:
    """An engine whose rod's centre of gravity is at the big end: only the piston reciprocates."""
    design = with_layout(six(), layout)
    return replace(design, rod=replace(design.rod, cg_from_big_end=0.0))


@dataclass(frozen=True)
class Factors:
    """Force and moment of each order 1 … 8 as ellipses, in units of |A_k| m r ω² (and spacing)."""

    force: Ellipse
    moment: Ellipse


def factors(design: Design) -> Factors:
    force, moment = scaled_phasors(design)
    return Factors(ellipse(force[0], force[1]), ellipse(moment[1], moment[0]))


def scaled_phasors(design: Design) -> tuple[np.ndarray, np.ndarray]:
    train = solve_cycle(design, 1000.0).train
    found = inertia_phasors(design, train.crank, train.masses, rotating=False)
    unit = design.piston.assembly_mass * train.crank.crank_radius * harmonic_sizes(design)
    return found.force / unit, found.moment / (unit * design.layout.throw_spacing)


def harmonic_sizes(design: Design) -> np.ndarray:
    """|A_k|, and 1 for the odd orders from 3 on, which are nothing."""
    sizes = np.abs(classical_harmonics(design.cylinder.rod_ratio, terms=12))[1:]
    return np.where(sizes > 0, sizes, 1.0)


# layout, then largest and smallest of F1, F2, M1, M2; all other numbers are in OTHER_ORDERS
LAYOUTS = {
    "in-line 2, 180°": (layout_of((0, 180), firing_order=(1, 2)), 0, 2, 1, 0),
    "in-line 2, 360°": (layout_of((0, 0)), 2, 2, 0, 0),
    "in-line 3": (inline((1, 2, 3), 120, strokes=2), 0, 0, SQRT3, SQRT3),
    "in-line 4, flat": (layout_of(FOUR, firing_order=(1, 3, 4, 2)), 0, 4, 0, 0),
    "in-line 4, cross": (layout_of(CROSS), 0, 0, SQRT10, 0),
    "in-line 5": (inline((1, 2, 4, 5, 3), 144), 0, 0, 0.4490, 4.9798),
    "in-line 6, 1-5-3-6-2-4": (inline((1, 5, 3, 6, 2, 4), 120), 0, 0, 0, 0),
    "in-line 6, 1-4-2-6-3-5": (inline((1, 4, 2, 6, 3, 5), 120), 0, 0, 0, 0),
    "six throws, 1-4-5-2-3-6": (inline((1, 4, 5, 2, 3, 6), 60, strokes=2), 0, 0, 0, 6.9282),
    "V6 90°, common pins": (on_common_pins(THREE, 0, 90), 0, 0, (SQRT3, SQRT3), (SQRT6, 0)),
    "V6 120°, common pins": (
        on_common_pins(THREE, 0, 120),
        0,
        0,
        (2.5981, 0.8660),
        (2.5981, 0.8660),
    ),
    "V8 90°, cross": (on_common_pins(CROSS, 0, 90), 0, 0, (SQRT10, SQRT10), 0),
    "V8 90°, flat": (on_common_pins(FOUR, 0, 90), 0, 4 * SQRT2, 0, 0),
    "V12 60°": (on_common_pins(SIX, 0, 60), 0, 0, 0, 0),
    "flat 2": (flat((0, 180)), 0, 0, 1, 1),
    "flat 4": (flat((0, 180, 180, 0)), 0, 0, 0, 2),
    "flat 6": (flat((0, 180, 240, 60, 120, 300)), 0, 0, 0, 0),
    "V2 90°": (on_common_pins((0,), 0, 90), (1, 1), (SQRT2, 0), 0, 0),
    "radial 3": (on_common_pins((0,), 0, 120, 240, strokes=2), (1.5, 1.5), (1.5, 1.5), 0, 0),
    "three banks of four": (on_common_pins(FOUR, -60, 0, 60), 0, (6, 2), 0, 0),
}


def pair(value: float | tuple[float, float]) -> tuple[float, float]:
    """Largest and smallest; a single number swings in a line."""
    return value if isinstance(value, tuple) else (value, 0.0)


@pytest.mark.parametrize("name", LAYOUTS)
def test_first_and_second_order(name: str) -> None:
    layout, *expected = LAYOUTS[name]
    found = factors(engine(layout))
    for what, order, value in zip("FFMM", (1, 2, 1, 2), expected, strict=True):
        size = found.force if what == "F" else found.moment
        largest, smallest = pair(value)
        digit = 1e-12 if largest in (0, 1, 2, 4) else 5.1e-5
        assert size.largest[order - 1] == pytest.approx(largest, abs=digit), f"{what}{order}"
        assert size.smallest[order - 1] == pytest.approx(smallest, abs=5.1e-5), f"{what}{order}"


OTHER_ORDERS = {
    "in-line 2, 180°": (("F", 4, 2), ("F", 6, 2)),
    "in-line 3": (("M", 4, SQRT3), ("F", 6, 3)),
    "in-line 4, flat": (("F", 4, 4), ("F", 6, 4)),
    "in-line 4, cross": (("F", 4, 4),),
    "in-line 5": (("M", 4, 0.4490), ("M", 6, 0.4490)),
    "in-line 6, 1-5-3-6-2-4": (("F", 4, 0), ("F", 6, 6), ("M", 4, 0), ("M", 6, 0)),
    "in-line 6, 1-4-2-6-3-5": (("F", 4, 0), ("F", 6, 6), ("M", 4, 0), ("M", 6, 0)),
    "six throws, 1-4-5-2-3-6": (("M", 4, 6.9282),),
    "V6 90°, common pins": (("F", 6, 4.2426),),
    "V6 120°, common pins": (("F", 6, 3),),
    "V8 90°, cross": (("F", 4, 5.65685),),
    "V8 90°, flat": (("F", 4, 5.65685),),
    "V12 60°": (("F", 6, 10.3923),),
    "flat 6": (("M", 6, 3),),
    "radial 3": (("F", 4, 1.5),),
}


@pytest.mark.parametrize("name", OTHER_ORDERS)
def test_higher_orders(name: str) -> None:
    found = factors(engine(LAYOUTS[name][0]))
    for what, order, value in OTHER_ORDERS[name]:
        size = found.force if what == "F" else found.moment
        assert size.largest[order - 1] == pytest.approx(value, abs=5.1e-5), f"{what}{order}"


@pytest.mark.parametrize(
    ("name", "what", "order", "forward", "backward"),
    [
        ("V6 90°, common pins", "moment", 1, SQRT3, 0.0),
        ("V8 90°, cross", "moment", 1, SQRT10, 0.0),
        ("V2 90°", "force", 1, 1.0, 0.0),
        ("radial 3", "force", 1, 1.5, 0.0),
        ("radial 3", "force", 2, 0.0, 1.5),
    ],
)
def test_sense_of_turning(name, what, order, forward, backward) -> None:
    found = getattr(factors(engine(LAYOUTS[name][0])), what)
    assert found.forward[order - 1] == pytest.approx(forward, abs=1e-12)
    assert found.backward[order - 1] == pytest.approx(backward, abs=1e-12)


def test_second_order_of_the_flat_plane_v8_is_lateral() -> None:
    force, _ = scaled_phasors(engine(LAYOUTS["V8 90°, flat"][0]))
    x, y = force[:, 1]
    middle = math.radians(45)
    along = x * math.sin(middle) + y * math.cos(middle)
    assert abs(along) == pytest.approx(0.0, abs=1e-12)


PAIRS_OF_FIVE = ((0.4490, 4.9798), (1.5613, 4.7500), (2.6287, 4.2533), (3.3737, 3.6903))


def test_every_order_of_five() -> None:
    """The 24 orders that start with 1 have only these moments (M1, M2) and the same swapped."""
    found = set()
    for rest in itertools.permutations((2, 3, 4, 5)):
        moment = factors(engine(inline((1, *rest), 72, strokes=2))).moment.largest
        found.add((round(float(moment[0]), 4), round(float(moment[1]), 4)))
    assert found == {*PAIRS_OF_FIVE, *((b, a) for a, b in PAIRS_OF_FIVE)}


@dataclass(frozen=True)
class SplitPins:
    """A V engine of three split pins; `split` is how far the right pin leads the left one."""

    bank: float
    split: float

    def phasors(self, *, right_in_front: bool) -> tuple[np.ndarray, np.ndarray]:
        """Forward and backward moment phasors of each order, seen from the left bank."""
        lead = -self.split if right_in_front else self.split
        bank = -self.bank if right_in_front else self.bank
        angles = [angle + extra for angle in THREE for extra in (0, lead)]
        layout = layout_of(angles, bank_angle_deg=[0, bank] * 3)
        _, moment = scaled_phasors(engine(layout))
        pitching, yawing = moment / 2  # pairs stand two spacings apart
        order = np.arange(1, 9)
        forward, backward = (pitching + 1j * yawing) / 2, (pitching - 1j * yawing).conj() / 2
        if not right_in_front:
            return forward, backward
        turn, phase = np.radians(self.bank), np.radians(self.bank - self.split)
        frame = np.exp(1j * turn)
        return (
            forward * frame * np.exp(-1j * order * phase),
            backward * frame * np.exp(1j * order * phase),
        )

    def moment(self, order: int) -> tuple[float, float]:
        """Forward and backward moment of one order with each pair in one place."""
        left, right = self.phasors(right_in_front=False), self.phasors(right_in_front=True)
        forward, backward = (abs(a + b)[order - 1] / 2 for a, b in zip(left, right, strict=True))
        return float(forward), float(backward)


@pytest.mark.parametrize(
    ("engine_pins", "order", "forward", "backward"),
    [
        (SplitPins(60, -60), 1, 1.5, 0.0),
        (SplitPins(60, -60), 2, 0.0, 1.5),
        (SplitPins(90, -30), 1, 1.6730, 0.4483),
        (SplitPins(90, -30), 2, 0.4483, 1.6730),
    ],
)
def test_moments_of_split_pins(engine_pins, order, forward, backward) -> None:
    found = engine_pins.moment(order)
    assert found == pytest.approx((forward, backward), abs=5.1e-5)


def test_split_pins_turned_the_wrong_way_pulsate() -> None:
    found = SplitPins(60, 60).moment(1)
    assert sum(found) == pytest.approx(3.0, abs=1e-12)


@pytest.mark.parametrize("pins", [SplitPins(60, -60), SplitPins(90, -30)])
def test_no_forces_of_split_pins(pins: SplitPins) -> None:
    angles = [angle + extra for angle in THREE for extra in (0, pins.split)]
    layout = layout_of(angles, bank_angle_deg=[0, pins.bank] * 3)
    force = factors(engine(layout)).force
    np.testing.assert_allclose(force.largest[:2], 0, atol=1e-12)


def test_sixth_order_of_the_60_degree_split_pins() -> None:
    angles = [angle + extra for angle in THREE for extra in (0, -60)]
    force = factors(engine(layout_of(angles, bank_angle_deg=[0, 60] * 3))).force
    assert force.largest[5] == pytest.approx(5.196, abs=5e-4)
