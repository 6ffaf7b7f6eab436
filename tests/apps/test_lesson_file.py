"""Lesson files: all that are shipped, the one in the README, and what is said of broken ones."""

import re

import pytest

from apps.lessons.lesson_file import (
    FORCES,
    LESSONS,
    PLOTS,
    LessonError,
    lesson_paths,
    load_lesson,
    load_lessons,
    read_lesson,
)
from apps.lessons.lesson_setting import demo_files
from apps.lessons.lesson_table import line_of
from viz.lessons.engine_marks import MARKS
from viz.lessons.lesson_curves import ANGLE_ROWS
from viz.lessons.lesson_values import LIVE

README = (LESSONS / "README.md").read_text(encoding="utf-8")
TEXT = re.search(r"```toml\n(.*?)```", README, re.DOTALL)[1]


def refused(text, name="mine.toml"):
    with pytest.raises(LessonError) as caught:
        read_lesson(text, name)
    return caught.value


def changed(old, new):
    assert TEXT.count(old) == 1, old
    return TEXT.replace(old, new)


def test_there_are_twelve_lessons_and_all_can_be_read():
    lessons, errors = load_lessons(lesson_paths())
    assert errors == []
    assert len(lessons) == 12
    assert len({lesson.title for lesson in lessons}) == len(lessons)
    for lesson in lessons:
        assert lesson.question
        assert lesson.todo
        assert lesson.why
        assert len(lesson.sliders) <= 4, "just the sliders it needs"


def test_the_lesson_in_the_readme_can_be_read():
    lesson = read_lesson(TEXT, "a_heavier_rod.toml")
    assert lesson.key == "a_heavier_rod"
    assert lesson.start.speed_rpm == 5000
    assert lesson.start.change == {"pressure.load_percent": 80.0}
    assert lesson.others["heavier"].add == {"rod.mass_g": 50.0}
    assert [option.text for option in lesson.predict.options][1] == "More"
    assert lesson.predict.options[0].feedback
    assert lesson.predict.hints


def test_the_readme_names_all_that_may_be_named():
    for name in (*PLOTS, *demo_files(), *ANGLE_ROWS):
        assert f"`{name}`" in README, name
    for name in (*LIVE, *MARKS, *FORCES):
        own = name.removesuffix("_limit")
        is_listed = f"`{own}`" in README or f"`{own}_limit`" in README
        assert name.startswith(("torque_sum_", "critical_")) or is_listed, name


@pytest.mark.parametrize(
    ("old", "new", "key", "words"),
    [
        ('title = "A heavier rod"\n', "", "title", "is missing"),
        ('title = "A heavier rod"', "title = 7", "title", "must be text (got 7)"),
        ('title = "A heavier rod"', 'title = "x"\nsubject = "y"', "subject", "unknown key"),
        ('"touring_six"', '"touring_sax"', "start.design", "did you mean touring_six?"),
        ("speed_rpm = 5000", "speed_rpm = 0.0", "start.speed_rpm", "must be 1 to 30000"),
        ('"pressure.load_percent" = 80.0', '"pressure.load" = 80.0', "start.set", "no such field"),
        ("80.0 }", "8000.0 }", "start.set", "must be 0 to"),
        ('"rod.mass_g" = 50.0', '"rod.mass_g" = "x"', "other.heavier.add.rod.mass_g", "a number"),
        ("big_end_load) * 1000", "big_end_lode) * 1000", "number.cost.of", "big_end_load?"),
        ("[number.cost]", "[number.speed]", "number.speed", "quantity of the program already"),
        ('over = "rod.mass_g"', 'over = "rod.mess_g"', "curve.over", "did you mean rod.mass_g?"),
        ('of = ["big_end_load"]', 'of = ["load"]', "curve.of", "unknown quantity"),
        ('of = ["big_end_load"]', 'of = ["big_end_load", "cost"]', "curve.of", "of one unit"),
        ("to = 800", "to = 500", "curve.to", "must be more than `from`"),
        ('kind = "choose"', 'kind = "draw"\njudge = ["bend"]', "predict.judge", "curvature"),
        ('"At firing TDC it', '"{live:x} it', "predict.option[1].feedback", "unknown"),
        ('kind = "choose"', 'kind = "guess"', "predict.kind", "choose, value, draw"),
        ("{live:big_end_load}. With", "{live:big_ind_load}. With", "predict.text", "big_end"),
        ("{live:big_end_load}. With", "{live:big_end_load. With", "predict.text", "must close"),
        ('right_if = "cost >= 0"', 'right_if = "cost"', "predict.option[2].right_if", "neither"),
        ('right_if = "cost >= 0"', 'right_if = "x >= 0"', "predict.option[2].right_if", "unknown"),
        ('right_if = "cost < 0"\n', "", "predict.option[1].right_if", "is missing"),
        ('right_if = "cost < 0"', 'right = true', "predict.option[1].right", "mean right_if?"),
        ('plot = "big_end"', 'plot = "big_ends"', "experiment.plot", "did you mean big_end?"),
        ('"rod.mass_g", "speed_rpm"]', '"speed"]', "experiment.sliders", "no control 'speed'"),
        ('numbers = ["big_end_load", "cost"]', 'numbers = "cost"', "experiment.numbers", "a list"),
        ("[550, 800, 1]", "[800, 550, 1]", "experiment.ranges.rod.mass_g", "[from, to, step]"),
        ('{ "rod.mass_g" = [', '{ "rod.mess_g" = [', "experiment.ranges", "mean rod.mass_g?"),
        ('reached_if = "big_end_load < 20"', 'reached_if = "big_end_load"', "goal", "neither"),
        ("tolerance = 0.3\n", "", "check[2].tolerance", "is missing"),
        ('value = "at_700.big_end_load"', 'value = "at_70.x"', "check[2].value", "unknown"),
        ("cylinder = 2", "cylinder = 0", "experiment.view.cylinder", "must be 1 to 12"),
        ("playing = false", "playing = 0", "experiment.view.playing", "true or false"),
        ('"inertia", "rod"', '"inertia", "rods"', "experiment.view.forces", "did you mean rod?"),
        ("angle_deg = 380", "angel_deg = 380", "experiment.view.angel_deg", "mean angle_deg?"),
        ("[experiment]", "[experimnt]", "experimnt", "did you mean experiment?"),
        ("schema = 1", "schema = 2", "schema", "must be 1 to 1"),
    ],
)  # fmt: skip
def test_a_broken_file_says_what_where_and_what_is_allowed(old, new, key, words):
    text = changed(old, new)
    error = refused(text)
    assert error.file == "mine.toml"
    assert error.key.startswith(key)
    assert words in error.message
    assert str(error).startswith("mine.toml")
    if new and "is missing" not in words:
        line = next(i for i, one in enumerate(text.split("\n"), 1) if new.split("\n")[-1] in one)
        assert error.line == line or abs(error.line - line) <= 1


def test_the_line_of_a_key_is_found_past_long_texts_and_lists():
    text = 'a = """\nb = 1\n"""\nb = 2\n[[c.d]]\ne = 1\n[[c.d]]\n"e" = 2\n[f.g]\nh.i = 3\n'
    assert [line_of(text, key) for key in ("a", "b", "c.d[2].e", "f.g.h.i")] == [1, 4, 8, 10]
    assert line_of(text, "f.g.missing") == 9
    assert line_of(text, "nothing") == 0


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"\xff\xfe", "not UTF-8"),
        (b"x" * 200_000, "must be at most 64 kB"),
        ("[" + "a." * 49 + "a]", "more than 5 parts"),
        ("title = ", "not TOML"),
        ("a = " + "[" * 5000, "nested too deep"),
        ("", "is missing"),
    ],
)
def test_what_is_no_lesson_file_is_refused_without_a_traceback(data, words):
    assert words in str(refused(data))


def test_a_toml_fault_names_its_line():
    error = refused('schema = 1\ntitle = "x\n')
    assert error.line == 2


def test_a_broken_lesson_does_not_stop_the_others(tmp_path):
    (tmp_path / "good.toml").write_text(TEXT, encoding="utf-8")
    (tmp_path / "bad.toml").write_text("schema = 1\n", encoding="utf-8")
    lessons, errors = load_lessons(lesson_paths(tmp_path))
    assert [lesson.key for lesson in lessons] == ["good"]
    assert [error.file for error in errors] == ["bad.toml"]


def test_a_file_that_is_not_there_is_said_so(tmp_path):
    with pytest.raises(LessonError, match="cannot be read"):
        load_lesson(tmp_path / "none.toml")


def test_a_drawing_needs_a_curve():
    text = re.sub(r"\[curve\].*?(?=\n# The prediction)", "", TEXT, flags=re.DOTALL)
    error = refused(text.replace('kind = "choose"', 'kind = "draw"'))
    assert error.key == "predict.kind"


def test_control_marks_are_taken_out_of_texts():
    lesson = read_lesson(TEXT.replace("A heavier rod", "A \\u202eheavier\\u0007 rod"), "x.toml")
    assert lesson.title == "A heavier rod"


def test_one_check_of_an_older_file_is_still_a_check():
    first = TEXT.index("[[check]]")
    older = TEXT[:first] + TEXT[first:].partition("# A number is right")[0]
    older = older.replace("[[check]]", "[check]")
    (asked,) = read_lesson(older, "old.toml").checks
    assert len(asked.options) == 2
    assert asked.amount is None


def test_steps_have_their_view_and_a_number_its_tolerance():
    lesson = read_lesson(TEXT, "mine.toml")
    assert lesson.try_view.cylinder == 2
    assert lesson.try_view.angle == 380
    assert lesson.try_view.playing is False
    assert lesson.try_view.forces == ("inertia", "rod")
    assert lesson.why_view.forces is None
    assert lesson.checks[1].amount.tolerance == 0.3
