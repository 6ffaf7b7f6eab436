"""Two designs compared: what differs, by how much, and in which order."""

import csv
import dataclasses
import io
import math
from itertools import product

import pytest

from assets_demo import demo_paths
from kinematics import load_design, solve_cycle, with_value
from kinematics.limits.speed_limits import speed_limits
from kinematics.units import UNITS, shown_unit, using_units
from tests.conftest import six
from viz.compare.compared_results import result_rows
from viz.compare.compared_row import (
    DIRECTION,
    NEAR_ZERO,
    Entry,
    Side,
    paired_rows,
    relative_change,
    step,
    told_in_percent,
)
from viz.compare.comparison import Comparison, compared
from viz.compare.comparison_plots import COMPARED_PLOTS, MAIN_PLOTS, compared_pictures
from viz.compare.comparison_table import (
    CHANGE_RULE,
    HEAD,
    change_text,
    comparison_csv,
    comparison_message,
)
from viz.film.shown_films import ShownFilms
from viz.number_words import format_number
from viz.train.main_numbers import main_numbers
from viz.verdict_words import AT_SPEED, EDGE


def demo(name):
    return load_design(demo_paths()[name])


def rated(design):
    return UNITS["rpm"].from_si(design.layout.rated_speed)


@pytest.fixture(scope="module")
def touring():
    return demo("Touring six")


@pytest.fixture(scope="module")
def pair(touring):
    """Two designs of one rated speed, and both at a lower one: other rods, all else the same."""
    short = dataclasses.replace(demo("Short rod six"), counterweights=touring.counterweights)
    return compared(touring, short, 5000.0)


@pytest.fixture(scope="module")
def apart():
    """Two designs of rated speeds far apart, and both at one between."""
    return compared(demo("Hill climb six"), demo("Pilot boat six"), 4000.0)


def results(a, b, rpm):
    """Rows by key of both designs at one speed."""
    return by_key(compared(a, b, rpm).views[1].results)


def by_key(rows):
    return {row.key: row for row in rows}


def test_a_design_differs_nowhere_from_itself(touring):
    found = compared(touring, touring, 5800.0)
    assert found.inputs == ()
    for rows in (found.limits, *(view.results for view in found.views)):
        assert {row.change for row in rows} == {0.0}
        assert {row.difference.split()[0] for row in rows if row.difference} == {"0", "0°"}


def test_one_changed_input_is_the_only_one_listed(touring):
    longer = with_value(touring, "cylinder.rod_length_mm", 176.0)
    (row,) = compared(touring, longer, 5800.0).inputs
    assert (row.key, row.part, row.label) == ("cylinder.rod_length_mm", "Cylinder", "Rod length")
    assert (row.a.text, row.b.text, row.difference) == ("160 mm", "176 mm", "+16.0 mm")
    assert row.change == pytest.approx(0.1, rel=1e-12)


def test_each_is_at_its_rated_speed_and_both_at_one(apart):
    first, second = apart.views
    assert (first.key, second.key) == ("rated", "shared")
    assert UNITS["rpm"].from_si(first.a.speed) == pytest.approx(8500.0)
    assert UNITS["rpm"].from_si(first.b.speed) == pytest.approx(2300.0)
    for cycle in (second.a, second.b):
        assert UNITS["rpm"].from_si(cycle.speed) == pytest.approx(4000.0)
    titles = [view["title"].replace("\u2009", " ") for view in comparison_message(apart)["views"]]
    assert titles == [
        "Results, each at its rated speed (A 8 500 rpm, B 2 300 rpm)", "Results, both at 4 000 rpm"
    ]  # fmt: skip


def test_all_tables_start_with_the_largest_change(pair):
    for rows in (pair.inputs, pair.limits, *(view.results for view in pair.views)):
        sizes = [abs(row.change) for row in rows]
        assert sizes == sorted(sizes, reverse=True)
    assert pair.inputs[0].key == "rod.inertia_about_cg_kg_mm2"


def test_main_numbers_are_those_of_both_cycles(apart):
    for view in apart.views:
        rows = by_key(view.results)
        ours = {one.key: one for one in main_numbers(view.a)}
        theirs = {one.key: one for one in main_numbers(view.b)}
        for key, one in ours.items():
            if key in ("firing_dead_centre", "free_force", "free_moment", "side_thrust"):
                continue
            row = rows[key]
            assert row.a.values == (one.value,)
            assert row.a.text == f"{format_number(one.value, one.digits)} {one.unit}".rstrip()
            assert row.b.values == (theirs[key].value,)
            gap = theirs[key].value - one.value
            size = one.value + 273.15 if one.unit == "°C" else abs(one.value)
            assert row.change * size == pytest.approx(gap, rel=1e-9)


def side_peaks(cycle):
    """Largest thrust [kN] on the major and on the minor thrust side, over all cylinders."""
    thrust = cycle.forces.side_thrust / 1e3
    return float(thrust.max()), float(-thrust.min())


def test_side_thrust_is_compared_side_by_side():
    """At 6 000 rpm the largest is on the major side, at 14 000 rpm on the minor one."""
    offset = with_value(demo("Inline four"), "cylinder.pin_offset_mm", 1.5)
    slow, fast = solve_cycle(offset, 6000.0), solve_cycle(offset, 14000.0)
    assert main_number(slow, "side_thrust") * main_number(fast, "side_thrust") < 0
    rows = by_key(result_rows(slow, fast))
    assert "side_thrust" not in rows
    for place, side in enumerate(("major", "minor")):
        row = rows[f"side_thrust_{side}"]
        before, now = side_peaks(slow)[place], side_peaks(fast)[place]
        assert row.label == f"Side thrust, {side} side"
        assert (row.a.values, row.b.values) == (pytest.approx((before,)), pytest.approx((now,)))
        assert row.change == pytest.approx((now - before) / before)
        assert row.in_percent


def main_number(cycle, key):
    return next(one.value for one in main_numbers(cycle) if one.key == key)


def test_a_rod_that_is_never_pulled_has_no_tension_and_no_percentage():
    hill = demo("Hill climb six")
    still, running = solve_cycle(hill, 200.0), solve_cycle(hill, 8500.0)
    assert main_number(still, "rod_tension") < 0
    row = by_key(result_rows(still, running))["rod_tension"]
    assert (row.a.values, row.a.text) == ((0.0,), "never pulled")
    assert row.b.values[0] == pytest.approx(main_number(running, "rod_tension"))
    assert row.change == math.inf


@pytest.mark.parametrize("other", ["Pilot boat six", "V6 60 six throws", "Short rod six"])
def test_no_change_is_told_across_zero(touring, other):
    """A percentage stands only beside two sizes of one sign, and is at most −100 %."""
    for view in comparison_message(compared(touring, demo(other), 4000.0))["views"]:
        for row in view["rows"]:
            if row["cells"][3].endswith("%"):
                assert not row["cells"][0].startswith("−"), row
                assert not row["cells"][1].startswith("−"), row
                share = row["cells"][3][:-1].replace("−", "-").replace("\u2009", "")
                assert float(share) >= -100, row


def piston_inertia(cycle):
    """Mass, crank radius and speed squared of one piston [N], from the design."""
    design = cycle.design
    return design.piston.assembly_mass * 0.5 * design.cylinder.stroke * cycle.speed**2


@pytest.mark.parametrize("system", ["si", "us"])
def test_free_loads_change_in_parts_of_a_pistons_inertia(touring, system):
    """A six's free force of a few newtons may double: next to a piston's kilonewtons, nothing."""
    a, b = solve_cycle(touring, 5800.0), solve_cycle(demo("V6 60 six throws"), 5800.0)
    with using_units(system):
        rows = by_key(result_rows(a, b))
        ours, theirs = ({one.key: one.value for one in main_numbers(cycle)} for cycle in (a, b))
        arms = {"free_force": 1.0, "free_moment": touring.layout.throw_spacing}
        for (key, arm), unit in zip(arms.items(), ("N", "Nm"), strict=True):
            scale, factor = piston_inertia(a) * arm, shown_unit(unit).factor
            before, now = (side[key] * factor / scale for side in (ours, theirs))
            counted = (now if now >= NEAR_ZERO else 0) - (before if before >= NEAR_ZERO else 0)
            assert rows[key].change == pytest.approx(counted)
    assert 0 < abs(rows["free_force"].change) < 0.01
    assert rows["free_moment"].change > 0.5
    assert not rows["free_force"].in_percent
    assert not rows["free_moment"].in_percent  # it starts from nothing


def test_a_large_free_moment_changes_by_its_own_size():
    """A V6's free moment is several of a piston's: its change is that of the moment."""
    vee = demo("V6 60 six throws")
    a, b = solve_cycle(vee, 5000.0), solve_cycle(vee, 6000.0)
    row = by_key(result_rows(a, b))["free_moment"]
    assert row.a.values[0] > piston_inertia(a) * vee.layout.throw_spacing
    assert row.change == pytest.approx(1.2**2 - 1)
    assert row.in_percent


def test_films_with_tilt_change_in_parts_of_the_film_without(pair):
    view = pair.views[0]
    worst = next(one for one in ShownFilms(view.a).sorted if one.kind == "big_end")
    row = by_key(view.results)["big_end.edge_film"]
    assert row.a.values[0] != row.b.values[0]
    assert not row.in_percent  # it lies on either side of zero
    gap = (row.b.values[0] - row.a.values[0]) * 1e-6
    assert row.change == pytest.approx(gap / worst.least)
    assert abs(row.change) < 0.2


def test_a_free_force_near_zero_in_both_is_no_change():
    """The hill-climb six is left with newtons; its pistons have kilonewtons."""
    hill = demo("Hill climb six")
    a, b = solve_cycle(hill, 8500.0), solve_cycle(hill, 8400.0)
    row = by_key(result_rows(a, b))["free_force"]
    assert 0 < row.b.values[0] < row.a.values[0] < NEAR_ZERO * piston_inertia(a)
    assert row.change == 0


def test_the_rule_is_said(pair):
    message = comparison_message(pair)
    assert message["note"] == CHANGE_RULE
    assert "a thousandth" in CHANGE_RULE
    assert NEAR_ZERO == 1e-3


def test_films_are_those_of_one_bearing_in_both_that_nearest_its_limit(apart):
    for view in apart.views:
        rows = by_key(view.results)
        films = {side: ShownFilms(cycle) for side, cycle in (("a", view.a), ("b", view.b))}
        for kind in ("big_end", "main"):
            worst_of = {
                side: next(one.key for one in found.sorted if one.kind == kind)
                for side, found in films.items()
            }
            pairs = {kind: worst_of["b"]}
            if worst_of["a"] != worst_of["b"]:
                pairs[f"{kind}_a"] = worst_of["a"]
            assert {key.split(".")[0] for key in rows if key.startswith(kind)} - {
                "big_end_load", "big_end_specific_load", "main_load", "main_specific_load"
            } == set(pairs)  # fmt: skip
            for (prefix, bearing), side in product(pairs.items(), "ab"):
                worst = films[side].bearing(bearing)
                row = rows[f"{prefix}.least_film"]
                assert str(worst.index + 1) in row.part
                shown = getattr(row, side)
                assert shown.values[0] == pytest.approx(1e6 * worst.least, rel=1e-9)
                assert f"{100 * (worst.least / worst.limit - 1):.0f} %" in shown.margin.replace(
                    "−", "-"
                )
                assert shown.verdict == worst.state
                assert (AT_SPEED[EDGE] in shown.margin) == (worst.state == "edge")


def test_every_rung_has_its_limit_speed_value_and_margin(pair):
    rows = by_key(pair.limits)
    ladder = speed_limits(pair.b)
    for rung in ladder.rungs:
        value = rows[f"value.{rung.criterion.key}"]
        left = 100 * (1 - rung.use_at)
        assert value.b.verdict == ladder.verdict(rung)
        assert float(value.b.margin.split()[0]) == pytest.approx(left, rel=0.006)
        if 0 < rung.limit < math.inf:
            limit = rows[f"limit.{rung.criterion.key}"].b
            assert limit.values[0] == pytest.approx(rung.limit * 30 / math.pi, rel=1e-9)
            assert limit.margin.startswith("+" if rung.limit >= ladder.rated else "−")


def test_what_one_design_has_not_is_said(touring):
    bare = dataclasses.replace(touring, oil=None, piston_pin=None, torsion=None)
    found = compared(touring, bare, 5800.0)
    inputs, limits = by_key(found.inputs), by_key(found.limits)
    (at_rated, at_one) = (by_key(view.results) for view in found.views)
    assert (inputs["oil"].b.text, inputs["oil"].change) == ("not given", math.inf)
    assert inputs["oil"].a.text.endswith("values given")
    for rows in (at_rated, at_one):
        assert rows["big_end.least_film"].b.text.startswith("Oil is missing")
    assert limits["value.pin_shear"].b.text == "needs piston pin"
    assert limits["value.pin_shear"].change == math.inf
    assert limits["value.pin_shear"].difference == ""
    assert found.limits[0].change == math.inf


def test_an_allowable_left_out_is_compared_by_its_default(touring):
    given = with_value(touring, "limits.mean_piston_speed_m_s", 22.0)
    (row,) = compared(touring, given, 5800.0).inputs
    assert (row.a.text, row.b.text) == ("20 m/s by default", "22 m/s")
    assert row.change == pytest.approx(0.1)


def test_counterweights_are_three_lists():
    hill = demo("Hill climb six")
    heavier = tuple(
        dataclasses.replace(one, unbalance=1.1 * one.unbalance) for one in hill.counterweights
    )
    (row,) = compared(hill, dataclasses.replace(hill, counterweights=heavier), 8500.0).inputs
    assert row.key == "counterweight.unbalance_kg_mm"
    assert row.change == pytest.approx(0.1, rel=1e-9)
    assert row.a.text.endswith("(12) kg·mm")


@pytest.mark.parametrize("other", ["Inline four", "V6 60 six throws", "Measured six"])
def test_any_two_demo_designs_can_be_compared(touring, other):
    found = compared(touring, demo(other), 5000.0)
    for rows in (found.inputs, found.limits, *(view.results for view in found.views)):
        assert rows
        assert all(row.a.text and row.b.text for row in rows)


@pytest.mark.parametrize(
    ("a", "b", "unit", "change"),
    [
        ((2.0,), (3.0,), "kN", 0.5),
        ((-2.0,), (-3.0,), "kN", 0.5),  # of sizes: more of it, whatever its direction
        ((-2.0,), (1.0,), "kN", 1.5),  # across zero it moves by the difference
        ((0.0,), (0.1,), "kN", math.inf),
        ((0.0,), (0.0,), "kN", 0.0),
        ((100.0,), (110.0,), "°C", 10 / 373.15),
        ((350.0,), (10.0,), DIRECTION, 20 / 360),
        ((1.0, 2.0), (1.5, 2.0), "mm", 0.25),
        ((1.0, 2.0), (1.0,), "mm", math.inf),
        ((1.0,), (1.0 + 1e-12,), "mm", 0.0),
        ((math.inf,), (math.inf,), "", 0.0),
        ((math.inf,), (2.0,), "", math.inf),
        ((math.nan,), (2.0,), "", math.inf),
    ],
)
def test_relative_change(a, b, unit, change):
    assert relative_change(Side(a, "a"), Side(b, "b"), unit) == pytest.approx(change, rel=1e-12)


@pytest.mark.parametrize(
    ("a", "b", "scale", "change"),
    [
        (32.5, 53.4, 7000.0, 20.9 / 7000),
        (0.0, 700.0, 7000.0, 0.1),
        (0.5, 6.0, 7000.0, 0.0),  # both below a thousandth of it
        (6.0, 14.0, 7000.0, 0.002),  # from what counts as zero
        (14000.0, 7000.0, 7000.0, -0.5),
        (14000.0, 16800.0, 7000.0, 0.2),  # over its own size where that is more
        (0.5, 6.0, 0.0, 11.0),  # without a scale
    ],
)
def test_change_beside_a_scale(a, b, scale, change):
    sides = Side((a,), f"{a} N"), Side((b,), f"{b} N")
    assert relative_change(*sides, "N", scale) == pytest.approx(change, rel=1e-12)


def test_two_numbers_near_zero_are_said_to_be(touring):
    entries = [{"one": Entry("Part", "Force", "N", Side((x,), f"{x} N"), 7000.0)} for x in (1, 2)]
    (row,) = paired_rows(*entries, "", "")
    told = comparison_message(Comparison(touring, touring, (row,), (), ()))["inputs"][0]
    assert told["cells"] == ["1 N", "2 N", "+1.00 N", "both near 0"]
    assert told["size"] == 0


@pytest.mark.parametrize(
    ("a", "b", "unit", "scale", "told"),
    [
        ((2.0,), (3.0,), "kN", 0.0, True),
        ((-2.0,), (-3.0,), "kN", 0.0, True),
        ((-2.0,), (3.0,), "kN", 0.0, False),
        ((0.0,), (3.0,), "kN", 0.0, False),
        ((30.0,), (50.0,), "N", 7000.0, False),
        ((100.0,), (110.0,), "°C", 0.0, False),
        ((10.0,), (20.0,), "°", 0.0, False),
        ((10.0,), (20.0,), DIRECTION, 0.0, False),
        ((1.0, 0.0), (2.0, 1.0), "mm", 0.0, True),
    ],
)
def test_a_percentage_stands_where_it_means_something(a, b, unit, scale, told):
    assert told_in_percent(Side(a, "a"), Side(b, "b"), unit, scale) == told


def test_words_differ_or_are_the_same():
    assert relative_change(Side((), "model"), Side((), "trace"), "") == math.inf
    assert relative_change(Side((), "model"), Side((), "model"), "") == 0


def test_directions_turn_the_shorter_way():
    assert step(10.0, 350.0, DIRECTION) == -20
    assert step(350.0, 10.0, DIRECTION) == 20


@pytest.mark.parametrize(
    ("change", "text"),
    [(0.1, "+10.0 %"), (-0.00123, "−0.12 %"), (0, "same"), (math.inf, "differs")],
)
def test_changes_in_words(change, text):
    assert change_text(change) == text


def test_the_message_says_what_the_rows_say(pair):
    message = comparison_message(pair)
    assert (message["a"], message["b"]) == ("Touring six", "Short-rod six")
    tables = [(message["inputs"], pair.inputs), (message["limits"]["rows"], pair.limits)]
    tables += [
        (told["rows"], view.results)
        for told, view in zip(message["views"], pair.views, strict=True)
    ]
    for told, rows in tables:
        assert [row["key"] for row in told] == [row.key for row in rows]
        for one, row in zip(told, rows, strict=True):
            assert one["cells"][:2] == [row.a.text, row.b.text]
            assert one["size"] == (100 * abs(row.change) if math.isfinite(row.change) else None)


def test_the_file_has_all_rows_as_other_programs_read_them(pair):
    rows = list(csv.reader(io.StringIO(comparison_csv(pair))))
    assert tuple(rows[0]) == HEAD
    assert rows[-1][0].startswith("For teaching and design review")
    assert rows[-2] == [CHANGE_RULE]
    body = rows[2:-2]
    at_speed = [row for view in pair.views for row in view.results]
    assert len(body) == len(pair.inputs) + len(pair.limits) + len(at_speed)
    assert {row[0] for row in body if row[0].startswith("Result")} == {
        "Result, each at its rated speed (A 5800 rpm, B 5800 rpm)", "Result, both at 5000 rpm"
    }  # fmt: skip
    assert {len(row) for row in body} == {len(HEAD)}
    first = body[0]
    assert first[:7] == ["Input", "Rod", "Rod inertia", "2900", "1880", "kg·mm²", "-1020"]
    assert float(first[7]) == pytest.approx(-100 * 1020 / 2900, rel=1e-8)
    margins = [cell for row in body for cell in row[8:10] if cell]
    assert len(margins) > 40
    assert all(math.isfinite(float(cell)) for cell in margins)


def test_a_text_from_outside_starts_no_formula():
    before = six()
    oil = dataclasses.replace(before.oil, grade="=1+1", viscosity_40=60e-6,
                              viscosity_100=9e-6)  # fmt: skip
    design = dataclasses.replace(before, oil=oil)
    body = list(csv.reader(io.StringIO(comparison_csv(compared(before, design, 5800.0)))))
    grade = next(row for row in body if row[2] == "Oil grade")
    assert grade[4] == "'=1+1"


def test_every_plot_has_a_figure_and_the_reference_in_it():
    pictures = {picture.name: picture for picture in compared_pictures()}
    assert set(pictures) == {plot.name for plot in COMPARED_PLOTS}
    assert set(MAIN_PLOTS) <= set(pictures)
    for picture in pictures.values():
        (curve,) = picture.feed["curves"]
        assert curve["with_reference"]
        source = picture.figure.select_one({"name": f"{picture.name}_data"})
        assert {"angle", "y0", "reference0"} <= set(source.column_names)
