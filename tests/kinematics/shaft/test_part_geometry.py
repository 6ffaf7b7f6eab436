"""Shapes of the parts: the design's own dimensions kept, no overlaps, weights as heavy as said."""

import dataclasses
import math
from collections import Counter
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kinematics import Design, load_design
from kinematics.mechanics.slider_crank import SliderCrank, piston_motion
from kinematics.shaft.part_geometry import (
    STEEL_DENSITY,
    CounterweightShape,
    PartGeometry,
    part_geometry,
)
from kinematics.train.cylinder_pressure import cylinder_volume
from tests.conftest import changed, layout_of, six, with_layout
from tests.kinematics.random_designs import designs

ANY_DESIGN = settings(max_examples=50, deadline=None, suppress_health_check=list(HealthCheck))
DEMOS = sorted((Path(__file__).parents[3] / "assets_demo").glob("*.toml"))
MM = 1e-3


def leaves(value: Any, path: str = "") -> Iterator[tuple[str, Any]]:
    """Every plain value of a record as (path, value)."""
    if dataclasses.is_dataclass(value):
        for field in dataclasses.fields(value):
            yield from leaves(getattr(value, field.name), f"{path}.{field.name}".lstrip("."))
    elif isinstance(value, tuple):
        for one in value:
            yield from leaves(one, path)
    else:
        yield path, value


@st.composite
def roomy_designs(draw: st.DrawFn) -> Design:
    """Any design whose shells leave room for webs; some leave the bearings out."""
    design = draw(designs())
    spacing = design.layout.throw_spacing
    offset = draw(st.floats(0.15, 0.35)) * spacing
    abreast = max(Counter(design.layout.throw_of_cylinder).values())
    filled = draw(st.floats(0.2, 0.8))
    assert design.big_end
    assert design.main_bearing
    big_end = dataclasses.replace(design.big_end, width=filled * 2 * offset / abreast)
    main = dataclasses.replace(
        design.main_bearing, width=filled * (spacing - 2 * offset), groove_width=None
    )
    return dataclasses.replace(
        design,
        crank=dataclasses.replace(design.crank, web_offset=offset),
        big_end=draw(st.sampled_from((big_end, None))),
        main_bearing=draw(st.sampled_from((main, None))),
    )


def numbers(parts: PartGeometry) -> list[tuple[str, float]]:
    return [(path, value) for path, value in leaves(parts) if type(value) in (int, float)]


def integrated_moment(weight: CounterweightShape) -> float:
    """Static moment of a sector by Gauss quadrature over radius and angle."""
    node, share = np.polynomial.legendre.leggauss(24)
    span = (weight.outer_radius - weight.inner_radius) / 2
    radius = (weight.outer_radius + weight.inner_radius) / 2 + span * node
    angle = weight.half_angle * node
    area = np.outer(span * share * radius, weight.half_angle * share)
    arm = np.outer(radius, np.cos(angle))
    return float(STEEL_DENSITY * weight.thickness * (area * arm).sum())


def axial_spans(parts: PartGeometry) -> list[tuple[float, float]]:
    """Front and rear faces of all journals, pins and webs, from front to rear."""
    pieces = [(z, parts.main_journal.length) for z in parts.main_journal.z]
    pieces += [(z, parts.crankpin.length) for z in parts.crankpin.z]
    pieces += [(z, parts.web.thickness) for z in parts.web.z]
    return sorted((z - length / 2, z + length / 2) for z, length in pieces)


def scaled(design: Design, factor: float) -> Design:
    """The design with all lengths multiplied, and unbalances so that weights stay similar."""
    cylinder, layout, crank = design.cylinder, design.layout, design.crank
    assert design.big_end
    assert design.main_bearing
    return dataclasses.replace(
        design,
        cylinder=dataclasses.replace(
            cylinder,
            bore=cylinder.bore * factor,
            stroke=cylinder.stroke * factor,
            rod_length=cylinder.rod_length * factor,
            pin_offset=cylinder.pin_offset * factor,
        ),
        layout=dataclasses.replace(layout, throw_spacing=layout.throw_spacing * factor),
        crank=dataclasses.replace(crank, web_offset=crank.web_offset * factor),
        big_end=dataclasses.replace(
            design.big_end,
            diameter=design.big_end.diameter * factor,
            width=design.big_end.width * factor,
        ),
        main_bearing=dataclasses.replace(
            design.main_bearing,
            diameter=design.main_bearing.diameter * factor,
            width=design.main_bearing.width * factor,
        ),
        counterweights=tuple(
            dataclasses.replace(one, unbalance=one.unbalance * factor**4)
            for one in design.counterweights
        ),
    )


def weighted(unbalance: float) -> Design:
    """The six with one counterweight of an unbalance [kg·m]."""
    base = six()
    weight = dataclasses.replace(base.counterweights[0], unbalance=unbalance)
    return dataclasses.replace(base, counterweights=(weight,))


def test_given_dimensions_are_the_designs(base: Design) -> None:
    parts = part_geometry(changed(base, "cylinder", pin_offset=1 * MM))
    assert base.big_end
    assert base.main_bearing
    assert parts.crank_radius == base.cylinder.stroke / 2
    assert parts.pin_offset == 1 * MM
    assert parts.rod.length == base.cylinder.rod_length
    assert parts.block.bore == base.cylinder.bore
    assert parts.crankpin.diameter == base.big_end.diameter
    assert parts.rod.big_end_width == parts.crankpin.shell_width == base.big_end.width
    assert parts.main_journal.diameter == base.main_bearing.diameter
    assert parts.main_journal.shell_width == base.main_bearing.width
    assert [one.angle for one in parts.throws] == list(base.layout.throw_angles)
    assert [one.unbalance for one in parts.counterweights] == [
        one.unbalance for one in base.counterweights
    ]


def test_webs_stand_at_their_offset_and_mains_half_way(base: Design) -> None:
    parts = part_geometry(base)
    for k, throw in enumerate(parts.throws):
        front, rear = parts.web.z[2 * k], parts.web.z[2 * k + 1]
        assert (rear + front) / 2 == pytest.approx(throw.z, abs=1e-12)
        assert (rear - front) / 2 == pytest.approx(base.crank.web_offset, abs=1e-12)
        mains = parts.main_journal.z[k : k + 2]
        assert sum(mains) / 2 == pytest.approx(throw.z, abs=1e-12)
    assert len(parts.main_journal.z) == base.layout.throws + 1


@pytest.mark.parametrize("bearings", [True, False])
def test_each_given_field_exists_and_bearings_are_given_only_if_known(
    base: Design, bearings: bool
) -> None:
    design = base if bearings else dataclasses.replace(base, big_end=None, main_bearing=None)
    parts = part_geometry(design)
    assert set(parts.given) <= {path for path, _ in leaves(parts)}
    assert ("crankpin.diameter" in parts.given) is bearings
    assert ("main_journal.shell_width" in parts.given) is bearings


MAY_BE_ZERO = (
    "z", "bolt_bottom", "cap_split_angle", "bowl_diameter", "bowl_depth", "pocket_radius",
    "pocket_depth", "pocket_height",
)  # fmt: skip


@given(design=designs())
@ANY_DESIGN
def test_every_number_is_finite_and_lengths_are_positive(design: Design) -> None:
    parts = part_geometry(design)
    assert all(math.isfinite(value) for _, value in numbers(parts))
    for shape in (parts.piston, parts.rod, parts.web, parts.crankpin, parts.main_journal):
        for path, value in leaves(shape):
            if path not in MAY_BE_ZERO:
                assert isinstance(value, str) or value > 0, path


@given(design=designs())
@ANY_DESIGN
def test_counterweights_weigh_what_the_design_says(design: Design) -> None:
    parts = part_geometry(design)
    for weight, wanted in zip(parts.counterweights, design.counterweights, strict=True):
        assert integrated_moment(weight) == pytest.approx(wanted.unbalance, rel=1e-9, abs=1e-15)
        assert 0 <= weight.half_angle <= math.pi / 2 + 1e-12
        assert weight.inner_radius >= parts.main_journal.diameter / 2
        assert weight.z == parts.web.z[wanted.web - 1]
        named = any(f"web {weight.web} " in sentence for sentence in parts.misfits)
        assert named or weight.fits


@given(design=designs())
@ANY_DESIGN
def test_weights_that_fit_clear_the_piston_at_bdc(design: Design) -> None:
    parts = part_geometry(design)
    cylinder = design.cylinder
    train = SliderCrank(cylinder.crank_radius, cylinder.rod_length, cylinder.pin_offset)
    turn = np.radians(np.arange(0.0, 360.0, 0.25))
    lowest = train.top - piston_motion(train, turn).displacement.max() - parts.piston.skirt_length
    for weight in parts.counterweights:
        if weight.fits:
            assert weight.outer_radius < lowest


@given(design=roomy_designs())
@ANY_DESIGN
def test_parts_along_the_crank_meet_without_overlap(design: Design) -> None:
    parts = part_geometry(design)
    assert not any("Webs" in sentence for sentence in parts.misfits)
    spans = axial_spans(parts)
    for (_, rear), (front, _) in pairwise(spans):
        assert front == pytest.approx(rear, abs=1e-12) or front > rear
    used = parts.crankpin.length + 2 * parts.web.thickness + parts.main_journal.length
    assert used == pytest.approx(design.layout.throw_spacing, rel=1e-12)
    assert parts.main_journal.shell_width < parts.main_journal.length


@given(design=roomy_designs())
@ANY_DESIGN
def test_rods_on_a_pin_stand_side_by_side_within_it(design: Design) -> None:
    parts = part_geometry(design)
    assert not any("Webs" in sentence for sentence in parts.misfits)
    for k, throw in enumerate(parts.throws, start=1):
        places = [one.z for one in parts.cylinders if one.throw == k]
        assert sum(places) / len(places) == pytest.approx(throw.z, abs=1e-12)
        assert np.all(np.diff(places) > parts.rod.big_end_width)
        reach = max(abs(z - throw.z) for z in places) + parts.rod.big_end_width / 2
        assert reach < parts.crankpin.length / 2


@given(design=designs())
@ANY_DESIGN
def test_piston_holds_rings_pin_and_rod(design: Design) -> None:
    parts = part_geometry(design)
    piston, rod = parts.piston, parts.rod
    ends = [at + height for at, height in piston.ring_grooves]
    starts = [at for at, _ in piston.ring_grooves]
    assert starts[0] > 0
    assert all(end < start for end, start in zip(ends, starts[1:], strict=False))
    assert ends[-1] < piston.compression_height - piston.pin_diameter / 2
    assert piston.bowl_depth < piston.compression_height - piston.boss_radius
    assert piston.pin_bore < piston.pin_diameter < 2 * piston.boss_radius
    assert piston.boss_radius <= piston.skirt_length
    assert piston.diameter < parts.block.bore
    assert rod.small_end_width < piston.pin_length < piston.diameter


@given(design=designs())
@ANY_DESIGN
def test_rod_encloses_its_pin_and_bolts_miss_the_shell(design: Design) -> None:
    parts = part_geometry(design)
    rod = parts.rod
    assert rod.big_end_outer_radius > parts.crankpin.diameter / 2
    assert rod.bolt_offset - rod.bolt_diameter / 2 > parts.crankpin.diameter / 2
    assert rod.bolt_offset + rod.bolt_diameter / 2 < rod.big_end_half_breadth
    assert rod.web_width < rod.shank_width < rod.big_end_width
    assert 2 * rod.flange_breadth < rod.shank_breadth_small_end


@pytest.mark.parametrize("factor", [0.5, 3.0])
def test_a_larger_engine_has_the_same_shapes(base: Design, factor: float) -> None:
    small, large = (numbers(part_geometry(one)) for one in (base, scaled(base, factor)))
    for (path, was), (_, now) in zip(small, large, strict=True):
        if path.endswith(("angle", ".web", ".throw")):
            assert now == pytest.approx(was, rel=1e-9), path
        else:
            power = 4 if path.endswith("unbalance") else 1
            assert now == pytest.approx(was * factor**power, rel=1e-9, abs=1e-15), path


def test_crown_reaches_the_deck_and_the_chamber_holds_the_clearance_volume(base: Design) -> None:
    design = changed(base, "cylinder", pin_offset=2 * MM)
    parts = part_geometry(design)
    assert parts.block.deck_height == parts.top + parts.piston.compression_height
    clearance = float(cylinder_volume(design.cylinder, np.zeros(1))[0])
    held = parts.block.chamber_height * design.cylinder.piston_area
    assert held == pytest.approx(clearance, rel=1e-9)


def test_a_heavier_weight_grows_then_spreads_then_does_not_fit() -> None:
    light, heavier, heavy, huge = (
        part_geometry(weighted(kg_mm * MM)).counterweights[0] for kg_mm in (18, 40, 60, 150)
    )
    assert light.half_angle == pytest.approx(heavier.half_angle)
    assert light.outer_radius < heavier.outer_radius < heavy.outer_radius
    assert heavy.half_angle > heavier.half_angle
    assert heavy.fits
    assert not huge.fits
    assert huge.half_angle == pytest.approx(math.pi / 2)


def test_a_big_end_broader_than_the_bore_is_split_obliquely(base: Design) -> None:
    square = part_geometry(base).rod
    assert square.cap_split_angle == 0
    assert 2 * square.big_end_half_breadth < base.cylinder.bore
    oblique = part_geometry(changed(base, "big_end", diameter=0.062)).rod
    assert oblique.cap_split_angle > 0


@pytest.mark.parametrize(
    ("group", "values", "word"),
    [
        ("cylinder", {"bore": 0.1}, "Bores"),
        ("crank", {"web_offset": 0.049}, "Webs"),
        ("crank", {"web_offset": 0.011}, "Webs"),
        ("main_bearing", {"width": 0.06}, "Webs"),
        ("big_end", {"diameter": 0.09}, "does not pass"),
        ("main_bearing", {"diameter": 0.17}, "reaches the webs"),
        ("big_end", {"diameter": 0.21}, "too short"),
    ],
)
def test_collisions_are_said(base: Design, group: str, values: dict[str, float], word: str) -> None:
    assert not any(word in sentence for sentence in part_geometry(base).misfits)
    assert any(word in one for one in part_geometry(changed(base, group, **values)).misfits)


def test_banks_share_no_bores(base: Design) -> None:
    v_six = with_layout(
        base,
        layout_of(
            (0, 300, 120, 60, 240, 180), bank_angle_deg=(-30, 30, -30, 30, -30, 30), spacing=0.062
        ),
    )
    in_line = with_layout(base, layout_of((0, 240, 120, 120, 240, 0), spacing=0.062))
    assert not any("Bores" in one for one in part_geometry(v_six).misfits)
    assert any("Bores" in one for one in part_geometry(in_line).misfits)


@pytest.mark.parametrize("path", DEMOS, ids=lambda path: path.stem)
def test_demo_trains_go_together_but_for_weights_said_to_collide(path: Path) -> None:
    misfits = part_geometry(load_design(path)).misfits
    assert all(sentence.startswith("The counterweight") for sentence in misfits)
