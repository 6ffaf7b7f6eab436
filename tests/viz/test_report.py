"""What a report says: every input, what differs, what changed most, what it rests on."""

import dataclasses
import math
from pathlib import Path

import pytest

from assets_demo import demo_paths
from kinematics import load_design, solve_cycle, with_value
from kinematics.declaration import declarations
from kinematics.design import Design
from kinematics.speed_limits import speed_limits
from kinematics.units import UNITS
from tests.conftest import changed, six
from viz.main_numbers import main_numbers
from viz.number_words import MISSING
from viz.report_changes import Compared, compared, signed_number
from viz.report_inputs import NOT_GIVEN, InputChange, input_changes, input_groups
from viz.report_sources import LEFT_OUT, origins, sources
from viz.shown_films import ShownFilms

README = Path(__file__).parents[2] / "README.md"
DEMOS = {name: load_design(path) for name, path in demo_paths().items()}


def declared_fields(design: Design) -> int:
    """How many fields the design declares, counted from its records."""
    records = [design, *(getattr(design, field.name) for field in dataclasses.fields(design))]
    own = [one for one in records if dataclasses.is_dataclass(one)]
    return sum(len(list(declarations(one))) for one in own) + len(design.counterweights)


@pytest.mark.parametrize("name", DEMOS)
def test_every_field_is_an_input(name: str) -> None:
    design = DEMOS[name]
    inputs = [one for group in input_groups(design) for one in group.inputs]
    traces = design.pressure.trace is not None
    assert len(inputs) == declared_fields(design) + traces
    assert len({one.key for one in inputs}) == len(inputs)
    assert all(one.label and one.value for one in inputs if one.key != "note")


def test_inputs_read_as_in_the_design_file() -> None:
    inputs = {one.key: one for group in input_groups(six()) for one in group.inputs}
    assert inputs["cylinder.bore_mm"].words == "86 mm"
    assert inputs["layout.throw_angles_deg"].value == "0, 240, 120, 120, 240, 0"
    assert inputs["oil.inlet_temperature_degC"].words == "100 °C"
    assert inputs["counterweight.1"].value == "18 kg·mm at 180°"
    assert inputs["oil.viscosity_40_mm2_s"].words == NOT_GIVEN


def test_a_group_that_is_not_there_is_an_empty_one() -> None:
    bare = dataclasses.replace(six(), oil=None)
    groups = {group.title: group.inputs for group in input_groups(bare)}
    assert groups["Oil"] == ()
    assert groups["Cylinder"]


def test_only_what_differs_is_a_change() -> None:
    longer = with_value(six(), "cylinder.rod_length_mm", 150.0)
    assert input_changes(longer, six()) == (
        InputChange("Cylinder", "Rod length", "145 mm", "150 mm"),
    )
    assert input_changes(six(), six()) == ()


def test_a_group_that_one_design_has_not_is_not_given() -> None:
    bare = dataclasses.replace(six(), oil=None)
    changes = input_changes(bare, six())
    assert {one.group for one in changes} == {"Oil"}
    assert all(one.now == NOT_GIVEN for one in changes)


def both(other: Design, this: Design, rpm: float = 6000):
    cycles = solve_cycle(other, rpm), solve_cycle(this, rpm)
    ladders = speed_limits(other), speed_limits(this)
    return compared(cycles, ladders, tuple(ShownFilms(cycle) for cycle in cycles))


def test_a_design_beside_itself_changes_nothing() -> None:
    rows = both(six(), six())
    assert len(rows) > 20
    assert all(row.difference_text in ("0", MISSING) for row in rows)


def test_results_are_the_numbers_of_both_designs() -> None:
    longer = with_value(six(), "cylinder.rod_length_mm", 160.0)
    rows = {row.label: row for row in both(six(), longer)}
    for one, before in zip(
        main_numbers(solve_cycle(longer, 6000)), main_numbers(solve_cycle(six(), 6000)), strict=True
    ):
        assert rows[one.label].now == one.value or math.isnan(one.value)
        assert rows[one.label].before == before.value or math.isnan(before.value)
    film = ShownFilms(solve_cycle(longer, 6000)).of("main").least_film.min()
    assert rows["Least film of all mains"].now == UNITS["um"].from_si(float(film))
    rung = speed_limits(longer).rung("mean_piston_speed")
    label = "Limit speed: Piston, mean piston speed"
    assert rows[label].now == UNITS["rpm"].from_si(rung.limit)


def test_what_changed_most_comes_first() -> None:
    heavier = changed(six(), "piston", assembly_mass=0.6)
    weights = [row.weight for row in both(six(), heavier)]
    assert weights == sorted(weights, reverse=True)
    assert weights[0] > 0.05


def test_differences_are_said_with_sign_and_share() -> None:
    row = Compared("Load", "kN", 20.0, 25.0)
    assert (row.difference_text, row.share_text) == ("+5.00", "+25 %")
    assert Compared("Load", "kN", -2.0, -3.0).share_text == "−50 %"
    assert Compared("Load", "kN", 0.0, 3.0).share_text == MISSING
    assert Compared("Load", "kN", math.nan, 3.0).difference_text == MISSING
    assert Compared("Load", "kN", 20.0, 20.0001).difference_text == "0"
    assert signed_number(-1234.5, 3) == "−1\u2009230"


def test_what_is_left_out_is_what_the_readme_says() -> None:
    said = README.read_text(encoding="utf-8")
    assert [words for words in LEFT_OUT if words not in said] == []


def test_every_number_and_limit_has_its_source() -> None:
    design = next(iter(DEMOS.values()))
    numbers, ladder = main_numbers(solve_cycle(design, 5000)), speed_limits(design)
    used = "; ".join(labels for _, labels in sources(numbers, ladder))
    allowed = "; ".join(labels for *_, labels in origins(ladder))
    assert all(one.label in used for one in numbers)
    assert all(rung.criterion.label in used for rung in ladder.rungs)
    assert all(rung.criterion.label in allowed for rung in ladder.rungs)
    names = [source for source, _ in sources(numbers, ladder)]
    assert len(set(names)) == len(names)
