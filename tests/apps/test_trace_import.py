"""The import of measured pressure: what is asked for is shown; what cannot be changes nothing."""

import json
import math

import pytest

from apps.components.charts import TrainCharts
from apps.pages.trace_import import TraceImport
from apps.state import AppState
from assets_demo import FOLDER
from assets_demo.make_traces import LACKING, LATE, SIX_LATE, ZEROS_LACKING
from kinematics import design_text, parse_design, with_value
from kinematics.units import using_units
from tests.apps.opened_import import form, opened_import
from tests.conftest import layout_of, six, with_layout
from tests.demos import DEMOS
from tests.kinematics.mechanics.trace_texts import ANGLES, bars, text_of
from viz.train.trace_words import trace_words

CYCLES = (FOLDER / "twenty_cycles.csv").read_text()
ONE = (FOLDER / "full_load_trace.csv").read_text()
SIX = (FOLDER / "six_cylinders.csv").read_text()


def importer():
    state = AppState(DEMOS["touring_six"])
    return TraceImport(state, TrainCharts())


def opened(text=CYCLES, name="bench.csv"):
    return opened_import(TraceImport, text, name, DEMOS["touring_six"])


@pytest.fixture(scope="module")
def shared():
    """An import for what is refused: it serves all."""
    return opened()


def offer(made, start):
    return next(o for o in made.form.shown["offers"] if o["label"].startswith(start))


def taken(made, *starts):
    """Press the offers whose labels start so."""
    for start in starts:
        found = offer(made, start)
        made.handle(form(made, **{found["field"]: found["value"]}))


def test_a_file_is_shown_before_anything_changes():
    made = opened()
    shown = made.form.shown
    assert shown["ready"]
    assert shown["fields"] | {"roles": [-1, 1]} == shown["fields"]
    assert (shown["fields"]["separator"], shown["fields"]["unit"]) == ("semicolon", "kPa")
    assert shown["words"].startswith("20 whole cycles, every 1°.")
    assert made._state.design == DEMOS["touring_six"]
    assert not made._state.may_undo
    for chart in (made._charts.trace_course, made._charts.trace_log):
        assert "NaN" not in json.dumps(chart["sources"])
        assert chart["told"]["words"]


def test_the_checks_find_what_the_file_was_made_with():
    made = opened()
    assert "late (1σ)" in made.form.shown["finding"]
    found = float(offer(made, "Shift")["value"])
    assert found == pytest.approx(LATE, abs=0.7)  # as the stated uncertainty at 1° steps
    lacking = [float(o["value"]) for o in made.form.shown["offers"] if o["field"] == "offset"]
    assert lacking == pytest.approx([LACKING, LACKING], abs=0.02)


def test_shift_and_offset_bring_the_trace_to_the_model():
    made = opened()
    before = rows(made)
    taken(made, "Shift", "Add")
    after = rows(made)
    work = "Indicated mean effective pressure (IMEP)"
    model, raw, mended = before[work][0], before[work][1], after[work][1]
    assert before[work][2] == pytest.approx(mended, abs=0.15)
    assert abs(mended - model) < 0.3 < raw - model


def rows(made):
    return {
        label: [float(text.split()[0]) for text in texts]
        for label, *texts in made.form.shown["effects"]["rows"]
    }


def test_use_is_one_step_with_a_name_that_says_what_it_is():
    made = opened()
    taken(made, "Shift", "Add")
    shown = rows(made)
    made.handle({"kind": "use", "serial": 5})
    state = made._state
    pressure = state.design.pressure
    assert (pressure.source, made.form.used, made.form.shown) == ("trace", 1, {})
    assert pressure.file.startswith("bench.csv, mean of 20 cycles of cylinder 1, +0.2")
    assert "firing TDC at 1." in pressure.file
    imep = state.cycle.indicated_mean_pressure / 1e5
    assert shown["Indicated mean effective pressure (IMEP)"][1] == pytest.approx(imep, abs=0.05)
    state.undo()
    assert state.design == DEMOS["touring_six"]
    state.redo()
    state.use_model()
    assert state.design.pressure.source == "model"


@pytest.mark.parametrize(("which", "words"), [("highest", "highest of 20"), ("upper", "mean + 2σ")])
def test_other_courses_say_which_they_are(which, words):
    made = opened()
    mean = rows(made)["Peak cylinder pressure"][1]
    above = float(made.form.shown["note"].partition("measured is ")[2].split()[0])
    made.handle(form(made, which=which))
    peak = rows(made)["Peak cylinder pressure"][1]
    assert peak > mean + 5
    assert "not those of the mean" in made.form.shown["note"]
    if which == "highest":
        assert peak == pytest.approx(mean * (1 + above / 100), rel=0.01)
    made.handle({"kind": "use", "serial": 5})
    assert words in made._state.design.pressure.file


def test_strength_may_take_the_highest_cycle_beside_the_mean():
    made = opened()
    assert [key for key, _ in made.form.shown["choices"]["strength"]] == ["mean", "highest"]
    mean = rows(made)["Peak cylinder pressure"]
    made.handle(form(made, strength="highest"))
    assert rows(made)["Peak cylinder pressure"] == mean
    assert made.form.shown["note"].startswith("Torque, power, films and torsion use the one")
    assert "Strength uses the cycle of highest peak" in made.form.shown["note"]
    made.handle({"kind": "use", "serial": 5})
    pressure = made._state.design.pressure
    assert pressure.strength_cycle == "highest"
    assert pressure.trace.highest_over_mean > 1.05
    assert pressure.file.startswith("bench.csv, mean of 20 cycles")


def test_one_cycle_or_a_higher_course_leaves_strength_no_other():
    one = opened(ONE)
    assert len(one.form.shown["choices"]["strength"]) == 1
    made = opened()
    made.handle(form(made, strength="highest", which="upper"))
    assert made.form.shown["fields"]["strength"] == "mean"
    made.handle({"kind": "use", "serial": 5})
    assert not made._state.design.pressure.trace.highest


def columns(count):
    head = "angle," + ",".join(f"p{k} bar" for k in range(1, count + 1))
    return text_of(ANGLES, *[bars(peak=50 + 2 * k) for k in range(count)], head=head)


def test_several_cylinders_are_taken_each_together_or_one():
    made = opened(columns(6))
    cylinders = made.form.shown["choices"]["cylinder"]
    assert [key for key, _ in cylinders] == ["-1", "0", "1", "2", "3", "4", "5", "6"]
    peak = "Peak cylinder pressure"
    assert rows(made)[peak][1] == pytest.approx(61, abs=0.1)
    assert "each cylinder's own course" in made.form.shown["note"]
    made.handle(form(made, cylinder="0"))
    assert rows(made)[peak][1] == pytest.approx(56, abs=0.1)
    assert "in all cylinders" in made.form.shown["note"]
    made.handle(form(made, cylinder="1"))
    assert rows(made)[peak][1] == pytest.approx(51, abs=0.1)


def test_fewer_columns_than_cylinders_cannot_be_each_its_own():
    made = opened(columns(5))
    assert made.form.shown["choices"]["cylinder"][0] == ["0", "all 5 measured, together"]
    made.handle(form(made, cylinder="-1"))
    assert made.form.shown["fields"]["cylinder"] == "0"


def test_the_demo_of_six_cylinders_is_found_as_it_was_made():
    """Angles of the engine, one late encoder, a zero a transducer; then each its own, as one step.

    Within what each check states.
    """
    made = opened(SIX, "six.csv")
    shown = made.form.shown
    assert shown["fields"]["reference"] == "engine"
    assert shown["fields"]["cylinder"] == "-1"
    assert float(offer(made, "Shift")["value"]) == pytest.approx(SIX_LATE, abs=0.5)
    lacking = [float(row[-1].replace("−", "-").split()[0]) for row in table(made)]
    assert lacking == pytest.approx(ZEROS_LACKING, abs=0.06)
    made.handle(form(made, firing_tdc=str(SIX_LATE), zero="intake"))
    lacking = [float(row[-1].replace("−", "-").split()[0]) for row in table(made)]
    assert lacking == pytest.approx([0] * 6, abs=0.06)
    assert not [o for o in made.form.shown["offers"] if o["field"] == "offset"]
    work = [float(row[4].split()[0]) for row in table(made)]
    made.handle({"kind": "use", "serial": 5})
    state = made._state
    pressure = state.design.pressure
    assert pressure.file == (
        "six.csv, mean of 4 cycles of each cylinder, each cylinder at intake pressure at BDC, "
        "firing TDC at 1° of the file"
    )
    assert "each cylinder's own measured trace six.csv" in trace_words(state.design)
    swept = state.cycle.train.swept_volume
    assert state.cycle.cylinder_work / swept / 1e5 == pytest.approx(work, abs=0.06)
    assert parse_design(design_text(state.design)) == state.design
    state.undo()
    assert state.design == DEMOS["touring_six"]


def table(made):
    return made.form.shown["by_cylinder"]["rows"]


def test_each_its_own_waits_until_the_spread_of_the_design_is_none():
    spread = with_value(DEMOS["touring_six"], "firing.imep_spread_percent", 4.0)
    made = opened_import(TraceImport, SIX, "x.csv", spread)
    assert "must be 0 where each cylinder" in " ".join(made.form.shown["problems"].values())
    assert "ready" not in made.form.shown
    made.handle(form(made, cylinder="0"))
    assert made.form.shown["ready"]


def test_a_wrong_dialect_or_unit_is_shown_beside_its_field_and_can_be_mended():
    made = opened()
    good = form(made)
    made.handle(form(made, separator="tab"))
    assert "must part rows" in made.form.shown["problems"]["separator"]
    assert "ready" not in made.form.shown
    made.handle(good)
    assert made.form.shown["ready"]
    made.handle(form(made, unit="bar"))
    assert "at most 1000 bar" in made.form.shown["problems"]["file"]
    made.handle(form(made, unit="psi"))
    assert made.form.shown["ready"]


@pytest.mark.parametrize(
    ("changes", "field", "words"),
    [
        ({"offset": None}, "offset", "must be -20 to 20 bar (got nothing)"),
        ({"offset": 1e9}, "offset", "must be -20 to 20 bar (got 1e+09 bar)"),
        ({"offset": math.nan}, "offset", "must be -20 to 20 bar"),
        ({"offset": -0.9}, "offset", "above 0 at every angle"),
        ({"offset": "<b>"}, "offset", "must be a number"),
        ({"firing_tdc": 1441}, "firing_tdc", "must be -1440 to 1440°"),
        ({"firing_tdc": []}, "firing_tdc", "must be -1440 to 1440°"),
        ({"roles": [1, -1]}, "columns", "line"),
        ({"roles": [-1, 0]}, "columns", "a column of pressure (got none)"),
        ({"roles": [0, 1]}, "columns", "one column of crank angle"),
        ({"roles": [-1, 9]}, "columns", "must be 1 to 6 (got 9)"),
        ({"roles": [-1]}, "columns", "must have a column of pressure"),
        ({"roles": "x"}, "columns", "crank angle, ignored or a cylinder"),
        ({"roles": [-1, 1, 2]}, "columns", "must be 2 as in the file"),
        ({"unit": "atm"}, "unit", "must be one of bar, kPa, MPa, psi"),
        ({"direction": 3}, "direction", "must be one of rising, falling"),
        ({"direction": "falling"}, "columns", "does not rise"),
        ({"reference": None}, "reference", "must be one of"),
        ({"separator": "|"}, "separator", "must be one of comma, semicolon, tab, blanks"),
        ({"decimal": "'"}, "decimal", "must be one of point, comma"),
        ({"separator": "comma"}, "decimal", "must differ from the separator"),
        ({"cylinder": "x"}, "cylinder", "must be one that is measured"),
        ({"cylinder": "-2"}, "cylinder", "must be one that is measured"),
        ({"cylinder": 1}, "cylinder", "must be one that is measured"),
        ({"zero": "own"}, "zero", "must be one of given, intake"),
        ({"which": "lowest"}, "which", "must be one of mean, highest, upper"),
    ],
)
def test_each_field_says_what_it_must_be(shared, changes, field, words):
    design, good = shared._state.design, form(shared)
    shared.handle(good | changes)
    assert words in shared.form.shown["problems"][field]
    assert shared.form.answered == 2
    shared.handle({"kind": "use", "serial": 3})
    assert shared._state.design == design
    shared.handle(good)
    assert shared.form.shown["ready"]
    assert shared.form.shown["problems"] == {}


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "got nothing"),
        ("a,b\n1,2", "must part rows of two to 64 numbers"),
        ("a,b\n" + "1,2\n" * 9, "36 to 400000 rows"),
        ("crank,p\n" + "0,1\n" * 40, "degrees"),
        ("crank,p\n0,1\n2,1\n4,1\n6\n" + "8,1\n" * 50, "line 5"),
        ("x" * 7_000_000, "at most 6 MB"),
        ("crank,p\n0,1\n2,1\n4,1\n6,\0\n" * 20, "NUL"),
        (text_of(ANGLES[:200]), "span a cycle of 720°"),
        (text_of(ANGLES / 57.3), "degrees"),
    ],
)
def test_a_wrong_file_changes_nothing(text, words):
    made = opened(text, "../../<b>x.csv")
    problems = made.form.shown["problems"]
    assert words in " ".join(problems.values())
    assert set(problems) <= {"file", "columns"}
    assert "ready" not in made.form.shown
    made.handle({"kind": "use", "serial": 2})
    assert made._state.design == DEMOS["touring_six"]


def test_settings_before_a_file_and_after_closing_do_nothing():
    made = importer()
    made.handle({"kind": "settings", "serial": 4})
    assert made.form.shown == {}
    assert made.form.answered == 4
    made.handle({"kind": "use", "serial": 5})
    assert "must be a file that can be used" in made.form.shown["problems"]["file"]
    made = opened()
    made.handle({"kind": "close", "serial": 9})
    assert made.form.shown == {}
    assert made._content == ""


def test_a_trace_of_another_engine_is_doubted():
    made = TraceImport(AppState(DEMOS["hill_climb_six"]), TrainCharts())
    made.handle({"kind": "file", "name": "x.csv", "text": CYCLES, "serial": 1})
    assert any("belong to the engine measured" in words for words in made.form.shown["warnings"])


def test_offsets_are_in_the_unit_shown():
    with using_units("us"):
        made = opened()
        assert made.form.units["offset"] == "psi"
        taken(made, "Add")
        assert float(made.form.shown["fields"]["offset"]) == pytest.approx(14.5 * LACKING, abs=0.4)


def test_the_strict_file_opens_as_before():
    made = opened(ONE, "full_load_trace.csv")
    made.handle({"kind": "use", "serial": 2})
    pressure = made._state.design.pressure
    assert pressure.file == "full_load_trace.csv, one cycle of cylinder 1"
    same = DEMOS["measured_six"].pressure.trace
    assert pressure.trace.crank_angle == pytest.approx(same.crank_angle)
    assert pressure.trace.pressure == pytest.approx(same.pressure, abs=6)


def test_a_long_name_is_cut():
    made = opened(ONE, "n" * 4000 + ".csv")
    taken(made, "Shift")
    made.handle({"kind": "use", "serial": 2})
    assert len(made._state.design.pressure.file) <= 255


def test_a_two_stroke_takes_a_trace_of_one_turn():
    three = layout_of([0, 120, 240], strokes=2)
    made = TraceImport(AppState(with_layout(six(), three)), TrainCharts())
    angles = ANGLES[90:270]
    made.handle({"kind": "file", "name": "x", "text": text_of(angles), "serial": 1})
    assert made.form.shown["ready"], made.form.shown["problems"]
    assert made.form.shown["words"].startswith("1 whole cycle, every 2°.")
