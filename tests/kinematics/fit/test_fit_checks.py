"""Whether parts go together: each check on a design that just fits and one that just does not.

Bounds are worked out by hand from the hill-climb six: bore 88, stroke 78, rod 148, throw spacing
97, web offset 23, webs 20, crankpin 48 x 19.5, main 56 x 22, fillets 3, all in mm.
"""

import dataclasses
import math

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings

from assets_demo import DEMO_DESIGNS, FOLDER
from kinematics import Design, DesignError, fit_checks, load_demo, load_design, with_value
from kinematics.declaration import declarations
from kinematics.fit.fit_check import CLOSE, DOES_NOT_FIT, FITS, NOT_CHECKED, FitCheck
from kinematics.fit.fit_checks import RULES
from kinematics.fit.weighed_sizes import with_weighed_sizes
from kinematics.mechanics.slider_crank import pose
from kinematics.shaft.part_geometry import part_geometry
from kinematics.train.cylinder_pressure import slider_crank
from kinematics.units import UNITS
from tests.kinematics.random_designs import designs

HILL = load_demo("hill_climb_six")
OMEGA = UNITS["rpm"].to_si(8500)
GROUPS = (
    "big_end", "main_bearing", "oil", "piston_pin", "top_ring", "rod_shank", "rod_material",
    "rod_bolts", "crank_throw", "crank_material", "shaft", "torsion",
)  # fmt: skip


def check(key: str, design: Design = HILL) -> FitCheck:
    return next(found for found in fit_checks(design) if found.key == key)


def changed(design: Design = HILL, **values: float) -> Design:
    """A design with fields set by their keys, the first dot as two underscores."""
    for key, value in values.items():
        design = with_value(design, key.replace("__", "."), value)
    return design


@pytest.mark.parametrize("stem", DEMO_DESIGNS)
def test_every_demo_fits_and_holds_what_its_checks_ask_for(stem: str) -> None:
    found = fit_checks(load_design(FOLDER / f"{stem}.toml"))
    unchecked = {"v6_60_six_throws": ["free_moment"]}.get(stem, [])
    assert [one.key for one in found if one.outcome == NOT_CHECKED] == unchecked
    assert all(one.outcome == FITS for one in found if one.key not in unchecked), found


AT_THE_BOUND = (  # key of the check, field, values that fit, are close, do not fit
    ("axial_stack", "main_bearing__width_mm", 37.5, None, 37.51),  # 19.5 + 2 x 20 + 37.5 = 97
    ("pin_shells", "big_end__width_mm", 20.0, None, 20.01),  # 2 x 23 - 20 - 2 x 3
    ("main_shells", "main_bearing__width_mm", 25.0, None, 25.01),  # 97 - 46 - 20 - 2 x 3
    ("bores", "cylinder__bore_mm", 93.26, 93.28, 97.0),  # 97 / 1.04 = 93.269
    ("deck", "cylinder__deck_height_mm", 220.38, None, 220.39),  # 39 + 148 + 32.5 + 0.88
    ("deck", "cylinder__deck_height_mm", 218.62, None, 218.61),
    ("head", "cylinder__gasket_thickness_mm", 0.58, 0.57, None),  # 0.3 + 0.58 = 0.01 x 88
    ("head", "piston__compression_height_mm", 32.82, 33.0, 33.71),  # 219.8 + 0.9 - 187 = 33.7
    ("valve", "cylinder__valve_clearance_mm", 1.32, 1.31, -0.01),  # 0.015 x 88
    ("rod_through_bore", "rod_bolts__spacing_mm", 71.5, None, None),  # 71.5 + 16.5 = 88
    ("rod_through_bore", "rod_bolts__spacing_mm", 98.3, None, 98.4),  # 88 / cos 40° - 16.5
    ("oil_wall", "crank_throw__oil_bore_mm", 7.05, 7.06, 10.6),  # 5.289 from the pocket's edge
    ("throw_unbalance", "crank__throw_unbalance_kg_mm", 33.61, None, 33.62),  # 1.05 x 32.0104
    ("red_line", "limits__red_line_rpm", 8500.0, None, 8499.0),
    ("piston_mass", "piston__mass_at_bore_mm", 87.14, None, 87.12),  # 88 / 1.03^(1/3) = 87.1374
    ("bolt_range", "rod_bolts__preload_kN", 15.9, None, 15.8),  # 0.3 x 1350 MPa x 39.17 mm²
    ("bolt_range", "rod_bolts__preload_kN", 45.9, None, 46.0),  # over the factor 1.15
    ("pin_range", "piston_pin__inner_diameter_mm", 9.2, None, 9.1),  # 0.4 x 23
    ("pin_range", "piston_pin__inner_diameter_mm", 18.4, None, 18.5),
)


@pytest.mark.parametrize(("key", "field", "good", "near", "bad"), AT_THE_BOUND)
def test_each_check_turns_at_its_bound(
    key: str, field: str, good: float, near: float | None, bad: float | None
) -> None:
    for value, outcome in ((good, FITS), (near, CLOSE), (bad, DOES_NOT_FIT)):
        if value is not None:
            found = check(key, changed(**{field: value}))
            assert found.outcome == outcome, found
            assert found.sentence.endswith(".")
            assert found.brief
            assert found.question.formula
            assert found.values
            assert found.question.source


def test_the_axial_stack_is_the_sum_of_its_parts() -> None:
    found = check("axial_stack")
    parts = part_geometry(HILL)
    room = (parts.crankpin.length - 0.0195) + (parts.main_journal.length - 0.022)
    assert found.bound - found.value == pytest.approx(room, abs=1e-12)
    assert found.value == pytest.approx(0.0815)


def test_two_rods_on_a_pin_take_twice_the_width() -> None:
    layout = dataclasses.replace(
        HILL.layout,
        throw_angles=(0.0, math.radians(240), math.radians(120)),
        throw_of_cylinder=(1, 1, 2, 2, 3, 3),
        bank_angle=tuple(math.radians(degrees) for degrees in (-30, 30) * 3),
        firing_order=(1, 4, 5, 2, 3, 6),
    )
    vee = dataclasses.replace(HILL, layout=layout, counterweights=())
    assert check("axial_stack", vee).value == pytest.approx(0.0815 + 0.0195)
    assert check("pin_shells", vee).outcome == DOES_NOT_FIT


def test_the_skirt_keeps_its_length_and_meets_the_counterweight() -> None:
    sector = dataclasses.replace(
        HILL.counterweights[1], unbalance=None, outer_radius=0.07, half_angle=math.radians(60)
    )
    fixed = dataclasses.replace(HILL, counterweights=(sector,))
    room, least = 148 - 39 - 70, 0.02 * 0.998 * 88
    for skirt, outcome in ((room - least, FITS), (room - least + 0.01, CLOSE),
                           (room + 0.01, DOES_NOT_FIT)):  # fmt: skip
        found = check("skirt", changed(fixed, piston__skirt_length_mm=skirt))
        assert found.outcome == outcome
        assert found.value == pytest.approx((room - skirt) * 1e-3, abs=1e-12)
    assert found.brief == "skirt meets the counterweight on web 2 by 0.01 mm"
    free = changed(piston__skirt_length_mm=room - least + 1)  # a weight of any angle widens
    assert check("skirt", free).outcome == FITS
    usual = dataclasses.replace(HILL, piston=dataclasses.replace(HILL.piston, skirt_length=None))
    short = changed(usual, cylinder__rod_length_mm=104.0)
    assert part_geometry(short).piston.skirt_length == pytest.approx(0.22 * 0.088)
    assert check("skirt", short).outcome == DOES_NOT_FIT
    assert "piston.skirt_length_mm is not given" in check("skirt", short).sentence


def box_edges(design: Design) -> list[np.ndarray]:
    """The big end's box over a turn, (angles, 2, points), straight in its split."""
    parts = part_geometry(design)
    rod = parts.rod
    at = pose(slider_crank(design.cylinder), np.linspace(0, 2 * math.pi, 361))
    breadth = np.linspace(-rod.big_end_half_breadth, rod.big_end_half_breadth, 201)
    height = np.linspace(rod.bolt_bottom, rod.bolt_top, 201)
    found = []
    for x, y in ((breadth, rod.bolt_bottom), (breadth, rod.bolt_top),
                 (breadth[0], height), (breadth[-1], height)):  # fmt: skip
        x, y = np.broadcast_arrays(np.asarray(x), np.asarray(y))
        pin_x, pin_y = (parts.crank_radius * one for one in (at.sin_crank, at.cos_crank))
        across = pin_x[:, None] + np.outer(at.cos_rod, x) - np.outer(at.sin_rod, y)
        up = pin_y[:, None] + np.outer(at.sin_rod, x) + np.outer(at.cos_rod, y)
        found.append(np.stack((across, up), axis=1))
    return found


def test_the_rods_box_is_as_far_from_bore_and_case_as_its_edges() -> None:
    design = changed(cylinder__rod_length_mm=110.0, piston__skirt_length_mm=15.0)
    bottom, half = part_geometry(design).block.bore_bottom, design.cylinder.bore / 2
    edges = box_edges(design)
    nearest = min(
        float(np.hypot(edge[:, 0] - side * half, edge[:, 1] - bottom).min())
        for edge in edges for side in (-1, 1)
    )  # fmt: skip
    assert check("rod_to_bore", design).value == pytest.approx(nearest, abs=2e-4)
    reach = max(float(np.hypot(edge[:, 0], edge[:, 1]).max()) for edge in edges)
    case = check("case", changed(design, crank__case_radius_mm=100.0))
    assert case.value == pytest.approx(0.1 - reach, abs=1e-9)
    fits = changed(design, crank__case_radius_mm=reach * 1e3 + 1.76 + 1e-6)
    assert check("case", fits).outcome == FITS
    assert (
        check("case", changed(design, crank__case_radius_mm=reach * 1e3 - 0.01)).outcome
        == DOES_NOT_FIT
    )


def test_a_rod_whose_bolts_reach_into_the_bore_cuts_it() -> None:
    found = check("rod_to_bore", changed(cylinder__rod_length_mm=75.0, cylinder__stroke_mm=60.0))
    assert found.outcome == DOES_NOT_FIT
    assert found.value < 0


def test_a_chamfer_that_cuts_into_the_pins_fillet_does_not_fit() -> None:
    found = check("web_cuts", changed(shaft__web_chamfer_depth_mm=45.0))
    assert found.outcome == DOES_NOT_FIT
    assert found.brief == "web's chamfer cuts into what it must leave"


def without(web: int) -> Design:
    weights = tuple(weight for weight in HILL.counterweights if weight.web != web)
    return dataclasses.replace(HILL, counterweights=weights)


def on_web(web: int, unbalance: float) -> Design:
    """The hill climb with another counterweight on a web [kg·m]."""
    weights = tuple(
        dataclasses.replace(weight, unbalance=unbalance) if weight.web == web else weight
        for weight in HILL.counterweights
    )
    return dataclasses.replace(HILL, counterweights=weights)


def test_a_counterweight_left_off_one_web_leaves_a_free_force() -> None:
    """26 kg·mm at 8500 rpm pull with 0.026 ω²: 20.6 kN, which once was said nowhere."""
    found = check("free_force", without(2))
    assert found.outcome == DOES_NOT_FIT
    assert found.value == pytest.approx(0.026 * OMEGA**2, rel=1e-9)
    assert found.brief == "free force of 20.6 kN at rated speed"
    unit = (0.345 + 0.43) * 0.039 + 0.032  # of one throw
    assert found.bound == pytest.approx(0.01 * unit * OMEGA**2, rel=1e-12)
    assert check("free_force", on_web(2, 0.026 + 0.0099 * unit)).outcome == FITS
    assert check("free_force", on_web(2, 0.026 + 0.0101 * unit)).outcome == DOES_NOT_FIT


def test_a_counterweight_on_the_other_web_of_its_throw_leaves_a_free_moment() -> None:
    moved = tuple(
        dataclasses.replace(weight, web={11: 12, 12: 11}.get(weight.web, weight.web))
        for weight in HILL.counterweights
    )
    design = dataclasses.replace(HILL, counterweights=moved)
    assert check("free_force", design).outcome == FITS
    found = check("free_moment", design)
    assert found.value == pytest.approx((0.026 - 0.018) * 0.046 * OMEGA**2, rel=1e-9)
    assert found.outcome == DOES_NOT_FIT


def test_what_pistons_alone_leave_free_is_not_held_against_counterweights() -> None:
    layout = dataclasses.replace(
        HILL.layout, throw_angles=(0.0,), throw_of_cylinder=(1,), bank_angle=(0.0,),
        firing_order=(1,),
    )  # fmt: skip
    single = dataclasses.replace(HILL, layout=layout, counterweights=())
    assert check("free_force", single).outcome == NOT_CHECKED


def test_a_throw_unbalance_of_the_geometry_fits() -> None:
    crank = dataclasses.replace(HILL.crank, throw_unbalance=None)
    assert check("throw_unbalance", dataclasses.replace(HILL, crank=crank)).outcome == FITS


def test_masses_are_of_the_sizes_at_which_they_were_given() -> None:
    wider = with_weighed_sizes(HILL, changed(cylinder__bore_mm=90.0))
    assert wider.piston.mass_at_bore == HILL.cylinder.bore
    found = check("piston_mass", wider)
    assert found.outcome == DOES_NOT_FIT
    assert found.value == pytest.approx((90 / 88) ** 3 - 1)
    assert "weighs 369.1 g" in found.sentence  # 345 (90/88)³
    heavier = with_weighed_sizes(wider, changed(wider, piston__assembly_mass_g=368.0))
    assert heavier.piston.mass_at_bore is None
    assert check("piston_mass", heavier).outcome == FITS
    back = with_weighed_sizes(wider, changed(wider, cylinder__bore_mm=88.0))
    assert back == HILL
    lighter = changed(piston__assembly_mass_g=330.0)
    assert with_weighed_sizes(HILL, lighter) == lighter


def test_a_rod_grows_by_its_shank() -> None:
    """2 · 14.5 · 3.9 + (25.5 - 7.8) · 3.6 = 176.82 mm², so 2 mm weigh 2.8 g of 430 g."""
    longer = with_weighed_sizes(HILL, changed(cylinder__rod_length_mm=150.0))
    found = check("rod_mass", longer)
    assert found.value == pytest.approx(7850 * 176.82e-6 * 0.002 / 0.43, rel=1e-6)
    assert found.outcome == FITS
    limit = 148 + 0.03 * 430 / (7850 * 176.82e-6)  # 9.29 mm more
    for length, outcome in ((limit - 0.01, FITS), (limit + 0.01, DOES_NOT_FIT)):
        one = with_weighed_sizes(HILL, changed(cylinder__rod_length_mm=length))
        assert check("rod_mass", one).outcome == outcome


@pytest.mark.parametrize("group", GROUPS)
def test_a_group_that_lacks_leaves_its_checks_undone_and_says_so(group: str) -> None:
    crank = dataclasses.replace(HILL.crank, main_loads="cut_at_mains")
    try:
        design = dataclasses.replace(HILL, crank=crank, **{group: None})
    except DesignError:
        pytest.skip("the design cannot be without it")
    for one in fit_checks(design):
        if one.outcome == NOT_CHECKED:
            assert one.missing.startswith(group)
            assert one.sentence.startswith(group)


def test_fields_that_lack_are_named() -> None:
    cylinder = dataclasses.replace(
        HILL.cylinder, deck_height=None, gasket_thickness=None, valve_clearance=None
    )
    design = dataclasses.replace(HILL, cylinder=cylinder)
    found = {one.key: one for one in fit_checks(design)}
    for key, field in (
        ("deck", "cylinder.deck_height_mm"), ("head", "cylinder.gasket_thickness_mm"),
        ("valve", "cylinder.valve_clearance_mm"),
    ):  # fmt: skip
        assert found[key].outcome == NOT_CHECKED
        assert found[key].missing == found[key].field == field
        assert found[key].value is None


@given(design=designs())
@settings(max_examples=60, deadline=None, suppress_health_check=list(HealthCheck))
def test_any_design_is_checked_without_an_error(design: Design) -> None:
    found = fit_checks(design)
    assert [one.key for one in found] == [rule.question.key for rule in RULES]
    for one in found:
        assert one.sentence
        if one.value is not None:
            assert math.isfinite(one.value)
            assert math.isfinite(one.bound or 0.0)
        if one.outcome == DOES_NOT_FIT:
            assert one.brief


def test_fields_are_those_of_a_design_or_a_control() -> None:
    keys = {
        f"{group.name}.{key}"
        for group in dataclasses.fields(HILL)
        if dataclasses.is_dataclass(record := getattr(HILL, group.name))
        for _, key, _ in declarations(record)
    }
    asked = {rule.question.field for rule in RULES}
    assert asked - keys == {"counterweight"}
