"""The report's text: complete, of one piece, and hostile texts stay text."""

import base64
import dataclasses
import gc
import hashlib
import json
import math
import re
from datetime import date
from functools import cache
from html.parser import HTMLParser
from pathlib import Path

import pytest
from bokeh.document import Document
from bokeh.io.doc import _PATCHED_CURDOCS, patch_curdoc

import viz.browser
from apps.command_line import main
from apps.components.film_view import FilmView
from apps.components.ladder_view import LadderView
from apps.components.train_view import TrainView
from apps.report import report_html, write_report
from apps.shown_numbers import shown_number
from apps.version import program_version
from assets_demo import FOLDER, demo_paths
from kinematics import Design, DesignError, load_design, parse_design, solve_cycle, with_value
from kinematics.declaration import declarations
from kinematics.limits.speed_limits import speed_limits
from kinematics.units import using_units
from tests.conftest import SIX_TEXT, changed, six
from viz.browser import bundle
from viz.compare.comparison import compared
from viz.compare.comparison_table import CHANGE_RULE, comparison_message
from viz.film.film_board import table_message
from viz.film.film_numbers import film_numbers
from viz.film.shown_films import ShownFilms
from viz.limits.limit_board import CAUTION, sentence
from viz.report.report_page import FILM_SCRIPT, LADDER_SCRIPT, TRAIN_SCRIPT
from viz.train.main_numbers import main_numbers
from viz.train.scene import scene_bytes

DAY = date(2031, 2, 3)
HOSTILE = (
    '<img src=x onerror=alert(1)><script>alert(1)</script>"><b onclick=alert(1)>',
    "</script><script>alert(1)</script></title></style><svg onload=alert(1)>",
    "<!--[x](javascript:alert(1)){{7*7}}{% raw %}@{x} &lt; &amp; \u202etxet",
)


class Read(HTMLParser):
    """Elements, texts and scripts of a page."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.scripts: list[tuple[dict[str, str | None], str]] = []
        self.texts: list[str] = []
        self.inside = ""
        self.feed(page)

    def handle_starttag(self, tag, attributes):
        self.elements.append((tag, dict(attributes)))
        self.inside = tag
        if tag == "script":
            self.scripts.append((dict(attributes), ""))

    def handle_data(self, data):
        if self.inside == "script":
            attributes, before = self.scripts[-1]
            self.scripts[-1] = (attributes, before + data)
        elif self.inside != "style":
            self.texts.append(data)

    def handle_endtag(self, tag):
        self.inside = ""

    @property
    def text(self) -> str:
        return re.sub(r"\s+", " ", "".join(self.texts))

    @property
    def data(self):
        (found,) = [words for own, words in self.scripts if own.get("id") == "report-data"]
        return json.loads(found)


@pytest.fixture(scope="module")
def first() -> Design:
    return load_design(next(iter(demo_paths().values())))


@pytest.fixture(scope="module")
def page_text(first: Design) -> str:
    return report_html(first, 6000, today=DAY)


@pytest.fixture(scope="module")
def page(page_text: str) -> Read:
    return Read(page_text)


@cache
def demo_report(name: str) -> Read:
    """The report of a demo at its rated speed."""
    return Read(report_html(load_design(demo_paths()[name]), today=DAY))


def bare() -> Design:
    """A design without bearings, oil or any part for the limits."""
    return parse_design(SIX_TEXT[: SIX_TEXT.index("[big_end]")])


def spaced(words: str) -> str:
    return re.sub(r"\s+", " ", words)


def test_it_says_what_it_is(page: Read, first: Design) -> None:
    for words in (first.name, "2031-02-03", f"sixthrow {program_version()}", "6 000 rpm"):
        assert words in page.text
    assert page.text.count(CAUTION) == 3
    assert f'"{CAUTION}"' in viz.browser.text(
        "report/report.css"
    )  # at the foot of every printed page


def test_it_says_the_verdict_and_every_number(page: Read, first: Design) -> None:
    assert spaced(sentence(speed_limits(first))) in page.text
    for one in main_numbers(solve_cycle(first, 6000)):
        for words in (one.label, one.formula, one.substitution, one.conventions, one.source):
            assert spaced(words) in page.text, one.key
    for rung in speed_limits(first).rungs:
        assert spaced(rung.criterion.label) in page.text
        assert spaced(rung.allowed.origin.words) in page.text


def test_it_names_every_input(page: Read, first: Design) -> None:
    for group in (first.layout, first.cylinder, first.big_end, first.oil, first.torsion):
        for _, _, declared in declarations(group):
            assert declared.label in page.text


def test_contents_lead_to_sections(page: Read) -> None:
    targets = {own["id"] for tag, own in page.elements if tag == "section"}
    links = [own["href"][1:] for tag, own in page.elements if tag == "a" and "href" in own]
    assert set(links) <= targets
    assert targets <= set(links)


def test_it_loads_nothing(page: Read) -> None:
    for tag, own in page.elements:
        assert "src" not in own, tag
        assert (own.get("href") or "#").startswith(("#", "data:")), own
        assert not [name for name in own if name.startswith("on")], own


def test_its_policy_names_its_scripts_and_no_others(page: Read) -> None:
    (policy,) = [own["content"] for tag, own in page.elements if tag == "meta" and "content" in own
                 and own.get("http-equiv")]  # fmt: skip
    assert "default-src 'none'" in policy
    scripts = [words for own, words in page.scripts if own.get("type") != "application/json"]
    hashes = {
        f"'sha256-{base64.b64encode(hashlib.sha256(one.encode()).digest()).decode()}'"
        for one in scripts
    }
    assert set(re.findall(r"'sha256-[^']+'", policy)) == hashes
    assert "unsafe-eval" not in policy
    assert "'unsafe-inline'" not in policy.partition("script-src")[2].partition(";")[0]


def test_the_scene_is_that_of_the_cycle(page: Read, first: Design) -> None:
    sent = base64.b64decode(page.data["train"]["blob"])
    assert sent == scene_bytes(solve_cycle(first, 6000)).tobytes()
    assert page.data["rpm"] == pytest.approx(6000)


@pytest.mark.parametrize(
    ("part", "script"),
    [(TrainView, TRAIN_SCRIPT), (FilmView, FILM_SCRIPT), (LadderView, LADDER_SCRIPT)],
)
def test_it_brings_every_script_that_a_part_has_on_its_page(part, script) -> None:
    scopes = re.findall(r"^const (\$\w+) = \(\(\) => \{$", part._esm, re.MULTILINE)
    assert len(scopes) > 5
    brought = bundle(script)
    assert [one for one in scopes if f"const {one} = (() => {{" not in brought] == []


def test_every_figure_has_its_place(page: Read) -> None:
    places = [own["data-plot"] for tag, own in page.elements if tag == "figure"]
    assert sorted(places) == sorted(one["name"] for one in page.data["figures"])
    assert len(set(places)) == len(places) >= 14


@pytest.mark.parametrize("words", HOSTILE)
def test_hostile_texts_stay_text(words: str) -> None:
    own = with_texts(six(), words)
    read = Read(report_html(own, 6000, own, today=DAY))
    assert [tag for tag, _ in read.elements] == [tag for tag, _ in plain_report().elements]
    assert len(read.scripts) == len(plain_report().scripts)
    assert spaced(words) in read.text
    assert read.data["name"] == words


@cache
def plain_report() -> Read:
    """The report of the six beside itself, with texts that are not hostile."""
    plain = with_texts(six(), "plain")
    return Read(report_html(plain, 6000, plain, today=DAY))


def with_texts(design: Design, words: str) -> Design:
    """The design with hostile words wherever it holds a text."""
    named = dataclasses.replace(design, name=words, note=words)
    return changed(named, "oil", grade=words[:40], film_viscosity="given")


def test_a_design_of_little_says_what_is_missing() -> None:
    read = Read(report_html(bare(), 6000, today=DAY))
    assert "What is missing" in read.text
    assert "big_end" in read.text
    assert read.data["film"] is None
    assert [own for tag, own in read.elements if own.get("data-part") == "film"] == []


def test_a_design_beside_one_of_little_has_films_alone(first: Design) -> None:
    read = Read(report_html(first, 6000, bare(), today=DAY))
    assert "has no films" in read.text
    assert read.data["film"]["reference_blob"] == ""
    assert read.data["train"]["reference_blob"]


def test_two_designs_are_compared(first: Design) -> None:
    longer = with_value(first, "cylinder.rod_length_mm", 150.0)
    read = Read(report_html(longer, 6000, first, today=DAY))
    assert "Inputs that differ" in read.text
    assert "Cylinder · Rod length" in read.text
    message = comparison_message(compared(first, longer, 6000.0))
    tables = [*message["views"], message["limits"]]
    titles = [spaced(table["title"]) for table in tables]
    assert titles[0] == "Results, each at its rated speed (A 8 500 rpm, B 8 500 rpm)"
    assert titles[1] == "Results, both at 6 000 rpm"
    starts = [read.text.index(title) for title in titles]
    assert starts == sorted(starts)
    for table, start in zip(tables, starts, strict=True):
        rows = [row for row in table["rows"] if row["size"] != 0]
        same = len(table["rows"]) - len(rows)
        told = re.match(r".*?(\d+) of (\d+) are the same in both", read.text[start:])
        assert (int(told[1]), int(told[2])) == (same, len(table["rows"]))
        heads = [spaced(f"{row['part']} · {row['label']}") for row in rows]
        places = [re.search(rf"{re.escape(head)}(?!,)", told[0]).start() for head in heads]
        assert places == sorted(places)
        assert places[0] > 0
        cells = [spaced(cell) for row in rows for cell in (*row["cells"], *row["margins"])]
        assert [cell for cell in cells if cell not in told[0]] == []
    assert CHANGE_RULE in read.text
    sent = base64.b64decode(read.data["train"]["reference_blob"])
    assert sent == scene_bytes(solve_cycle(first, 6000)).tobytes()
    same = Read(report_html(first, 6000, first, today=DAY))
    assert "the two designs are the same" in same.text


def test_it_says_each_number_as_the_page_does(page: Read, first: Design) -> None:
    for one in main_numbers(solve_cycle(first, 6000)):
        shown = shown_number(one, None, headline=False)
        words = f"{shown['text']} {one.unit}".rstrip()
        assert words == one.words
        assert spaced(f"{one.label} {words}") in page.text, one.key
    films = ShownFilms(solve_cycle(first, 6000))
    assert all(spaced(one.words) in page.text for one in film_numbers(films.sorted[0]))
    for row in table_message(films)["rows"]:
        assert row["words"] in page.text
        assert all(cell in page.text for cell in row["cells"])


def test_without_a_speed_it_is_the_rated_one(first: Design) -> None:
    rated = first.layout.rated_speed * 30 / math.pi
    assert demo_report("Hill climb six").data["rpm"] == pytest.approx(rated)


@pytest.mark.parametrize("speed", [math.nan, math.inf, -5.0, 0.0, 1e9])
def test_a_speed_that_cannot_be_is_refused(speed: float) -> None:
    with pytest.raises(DesignError, match="speed"):
        report_html(six(), speed)


def test_the_same_day_gives_the_same_report_but_for_names_of_models(
    first: Design, page_text: str
) -> None:
    def pared(text: str) -> str:
        return re.sub(r'<script type="application/json".*?</script>', "", text, flags=re.DOTALL)

    assert pared(report_html(first, 6000, today=DAY)) == pared(page_text)


def test_the_file_holds_the_text(tmp_path: Path) -> None:
    path = tmp_path / "report.html"
    write_report(six(), path, 6000, today=DAY)
    text = path.read_text(encoding="utf-8")
    assert text.startswith("<!DOCTYPE html>")
    assert text.endswith("</html>")


@pytest.mark.parametrize("name", demo_paths())
def test_every_demo_makes_one(name: str) -> None:
    read = demo_report(name)
    assert "Open points and cautions" in read.text
    assert len(read.data["figures"]) >= 10


def test_the_command_writes_a_report(tmp_path, capsys):
    out = tmp_path / "review.html"
    path = str(FOLDER / "hill_climb_six.toml")
    assert main(["report", path, "--speed", "8000", "--out", str(out)]) == 0
    text = out.read_text(encoding="utf-8")
    assert "8\u202f000 rpm" in text or "8\u2009000 rpm" in text
    assert "For teaching and design review" in text
    assert main(["report", path, "--speed", "-1", "--out", str(tmp_path / "no.html")]) == 2
    assert capsys.readouterr().err.count("\n") == 1
    assert not (tmp_path / "no.html").exists()


def test_a_report_in_us_units_has_them_throughout_and_leaves_the_other_as_it_was():
    design = load_design(demo_paths()["Hill climb six"])
    before = demo_report("Hill climb six").text
    with using_units("us"):
        report = report_html(design, today=DAY)
    assert '"system": "us"' in report
    for words in ("lbf", "psi", "ksi", "kft/s²", "µin", "oz·in"):
        assert words in Read(report).text
    again = report_html(design, today=DAY)
    assert '"system": "si"' in again
    assert Read(again).text == before


def test_a_document_that_died_at_hand_does_not_stop_a_report():
    """What a failed message leaves on Bokeh's stack is nothing that a report looks at."""
    document = Document()
    stood = len(_PATCHED_CURDOCS)
    with pytest.raises(KeyError), patch_curdoc(document):
        raise KeyError("an unknown model")
    try:
        del document
        gc.collect()
        assert report_html(six(), today=DAY).startswith("<!DOCTYPE html>")
    finally:
        del _PATCHED_CURDOCS[stood:]
