"""The glossary: one file of terms for every page, and what a page needs to explain them."""

import json
from functools import cache
from pathlib import Path

from apps.lessons.lesson_table import toml_table
from assets_demo import FOLDER
from viz.browser import plain_script, text

GLOSSARY = FOLDER / "glossary" / "glossary.toml"
MOST_BYTES = 200_000


@cache
def glossary(path: Path = GLOSSARY) -> tuple[tuple[str, tuple[str, ...], str], ...]:
    """Return name, other forms and explanation of each term; raises LessonError."""
    table = toml_table(path.read_bytes(), path.name, MOST_BYTES)
    terms, seen = [], set[str]()
    for term in table.tables("term", 1, 500):
        name, words = term.text("name", 60), term.text("text", 400)
        also = term.texts("also", 0, 8, default=())
        term.nothing_left()
        for form in (name, *also):
            if form.lower() in seen:
                raise term.error("name", f"{form!r} appears twice in the glossary")
            seen.add(form.lower())
        terms.append((name, also, words))
    table.nothing_left()
    return tuple(terms)


def glossary_json() -> str:
    """Return the terms as JSON that may stand in a page's script element."""
    terms = [
        {"name": name, "forms": [name, *also], "text": words} for name, also, words in glossary()
    ]
    return json.dumps(terms, ensure_ascii=False).replace("<", "\\u003c")


def glossary_variables() -> dict[str, str]:
    """Return what a page's template takes: the terms, the script and the style."""
    return {
        "glossary": glossary_json(),
        "glossary_js": plain_script("shared/glossary.js"),
        "glossary_css": text("shared/glossary.css"),
    }
