"""Two designs compared: what differs, by how much, and in which order."""

import csv
import dataclasses
import io
import math

import pytest

from assets_demo import demo_paths
from kinematics import load_design, solve_cycle, with_value
from kinematics.speed_limits import speed_limits
from kinematics.units import UNITS, shown_in, shown_unit
from viz.compared_row import (
    DIRECTION,
    NEAR_ZERO,
    Entry,
    Side,
    paired_rows,
    relative_change,
    step,
)
from viz.comparison import Comparison, compared
from viz.comparison_plots import COMPARED_PLOTS, FIRST, compared_pictures
from viz.comparison_table import (
    CHANGE_RULE,
    HEAD,
    change_text,
    comparison_csv,
    comparison_message,
)
from viz.main_numbers import main_numbers
from viz.shown_films import ShownFilms


def solved(name, rpm=None):
    design = load_design(demo_paths()[name])
    rated = UNITS["rpm"].from_si(design.layout.rated_speed)
    return solve_cycle(design, rated if rpm is None else rpm)


@pytest.fixture(scope="module")
def touring():
    return solved("Touring six")


@pytest.fixture(scope="module")
def pair(touring):
    return compared(touring, solved("Short rod six"))


def by_key(rows):
    return {row.key: row for row in rows}


def test_a_design_differs_nowhere_from_itself(touring):
    found = compared(touring, touring)
    assert found.inputs == ()
    assert {row.change for row in found.results} == {0.0}
    differences = {row.difference.split()[0] for row in found.results if row.difference}
    assert differences == {"0", "0°"}


def test_one_changed_input_is_the_only_one_listed(touring):
    longer = with_value(touring.design, "cylinder.rod_length_mm", 176.0)
    (row,) = compared(touring, solve_cycle(longer, 5800.0)).inputs
    assert (row.key, row.part, row.label) == ("cylinder.rod_length_mm", "Cylinder", "Rod length")
    assert (row.a.text, row.b.text, row.difference) == ("160 mm", "176 mm", "+16.0 mm")
    assert row.change == pytest.approx(0.1, rel=1e-12)


def test_the_speed_is_an_input(touring):
    (row,) = compared(touring, solve_cycle(touring.design, 2900.0)).inputs
    assert (row.key, row.a.text, row.b.text) == ("speed_rpm", "5\u2009800 rpm", "2\u2009900 rpm")
    assert row.change == -0.5


def test_both_tables_start_with_the_largest_change(pair):
    for rows in (pair.inputs, pair.results):
        sizes = [abs(row.change) for row in rows]
        assert sizes == sorted(sizes, reverse=True)
    assert pair.inputs[0].key == "rod.inertia_about_cg_kg_mm2"


def test_main_numbers_are_those_of_both_cycles(pair):
    rows = by_key(pair.results)
    ours = {one.key: one for one in main_numbers(pair.a)}
    theirs = {one.key: one for one in main_numbers(pair.b)}
    for key, one in ours.items():
        if key in theirs and key not in ("firing_dead_centre", "free_force", "free_moment"):
            row = rows[key]
            assert row.a.values == (one.value,)
            assert row.b.values == (theirs[key].value,)
            gap = theirs[key].value - one.value
            size = one.value + 273.15 if one.unit == "°C" else abs(one.value)
            assert row.change * size == pytest.approx(gap, rel=1e-9)


def piston_inertia(cycle):
    """Mass, crank radius and speed squared of one piston [N], from the design."""
    design = cycle.design
    return design.piston.assembly_mass * 0.5 * design.cylinder.stroke * cycle.speed**2


@pytest.mark.parametrize("system", ["si", "us"])
def test_free_loads_change_in_parts_of_a_pistons_inertia(touring, system):
    """A six's free force of a few newtons may double: next to a piston's kilonewtons, nothing."""
    other = solved("V6 60 six throws")
    with shown_in(system):
        rows = by_key(compared(touring, other).results)
        ours, theirs = (
            {one.key: one.value for one in main_numbers(cycle)} for cycle in (touring, other)
        )
        arms = {"free_force": 1.0, "free_moment": touring.design.layout.throw_spacing}
        for (key, arm), unit in zip(arms.items(), ("N", "Nm"), strict=True):
            scale, factor = piston_inertia(touring) * arm, shown_unit(unit).factor
            before, now = (side[key] * factor / scale for side in (ours, theirs))
            counted = (now if now >= NEAR_ZERO else 0) - (before if before >= NEAR_ZERO else 0)
            assert rows[key].change == pytest.approx(counted)
    assert 0 < abs(rows["free_force"].change) < 0.01
    assert rows["free_moment"].change > 0.5


def test_films_with_tilt_change_in_parts_of_the_film_without(pair):
    worst = next(one for one in ShownFilms(pair.a).sorted if one.kind == "big_end")
    row = by_key(pair.results)["big_end.edge_film"]
    gap = (row.b.values[0] - row.a.values[0]) * 1e-6
    assert row.change == pytest.approx(gap / worst.least)
    assert abs(row.change) < 0.2


def test_a_free_force_near_zero_in_both_is_no_change():
    """The hill-climb six is left with newtons; its pistons have kilonewtons."""
    a, b = solved("Hill climb six", 8500.0), solved("Hill climb six", 8400.0)
    row = by_key(compared(a, b).results)["free_force"]
    assert 0 < row.b.values[0] < row.a.values[0] < NEAR_ZERO * piston_inertia(a)
    assert row.change == 0


def test_the_rule_is_said(pair):
    message = comparison_message(pair)
    assert message["note"] == CHANGE_RULE
    assert "a thousandth" in CHANGE_RULE
    assert NEAR_ZERO == 1e-3


def test_films_are_those_of_the_bearing_nearest_its_limit(pair):
    rows = by_key(pair.results)
    for kind in ("big_end", "main"):
        for cycle, side in ((pair.a, "a"), (pair.b, "b")):
            least = min(
                one.least / one.limit for one in ShownFilms(cycle).bearings if one.kind == kind
            )
            shown = getattr(rows[f"{kind}.least_film"], side)
            limit = ShownFilms(cycle).allowed(kind).value
            assert shown.values[0] == pytest.approx(1e6 * least * limit, rel=1e-9)
            assert f"{100 * (least - 1):.0f} %" in shown.margin


def test_every_rung_has_its_limit_speed_value_and_margin(pair):
    rows = by_key(pair.results)
    ladder = speed_limits(pair.b.design)
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
    bare = dataclasses.replace(touring.design, oil=None, piston_pin=None, torsion=None)
    found = compared(touring, solve_cycle(bare, 5800.0))
    inputs, results = by_key(found.inputs), by_key(found.results)
    assert (inputs["oil"].b.text, inputs["oil"].change) == ("not given", math.inf)
    assert inputs["oil"].a.text.endswith("values given")
    assert results["big_end.least_film"].b.text.startswith("Oil is missing")
    assert results["value.pin_shear"].b.text == "needs piston pin"
    assert results["value.pin_shear"].change == math.inf
    assert results["value.pin_shear"].difference == ""
    assert found.results[0].change == math.inf


def test_an_allowable_left_out_is_compared_by_its_default(touring):
    given = with_value(touring.design, "limits.mean_piston_speed_m_s", 22.0)
    (row,) = compared(touring, solve_cycle(given, 5800.0)).inputs
    assert (row.a.text, row.b.text) == ("20 m/s by default", "22 m/s")
    assert row.change == pytest.approx(0.1)


def test_counterweights_are_three_lists():
    hill = solved("Hill climb six")
    heavier = tuple(
        dataclasses.replace(one, unbalance=1.1 * one.unbalance)
        for one in hill.design.counterweights
    )
    design = dataclasses.replace(hill.design, counterweights=heavier)
    (row,) = compared(hill, solve_cycle(design, 8500.0)).inputs
    assert row.key == "counterweight.unbalance_kg_mm"
    assert row.change == pytest.approx(0.1, rel=1e-9)
    assert row.a.text.endswith("(12) kg·mm")


@pytest.mark.parametrize("other", ["Inline four", "V6 60 six throws", "Measured six"])
def test_any_two_demo_designs_can_be_compared(touring, other):
    found = compared(touring, solved(other))
    assert found.inputs
    assert found.results
    assert all(row.a.text and row.b.text for row in (*found.inputs, *found.results))


@pytest.mark.parametrize(
    ("a", "b", "unit", "change"),
    [
        ((2.0,), (3.0,), "kN", 0.5),
        ((-2.0,), (-3.0,), "kN", -0.5),  # over the size of A: more negative is less
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
        (14000.0, 7000.0, 7000.0, -1.0),
        (0.5, 6.0, 0.0, 11.0),  # without a scale
    ],
)
def test_change_beside_a_scale(a, b, scale, change):
    sides = Side((a,), f"{a} N"), Side((b,), f"{b} N")
    assert relative_change(*sides, "N", scale) == pytest.approx(change, rel=1e-12)


def test_two_numbers_near_zero_are_said_to_be(touring):
    entries = [{"one": Entry("Part", "Force", "N", Side((x,), f"{x} N"), 7000.0)} for x in (1, 2)]
    (row,) = paired_rows(*entries, "", "")
    told = comparison_message(Comparison(touring, touring, (), (row,)))["results"][0]
    assert told["cells"] == ["1 N", "2 N", "+1.00 N", "both near 0"]
    assert told["size"] == 0


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
    assert message["a"].startswith("Touring six at 5")
    assert [row["key"] for row in message["results"]] == [row.key for row in pair.results]
    for told, row in zip(message["results"], pair.results, strict=True):
        assert told["cells"][:2] == [row.a.text, row.b.text]
        assert told["size"] == (100 * abs(row.change) if math.isfinite(row.change) else None)


def test_the_file_has_all_rows_as_other_programs_read_them(pair):
    rows = list(csv.reader(io.StringIO(comparison_csv(pair))))
    assert tuple(rows[0]) == HEAD
    assert rows[-1][0].startswith("For teaching and design review")
    body = rows[2:-1]
    assert len(body) == len(pair.inputs) + len(pair.results)
    assert {len(row) for row in body} == {len(HEAD)}
    first = body[0]
    assert first[:7] == ["Input", "Rod", "Rod inertia", "2900", "1880", "kg·mm²", "-1020"]
    assert float(first[7]) == pytest.approx(-100 * 1020 / 2900, rel=1e-8)
    margins = [cell for row in body for cell in row[8:10] if cell]
    assert len(margins) > 40
    assert all(math.isfinite(float(cell)) for cell in margins)


def test_a_text_from_outside_starts_no_formula(touring):
    oil = dataclasses.replace(touring.design.oil, grade="=1+1", viscosity_40=60e-6,
                              viscosity_100=9e-6)  # fmt: skip
    design = dataclasses.replace(touring.design, oil=oil)
    body = list(
        csv.reader(io.StringIO(comparison_csv(compared(touring, solve_cycle(design, 5800.0)))))
    )
    grade = next(row for row in body if row[2] == "Oil grade")
    assert grade[4] == "'=1+1"


def test_every_plot_has_a_figure_and_the_reference_in_it():
    pictures = {picture.name: picture for picture in compared_pictures()}
    assert set(pictures) == {plot.name for plot in COMPARED_PLOTS}
    assert set(FIRST) <= set(pictures)
    for picture in pictures.values():
        (curve,) = picture.feed["curves"]
        assert curve["pinned"]
        source = picture.figure.select_one({"name": f"{picture.name}_data"})
        assert {"angle", "y0", "reference0"} <= set(source.column_names)
