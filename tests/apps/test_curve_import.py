"""The import of a full-load curve: what is asked for is shown; what cannot be changes nothing."""

import json

import pytest

from apps.pages.curve_import import CurveImport
from assets_demo import FOLDER
from assets_demo.make_traces import BRAKE_SHARE
from kinematics import solve_cycle
from tests.apps.opened_import import form, opened_import
from tests.demos import DEMOS

CURVE = (FOLDER / "full_load_curve.csv").read_text()


def opened(text=CURVE, design="touring_six"):
    return opened_import(CurveImport, text, "curve.csv", DEMOS[design])


@pytest.fixture(scope="module")
def shared():
    return opened()


def test_the_demo_curve_is_previewed_used_and_undone():
    made = opened()
    shown = made.form.shown
    assert shown["ready"], shown["problems"]
    assert shown["fields"]["unit"] == "N·m"
    assert shown["fields"]["basis"] == "brake"
    assert shown["words"].startswith("21 points from 1")
    assert "mechanical efficiency, 87 %" in shown["note"]
    chart = made._charts.curve_torque
    assert "NaN" not in json.dumps(chart["sources"])
    assert made._state.design == DEMOS["touring_six"]
    made.handle({"kind": "use", "serial": 3})
    state = made._state
    assert (len(state.design.full_load), made.form.used, made.form.shown) == (12, 1, {})
    assert BRAKE_SHARE * solve_cycle(state.design, 2750).mean_torque == pytest.approx(
        248.7, rel=5e-3
    )
    state.undo()
    assert state.design == DEMOS["touring_six"]


def test_indicated_values_need_no_efficiency(shared):
    shared.handle(form(shared, basis="indicated"))
    assert shared.form.shown["note"].startswith("Indicated values are taken as they are.")
    shared.handle(form(shared, basis="brake"))
    assert shared.form.shown["ready"]


@pytest.mark.parametrize(
    ("changes", "field", "words"),
    [
        ({"efficiency": 20}, "efficiency", "must be 40 to 100 %"),
        ({"efficiency": None}, "efficiency", "must be 40 to 100 %"),
        ({"unit": "atm"}, "unit", "must be one of N·m"),
        ({"basis": 1}, "basis", "must be one of brake, indicated"),
        ({"roles": [-1, 0]}, "columns", "one column of speed and one of measured values"),
        ({"roles": [1, -1]}, "file", "must be in the file once"),
        ({"roles": [-1]}, "columns", "one column of speed"),
        ({"unit": "psi"}, "file", "whether the design is the engine measured"),
        ({"separator": "tab"}, "separator", "must part rows"),
    ],
)
def test_each_field_says_what_it_must_be(shared, changes, field, words):
    design, good = shared._state.design, form(shared)
    shared.handle(good | changes)
    assert words in shared.form.shown["problems"][field]
    shared.handle({"kind": "use", "serial": 3})
    assert shared._state.design == design
    shared.handle(good)
    assert shared.form.shown["ready"]


def test_rated_speed_beyond_the_file_is_said():
    text = "rpm,torque N·m\n2000,230\n3000,240\n4000,245\n"
    assert any("the last row holds" in words for words in opened(text).form.shown["warnings"])


def test_a_trace_ignores_the_curve_and_says_so():
    made = opened(design="measured_six")
    assert "go back to the model first" in made.form.shown["problems"]["file"]
    assert "ready" not in made.form.shown
