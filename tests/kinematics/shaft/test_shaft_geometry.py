"""The shaft as bodies: a reference shaft, what follows from sizes, sums and directions."""

import cmath
import math
from dataclasses import replace

import numpy as np
import pytest

from assets_demo import demo_paths
from kinematics import DesignError, load_design, parse_design
from kinematics.design.design import Counterweight
from kinematics.design.design_file import design_text
from kinematics.design.design_shaft import ShaftSize
from kinematics.design.shaft_throw import (
    counterweight_unbalance,
    throw_unbalance,
    throw_unbalance_by_size,
    web_parts,
)
from kinematics.shaft.part_geometry import part_geometry
from kinematics.shaft.shaft_geometry import KINDS, running_gear, shaft_geometry
from kinematics.shaft.web_misfits import web_misfits
from tests.conftest import changed
from tests.kinematics.shaft.test_torsion_train import drawn_six

SHAFT = ShaftSize(flange_diameter=0.09, flange_thickness=0.015)


def bricks():
    """7 journals 60 × 26, 6 pins 50 × 22, 12 webs 18 × 80, r 45, 12 sectors 40 to 78, 120°."""
    weights = tuple(
        Counterweight(web, outer_radius=0.078, half_angle=math.radians(60)) for web in range(1, 13)
    )
    base = changed(drawn_six(), "crank_throw", oil_bore=0.0)
    return replace(base, counterweights=weights, shaft=SHAFT)


def test_the_reference_shaft():
    """Masses, inertias and moments of the parts, as recomputed by hand to the digits shown."""
    shaft = shaft_geometry(bricks())
    printed = {
        "main journal": (4.0396, 0.001818),
        "crankpin": (2.0346, 0.004756),
        "web": (14.6272, 0.029335),
        "counterweight": (7.9619, 0.030590),
    }
    for kind, (mass, inertia) in printed.items():
        bodies = shaft.of_kind(kind)
        assert sum(body.mass for body in bodies) == pytest.approx(mass, abs=5.1e-5)
        assert sum(body.inertia for body in bodies) == pytest.approx(inertia, abs=5.1e-7)
    first = [body for body in shaft.bodies if body.throw == 1]
    moments = {kind: sum(one.moment for one in first if one.kind == kind) for kind in printed}
    assert moments["crankpin"].real == pytest.approx(15.2593e-3, rel=1e-5)
    assert moments["web"].real == pytest.approx(54.8519e-3, rel=1e-5)
    assert moments["counterweight"].real == pytest.approx(-66.9853e-3, rel=1e-5)
    assert throw_unbalance_by_size(bricks()) == pytest.approx(70.1112e-3, rel=1e-5)


def test_counterweights_follow_from_their_size_and_throws_from_theirs():
    design = bricks()
    for weight in design.counterweights:
        assert counterweight_unbalance(weight, design) == pytest.approx(33.49265e-3, rel=1e-5)
    follows = changed(design, "crank", throw_unbalance=None)
    assert throw_unbalance(follows) == throw_unbalance_by_size(design)
    assert throw_unbalance(design) == design.crank.throw_unbalance
    again = parse_design(design_text(follows))
    assert design_text(again) == design_text(follows)
    assert again.crank.throw_unbalance is None


def test_a_counterweight_without_moment_or_size_is_refused():
    with pytest.raises(DesignError, match="give it, or outer_radius_mm and half_angle_deg"):
        Counterweight(1, outer_radius=0.08)


@pytest.mark.parametrize("name", demo_paths())
def test_the_bodies_of_a_demo_are_whole(name):
    """Moments are those that load the mains, where both come from the same sizes."""
    design = load_design(demo_paths()[name])
    shaft = shaft_geometry(design)
    assert {body.kind for body in shaft.bodies} <= set(KINDS)
    z = [body.z for body in shaft.bodies]
    assert z == sorted(z)
    weights = {body.name: body for body in shaft.of_kind("counterweight")}
    parts = part_geometry(design)
    for weight, shape in zip(design.counterweights, parts.counterweights, strict=True):
        size = abs(weights[f"counterweight {weight.web}"].moment)
        assert size == pytest.approx(counterweight_unbalance(weight, design), rel=1e-9)
        assert shape.unbalance == pytest.approx(size, rel=1e-9)
    throw = 1
    angle = design.layout.throw_angles[throw - 1]
    own = sum(
        body.moment for body in shaft.bodies if body.throw == throw and body.kind in ("crankpin",
                                                                                      "web")
    )  # fmt: skip
    assert own == pytest.approx(cmath.rect(throw_unbalance_by_size(design), angle), rel=1e-9)


def test_sums_are_those_of_the_bodies():
    shaft = shaft_geometry(bricks())
    assert shaft.mass == pytest.approx(sum(one.mass for one in shaft.bodies))
    throws = shaft.throw_moments(6)
    assert throws.sum() == pytest.approx(shaft.moment, abs=1e-15)
    assert abs(shaft.moment) < 1e-12 * np.abs(throws).sum() + 1e-15
    ends = sum(one.inertia for one in shaft.bodies if one.kind in ("nose", "flange"))
    journals = shaft.of_kind("main journal")
    outer = (journals[0].inertia + journals[-1].inertia) / 2
    assert shaft.throw_inertias(6).sum() == pytest.approx(shaft.inertia - ends - outer)


def test_a_relief_takes_its_share_of_the_webs_alone():
    full, relieved = (
        shaft_geometry(replace(bricks(), shaft=replace(SHAFT, web_relief=relief)))
        for relief in (0.0, 0.25)
    )
    for before, after in zip(full.bodies, relieved.bodies, strict=True):
        factor = 0.75 if before.kind == "web" else 1.0
        assert after.mass == pytest.approx(factor * before.mass)
        assert after.inertia == pytest.approx(factor * before.inertia)


def test_a_chamfer_moves_the_webs_toward_their_pins_and_the_shaft_stays_where_it_was():
    cut = replace(SHAFT, web_chamfer_depth=0.025, web_chamfer_angle=math.radians(40))
    flat, chamfered = (shaft_geometry(replace(bricks(), shaft=shaft)) for shaft in (SHAFT, cut))
    before, after = ({one.name: one for one in shaft.bodies} for shaft in (flat, chamfered))
    for number in range(1, 13):
        moved = after[f"web {number}"].z - before[f"web {number}"].z
        assert moved * (1 if number % 2 else -1) > 1e-4
    lost = flat.mass - chamfered.mass
    centre = (flat.centre * flat.mass - chamfered.centre * chamfered.mass) / lost
    throws = np.mean([one.z for one in flat.of_kind("crankpin")])
    assert centre == pytest.approx(throws, abs=1e-12)


def test_throw_and_mass_lose_what_the_cuts_weigh():
    cut = replace(
        SHAFT, web_chamfer_depth=0.02, web_pocket_diameter=0.02, web_pocket_depth=0.004,
        web_pocket_offset=-0.01,
    )  # fmt: skip
    flat, lightened = (replace(bricks(), shaft=shaft) for shaft in (SHAFT, cut))
    parts, density = web_parts(lightened), lightened.crank_material.density
    lost = shaft_geometry(flat).mass - shaft_geometry(lightened).mass
    assert lost == pytest.approx(12 * density * (parts.chamfer.volume + parts.pocket.volume))
    moment = throw_unbalance_by_size(flat) - throw_unbalance_by_size(lightened)
    assert moment == pytest.approx(2 * density * (parts.chamfer.first + parts.pocket.first))
    inertia = shaft_geometry(flat).inertia - shaft_geometry(lightened).inertia
    assert inertia == pytest.approx(12 * density * (parts.chamfer.polar + parts.pocket.polar))
    assert parse_design(design_text(lightened)).shaft == lightened.shaft


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"web_chamfer_depth": 0.04}, "reaches its face at the crankpin"),
        ({"web_chamfer_depth": 0.057, "web_chamfer_angle": math.radians(20)}, "chamfer starts"),
        ({"web_pocket_diameter": 0.04, "web_pocket_depth": 0.004}, "pocket comes within"),
        ({"web_pocket_diameter": 0.05, "web_pocket_depth": 0.004, "web_pocket_offset": 0.03},
         "breaks out"),
        ({"web_pocket_diameter": 0.01, "web_pocket_depth": 0.018}, "goes through the web"),
    ],
)  # fmt: skip
def test_a_cut_that_runs_into_something_is_said(fields, words):
    design = replace(bricks(), shaft=replace(SHAFT, **fields))
    assert any(words in misfit for misfit in part_geometry(design).misfits), words
    assert not any("web's" in misfit for misfit in part_geometry(bricks()).misfits)


@pytest.mark.parametrize("name", demo_paths())
def test_the_cuts_of_a_demo_run_into_nothing(name):
    design = load_design(demo_paths()[name])
    assert design.shaft.web_relief == 0
    assert design.shaft.web_chamfer_depth > 0
    assert web_misfits(design) == ()


def test_a_narrow_pin_end_costs_less_moment_than_mass():
    wide, narrow = (
        shaft_geometry(replace(bricks(), shaft=replace(SHAFT, web_pin_end=end)))
        for end in (0.08, 0.06)
    )
    wide_mass, wide_moment, narrow_mass, narrow_moment = (
        sum(getattr(one, part).real for one in shaft.of_kind("web") if one.throw == 1)
        for shaft in (wide, narrow)
        for part in ("mass", "moment")
    )
    assert narrow_moment / wide_moment < narrow_mass / wide_mass < 1


def test_an_oil_drilling_takes_away_what_a_thin_rod_would_weigh():
    solid, drilled = (
        shaft_geometry(changed(bricks(), "crank_throw", oil_bore=bore)) for bore in (0.0, 0.006)
    )
    lost = drilled.of_kind("oil drilling")
    assert len(lost) == 6
    assert drilled.mass - solid.mass == pytest.approx(sum(one.mass for one in lost))
    length, height = math.hypot(0.042, 0.045 + 0.025), 0.045 + 0.025
    mass = 7850 * math.pi / 4 * 0.006**2 * length
    assert lost[0].mass == pytest.approx(-mass)
    assert abs(lost[0].moment) == pytest.approx(mass * height / 2)
    assert lost[0].inertia == pytest.approx(-mass * height**2 / 3)


def test_rods_and_pistons_add_two_masses():
    design = bricks()
    rod, r = design.rod, design.cylinder.crank_radius
    share = rod.cg_from_big_end / design.cylinder.rod_length
    reciprocating = design.piston.assembly_mass + rod.mass * share
    expected = 6 * (rod.mass * (1 - share) + reciprocating / 2) * r**2
    assert running_gear(design) == pytest.approx(expected, rel=1e-12)


def test_a_bored_pin_is_a_pin_less_its_bore():
    solid, bored = (
        shaft_geometry(changed(bricks(), "crank_throw", pin_bore=bore)) for bore in (0.0, 0.02)
    )
    lost = 7850 * math.pi / 4 * 0.02**2 * 0.022
    for before, after in zip(solid.of_kind("crankpin"), bored.of_kind("crankpin"), strict=True):
        assert before.mass - after.mass == pytest.approx(lost)
        assert abs(before.moment) - abs(after.moment) == pytest.approx(lost * 0.045)
        inertia = lost * (0.02**2 / 8 + 0.045**2)
        assert before.inertia - after.inertia == pytest.approx(inertia)
