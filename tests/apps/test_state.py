"""The state: a change is a new cycle or a problem, never both, and never a traceback."""

import dataclasses
import json

import pytest

from apps.state import AppState
from assets_demo import demo_paths
from kinematics import design_text, load_demo, load_design
from kinematics.mechanics.pressure_trace import read_trace

FLAT = "crank_angle_deg,cylinder_pressure_bar\n" + "".join(f"{i},1.0\n" for i in range(720))


@pytest.fixture
def state():
    return AppState(load_design(demo_paths()["Touring six"]))


def test_a_change_makes_a_new_cycle(state):
    state.change("cylinder.bore_mm", 90.0)
    assert state.design.cylinder.bore == pytest.approx(0.090)
    assert state.problem == ("", "")


@pytest.mark.parametrize(
    ("key", "value"),
    [("cylinder.bore_mm", -1.0), ("cylinder.rod_length_mm", 30.0), ("speed_rpm", 0.0),
     ("speed_rpm", None), ("pressure.peak_bar", 5.0), ("cylinder.compression_ratio", 29.0),
     ("no.such_key", 1.0), ("rod.over_radius", 1.0), ("", 1.0), ("__class__.x", 1.0)],
)  # fmt: skip
def test_what_cannot_be_keeps_the_cycle_and_names_the_control(state, key, value):
    before = state.cycle
    state.change("cylinder.compression_ratio", 9.0) if key == "pressure.peak_bar" else None
    before = state.cycle
    state.change(key, value)
    assert state.cycle is before
    assert state.problem[0] == key or key == ""
    assert state.problem[1]
    state.change("speed_rpm", 2500.0)
    assert state.problem == ("", "")


def test_a_change_of_speed_keeps_the_train(state):
    train = state.cycle.train
    state.change("speed_rpm", 2500.0)
    assert state.cycle.train is train
    assert state.speed_rpm == pytest.approx(2500)


def test_a_bad_file_is_refused_by_name(state):
    before = state.cycle
    state.open_design_text("schema = 7", "../../<b>x</b>.toml")
    assert state.cycle is before
    message, bad = state.message
    assert bad
    assert message.startswith("<b>x</b>.toml") or message.startswith("b>.toml")


def test_a_flat_trace_runs_with_a_warning(state):
    state.use_trace(read_trace(FLAT), "flat.csv")
    assert state.design.pressure.source == "trace"
    assert "motored" in state.message[0]


def test_a_design_with_a_trace_comes_back_from_its_text(state):
    state.use_trace(read_trace(FLAT), "flat.csv")
    design = state.design
    state.open_demo("Touring six", demo_paths()["Touring six"])
    state.open_design_text(design_text(design), "saved.toml")
    assert state.design == design


def test_a_design_from_the_browser_reads_no_file_of_this_machine(state):
    text = design_text(state.design).replace(
        'source = "model"', 'source = "trace"\nfile = "motored_trace.csv"'
    )
    state.open_design_text(text, "design.toml")
    assert state.message[1]
    assert "pressure.file" in state.message[0]


def test_a_draft_restores_design_speed_demo_and_pin(state):
    state.set_reference()
    state.change("cylinder.bore_mm", 90.0)
    state.change("speed_rpm", 2500.0)
    state.demo = "Touring six"
    draft = json.loads(json.dumps(state.draft()))
    fresh = AppState(load_design(demo_paths()["Inline four"]), demo="Inline four")
    fresh.restore(draft["text"], draft["rpm"], demo=draft["demo"], reference=draft["reference"])
    assert fresh.design == state.design
    assert fresh.speed_rpm == pytest.approx(2500.0, rel=1e-12)
    assert fresh.demo == "Touring six"
    assert fresh.reference.design == state.reference.design
    assert fresh.reference.speed == pytest.approx(state.reference.speed, rel=1e-12)
    assert fresh.message == ("", False)


def test_a_draft_without_a_pin_restores_none(state):
    draft = state.draft()
    assert draft["reference"] is None
    state.restore(draft["text"], draft["rpm"], reference=draft["reference"])
    assert state.reference is None


@pytest.mark.parametrize("reference", [{}, {"text": "schema = 99", "rpm": 3000}, {"text": None}])
def test_a_bad_pin_is_refused_and_the_design_restored(state, reference):
    other = load_design(demo_paths()["Inline four"])
    state.restore(design_text(other), 3000.0, reference=reference)
    assert state.design == other
    assert state.reference is None
    assert state.message[1]
    assert "reference design" in state.message[0]


@pytest.mark.parametrize("reference", ["text", 7, ["a"], None])
def test_what_is_no_pin_is_let_go(state, reference):
    state.restore(design_text(state.design), 3000.0, reference=reference)
    assert state.reference is None
    assert not state.message[1]


@pytest.mark.parametrize(("text", "rpm"), [("schema = 99", 3000.0), ("", 3000.0), (None, "x")])
def test_a_bad_draft_changes_nothing(state, text, rpm):
    before = state.cycle
    state.restore(design_text(state.design) if text is None else text, rpm)
    assert state.cycle is before
    assert state.message[1]


def test_pin_keeps_design_and_speed(state):
    state.set_reference()
    reference = state.reference
    state.change("speed_rpm", 2000.0)
    state.change("cylinder.bore_mm", 90.0)
    assert state.reference is reference
    assert reference.design.cylinder.bore != state.design.cylinder.bore
    state.clear_reference()
    assert state.reference is None


def test_a_state_has_a_cycle_at_all_times():
    state = AppState(load_design(next(iter(demo_paths().values()))))
    before = state.cycle
    with pytest.raises(ValueError, match="cycle"):
        state.cycle = None
    assert state.cycle is before


def test_a_value_changed_by_a_control_loses_its_origin_and_undo_brings_it_back():
    state = AppState(load_demo("hill_climb_six"))
    before = state.design.origins
    state.change("piston.assembly_mass_g", 350.0)
    assert set(before) - set(state.design.origins) == {"piston.assembly_mass_g"}
    state.undo()
    assert state.design.origins == before
    state.redo()
    assert "piston.assembly_mass_g" not in state.design.origins


def test_a_change_of_papers_alone_is_a_step(state):
    state.use_design(dataclasses.replace(state.design, revision="B"))
    assert state.design.revision == "B"
    assert state.may_undo
    state.undo()
    assert state.design.revision == ""
