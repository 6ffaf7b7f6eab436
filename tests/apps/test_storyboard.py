"""Storyboards: one file out and in, read strictly, and steps put in order."""

import json
from dataclasses import FrozenInstanceError, replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from apps.page_registry import REV_LIMIT, STORYBOARD
from apps.storyboard.example import example_storyboard
from apps.storyboard.step_scene import headline_choices, solved, step_message, step_scene
from apps.storyboard.step_title import titled
from apps.storyboard.storyboard import (
    FORCES,
    LATER,
    MOST_STEPS,
    PICTURES,
    SHOWN,
    NamedSetting,
    Setting,
    Step,
    Storyboard,
    changed_step,
)
from apps.storyboard.storyboard_file import MARK, MOST_BYTES, read_storyboard, storyboard_text
from assets_demo import demo_paths
from kinematics import (
    DesignError,
    design_text,
    load_design,
    parse_design,
    solve_cycle,
    with_value,
)
from kinematics.limits.speed_limits import speed_limits
from viz.compare.comparison import differing_inputs
from viz.review.review_rows import grouped_pairs
from viz.train.main_numbers import main_numbers

TEXTS = {name: design_text(load_design(path)) for name, path in demo_paths().items()}
TOURING, SHORT = Setting(TEXTS["Touring six"], 5800.0), Setting(TEXTS["Short rod six"], 5800.0)


def board():
    return Storyboard(
        (
            Step(TOURING, title="Touring six", note="It starts here."),
            Step(SHORT, TOURING, title="<b>Short</b> rods", picture="side_thrust", cylinder=3,
                 angle_deg=112.5, headline="main.side_thrust", moving=True, forces=()),
            Step(SHORT, picture="journal", bearing="main_2", headline="film.least_film"),
        )
    )  # fmt: skip


def table():
    return json.loads(storyboard_text(board()))


def refused(changed):
    with pytest.raises(DesignError) as caught:
        read_storyboard(json.dumps(changed))
    return caught.value


def test_a_file_reads_back_equal():
    assert read_storyboard(storyboard_text(board())) == board()
    assert read_storyboard(storyboard_text(Storyboard())) == Storyboard()


def test_the_file_holds_each_design_once_and_names_the_page():
    written = table()
    assert written[MARK] == 1
    assert len(written["designs"]) == 2
    assert [step["page"] for step in written["steps"]] == ["Crank train", "Crank train", "Bearings"]


def test_every_demo_design_survives_the_file():
    steps = tuple(Step(Setting(text, 1000.0)) for text in TEXTS.values())
    assert read_storyboard(storyboard_text(Storyboard(steps))).steps == steps


@given(
    st.text(max_size=120),
    st.integers(1, 24),
    st.floats(0, 720),
    st.sampled_from(sorted(PICTURES)),
    st.lists(st.sampled_from(sorted(FORCES)), unique=True),
)
def test_any_step_that_can_be_made_survives_the_file(title, cylinder, angle, picture, forces):
    step = changed_step(Step(TOURING), "title", title)
    for key, value in (
        ("cylinder", cylinder), ("angle_deg", angle), ("picture", picture), ("forces", forces),
    ):  # fmt: skip
        step = changed_step(step, key, value)
    assert read_storyboard(storyboard_text(Storyboard((step,)))).steps == (step,)


@pytest.mark.parametrize(
    ("key", "value", "field", "words"),
    [
        ("angle_deg", 900, "steps[1].angle_deg", "must be a number from 0 to 720 (got 900)"),
        ("angle_deg", "1", "steps[1].angle_deg", "(got '1')"),
        ("cylinder", 0, "steps[1].cylinder", "a whole number from 1 to 24"),
        ("cylinder", True, "steps[1].cylinder", "(got True)"),
        ("cylinder", 2.0, "steps[1].cylinder", "(got 2.0)"),
        ("picture", "film", "steps[1].picture", "must be one of train, rod_force"),
        ("picture", ["train"], "steps[1].picture", "(got ['train'])"),
        ("bearing", "big_end_1\n", "steps[1].bearing", "such as big_end_1"),
        ("headline", "power", "steps[1].headline", "such as main.indicated_power"),
        ("forces", ["gas", "gas"], "steps[1].forces", "a list of some of gas"),
        ("forces", [["gas"]], "steps[1].forces", "a list of some of gas"),
        ("forces", "gas", "steps[1].forces", "a list of some of gas"),
        ("moving", 1, "steps[1].moving", "true or false"),
        ("title", "x" * 121, "steps[1].title", "at most 120 characters"),
        ("note", None, "steps[1].note", "at most 600 characters"),
        ("came_from", "Elsewhere", "steps[1].came_from", "Crank train, Bearings, Shaft, Limits"),
        ("pane", "<b>", "steps[1].pane", "the name of a pane, or nothing"),
        ("pane", ["tab"], "steps[1].pane", "the name of a pane, or nothing"),
        ("page", "Bearings", "steps[1].page", "must be one of Crank train"),
        ("now", None, "steps[1].now", "a design's place and a speed"),
        ("now", {"design": 2, "rpm": 1}, "steps[1].now.design", "from 0 to 1"),
        ("now", {"design": -1, "rpm": 1}, "steps[1].now.design", "from 0 to 1"),
        ("now", {"design": 0, "rpm": 1e9}, "steps[1].now.rpm", "must be a number from"),
        ("now", {"design": 0}, "steps[1].now.rpm", "is missing"),
        ("reference", {"design": 0, "rpm": 1, "x": 1}, "steps[1].reference.x", "unknown key"),
    ],
)
def test_a_wrong_value_is_named_with_what_is_allowed(key, value, field, words):
    changed = table()
    changed["steps"][1][key] = value
    error = refused(changed)
    assert error.field == field
    assert words in error.message


@pytest.mark.parametrize("key", ["now", "page", *(key for key in SHOWN if key not in LATER)])
def test_a_missing_value_is_named(key):
    changed = table()
    del changed["steps"][0][key]
    assert str(refused(changed)) == f"steps[0].{key}: is missing"


def test_a_file_from_before_a_step_knew_its_page_is_read():
    """As the first files were, to the key."""
    assert not set(LATER) & set(table()["steps"][0])
    step = Step(TOURING, came_from="Rev limit", pane="tab-mains")
    written = storyboard_text(Storyboard((step,)))
    assert read_storyboard(written).steps == (step,)
    assert (step.page, step.whence) == ("Crank train", "Rev limit")


def test_a_former_label_of_a_page_is_read_as_the_present_one():
    text = storyboard_text(Storyboard((Step(TOURING, came_from=REV_LIMIT.label),)))
    former = text.replace(f'"{REV_LIMIT.label}"', f'"{REV_LIMIT.former_label}"')
    assert former != text
    assert read_storyboard(former).steps[0].came_from == REV_LIMIT.label


def test_a_page_of_which_no_step_is_made_is_refused():
    with pytest.raises(DesignError, match="came_from"):
        Step(TOURING, came_from=STORYBOARD.label)


@pytest.mark.parametrize("version", [0, 2, 1.5, "1", True, None, [1], 10**400])
def test_an_unknown_version_is_refused_politely(version):
    error = refused(table() | {MARK: version})
    assert error.field == MARK
    assert "must be version 1" in error.message


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "no JSON at line 1"),
        ("schema = 1\n", "no JSON at line 1"),
        ("[]", "sixthrow_storyboard is missing"),
        ("{}", "sixthrow_storyboard is missing"),
        ("[" * 100_000, "nested too deep"),
        ('{"sixthrow_storyboard": ' + "9" * 6000 + "}", "number too long"),
        (" " * (MOST_BYTES + 1), "must be at most 4 MB"),
    ],
)
def test_what_is_no_storyboard_is_refused(text, words):
    with pytest.raises(DesignError, match=words):
        read_storyboard(text)


def test_nan_is_refused():
    with pytest.raises(DesignError, match=r"steps\[0\]\.angle_deg: must be a number .*\(got nan\)"):
        read_storyboard(storyboard_text(board()).replace('"angle_deg": 0.0', '"angle_deg": NaN', 1))


def test_unknown_keys_lists_and_designs_at_fault_are_named():
    assert refused(table() | {"colour": 1}).field == "colour"
    assert refused(table() | {"steps": {}}).field == "steps"
    assert refused(table() | {"designs": []}).message == "there is no design in this file"
    assert refused(table() | {"designs": [1]}).field == "designs[0]"
    changed = table()
    changed["designs"][1] = changed["designs"][1].replace("bore_mm = ", "bore_mm = -")
    error = refused(changed)
    assert error.field == "designs[1]"
    assert "cylinder.bore_mm" in error.message


def test_there_is_an_end_to_the_steps():
    assert len(Storyboard((Step(TOURING),) * MOST_STEPS).steps) == MOST_STEPS
    with pytest.raises(DesignError, match="at most 60"):
        Storyboard((Step(TOURING),) * (MOST_STEPS + 1))
    changed = table()
    changed["steps"] = changed["steps"][:1] * (MOST_STEPS + 1)
    assert refused(changed).field == "steps"


def test_steps_move_as_far_as_there_is_room():
    first, second, third = board().steps
    assert board().moved(0, 1).steps == (second, first, third)
    assert board().moved(2, -1).steps == (first, third, second)
    assert board().moved(0, -1) == board()
    assert board().moved(2, 1) == board()
    assert board().without(1).steps == (first, third)
    assert board().added(third, 1).steps == (first, third, second, third)


def test_a_step_is_frozen_and_changes_are_checked():
    step = board().steps[0]
    with pytest.raises(FrozenInstanceError):
        step.title = "other"
    with pytest.raises(DesignError, match="angle_deg"):
        changed_step(step, "angle_deg", -1)
    with pytest.raises(DesignError, match="now"):
        changed_step(step, "now", TOURING)
    assert changed_step(step, "title", "a\nb\u202ec").title == "a bc"


def test_the_headline_is_the_number_of_the_step_and_its_difference():
    step = board().steps[1]
    told = step_message(step_scene(step))
    numbers = [
        next(
            one for one in main_numbers(solve_cycle(load_design(demo_paths()[name]), 5800.0))
            if one.key == "side_thrust"
        )
        for name in ("Touring six", "Short rod six")
    ]  # fmt: skip
    share = 100 * (numbers[1].value / numbers[0].value - 1)
    assert float(told["headline"]["text"]) == pytest.approx(numbers[1].value, rel=2e-3)
    assert f"+{share:.1f} %" in told["headline"]["difference"]
    assert (told["cylinder"], told["angle"], told["title"]) == (2, 112.5, "<b>Short</b> rods")


def test_a_limit_can_be_the_headline():
    step = changed_step(Step(TOURING), "headline", "limit.ring_flutter")
    assert step_message(step_scene(step))["headline"] is None  # there is no such limit
    step = changed_step(Step(TOURING), "headline", "limit.piston_acceleration")
    ladder = speed_limits(load_design(demo_paths()["Touring six"]))
    rung = ladder.rung("piston_acceleration")
    told = step_message(step_scene(step))["headline"]
    assert told["text"].replace("\u2009", "") == f"{rung.limit * 30 / 3.141592653589793:.0f} rpm"
    assert told["place"].startswith("+")


def test_every_headline_on_offer_is_a_number_or_said_not_to_be_judged():
    scene = step_scene(board().steps[2])
    choices = headline_choices(scene)
    assert len({key for key, _ in choices}) == len(choices)
    for key, label in choices:
        told = step_scene(changed_step(scene.step, "headline", key)).headline
        assert label
        assert (told is not None) or key.startswith("limit.")


def test_what_cannot_be_shown_is_said():
    bare = replace(load_design(demo_paths()["Touring six"]), oil=None)
    scene = step_scene(Step(Setting(design_text(bare), 5800.0), picture="load"))
    assert scene.problem.startswith("No films: oil: is missing")
    scene = step_scene(Step(TOURING, picture="journal", bearing="main_20"))
    assert scene.problem == "This design has no main 20."
    assert [blob.size for blob in scene.blobs] == [0, 0]
    assert step_scene(Step(TOURING, picture="limit", rung="nothing")).problem
    assert step_scene(Step(TOURING, picture="journal")).problem == ""


@pytest.mark.parametrize("picture", PICTURES)
def test_every_picture_shows_something(picture):
    scene = step_scene(Step(SHORT, TOURING, picture=picture, rung="rod_fatigue"))
    told = step_message(scene)
    assert told["problem"] == ""
    shown = [scene.table is not None, bool(scene.chart), scene.ladder is not None,
             scene.blobs[0].size > 0]  # fmt: skip
    assert shown.count(True) == 1
    assert json.loads(json.dumps(told)) is not None


def test_tables_say_what_the_pages_say():
    ladder = speed_limits(load_design(demo_paths()["Short rod six"]))
    margins = step_scene(Step(SHORT, picture="margins")).table
    assert [row[-1] for row in margins.rows] == list(margins.verdicts)
    assert margins.more + len(margins.rows) == len(ladder.rungs)
    first = ladder.rungs[0]
    assert margins.rows[0][0] == f"{first.criterion.part}: {first.criterion.label}"
    inputs = step_scene(Step(SHORT, TOURING, picture="inputs")).table
    assert any(row[0] == "Cylinder: Rod length" for row in inputs.rows)
    longer = with_value(parse_design(SHORT.design), "cylinder.rod_length_mm", 150)
    before = Setting(design_text(longer), SHORT.rpm)
    changes = step_scene(Step(SHORT, before, picture="changes")).table
    thrust = next(row for row in changes.rows if row[0].endswith("Side thrust, major side"))
    numbers = step_message(step_scene(board().steps[1]))["headline"]
    assert thrust[2].startswith(numbers["text"])


def test_a_comparison_without_a_reference_says_so():
    for picture in ("changes", "inputs", "review"):
        told = step_message(step_scene(Step(SHORT, picture=picture)))
        assert told["problem"] == "This step has no reference to compare with."
        assert told["table"] is None


def test_the_review_card_says_what_the_page_says():
    ladders = [speed_limits(solved(setting).design) for setting in (TOURING, SHORT)]
    found = step_scene(Step(SHORT, TOURING, picture="review")).table
    groups = grouped_pairs(*ladders)
    assert found.answer.startswith(("Holds", "Over"))
    assert found.rows
    for row, pair in zip(found.rows, [own for key in groups for own in groups[key]], strict=False):
        assert row[0] == f"{pair.known.criterion.part}: {pair.known.criterion.label}"
        assert row[5:] == pair.verdicts
    assert found.more + len(found.rows) == sum(map(len, groups.values()))


def test_variants_go_with_a_step_and_its_file():
    step = Step(SHORT, TOURING, picture="variants",
                variants=(NamedSetting("slow", Setting(TOURING.design, 3000.0)),))  # fmt: skip
    assert read_storyboard(storyboard_text(Storyboard((step,)))).steps == (step,)
    found = step_scene(step).table
    assert [head.split(":")[0] for head in found.head] == ["", "A", "B", "C"]
    assert found.head[3] == "C: slow"
    rated = next(row for row in found.rows if row[0] == "Rated speed")
    assert rated[1] == rated[3]


@pytest.mark.parametrize(
    ("variants", "field"),
    [
        (7, "steps[0].variants"),
        ([7], "steps[0].variants[0]"),
        ([{"name": 7, "design": 0, "rpm": 1000}], "steps[0].variants[0]"),
        ([{"name": "a", "design": 9, "rpm": 1000}], "steps[0].variants[0].design"),
        ([{"name": "a", "design": 0, "rpm": "x"}], "steps[0].variants[0].rpm"),
        ([{"name": "a", "design": 0, "rpm": 1000, "more": 1}], "steps[0].variants[0].more"),
        (5 * [{"name": "a", "design": 0, "rpm": 1000}], "steps[0].variants"),
    ],
)
def test_variants_of_a_file_that_cannot_be_read_are_refused(variants, field):
    changed = table()
    changed["steps"][0]["variants"] = variants
    assert refused(changed).field == field


@pytest.mark.parametrize("picture", ["scatter_sizes", "scatter_shares"])
def test_a_slide_says_which_tolerances_it_is_of(picture):
    (chart,) = step_scene(Step(SHORT, picture=picture)).chart.values()
    assert "at the example tolerances" in {label.text for label in chart.labels}


def test_a_shaft_without_a_trade_off_says_so():
    bare = replace(load_design(demo_paths()["Touring six"]), shaft=None, crank_throw=None)
    told = step_message(step_scene(Step(Setting(design_text(bare), 5800.0), picture="shaft_front")))
    assert told["problem"].startswith("Trade-off: inertia against main load: not to be had. ")


def test_a_file_without_what_came_later_opens_still():
    changed = table()
    for step in changed["steps"]:
        for key in LATER:
            step.pop(key, None)
    steps = read_storyboard(json.dumps(changed)).steps
    assert [step.speaker for step in steps] == ["", "", ""]
    said = Storyboard((Step(TOURING, speaker="Ask who built it."),))
    assert read_storyboard(storyboard_text(said)) == said


@pytest.mark.parametrize(
    ("step", "before", "title"),
    [
        (Step(TOURING), None, "Crank train: Touring six"),
        (Step(SHORT), Step(TOURING), "Crank train: rod "),
        (Step(Setting(TOURING.design, 6000.0)), Step(TOURING), "Crank train: at 6 000 rpm"),
        (Step(TOURING, picture="limit", came_from="Rev limit"), Step(TOURING),
         "Rev limit: rod fatigue"),
        (Step(TOURING, picture="journal", bearing="main_2"), Step(TOURING), "Bearings: main 2"),
        (Step(TOURING, picture="margins"), Step(TOURING), "Limits: Table of margins"),
    ],
)  # fmt: skip
def test_a_step_is_titled_by_its_page_and_what_differs(step, before, title):
    found = " ".join(titled(step, before).title.split())
    assert found.startswith(title)
    if before is not None and step.now.design != before.now.design:
        designs = (parse_design(one.now.design) for one in (before, step))
        assert f"and {len(differing_inputs(*designs)) - 2} more" in found


def test_the_example_has_five_steps_that_are_solved_and_the_last_shows_what_governs():
    steps = example_storyboard().steps
    assert len(steps) == 5
    assert all(step_scene(step).headline for step in steps)
    ladder = speed_limits(parse_design(steps[-1].now.design))
    assert steps[-1].headline == f"limit.{ladder.lowest.criterion.key}"
    assert read_storyboard(storyboard_text(example_storyboard())) == example_storyboard()
