"""What a report says: every input, and what it rests on."""

import dataclasses
from dataclasses import replace
from pathlib import Path

import pytest

from assets_demo import demo_paths
from kinematics import load_design, solve_cycle
from kinematics.declaration import declarations
from kinematics.design.design import Design
from kinematics.design.design_origin import Origins, read_origin
from kinematics.limits.speed_limits import speed_limits
from tests.conftest import six
from viz.report.report_inputs import NOT_GIVEN, input_groups
from viz.report.report_sources import LEFT_OUT, origins, sources
from viz.train.main_numbers import main_numbers

ASSUMPTIONS = Path(__file__).parents[2] / "docs" / "assumptions.md"
DEMOS = {name: load_design(path) for name, path in demo_paths().items()}


def declared_fields(design: Design) -> int:
    """How many fields the design declares, counted from its records."""
    records = [design, *(getattr(design, field.name) for field in dataclasses.fields(design))]
    own = [one for one in records if dataclasses.is_dataclass(one)]
    return (
        sum(len(list(declarations(one))) for one in own)
        + len(design.counterweights)
        + len(design.full_load)
    )


@pytest.mark.parametrize("name", DEMOS)
def test_every_field_is_an_input(name: str) -> None:
    design = DEMOS[name]
    inputs = [one for group in input_groups(design) for one in group.inputs]
    traces = design.pressure.trace is not None
    assert len(inputs) == declared_fields(design) + traces + bool(design.criteria)
    assert len({one.key for one in inputs}) == len(inputs)
    assert all(one.label and one.value for one in inputs)


def test_inputs_read_as_in_the_design_file() -> None:
    inputs = {one.key: one for group in input_groups(six()) for one in group.inputs}
    assert inputs["cylinder.bore_mm"].words == "86 mm"
    assert inputs["layout.throw_angles_deg"].value == "0, 240, 120, 120, 240, 0"
    assert inputs["oil.inlet_temperature_degC"].words == "100 °C"
    assert inputs["counterweight.1"].value == "18 kg·mm at 180°"
    assert inputs["oil.viscosity_40_mm2_s"].words == NOT_GIVEN
    assert inputs["oil.viscosity_40_mm2_s"].origin == ""
    assert inputs["cylinder.bore_mm"].origin == "given"


def test_a_default_stands_as_its_value_with_its_origin() -> None:
    inputs = {one.key: one for group in input_groups(six()) for one in group.inputs}
    default = inputs["limits.mean_piston_speed_m_s"]
    assert default.words == "20 m/s"
    assert default.origin.startswith("default: sport engines from 20 m/s")
    assert not [one for one in inputs.values() if "default" in one.words]
    assert all(one.origin for key, one in inputs.items() if "." in key and one.value != NOT_GIVEN)


def test_an_origin_of_the_design_is_said() -> None:
    measured = read_origin("measured: scale, 12 parts")
    weighed = replace(six(), origins=Origins({"piston.assembly_mass_g": measured}))
    inputs = {one.key: one for group in input_groups(weighed) for one in group.inputs}
    assert inputs["piston.assembly_mass_g"].origin == "measured: scale, 12 parts"


def test_a_group_that_is_not_there_is_an_empty_one() -> None:
    bare = replace(six(), oil=None)
    groups = {group.title: group.inputs for group in input_groups(bare)}
    assert groups["Oil"] == ()
    assert groups["Cylinder"]


def test_what_is_left_out_is_what_the_page_on_assumptions_says() -> None:
    said = " ".join(ASSUMPTIONS.read_text(encoding="utf-8").split())
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
