"""The shaft's page in numbers: sums, units, what is missing, and that all of it is plain JSON."""

import csv
import dataclasses
import io
import json
import math
import re

import numpy as np
import pytest

from assets_demo import DEMO_DESIGNS, FOLDER
from kinematics import DesignError, load_design, solve_cycle
from kinematics.balancing.rotating_balance import first_order, rotating_balance
from kinematics.design import allowables
from kinematics.design.design import Counterweight
from kinematics.limits.shaft_costs import shaft_costs, shaft_numbers
from kinematics.shaft.counterweight_choice import CounterweightChoice
from kinematics.shaft.counterweight_schemes import SCHEMES, internal_moment, throw_moments
from kinematics.shaft.shaft_geometry import running_gear, shaft_geometry
from kinematics.train.balance import throw_positions
from kinematics.train.cycle import rigid_train
from kinematics.train.layout_balance import layout_balances
from kinematics.units import UNITS, shown_unit, using_units
from tests.conftest import changed
from viz.chart_words import chart_words
from viz.number_words import with_unit
from viz.shaft.shaft_board import (
    NEEDED,
    kinds_message,
    missing_words,
    shaft_or_none,
    shaft_tiles,
    tiles_message,
)
from viz.shaft.shaft_left_over import couple_left, left_over_words
from viz.shaft.shaft_pictures import (
    MainLoads,
    allowed_main_load,
    mains_chart,
    moment_chart,
    peak_main_loads,
)
from viz.shaft.shaft_scene import shaft_scene
from viz.shaft.shaft_table import Table, table_message, tables_csv
from viz.shaft.shaft_tables import cost_table, effect_table, layout_tables, web_table, with_scheme
from viz.shaft.shaft_trade_off import Front, front_chart, front_moment_chart
from viz.shaft.web_cut_table import web_cut_table

DEMOS = {stem: load_design(FOLDER / f"{stem}.toml") for stem in DEMO_DESIGNS}
SIX = DEMOS["hill_climb_six"]
SPEED = SIX.layout.rated_speed


def cycle_of(design):
    return solve_cycle(design, UNITS["rpm"].from_si(design.layout.rated_speed))


def tiles_of(design):
    return {one.key: one for one in shaft_tiles(cycle_of(design), shaft_or_none(design))}


def strict(message):
    """Return a message as a browser reads it: no NaN, no infinity."""
    return json.loads(json.dumps(message, allow_nan=False))


@pytest.mark.parametrize("stem", DEMO_DESIGNS)
def test_tiles_are_the_cores(stem):
    design = DEMOS[stem]
    tiles, shaft, cycle = tiles_of(design), shaft_geometry(design), cycle_of(design)
    assert tiles["mass"].value == pytest.approx(shaft.mass)
    assert tiles["whole_inertia"].value == pytest.approx(shaft.inertia + running_gear(design))
    assert tiles["main_load"].value == pytest.approx(cycle.bearings.main_peaks.peak.max())
    assert strict(tiles_message(tuple(tiles.values()), (), ""))["tiles"][0]["key"] == "mass"


@pytest.mark.parametrize("stem", DEMO_DESIGNS)
def test_kinds_and_bodies_add_up_to_the_whole(stem):
    shaft = shaft_geometry(DEMOS[stem])
    rows = strict(kinds_message(shaft, shaft))["rows"]
    bodies = strict(shaft_scene(DEMOS[stem], shaft))["bodies"]
    assert len(bodies) == len(shaft.bodies)
    for place, what in enumerate(("mass", "inertia")):
        assert sum(row["cells"][place]["share"] for row in rows) == pytest.approx(1, abs=1e-12)
        assert sum(body["share"][what] for body in bodies) == pytest.approx(1, abs=1e-12)
        for row in rows:
            assert row["cells"][place]["share"] == pytest.approx(row["cells"][place]["reference"])


def test_the_scene_reaches_as_far_as_its_bodies():
    scene = shaft_scene(SIX, shaft_geometry(SIX))
    fronts = [body["z"] - body["length"] / 2 for body in scene["bodies"]]
    rears = [body["z"] + body["length"] / 2 for body in scene["bodies"]]
    assert scene["front"] == pytest.approx(min(fronts))
    assert scene["rear"] == pytest.approx(max(rears))
    outer = [b["shape"]["outer_radius"] for b in scene["bodies"] if b["shape"]["form"] == "sector"]
    assert scene["reach"] >= max(outer)


@pytest.mark.parametrize("stem", DEMO_DESIGNS)
@pytest.mark.parametrize("system", ["si", "us"])
def test_a_body_s_formula_gives_its_numbers(stem, system):
    design = DEMOS[stem]
    shaft = shaft_geometry(design)
    numbers = {body.name: body for body in shaft.bodies}
    with using_units(system):
        scene = shaft_scene(design, shaft)
        length, dense = shown_unit("mm").factor, shown_unit("kg_m3").factor
    for body in scene["bodies"]:
        mass, inertia, *_ = body["formula"]
        own = numbers[body["name"]]
        found = worked_out(mass.rpartition(" = ")[0].rpartition(" = ")[2])
        assert found * dense * length**3 == pytest.approx(own.mass, rel=1e-3), mass
        turned = worked_out(inertia.rpartition(" = ")[0].rpartition(" = ")[2], m=own.mass)
        assert turned * length**2 == pytest.approx(own.inertia, rel=1e-3), inertia


def worked_out(words, **values):
    """Return the value of a formula with the values put in, as it is written."""
    words = words.replace("\u2009", "").replace("\u202f", "")
    words = re.sub(r"\s(kg/m³|lb/in³|mm[²³]|in[²³])", "", words)
    words = re.sub(r"([\d.]+)°", r"radians(\1)", words)
    for sign, plain in {"·": "*", "−": "-", "²": "**2", "π": "pi"}.items():
        words = words.replace(sign, plain)
    return eval(words, {"pi": math.pi, "radians": math.radians, **values})


def test_units_change_what_is_shown_by_their_factors():
    cycle, shaft = cycle_of(SIX), shaft_geometry(SIX)

    def shown(system):
        with using_units(system):
            message = tiles_message(shaft_tiles(cycle, shaft), (), "")
            text = json.dumps([message, shaft_scene(SIX, shaft), kinds_message(shaft, None)])
            value = message["tiles"][0]["value"].replace("\u2009", "")
            return float(value), message["tiles"][0]["unit"], text

    (kilograms, kilogram, _), (pounds, pound, text) = shown("si"), shown("us")
    assert (kilogram, pound) == ("kg", "lb")
    assert kilograms / pounds == pytest.approx(0.453592, rel=1e-3)  # both have 4 digits
    assert not any(f" {unit}" in text for unit in ("kg·mm", "kN", "g (", "mm²"))


def test_a_reference_design_gives_differences():
    lighter = dataclasses.replace(
        SIX, crank_throw=dataclasses.replace(SIX.crank_throw, pin_bore=0.02)
    )
    now, before = tiles_of(lighter), tiles_of(SIX)
    message = tiles_message(tuple(now.values()), tuple(before.values()), "reference")
    changes = {one["key"]: one["change"] for one in message["tiles"]}
    spared = before["mass"].value - now["mass"].value
    assert changes["mass"].startswith(f"−{with_unit(spared, 'kg')}")
    assert changes["left"] == "as reference"


@pytest.mark.parametrize("group", NEEDED)
def test_what_is_missing_is_said_and_the_rest_is_shown(group):
    design = dataclasses.replace(SIX, **{group: None})
    assert f"[{group}]" in missing_words(design)
    assert shaft_or_none(design) is None
    tiles = tiles_of(design)
    assert list(tiles) == ["main_load", "throw", "left"]
    scene = strict(shaft_scene(design, None))
    assert not scene["weighed"]
    assert all("share" not in body for body in scene["bodies"])
    assert kinds_message(None, None)["rows"] == []


def test_nothing_is_missing_in_the_demos():
    assert [missing_words(design) for design in DEMOS.values()] == [""] * len(DEMOS)


def test_a_bad_shaft_is_no_missing_one():
    thick = dataclasses.replace(SIX.crank_throw, web_thickness=0.06)
    with pytest.raises(DesignError, match="web_thickness"):
        shaft_or_none(dataclasses.replace(SIX, crank_throw=thick))


def test_what_is_left_unbalanced_is_said_with_its_cause():
    assert left_over_words(SIX, SPEED) == ()
    bare = dataclasses.replace(DEMOS["v6_60_six_throws"], counterweights=())
    (v6,) = left_over_words(bare, SPEED)
    assert "Dynamically" in v6
    assert "neither the throws nor the counterweights" in v6
    one = dataclasses.replace(SIX, counterweights=(Counterweight(1, 0.02, math.pi),))
    static, dynamic = left_over_words(one, SPEED)
    force = with_unit(0.02 * SPEED**2, "kN")
    assert f"Statically unbalanced by 20.0 kg·mm, {force} at 8\u2009500 rpm" in static
    assert "the throws are inherently balanced" in static
    assert "Dynamically" in dynamic
    place = (SIX.layout.throws - 1) / 2 * SIX.layout.throw_spacing + SIX.crank.web_offset
    assert f"a couple of {with_unit(0.02 * place * SPEED**2, 'Nm')} at" in dynamic


def test_a_shaft_that_holds_its_pistons_first_order_is_not_blamed():
    v6 = DEMOS["v6_60_six_throws"]
    speed = v6.layout.rated_speed
    couple = abs(rotating_balance(v6).moment) * speed**2
    assert first_order(v6).moment * speed**2 < 1e-3 * couple
    (now,) = left_over_words(v6, speed)
    assert "also balance part of the pistons' first order" in now
    assert "Nothing of it acts on the block; balance the shaft with bob weights" in now
    assert couple_left(v6, speed) == (
        f"and a couple of {with_unit(couple, 'Nm')}, cancelled by the pistons"
    )
    (then,) = left_over_words(with_scheme(v6, "every_web", 1.0, 0.0), speed)
    assert then.startswith(
        f"The shaft is balanced, but the pistons leave a first-order couple of "
        f"{with_unit(couple, 'Nm')}"
    )  # just what the design's own counterweights hold


# --- tables ---------------------------------------------------------------------------------


def rows_of(table):
    return list(csv.reader(io.StringIO(tables_csv(table))))[2:]


def test_costs_stand_by_what_they_move_of_inertia():
    rows = rows_of(cost_table(shaft_costs(SIX, SPEED), SIX, SPEED))
    sizes = [abs(float(row[2])) for row in rows]
    assert sizes == sorted(sizes, reverse=True)
    assert sizes[0] > 0


@pytest.mark.parametrize("scheme", SCHEMES)
def test_webs_add_up_and_weigh_what_the_shaft_says(scheme):
    chosen = with_scheme(SIX, scheme, 1.0, 0.5)
    *webs, whole = rows_of(web_table(SIX, chosen))
    assert len(webs) == 2 * SIX.layout.throws
    assert sum(float(row[2] or 0) for row in webs) == pytest.approx(float(whole[2]), rel=1e-5)
    weighed = sum(one.mass for one in shaft_geometry(chosen).of_kind("counterweight"))
    assert sum(float(row[5] or 0) for row in webs) == pytest.approx(1e3 * weighed, rel=1e-5)
    assert sum(float(row[1]) for row in webs) == pytest.approx(264, rel=1e-6)  # as the file says


def test_every_web_balances_the_shares_asked_for():
    moments = throw_moments(SIX)
    whole = rows_of(web_table(SIX, with_scheme(SIX, "every_web", 0.8, 0.3)))[-1]
    asked = 0.8 * moments.rotating.sum() + 0.3 * moments.reciprocating.sum()
    assert float(whole[2]) == pytest.approx(1e3 * asked, rel=1e-5)


def test_a_counterweight_without_room_is_marked():
    table = web_table(SIX, with_scheme(SIX, "every_second", 1.5, 1.0))
    assert "✗ no room" in [row[-1] for row in table.rows]


def test_turned_counterweights_say_how_far_and_whether_a_flank_meets_the_web():
    chosen = with_scheme(SIX, "none_in_middle", 1.0, 0.0, aside=True)
    webs = [row for row in web_table(SIX, chosen).rows if row[-1] == "fits"]
    assert [row[3] for row in webs] == pytest.approx([30, 30, -30, -30, -30, -30, 30, 30])
    straight = web_table(SIX, with_scheme(SIX, "none_in_middle", 1.0, 0.0)).rows
    assert {row[3] for row in straight if row[-1] == "fits"} == {0.0}
    wide = dataclasses.replace(SIX.shaft, counterweight_half_angle=math.radians(80))
    at_web = web_table(SIX, dataclasses.replace(chosen, shaft=wide)).rows
    assert [row[-1] for row in at_web].count("✗ at the web") == 8


def test_what_counterweights_do_is_the_cores():
    chosen = with_scheme(SIX, "none", 0, 0)
    now, then = rows_of(effect_table(SIX, chosen, SPEED))
    for row, design in ((now, SIX), (then, chosen)):
        shaft, peaks = shaft_geometry(design), cycle_of(design).bearings.main_peaks.peak
        assert float(row[1]) == pytest.approx(1e3 * shaft.mass, rel=1e-5)
        assert float(row[2]) == pytest.approx(1e6 * shaft.inertia, rel=1e-5)
        assert float(row[3]) == pytest.approx(peaks.max() / 1e3, rel=1e-5)


@pytest.mark.parametrize("system", ["si", "us"])
def test_a_step_costs_what_the_numbers_differ_by(system):
    with using_units(system):
        step = {"si": 1e-3, "us": 0.01 * 0.0254}[system]
        rows = rows_of(cost_table(shaft_costs(SIX, SPEED), SIX, SPEED))
        (row,) = [row for row in rows if row[0].startswith("Main journal diameter")]
        wide = dataclasses.replace(
            SIX,
            main_bearing=dataclasses.replace(
                SIX.main_bearing, diameter=SIX.main_bearing.diameter + step / 100
            ),
        )
        gained = 100 * (shaft_numbers(wide, SPEED).mass - shaft_numbers(SIX, SPEED).mass)
        assert float(row[1]) == pytest.approx(shown_unit("g").from_si(gained), rel=1e-3)


def test_layouts_are_the_cores_and_the_design_stands_first():
    balances = layout_balances(SIX, SPEED)
    force, moment = layout_tables(balances, SPEED)
    assert force.strong == moment.strong == 0
    for one, in_force, in_moment in zip(balances, rows_of(force), rows_of(moment), strict=True):
        assert in_force[0] == in_moment[0] == one.name
        sides = [part for left in one.force for part in (left.forward, left.backward)]
        assert [float(cell) for cell in in_force[1:]] == pytest.approx(
            [side / 1e3 for side in sides], rel=1e-5
        )
        assert float(in_moment[-1]) == pytest.approx(one.couple, rel=1e-5)


def test_a_table_s_message_and_file():
    table = Table("Caption", ("What", "Much, g"), (("one", 1234.5678), ("none", None)))
    message = strict(table_message(table, notes=("told",)))
    assert message["notes"] == ["told"]
    assert message["tables"][0]["rows"] == [["one", "1\u2009230"], ["none", "–"]]
    assert tables_csv(table, table) == (
        "Caption\nWhat,\"Much, g\"\none,1234.5678\nnone,\n\n"
        "Caption\nWhat,\"Much, g\"\none,1234.5678\nnone,\n"
    )  # fmt: skip


# --- charts ---------------------------------------------------------------------------------


def test_bars_are_the_peaks_and_marks_stand_on_their_mains():
    peaks = cycle_of(SIX).bearings.main_peaks.peak
    chart = mains_chart(MainLoads(peaks, 1.1 * peaks, 0.9 * peaks), SPEED)
    assert [bar.top for bar in chart.bars] == pytest.approx(list(peaks / 1e3))
    continuous = [mark.y for mark in chart.marks if mark.role == "second"]
    assert continuous == pytest.approx(list(1.1 * peaks / 1e3))
    assert chart.y_range[1] > max(continuous)
    assert "continuous" in chart_words(chart)


def test_a_third_of_the_speed_and_the_allowable_stand_beside_the_bars():
    cut = changed(SIX, "crank", main_loads="cut_at_mains")
    train, cycle = rigid_train(SIX), cycle_of(cut)
    slow, allowed = peak_main_loads(train, SPEED / 3), allowed_main_load(SIX)
    peaks = cycle.bearings.main_peaks.peak
    assert peak_main_loads(train, SPEED) == pytest.approx(peaks)
    size = SIX.main_bearing.diameter * SIX.main_bearing.width
    assert allowed == pytest.approx(
        allowables.in_force(SIX.limits, "main_specific_load", SPEED) * size
    )
    chart = mains_chart(MainLoads(peaks, peaks, None, slow, 1.2 * slow, SPEED / 3, allowed), SPEED)
    for role, wanted in (("main", slow), ("second", 1.2 * slow)):
        (line,) = (one for one in chart.lines if one.role == role)
        assert np.asarray(line.y)[::3] == pytest.approx(wanted / 1e3)
        assert np.isnan(np.asarray(line.y)[2::3]).all()
    assert any("far above" in one.text for one in chart.labels)
    near = mains_chart(MainLoads(peaks, None, None, allowed=1.2 * peaks.max()), SPEED)
    (line,) = near.lines
    assert line.role == "allowed"
    assert line.y == pytest.approx([1.2 * peaks.max() / 1e3] * 2)
    assert allowed_main_load(dataclasses.replace(SIX, main_bearing=None)) is None


def test_the_throws_places_are_marked():
    labels = {one.text: one.x for one in moment_chart(SIX, None, SPEED).labels}
    places = 1e3 * throw_positions(SIX)
    assert [labels[str(t)] for t in range(1, 7)] == pytest.approx(list(places))


def test_the_moment_inside_comes_back_to_nothing():
    chart = moment_chart(SIX, DEMOS["touring_six"], SPEED)
    plane, across = (
        next(line for line in chart.lines if line.role == r) for r in ("main", "inertia")
    )
    for line in (plane, across):
        assert abs(line.y[-1]) < 1e-9 * np.abs(line.y).max() + 1e-9
    assert sum(line.role == "reference" for line in chart.lines) == 2


@pytest.mark.parametrize("measure", ["peak", "mean"])
def test_the_front_is_drawn_with_the_present_marked(measure):
    problem = CounterweightChoice(SIX, SPEED, measure)
    present = problem.choice(problem.present)
    front = (problem.minimum_load(), problem.minimum_inertia(math.inf))
    chart = front_chart(Front(front, present, 1, measure, SPEED))
    (line,) = chart.lines
    assert line.x == pytest.approx([one.load / 1e3 for one in front])
    assert line.y == pytest.approx([1e6 * one.inertia for one in front])
    (now,) = [mark for mark in chart.marks if mark.role == "mean"]
    assert (now.x, now.y) == pytest.approx((present.load / 1e3, 1e6 * present.inertia))
    both = front_chart(Front(front, front[0], 0, measure, SPEED, front))
    assert [line.name for line in both.lines] == ["minimum inertia", "opposite the pins"]
    assert both.lines[1].y == pytest.approx(line.y)
    assert [one.text for one in both.labels] == ["opposite the pins", "selected: 1, present"]
    heavier = dataclasses.replace(front[0], load=1.1 * front[0].load)
    apart = front_chart(Front(front, heavier, 0, measure, SPEED)).labels
    assert [one.text for one in apart] == ["present", "selected: 1"]
    alone = front_chart(Front((), present, -1, measure, SPEED))
    assert alone.lines == ()
    assert len(alone.marks) == 1


def test_the_internal_moment_of_the_front_is_drawn_beside_the_presents():
    bound = 1000.0
    problem = CounterweightChoice(SIX, SPEED, moment_bound=bound)
    present = problem.choice(problem.present)
    front = (problem.minimum_load(), problem.minimum_inertia(math.inf))
    chart = front_moment_chart(Front(front, present, 1, "peak", SPEED, (), bound))
    line, limit = chart.lines
    for choice, drawn in zip(front, line.y, strict=True):
        chosen = dataclasses.replace(SIX, counterweights=choice.counterweights())
        expected = internal_moment(chosen).largest * SPEED**2
        assert drawn == pytest.approx(expected, rel=1e-4)
        assert drawn <= bound * 1.002
    (now,) = [mark for mark in chart.marks if mark.role == "mean"]
    assert now.y == pytest.approx(internal_moment(SIX).largest * SPEED**2)
    assert list(limit.y) == [bound, bound]
    assert [one.text for one in chart.labels] == [
        f"maximum {with_unit(bound, 'Nm')}",
        "present",
        "selected: 2",
    ]
    without = front_moment_chart(Front(front, present, 1, "peak", SPEED))
    assert len(without.lines) == 1


@pytest.mark.parametrize("stem", DEMO_DESIGNS)
@pytest.mark.parametrize("relief", [0.0, 0.2])
def test_the_rows_of_a_web_add_up_to_the_body_weighed(stem, relief):
    design = DEMOS[stem]
    design = dataclasses.replace(design, shaft=dataclasses.replace(design.shaft, web_relief=relief))
    body = shaft_geometry(design).of_kind("web")[0]
    table = web_cut_table(design)
    *parts, left = table.rows
    assert left[1::2][:3] == pytest.approx(np.sum([row[1:7:2] for row in parts], axis=0))
    assert left[2:7:2] == pytest.approx(np.sum([row[2:7:2] for row in parts], axis=0))
    assert left[1] == pytest.approx(1e3 * body.mass)
    assert left[3] == pytest.approx(1e3 * abs(body.moment))
    assert left[5] == pytest.approx(1e6 * body.inertia)
    assert [row[0] for row in parts[:2]] == ["Flat web", "Chamfer"]
    assert ("Pocket" in [row[0] for row in parts]) == (design.shaft.web_pocket_depth > 0)


def test_a_selected_web_says_what_its_cuts_take():
    web = next(one for one in shaft_scene(SIX, shaft_geometry(SIX))["bodies"]
               if one["name"] == "web 1")  # fmt: skip
    _, _, chamfer, pocket = web["formula"]
    assert chamfer.startswith("Chamfer 35° from 42 mm: −6.")
    assert pocket.startswith("Pocket 18 × 4 at 43 mm: −0.5")
    assert web["shape"]["to_pin"] == 1
    assert web["shape"]["chamfer_start"] == pytest.approx(0.042)
