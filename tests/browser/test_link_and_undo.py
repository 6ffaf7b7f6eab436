"""Links that hold a design, and undo, in a real browser."""

import base64
import json
import zlib
from dataclasses import replace

import pytest
from playwright.sync_api import expect

from assets_demo import demo_paths
from kinematics import design_text, load_design, with_value
from tests.browser.conftest import open_page
from tests.browser.waiting import wait_until_painted

pytestmark = pytest.mark.browser

STROKE = "Stroke"


def link_text(scene, version="1"):
    packer = zlib.compressobj(9, zlib.DEFLATED, -15)
    raw = packer.compress(scene if isinstance(scene, bytes) else json.dumps(scene).encode())
    return f"{version}.{base64.urlsafe_b64encode(raw + packer.flush()).decode().rstrip('=')}"


def scene_of(design, rpm=7000, **more):
    return {"text": design_text(design), "rpm": rpm, "demo": "", "reference": None, **more}


def first_demo():
    return load_design(next(iter(demo_paths().values())))


def value(page, label):
    return page.get_by_label(label, exact=True).input_value()


def set_box(page, label, new):
    page.get_by_label(label, exact=True).fill(str(new))
    page.get_by_label(label, exact=True).press("Enter")


@pytest.mark.parametrize("path", ["", "limits", "bearings"])
def test_a_link_opens_its_design(context, address, path):
    design = with_value(first_demo(), "cylinder.stroke_mm", 81.5)
    reference = {"text": design_text(first_demo()), "rpm": 6500}
    text = link_text(scene_of(design, 7200, reference=reference))
    page, seen = open_page(context, f"{address}{path}#scene={text}", wait_until_painted)
    page.locator(".reference-name").filter(has_text="at 6").wait_for()
    assert page.evaluate("window.location.hash") == ""
    assert seen.errors == []
    page.reload()
    wait_until_painted(page)
    page.locator(".reference-name").filter(has_text="at 6").wait_for()
    if path == "":
        assert value(page, STROKE) == "81.5"
        assert value(page, "Speed") == "7200"
    page.close()


def test_the_link_that_is_copied_opens_the_same(context, address):
    context.grant_permissions(["clipboard-read", "clipboard-write"])
    page, seen = open_page(context, f"{address}train", wait_until_painted)
    set_box(page, STROKE, 82.5)
    page.get_by_role("button", name="Undo", exact=True).and_(page.locator(":enabled")).wait_for()
    page.locator("summary", has_text="File").click()
    page.get_by_role("button", name="Copy link").click()
    page.get_by_text("The link is copied").wait_for()
    link = page.evaluate("navigator.clipboard.readText()")
    assert link.startswith(f"{address}train#scene=1.")
    other, others = open_page(context, link, wait_until_painted)
    assert value(other, STROKE) == "82.5"
    assert (seen.errors, others.errors) == ([], [])
    page.close()
    other.close()


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "not a scene"),
        ("nonsense", "not a scene"),
        ("1.***", "not a scene"),
        ("1.AAAA", "damaged or cut short"),
        (link_text({"text": "x"})[:-6], "damaged or cut short"),
        (link_text(b"\xff\xfe\x00"), "damaged or cut short"),
        (link_text([1, 2]), "holds no design"),
        (link_text({"rpm": 7000}), "holds no design"),
        (link_text({"text": "x"}, "2"), "must be version 1 (got 2)"),
        (link_text({"text": "x"}, "0"), "must be version 1 (got 0)"),
        (link_text({"text": "schema = 1"}), "layout"),
        (link_text(scene_of(first_demo(), "NaN")), "speed_rpm"),
        (link_text(scene_of(first_demo(), 1e999)), "damaged or cut short"),
        (link_text(scene_of(first_demo(), -5)), "speed_rpm"),
        (link_text({"text": "a" * 3_000_000}), "damaged or cut short"),
        ("1." + "A" * 250_000, "at most 200000 characters"),
    ],
)
def test_a_bad_link_says_why_and_the_default_stays(opened_once, address, text, words):
    page, seen = opened_once
    say_something_else(page)
    page.goto(f"{address}train#scene={text}")
    page.locator(".message.bad").filter(has_text=words).wait_for()
    page.locator(".title").filter(has_text=first_demo().name).wait_for()
    assert page.evaluate("window.location.hash") == ""
    assert seen.errors == []


def say_something_else(page):
    """Have a file refused, so that no link's words are there before the link."""
    page.get_by_label("Open design", exact=True).last.set_input_files(
        {"name": "other.toml", "mimeType": "text/plain", "buffer": b""}
    )
    page.locator(".message.bad").filter(has_text="other.toml").wait_for()


@pytest.mark.parametrize(
    ("text", "words"),
    [("nonsense", "not a scene"), (link_text({"text": "schema = 1"}), "layout")],
)
def test_a_page_opened_by_a_bad_link_says_why(context, address, text, words):
    page, seen = open_page(context, f"{address}train#scene={text}", wait_until_painted)
    page.locator(".message.bad").filter(has_text=words).wait_for()
    page.locator(".title").filter(has_text=first_demo().name).wait_for()
    assert seen.errors == []
    page.close()


def test_a_hostile_name_in_a_link_is_text(context, address):
    design = replace(first_demo(), name="<img src=x onerror=alert(1)>")
    link = f"{address}train#scene={link_text(scene_of(design))}"
    page, seen = open_page(context, link, wait_until_painted)
    page.locator(".title").filter(has_text="<img src=x").wait_for()
    assert page.locator("img").count() == 0
    assert seen.errors == []
    page.close()


def test_undo_and_redo_by_button_and_key(opened):
    page, seen = opened
    before = value(page, STROKE)
    assert page.get_by_role("button", name="Undo", exact=True).is_disabled()
    set_box(page, STROKE, 81)
    page.get_by_role("button", name="Undo", exact=True).and_(page.locator(":enabled")).click()
    page.get_by_role("button", name="Redo", exact=True).and_(page.locator(":enabled")).wait_for()
    assert value(page, STROKE) == before
    page.locator("canvas[tabindex='0']").first.focus()
    page.keyboard.press("Control+Shift+Z")
    page.get_by_role("button", name="Undo", exact=True).and_(page.locator(":enabled")).wait_for()
    assert value(page, STROKE) == "81"
    page.keyboard.press("Control+z")
    page.get_by_role("button", name="Redo", exact=True).and_(page.locator(":enabled")).wait_for()
    assert value(page, STROKE) == before
    assert seen.errors == []


def test_a_long_pull_at_a_slider_is_one_step(opened):
    page, _ = opened
    before = value(page, STROKE)
    slider = page.locator(".control", has=page.get_by_label(STROKE, exact=True)).locator(
        "input[type=range]"
    )
    slider.focus()
    for _ in range(6):
        page.keyboard.press("ArrowRight")
    page.get_by_role("button", name="Undo", exact=True).and_(page.locator(":enabled")).wait_for()
    page.wait_for_function("!document.querySelector('.restoring')")
    page.wait_for_timeout(500)  # the last of the pull is on its way
    page.get_by_role("button", name="Undo", exact=True).click()
    page.get_by_role("button", name="Redo", exact=True).and_(page.locator(":enabled")).wait_for()
    assert value(page, STROKE) == before
    assert page.get_by_role("button", name="Undo", exact=True).is_disabled()


def test_a_link_holds_the_place_in_the_page(context, address):
    context.grant_permissions(["clipboard-read", "clipboard-write"])
    page, _ = open_page(context, f"{address}bearings", wait_until_painted)
    page.locator("button.bearing[data-bearing=main_3]").click()
    page.keyboard.press("Home")
    page.keyboard.press("Shift+ArrowRight")
    page.locator("summary", has_text="File").click()
    page.get_by_role("button", name="Copy link").click()
    page.get_by_text("The link is copied").wait_for()
    link = page.evaluate("navigator.clipboard.readText()")
    other, seen = open_page(context, link, wait_until_painted)
    other.locator("button.bearing[data-bearing=main_3][aria-pressed=true]").wait_for()
    other.locator(".angle").filter(has_text="φ 10°").wait_for()
    assert seen.errors == []
    page.close()
    other.close()


def test_a_nonsense_place_in_a_link_is_let_go(context, address):
    place = {"angle": "x", "cylinder": 99, "selected": ["<b>"]}
    text = link_text(scene_of(first_demo(), place=place))
    page, seen = open_page(context, f"{address}bearings#scene={text}", wait_until_painted)
    page.locator("button.bearing[aria-pressed=true]").wait_for()
    assert seen.errors == []
    page.close()


def button(page, name):
    return page.get_by_role("button", name=name, exact=True)


def click(page, name):
    """Undo or redo, as soon as it may be done."""
    button(page, name).and_(page.locator(":enabled")).click()


def stored_steps(page, past, future=0):
    """Wait until the tab keeps so many steps to undo and to redo."""
    page.wait_for_function(
        """counts => {
             const { steps } = JSON.parse(sessionStorage.getItem("sixthrow-draft") ?? "{}");
             return steps?.past.length === counts[0] && steps.future.length === counts[1]; }""",
        arg=[past, future],
    )


def shows(page, label, wanted):
    """Wait until a box shows a value."""
    expect(page.get_by_label(label, exact=True)).to_have_value(wanted)


def test_steps_are_not_lost_by_a_reload(opened):
    page, seen = opened
    first = value(page, STROKE)
    for number, new in enumerate((81, 82), 1):
        set_box(page, STROKE, new)
        stored_steps(page, 2 * number - 1)
        set_box(page, "Bore", 90 + number)
        stored_steps(page, 2 * number)
    click(page, "Undo")
    stored_steps(page, 3, 1)
    for _ in range(2):
        page.reload()
        wait_until_painted(page)
    shows(page, "Bore", "91")
    for label, wanted in ((STROKE, "81"), ("Bore", None), (STROKE, first)):
        click(page, "Undo")
        if wanted:
            shows(page, label, wanted)
    assert button(page, "Undo").is_disabled()
    stored_steps(page, 0, 4)
    for _ in range(4):
        click(page, "Redo")
    shows(page, "Bore", "92")
    shows(page, STROKE, "82")
    assert button(page, "Redo").is_disabled()
    assert seen.errors == []


def test_steps_go_along_from_page_to_page(opened):
    page, seen = opened
    first = value(page, STROKE)
    set_box(page, STROKE, 81)
    page.get_by_role("link", name="Limits").click()
    page.wait_for_function("location.pathname.endsWith('/limits')")
    wait_until_painted(page)
    shows(page, STROKE, "81")
    set_box(page, STROKE, 82)
    stored_steps(page, 2)
    page.get_by_role("link", name="Crank train").click()
    page.wait_for_function("!location.pathname.includes('limits')")
    wait_until_painted(page)
    shows(page, STROKE, "82")
    for wanted in ("81", first):
        click(page, "Undo")
        shows(page, STROKE, wanted)
    click(page, "Redo")
    shows(page, STROKE, "81")
    assert seen.errors == []
