"""Worked examples on free forces and moments.

Bevan, The Theory of Machines, 3rd ed., chapter 14, examples 12 and 13 (pages 517 and 519)
(worked solutions; of example 13 the layout, three banks of four at 60°, is inferred).
Khurmi and Gupta, Theory of Machines, 14th ed., chapter 22: in-line five and V-twin (inputs from
memory, the five's answers recomputed). A three-cylinder radial (recomputed).

The books take r/l for the second harmonic; the exact one is larger by (r/l)³/4 and more, so the
core's second order is put back to r/l before it is compared.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import pytest

from kinematics import Design, solve_cycle
from kinematics.design.design import Layout
from kinematics.mechanics.slider_crank import classical_harmonics
from kinematics.train.balance import ellipse, inertia_phasors
from tests.conftest import changed, layout_of, six, with_layout

INCH, POUND = 0.0254, 0.45359237
LBF = POUND * 32.2 * 0.3048  # Bevan takes 32.2 ft/s² for gravity


@dataclass(frozen=True)
class Example:
    layout: Layout
    stroke: float
    rod_length: float
    mass: float
    rpm: float

    @property
    def design(self) -> Design:
        design = with_layout(six(), self.layout)
        cylinder = replace(design.cylinder, stroke=self.stroke, rod_length=self.rod_length)
        design = changed(replace(design, cylinder=cylinder), "rod", cg_from_big_end=0.0)
        return changed(design, "piston", assembly_mass=self.mass)

    def forces(self, order: int) -> tuple[float, float]:
        """Largest and smallest force [N] with the textbooks' second harmonic."""
        return self._sizes("force", order)

    def moments(self, order: int) -> tuple[float, float]:
        return self._sizes("moment", order)

    def _sizes(self, what: str, order: int) -> tuple[float, float]:
        train = solve_cycle(self.design, self.rpm).train
        found = inertia_phasors(self.design, train.crank, train.masses, rotating=False)
        x, y = getattr(found, what)[:, order - 1]
        size = ellipse(x, y)
        ratio = self.design.cylinder.rod_ratio
        exact = classical_harmonics(ratio, terms=12)[2]
        factor = (self.rpm * math.pi / 30) ** 2 * ((1 / ratio) / exact if order == 2 else 1.0)
        return float(size.largest) * factor, float(size.smallest) * factor


def banks(throws: Sequence[float], angles: Sequence[float], strokes: int = 4) -> Layout:
    pins = [throw for throw in range(1, len(throws) + 1) for _ in angles]
    return layout_of(
        throws,
        throw_of_cylinder=pins,
        bank_angle_deg=list(angles) * len(throws),
        strokes=strokes,
        spacing=0.375,
    )


RADIAL = banks((0,), (0, 120, 240), strokes=2)


def test_bevan_14_12_radial() -> None:
    example = Example(RADIAL, 5 * INCH, 9 * INCH, 4 * POUND, 1500)
    largest, smallest = example.forces(2)
    assert largest / LBF == pytest.approx(266, abs=0.5)
    assert largest / LBF == pytest.approx(266.067, rel=1e-5)
    assert smallest == pytest.approx(largest)  # turns, and keeps its size
    single = 4 * POUND * 2.5 * INCH * (1500 * math.pi / 30) ** 2
    assert example.forces(1)[0] / single == pytest.approx(1.5, rel=1e-12)


def test_bevan_14_13_three_banks_of_four() -> None:
    layout = banks((0, 180, 180, 0), (-60, 0, 60))
    largest, smallest = Example(layout, 6 * INCH, 11 * INCH, 6 * POUND, 2000).forces(2)
    assert smallest / LBF == pytest.approx(1114, rel=1e-3)
    assert largest / LBF == pytest.approx(3343, rel=1e-3)
    assert smallest / LBF == pytest.approx(1114.58, rel=1e-5)
    assert largest / LBF == pytest.approx(3343.74, rel=1e-5)


def test_khurmi_five() -> None:
    layout = layout_of((0, 144, 288, 72, 216), spacing=0.375)
    example = Example(layout, 0.225, 4 * 0.1125, 15.0, 750)
    assert example.moments(1)[0] == pytest.approx(10.2610e3, abs=0.05)
    assert example.moments(2)[0] == pytest.approx(4.1507e3, abs=0.05)
    assert example.forces(1)[0] == pytest.approx(0.0, abs=1e-9)
    assert example.forces(2)[0] == pytest.approx(0.0, abs=1e-9)


def test_khurmi_v_twin() -> None:
    largest, _ = Example(banks((0,), (0, 90)), 0.150, 0.300, 11.5, 500).forces(2)
    assert largest == pytest.approx(836, abs=0.5)
    assert largest == pytest.approx(836.01, abs=0.005)


def test_radial_three() -> None:
    example = Example(RADIAL, 0.120, 0.240, 1.0, 2400)
    assert example.forces(1)[0] == pytest.approx(5684.89, abs=0.005)
    assert example.forces(2)[0] == pytest.approx(1421.22, abs=0.005)
