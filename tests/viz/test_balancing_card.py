"""The balancing card: what it shows is what the plan says, in the units shown."""

import csv
import io
import json
import math

import numpy as np
import pytest

from apps.pages.balancing import Balancing
from assets_demo import demo_paths
from kinematics import load_design, with_value
from kinematics.balancing.drill_plan import drill_plan
from kinematics.balancing.shaft_drilling import (
    drill_faces,
    drilled_webs,
    end_mains,
    shaft_tolerance,
    thin_webs,
)
from kinematics.balancing.unbalance import MachineScale, read_off
from kinematics.mechanics.web_outline import web_outline
from kinematics.shaft.part_geometry import part_geometry
from kinematics.shaft.shaft_geometry import shaft_geometry
from kinematics.units import using_units
from tests.conftest import changed
from viz.number_words import unbroken, with_unit
from viz.shaft.balancing_card import card_csv, card_message
from viz.shaft.web_sketch import web_sketch

HILL = load_design(demo_paths()["Hill climb six"])
SPEED = HILL.limits.red_line
READING = np.array([420e-6, 380e-6]), np.radians([35.0, 160.0])
DRILLS = (0.008, 0.010, 0.012)
ASKED = {
    "kind": "plan", "serial": 4, "front_amount": 420, "front_angle": 35, "rear_amount": 380,
    "rear_angle": 160, "grade": "G16", "aim": "fewest", "holes": 3, "drills": [8, 10, 12],
    "webs": list(range(1, 13)), "depth": 18, "wall": 3, "against": False, "light": False,
}  # fmt: skip


def plan(scale=MachineScale(), grade="G16"):  # noqa: B008 - frozen
    faces = drill_faces(HILL, DRILLS, most_depth=0.018, minimum_wall=0.003)
    residual = read_off(scale, *READING)
    return drill_plan(residual, shaft_tolerance(HILL, grade, SPEED), faces)


def asked(**changes):
    card = Balancing(lambda _: None, lambda: HILL)
    card.make(ASKED | changes)
    return card


def test_a_residual_of_a_few_hundred_comes_in_with_two_or_three_holes():
    found = plan()
    assert found.feasible
    assert 2 <= len(found.holes) <= 3
    assert found.ratio < 1
    for hole in found.holes:
        assert 0 < hole.depth <= 0.018
        assert hole.diameter in DRILLS


def test_what_is_drilled_is_taken_from_what_was_read():
    """The residual after is the reading less every hole's moment, moved by levers by hand."""
    found, planes = plan(), end_mains(HILL)
    left = READING[0] * np.exp(1j * READING[1])
    for hole in found.holes:
        taken = hole.moment * np.exp(1j * hole.angle)
        rear = (hole.site.z - planes.front) / (planes.rear - planes.front)
        left = left - taken * np.array([1 - rear, rear])
    np.testing.assert_allclose(found.after, left, atol=1e-12)


def test_permissible_is_the_grade_over_the_speed():
    tolerance = shaft_tolerance(HILL, "G16", SPEED)
    mass = shaft_geometry(HILL).mass
    assert tolerance.amounts.sum() == pytest.approx(0.016 * mass / SPEED, rel=1e-3)


def test_the_wrong_sense_of_angle_makes_it_worse():
    """Holes for a reading counted the wrong way leave more than there was."""
    right, wrong = (
        read_off(MachineScale(), *READING),
        read_off(MachineScale(against=True), *READING),
    )
    faces = drill_faces(HILL, DRILLS, most_depth=0.018, minimum_wall=0.003)
    holes = drill_plan(wrong, shaft_tolerance(HILL, "G16", SPEED), faces)
    left = right + (holes.after - holes.before)
    assert np.abs(left).max() > np.abs(right).max()


def test_the_message_is_the_plan():
    found = plan()
    message = json.loads(json.dumps(card_message(HILL, found, SPEED, "G16", MachineScale())))
    assert message["feasible"]
    assert len(message["holes"]) == len(found.holes)
    for place, plane in enumerate(message["planes"]):
        x, y = plane["path"][-1]
        share = abs(found.after[place]) / found.tolerance.amounts[place]
        assert math.hypot(x, y) == pytest.approx(share, abs=2e-5)
        assert plane["within"]
        assert len(plane["path"]) == 1 + len(found.holes)
    drilled = {hole.site.web for hole in found.holes}
    assert {web["web"] for web in message["webs"]} == drilled


def test_a_drilled_web_is_drawn_with_its_chamfer_and_pocket():
    """Edges lie on the faces: one thickness apart along the shaft, at the chamfer's angle."""
    found, shaft = plan(), HILL.shaft
    message = card_message(HILL, found, SPEED, "G16", MachineScale())
    for web, hole in zip(
        message["webs"], {h.site.web: h for h in found.holes}.values(), strict=True
    ):
        radius, cut = hole.site.radius, web["cut"]
        tip = HILL.cylinder.crank_radius + shaft.web_pin_end / 2
        (half, start), *beyond = cut["chamfer"]
        assert start * radius == pytest.approx(tip - shaft.web_chamfer_depth, abs=1e-6)
        end = start * radius + HILL.crank_throw.web_thickness / math.tan(shaft.web_chamfer_angle)
        assert bool(beyond) == (end < tip)
        assert max(height for _, height in cut["outline"]) * radius == pytest.approx(
            min(tip, end), abs=1e-6
        )
        assert 0 < half * radius < shaft.web_main_end / 2
        assert cut["pocket"][1] * radius == pytest.approx(shaft.web_pocket_diameter / 2, abs=1e-9)
        assert cut["behind"] == (web["web"] % 2 == 0)


def test_a_web_without_cuts_has_no_edges_and_its_whole_outline():
    """Area by the trapezium rule is that of the closed form."""
    parts = part_geometry(changed(HILL, "shaft", web_chamfer_depth=0.0, web_pocket_depth=0.0))
    sketch = web_sketch(parts.web, parts.crank_radius, 1, 0.01)
    assert sketch["chamfer"] == []
    assert sketch["pocket"] is None
    half, height = 0.01 * np.array(sketch["outline"]).T
    area = web_outline(parts.web.hub_radius, parts.web.pin_end_radius, parts.crank_radius).area
    assert 2 * np.trapezoid(half, height) == pytest.approx(area, rel=2e-3)


def test_the_file_has_every_number_of_the_plan_in_a_cell_of_its_own():
    found = plan()
    rows = list(csv.reader(io.StringIO(card_csv(found))))
    assert rows[0] == ["Hole", "Web", "Angle, °", "Drill, mm", "Depth, mm", "Removes, g·mm"]
    for row, hole in zip(rows[1:], found.holes, strict=False):
        assert [float(cell) for cell in row[1:]] == pytest.approx(
            [hole.site.web, math.degrees(hole.angle) % 360, 1e3 * hole.diameter, 1e3 * hole.depth,
             1e6 * hole.moment], rel=1e-8,
        )  # fmt: skip
    head, front, rear, caution = rows[1 + len(found.holes) :]
    assert head == ["Plane", "Before, g·mm", "at, °", "After, g·mm", "at, °", "Permissible, g·mm"]
    for place, row in enumerate((front, rear)):
        before, angle, after, _, permissible = map(float, row[1:])
        assert before == pytest.approx(1e6 * abs(found.before[place]), rel=1e-8)
        assert angle == pytest.approx(math.degrees(np.angle(found.before[place])) % 360)
        assert after == pytest.approx(1e6 * abs(found.after[place]), rel=1e-8)
        assert permissible == pytest.approx(1e6 * found.tolerance.amounts[place], rel=1e-8)
    assert len(caution) == 1


def test_every_part_is_in_us_units_where_they_are_shown():
    with using_units("us"):
        message = card_message(HILL, plan(), SPEED, "G16", MachineScale())
    words = json.dumps(
        {key: message[key] for key in ("planes", "holes", "tolerance")}, ensure_ascii=False
    )
    assert "oz·in" in words
    assert "mm" not in words


def test_a_machine_that_counts_against_rotation_is_told_its_own_angles():
    scale = MachineScale(against=True)
    message = card_message(HILL, plan(scale), SPEED, "G16", scale)
    assert message["planes"][0]["before"].endswith("325°")


def test_faces_are_the_outsides_of_counterweights():
    faces = drill_faces(HILL, DRILLS, most_depth=0.018, minimum_wall=0.003)
    assert [one.web for one in faces] == list(drilled_webs(HILL)) == list(range(1, 13))
    for face in faces:
        assert face.most_depth <= 0.018
        assert max(face.diameters) < face.thickness - 2 * face.minimum_wall
    assert drill_faces(HILL, (0.02,), most_depth=0.018, minimum_wall=0.003) == ()
    assert [f.web for f in drill_faces(HILL, DRILLS, most_depth=0.01, minimum_wall=0.003,
                                       webs=(3, 12))] == [3, 12]  # fmt: skip


def test_the_form_makes_a_plan():
    card = asked()
    assert card.view.answered == 4
    assert card.view.problem == ""
    assert json.loads(card.view.card)["feasible"]
    assert card.file().startswith("Hole,Web")
    card.show()
    assert card.view.card == ""


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"front_amount": None}, "Front amount: must be 0 to 1000000 g·mm (got nothing)"),
        ({"front_amount": -1}, "Front amount: must be 0 to 1000000 g·mm (got -1 g·mm)"),
        ({"front_amount": math.nan}, "(got nan)"),
        ({"rear_angle": "x"}, "Rear angle: must be a number"),
        ({"rear_angle": 1e9}, "Rear angle: must be -360 to 360° (got 1e+09°)"),
        ({"rear_angle": "1,234"}, "Rear angle: must be written 1.234 or 1234"),
        ({"depth": 0}, "Maximum depth: must be 0.1 to 500 mm (got 0 mm)"),
        ({"wall": -3}, "Minimum wall: must be 0 to 500 mm (got -3 mm)"),
        ({"drills": []}, "drills: choose at least one"),
        ({"drills": "x"}, "choose at least one"),
        ({"webs": [99]}, "webs: choose at least one"),
        ({"grade": "G0"}, "must be one of G4000"),
        ({"grade": None}, "must be one of G4000"),
        ({"aim": "most"}, "must be one of fewest"),
        ({"holes": 0}, "1 to 6"),
        ({"holes": True}, "1 to 6"),
    ],
)
def test_what_cannot_be_is_said_and_makes_no_plan(changes, words):
    card = asked(**changes)
    assert words in card.view.problem
    assert card.view.card == ""
    assert card.file() == ""
    assert card.view.answered == 4


def test_a_decimal_comma_is_one_and_a_wrong_number_keeps_the_last_plan():
    card = asked(front_amount="420,5", depth="17,5")
    plan, shown = card.plan, card.view.card
    assert card.view.problem == ""
    assert json.loads(shown)["planes"][0]["before"].startswith("421 g·mm")  # 420.5, tie upward
    card.make({"kind": "plan", "serial": 9, "front_amount": -1, "aim": "fewest", "holes": 2})
    assert "Front amount: must be" in card.view.problem
    assert (card.plan, card.view.card) == (plan, shown)


def test_what_cannot_be_drilled_says_why_and_what_helps():
    card = asked(front_amount=9000, webs=[3], holes=1)
    message = json.loads(card.view.card)
    assert not message["feasible"]
    assert "permissible" in message["words"]
    assert message["holes"] == []


def test_webs_too_thin_for_any_drill_are_told_with_what_would_do():
    """A thinner web than a drill and two walls: thickness, drill or wall that is named does it."""
    thin = with_value(HILL, "crank_throw.web_thickness_mm", 10.5)
    card = Balancing(lambda _: None, lambda: thin)
    card.make(ASKED)
    assert not card.plan.feasible
    shown = json.loads(card.view.card)
    assert "cannot be drilled" in shown["words"]
    assert unbroken(with_unit(0.0105, "mm")) in shown["words"]
    found = thin_webs(thin, DRILLS, 0.003)
    assert found.needed_thickness == pytest.approx(0.014)
    assert found.needed_drill == pytest.approx(0.0045)
    assert found.needed_wall == pytest.approx(0.00125)
    assert len(shown["helps"]) == 3
    for design, drills, wall in (
        (with_value(HILL, "crank_throw.web_thickness_mm", 14.1), DRILLS, 0.003),
        (thin, (0.0044,), 0.003),
        (thin, DRILLS, 0.0012),
    ):
        assert thin_webs(design, drills, wall) is None
        assert drill_faces(design, drills, most_depth=0.018, minimum_wall=wall)


@pytest.mark.parametrize("name", demo_paths())
def test_every_demo_can_be_drilled(name):
    design = load_design(demo_paths()[name])
    assert thin_webs(design, DRILLS, 0.003) is None
    assert drill_faces(design, DRILLS, most_depth=0.018, minimum_wall=0.003)
