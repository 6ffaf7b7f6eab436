"""Designs that the tests share: one invented six, and a maker of any other layout."""

import dataclasses
import math
import os
from collections.abc import Callable, Sequence
from typing import TypeVar

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # NumPy's threads would fight over the cores

import pytest
from hypothesis import settings

from kinematics import Design, DesignError, parse_design
from kinematics.design.design import DETERMINATE, Layout
from kinematics.mechanics.firing_order import order_of_dead_centres

settings.register_profile("any machine", deadline=None)  # no test asserts a time
settings.load_profile("any machine")

Made = TypeVar("Made")

GROUPS = (
    "layout",
    "cylinder",
    "piston",
    "rod",
    "crank",
    "pressure",
    "big_end",
    "main_bearing",
    "oil",
)
SIX_TEXT = """
schema = 1
name = "Hill-climb six"
note = "An invented engine for demonstration"

[layout]
strokes_per_cycle = 4
throw_angles_deg = [0, 240, 120, 120, 240, 0]
throw_of_cylinder = [1, 2, 3, 4, 5, 6]
bank_angle_deg = [0, 0, 0, 0, 0, 0]
throw_spacing_mm = 98.0
firing_order = [1, 5, 3, 6, 2, 4]
rated_speed_rpm = 7000

[cylinder]
bore_mm = 86.0
stroke_mm = 86.0
rod_length_mm = 145.0
pin_offset_mm = 0.0
compression_ratio = 10.2

[piston]
assembly_mass_g = 460.0

[rod]
mass_g = 560.0
cg_from_big_end_mm = 40.0
inertia_about_cg_kg_mm2 = 2100.0

[crank]
web_offset_mm = 25.0
throw_unbalance_kg_mm = 0.0

[[counterweight]]
web = 1
unbalance_kg_mm = 18.0
angle_deg = 180.0

[pressure]
source = "model"
intake_bar = 0.95
exhaust_bar = 1.1
crankcase_bar = 1.0
peak_bar = 92.0
peak_angle_deg = 14.0
compression_exponent = 1.33
expansion_exponent = 1.28

[big_end]
diameter_mm = 52.0
width_mm = 20.0
radial_clearance_um = 30.0

[main_bearing]
diameter_mm = 60.0
width_mm = 22.0
radial_clearance_um = 32.0

[oil]
grade = "SAE 10W-60"
inlet_temperature_degC = 100.0
viscosity_mPa_s = 8.0
supply_pressure_bar = 5.0
"""


def six() -> Design:
    """The invented six."""
    return parse_design(SIX_TEXT)


def changed(design: Design, group: str, **values: object) -> Design:
    """The design with fields of one group changed, in SI."""
    record = dataclasses.replace(getattr(design, group), **values)
    return dataclasses.replace(design, **{group: record})


def as_other_programs_took_it(design: Design) -> Design:
    """Return the hill climb six with the shaft that other programs took: what they found holds so.

    Its webs lose an even share of 0.285 in place of chamfer and pocket, and a throw is as stiff as
    by Ker Wilson's formula.
    """
    uncut = {"web_chamfer_depth": 0.0, "web_pocket_depth": 0.0}
    lightened = changed(design, "shaft", web_relief=0.285, **uncut)
    return changed(lightened, "torsion", throw_formula="ker_wilson")


def determinate(design: Design) -> Design:
    """The design with its shaft taken as determinate, whatever its layout."""
    return changed(design, "crank", main_loads=DETERMINATE)


def tried(make: Callable[[], Made]) -> Made | DesignError:
    """What is made, or in its place the refusal."""
    try:
        return make()
    except DesignError as refusal:
        return refusal


def layout_of(
    throw_angles_deg: Sequence[float],
    *,
    throw_of_cylinder: Sequence[int] | None = None,
    bank_angle_deg: Sequence[float] | None = None,
    firing_order: Sequence[int] | None = None,
    strokes: int = 4,
    spacing: float = 0.1,
) -> Layout:
    """Any layout; without a firing order, cylinders fire as they come to the top."""
    pins = tuple(throw_of_cylinder or range(1, len(throw_angles_deg) + 1))
    banks = tuple(bank_angle_deg or [0.0] * len(pins))
    order = firing_order or order_of_dead_centres(
        [math.radians(angle) for angle in throw_angles_deg],
        pins,
        [math.radians(angle) for angle in banks],
    )
    return Layout(
        strokes_per_cycle=strokes,
        throw_angles=tuple(math.radians(angle) for angle in throw_angles_deg),
        throw_of_cylinder=pins,
        bank_angle=tuple(math.radians(angle) for angle in banks),
        throw_spacing=spacing,
        firing_order=tuple(order),
        rated_speed=5000 * math.pi / 30,
    )


def with_layout(design: Design, layout: Layout) -> Design:
    """The design with another layout, and without counterweights, which belong to the old one."""
    crank = dataclasses.replace(design.crank, web_offset=layout.throw_spacing / 4)
    return dataclasses.replace(design, layout=layout, crank=crank, counterweights=())


@pytest.fixture
def base() -> Design:
    return six()
