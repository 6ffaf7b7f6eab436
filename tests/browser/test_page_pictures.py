"""Pictures that are no plots, saved: ladder, shaft, balancing card and a student's own drawing."""

import csv
import io
from xml.etree import ElementTree

import pytest

from tests.browser.conftest import open_page
from tests.browser.test_figure_files import APART, SVG, THEME, opened_dialog, saved
from tests.browser.waiting import wait_until_painted

pytestmark = pytest.mark.browser

LIGHT_TEXT = "rgb(27, 31, 36)"
DARK_TEXT = "rgb(232, 237, 242)"


@pytest.fixture
def page_of(context, address):
    made = []

    def opened(path):
        made.append(open_page(context, f"{address}{path}", wait_until_painted))
        return made[-1]

    yield opened
    for page, _ in made:
        page.close()


def button(page, of):
    return page.get_by_role("button", name=f"Description, table and export of {of}")


def plain(text):
    return " ".join(text.split())


def texts_of(content):
    return [plain(node.text) for node in ElementTree.fromstring(content).iter(f"{SVG}text")]


def files(page, of, *kinds):
    dialog = opened_dialog(page, button(page, of))
    found = [saved(page, dialog, kind) for kind in kinds]
    page.keyboard.press("Escape")
    return found


def test_the_ladder_is_saved_as_it_stands(limits):
    page, seen = limits
    (name, content), (_, numbers) = files(page, "the ladder", "SVG", "CSV")
    assert name == "hill-climb-six-what-limits-the-speed.svg"
    texts = texts_of(content)
    rungs = page.locator(".rung")
    for part in (".of-part", ".label", ".verdict"):
        for words in rungs.locator(part).all_inner_texts():
            assert plain(words) in texts
    drawn = ElementTree.fromstring(content)
    assert drawn.find(f".//{SVG}pattern[@id='hatch']") is not None
    hatched = [one for one in drawn.iter(f"{SVG}rect") if "#hatch" in one.get("fill", "")]
    assert len(hatched) > 10
    rows = list(csv.reader(io.StringIO(numbers.decode())))
    assert len(rows) == rungs.count() + 1
    assert rows[0][:2] == ["Part", "Criterion"]
    assert seen.errors == []


def test_rows_of_a_saved_ladder_stand_in_the_order_chosen(limits):
    page, _ = limits
    by_speed = texts_of(files(page, "the ladder", "SVG")[0][1])
    page.get_by_role("button", name="By part").click()
    by_part = texts_of(files(page, "the ladder", "SVG")[0][1])
    assert by_speed != by_part
    page.get_by_role("button", name="Table", exact=True).click()
    assert button(page, "the ladder").count() == 0


@pytest.mark.parametrize(("path", "of"), [("limits", "the ladder"), ("shaft", "the shaft")])
def test_in_the_dark_they_are_saved_as_in_the_light(page_of, path, of):
    page, seen = page_of(path)
    found = []
    for theme in ("light", "dark"):
        page.evaluate(THEME, theme)
        page.mouse.move(0, 0)
        button(page, of).focus()
        found.append(files(page, of, "SVG")[0][1])
        assert page.evaluate("document.documentElement.dataset.theme") == theme
    assert found[0] == found[1]
    assert DARK_TEXT.encode() not in found[1]
    assert seen.errors == []


def test_the_shaft_in_lines_is_the_shaft_on_the_canvas(page_of):
    page, seen = page_of("shaft")
    page.evaluate(THEME, "light")
    page.get_by_label("Selected part").select_option("web 3")
    (name, content), (_, numbers) = files(page, "the shaft", "SVG", "CSV")
    assert name == "hill-climb-six-shaft-shaded-by-mass.svg"
    canvas = page.locator("canvas[aria-label^='The shaft']")
    apart, inked = canvas.evaluate(APART, content.decode())
    assert inked > 0.05
    assert apart < 0.04 * inked
    canvas.focus()
    for _ in range(6):
        page.keyboard.press("ArrowRight")
    assert canvas.evaluate(APART, content.decode())[0] > 5 * apart
    rows = list(csv.reader(io.StringIO(numbers.decode())))
    assert [row[0] for row in rows[1:]] == page.get_by_label("Selected part").locator(
        "option:not([value=''])"
    ).all_inner_texts()
    assert seen.errors == []


def test_a_drilling_plan_is_saved_with_its_holes(page_of):
    page, seen = page_of("shaft")
    page.locator("#tab-balancing").click()
    page.locator("[data-plan]").click()
    page.get_by_text("within tolerance").first.wait_for()
    (_, content), (_, numbers), (name, image) = files(
        page, "residual and holes", "SVG", "CSV", "PNG"
    )
    holes = page.locator("#pane-balancing tbody tr").all_inner_texts()
    texts = texts_of(content)
    assert {"Front plane", "Rear plane", "0°", "90°"} <= set(texts)
    assert sum(one.startswith("Web ") for one in texts) == len(
        {row.split("\t")[1] for row in holes}
    )
    rows = list(csv.reader(io.StringIO(numbers.decode())))
    assert [[plain(cell) for cell in row] for row in rows[1:]] == [
        [plain(cell) for cell in row.split("\t")] for row in holes
    ]
    assert name == "hill-climb-six-residual-and-holes.png"
    assert image.startswith(b"\x89PNG")
    assert seen.errors == []


def test_a_students_drawing_is_saved_with_its_points(page_of):
    page, seen = page_of("lessons")
    page.locator("[data-lesson]").first.click()
    handle = page.get_by_role("slider", name="Rod-to-crank ratio").first
    handle.wait_for()
    handle.focus()
    page.keyboard.press("PageUp")
    (_, content), (_, numbers) = files(page, "the lesson's plot", "SVG", "CSV")
    rows = list(csv.reader(io.StringIO(numbers.decode())))
    drawn = [float(row[2]) for row in rows[1:]]
    assert len(drawn) == page.get_by_role("slider", name="Rod-to-crank ratio").count()
    assert drawn[0] > drawn[1] == drawn[2]
    shown = ElementTree.fromstring(content)
    paths = [one.get("d") for one in shown.iter(f"{SVG}path")]
    assert sum(one.count("L") == len(drawn) - 1 for one in paths) == 1
    texts = [one for one in shown.iter(f"{SVG}text") if plain(one.text) == "Rod-to-crank ratio l/r"]
    assert texts[-1].get("fill") == LIGHT_TEXT
    assert "Dwell at TDC and the rod ratio. For teaching and design review." in texts_of(content)
    assert seen.errors == []
