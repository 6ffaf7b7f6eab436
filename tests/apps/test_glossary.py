"""The glossary: read, without doubles, safe in a page, and knowing the lessons' words."""

import json

import pytest

from apps.glossary import glossary, glossary_json
from apps.lessons.lesson_file import lesson_paths, load_lesson
from apps.lessons.lesson_table import LessonError


def forms():
    return {form.lower() for name, also, _ in glossary() for form in (name, *also)}


def test_terms_are_explained_in_whole_sentences():
    assert len(glossary()) >= 50
    for name, _, words in glossary():
        assert words.endswith("."), name
        assert words[0].isupper(), name


def test_the_sliders_and_plots_of_the_trade_are_in_it():
    wanted = {"tdc", "bdc", "rod ratio", "second order", "side thrust", "counterweight", "big end"}
    assert wanted <= forms()


def test_every_lesson_speaks_of_terms_that_are_explained():
    for path in lesson_paths():
        lesson = load_lesson(path)
        text = " ".join((*lesson.question, *lesson.why)).lower()
        assert any(form in text for form in forms()), path.stem


def test_it_can_stand_in_a_script_element():
    text = glossary_json()
    assert "<" not in text
    assert json.loads(text)[0]["forms"][0] == glossary()[0][0]


def test_a_term_twice_is_refused(tmp_path):
    path = tmp_path / "glossary.toml"
    path.write_text(
        '[[term]]\nname = "bore"\ntext = "A."\n[[term]]\nname = "Bore"\ntext = "B."\n', "utf-8"
    )
    with pytest.raises(LessonError, match=r"line 5, term\[2\].name: 'Bore' appears twice"):
        glossary(path)
