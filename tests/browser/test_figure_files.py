"""Every figure in words, as SVG and as PNG: light, on paper, named, and alike on every page."""

import re
import struct
from xml.etree import ElementTree

import pytest

from tests.browser.test_accessibility import findings

pytestmark = pytest.mark.browser

SVG = "{http://www.w3.org/2000/svg}"
THEME = """theme => { document.documentElement.dataset.theme = theme;
  window.sixthrow.events.dispatchEvent(new CustomEvent("theme", { detail: theme })); }"""
# how far the lines of a saved picture are from a canvas on paper: share of pixels that differ
APART = """async (canvas, words) => {
  const image = new Image();
  image.src = URL.createObjectURL(new Blob([words], { type: "image/svg+xml" }));
  await image.decode();
  const file = new DOMParser().parseFromString(words, "image/svg+xml").querySelector("svg svg");
  const [left, top] = ["x", "y"].map(name => Number(file.getAttribute(name)));
  const pixels = paint => {
    const sheet = new OffscreenCanvas(canvas.width, canvas.height).getContext("2d");
    sheet.fillStyle = "#fff";
    sheet.fillRect(0, 0, canvas.width, canvas.height);
    paint(sheet);
    return sheet.getImageData(0, 0, canvas.width, canvas.height).data;
  };
  const drawn = pixels(sheet => sheet.drawImage(canvas, 0, 0));
  const saved = pixels(sheet => sheet.drawImage(image, -left, -top));
  let apart = 0, inked = 0;
  for (let i = 0; i < drawn.length; i += 4) {
    const away = k => Math.abs(drawn[i + k] - saved[i + k]);
    if (Math.max(away(0), away(1), away(2)) > 60) apart += 1;
    if (Math.min(drawn[i], drawn[i + 1], drawn[i + 2]) < 195) inked += 1;
  }
  return [apart / (drawn.length / 4), inked / (drawn.length / 4)];
}"""


def opened_dialog(page, button):
    button.click()
    dialog = page.locator("dialog.figure-table[open]")
    dialog.wait_for()
    return dialog


def saved(page, dialog, kind):
    """Name and content of a file that the dialog saves."""
    with page.expect_download() as download:
        dialog.get_by_role("button", name=f"Save as {kind}").click()
    with open(download.value.path(), "rb") as stream:
        return download.value.suggested_filename, stream.read()


def button_of(page, plot):
    return page.locator(f"figure[data-plot={plot}] .as-table")


def colours(content):
    return set(re.findall(rb"#[0-9a-f]{6}", content.lower()))


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_a_plot_is_saved_light_with_title_axes_and_design(opened_once, theme):
    page, seen = opened_once
    page.evaluate(THEME, theme)
    dialog = opened_dialog(page, button_of(page, "crank_torque"))
    name, content = saved(page, dialog, "SVG")
    assert name == "hill-climb-six-crank-torque.svg"
    drawn = ElementTree.fromstring(content)
    texts = [node.text.replace("\u2009", " ") for node in drawn.iter(f"{SVG}text")]
    assert {"Crank torque", "crank angle φ, °", "N·m", "gas", "inertia", "mean"} <= set(texts)
    assert "Hill-climb six at 8 500 rpm. For teaching and design review." in texts
    assert drawn.find(f"{SVG}title").text == "Crank torque"
    assert drawn.find(f"{SVG}desc").text == dialog.locator(".figure-words").inner_text()
    paper = drawn.find(f"{SVG}rect")
    assert paper.get("fill") == "#ffffff"
    assert {b"#b84f00", b"#0072b2", b"#006b50", b"#1b1f24"} <= colours(content)
    assert not {b"#12161b", b"#f28a3d", b"#e8edf2", b"#2fc59c"} & colours(content)
    name, content = saved(page, dialog, "PNG")
    assert name == "hill-climb-six-crank-torque.png"
    size = [2 * float(drawn.get(side)) for side in ("width", "height")]
    assert struct.unpack(">II", content[16:24]) == pytest.approx(size, abs=2)
    page.keyboard.press("Escape")
    assert seen.errors == []


def test_the_train_in_lines_is_the_train_on_the_canvas(opened):
    page, seen = opened
    page.evaluate(THEME, "light")
    for label in ("Rod", "Side thrust", "Mains"):
        page.get_by_label(label, exact=True).check()
    page.locator(".train-view canvas").focus()
    page.keyboard.press("Shift+ArrowRight")
    button = page.get_by_role("button", name="Description and export of the crank train")
    name, content = saved(page, opened_dialog(page, button), "SVG")
    page.keyboard.press("Escape")
    page.locator(".train-view canvas").focus()
    assert name == "hill-climb-six-crank-train-at-10-cylinder-1-selected.svg"
    assert b"<image" not in content
    canvas = page.locator(".train-view canvas")
    apart, inked = canvas.evaluate(APART, content.decode())
    assert inked > 0.05
    assert apart < 0.03 * inked
    for _ in range(3):
        page.keyboard.press("Shift+ArrowRight")
    assert canvas.evaluate(APART, content.decode())[0] > 10 * apart
    assert seen.errors == []


def test_bearings_in_lines_are_those_on_their_canvases(bearings_once):
    page, seen = bearings_once
    page.evaluate(THEME, "light")
    page.keyboard.press("Home")
    for picture, title in (("journal", "Journal in its clearance"), ("load", "Load on the shell")):
        button = page.get_by_role("button", name=f"Table and export of {title}")
        dialog = opened_dialog(page, button)
        _, content = saved(page, dialog, "SVG")
        _, numbers = saved(page, dialog, "CSV")
        page.keyboard.press("Escape")
        assert len(numbers.splitlines()) == 721
        canvas = page.locator(f"canvas[data-picture={picture}]")
        apart, inked = canvas.evaluate(APART, content.decode())
        assert inked > 0.02
        assert apart < 0.05 * inked, picture
        page.keyboard.press("End")
        for _ in range(9):
            page.keyboard.press("Shift+ArrowLeft")
        assert canvas.evaluate(APART, content.decode())[0] > 5 * apart
        page.keyboard.press("Home")
    assert seen.errors == []


def test_pictures_in_the_dark_are_saved_as_in_the_light(bearings_once):
    page, _ = bearings_once
    found = []
    for theme in ("light", "dark"):
        page.evaluate(THEME, theme)
        button = page.get_by_role("button", name="Table and export of Load on the shell")
        found.append(saved(page, opened_dialog(page, button), "SVG")[1])
        page.keyboard.press("Escape")
    assert found[0] == found[1]


@pytest.mark.parametrize("path", ["train", "bearings", "limits", "compare", "lessons"])
def test_every_figure_that_is_seen_is_described_and_saved(context, address, path):
    page = context.new_page()
    page.goto(address + path)
    page.wait_for_function("window.sixthrow && window.sixthrow.painted > 0")
    if path == "lessons":
        page.locator("[data-lesson]").first.click()
    buttons = page.locator("figure[data-plot] .as-table:visible")
    if path != "lessons":
        buttons.first.wait_for()
    for button in buttons.all():
        dialog = opened_dialog(page, button)
        words = dialog.locator(".figure-words").inner_text()
        title = dialog.locator("h2").inner_text()
        place = button.locator("xpath=ancestor::figure")
        assert place.locator("[role=img]").get_attribute("aria-label") == words
        assert re.search(r"from|peak|largest", words), title
        _, content = saved(page, dialog, "SVG")
        assert len(list(ElementTree.fromstring(content).iter(f"{SVG}path"))) > 5, title
        page.keyboard.press("Escape")
    page.close()


def test_a_chart_is_described_anew_with_each_rung_and_change(limits):
    page, seen = limits
    page.locator("[data-rung=mean_piston_speed]").click()
    words = page.locator("figure[data-plot=limit_speed] [role=img][aria-label*='Mean piston']")
    words.wait_for()
    assert re.search(r"at most 25\.0 m/s: 25 m/s throughout", words.get_attribute("aria-label"))
    before = words.get_attribute("aria-label")
    box = page.get_by_label("Stroke", exact=True)
    box.fill("80")
    box.press("Enter")
    page.wait_for_function(
        """before => {
          const drawing = document.querySelector("figure[data-plot=limit_speed] [role=img]");
          const label = drawing.getAttribute("aria-label");
          return label.includes("Mean piston") && label !== before; }""",
        arg=before,
    )
    assert seen.errors == []


def test_the_dialog_explains_its_terms_and_closes_on_escape(bearings_once):
    page, _ = bearings_once
    button = button_of(page, "film_pressure")
    dialog = opened_dialog(page, button)
    assert dialog.locator("h2").evaluate("node => node === document.activeElement")
    assert page.locator(".glossary-tip:visible").count() == 0
    dialog.locator(".figure-words .term").first.hover()
    page.locator(".glossary-tip:visible").wait_for()
    for one in dialog.get_by_role("button").all():
        if not one.evaluate("node => node.matches('.term')"):
            assert one.bounding_box()["height"] >= 24
    page.keyboard.press("Escape")
    dialog.wait_for(state="hidden")
    assert button.evaluate("node => node === document.activeElement")


@pytest.mark.parametrize(("width", "height"), [(1440, 900), (390, 844)])
@pytest.mark.parametrize("theme", ["light", "dark"])
def test_axe_finds_nothing_in_the_dialog(bearings_once, width, height, theme):
    page, _ = bearings_once
    page.set_viewport_size({"width": width, "height": height})
    page.evaluate(THEME, theme)
    dialog = opened_dialog(page, button_of(page, "film_thickness"))
    box = dialog.bounding_box()
    assert box["x"] >= 0
    assert box["x"] + box["width"] <= width
    assert findings(page, width, theme) == []
    page.keyboard.press("Escape")
    page.set_viewport_size({"width": 1440, "height": 900})
