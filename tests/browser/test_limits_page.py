"""The limits page in a real browser: its ladder is the core's, it picks, changes, saves, prints."""

import csv
import re

import pytest
from playwright.sync_api import expect

from assets_demo import demo_paths
from kinematics import load_design, with_value
from kinematics.limits.speed_limits import speed_limits
from tests.browser.waiting import wait_until_drawn, wait_until_painted
from tests.conftest import SIX_TEXT
from viz.limits.limit_board import ladder_message, sentence, sheet_message
from viz.limits.rung_marks import band_text
from viz.limits.torsion_views import TORSION_VIEWS
from viz.number_words import unbroken

pytestmark = pytest.mark.browser

ROWS = """nodes => nodes.map(node => ({ key: node.dataset.rung, verdict: node.dataset.verdict,
  limit: node.querySelector(".limit .words").firstChild.textContent }))"""
TICK_COLOUR = (
    """() => window.sixthrow.modelNamed("limit_speed_figure")?.below[0].major_label_text_color"""
)


def first_demo():
    return load_design(next(iter(demo_paths().values())))


def expected(design, reference=None):
    """Return the ladder's message but for misfires and bands, of which the sentence's is enough."""
    ladder = speed_limits(design)
    reference = None if reference is None else speed_limits(reference)
    quick = {"with_misfires": False, "with_bands": False}
    said = {"sentence": sentence(ladder, reference)}
    return ladder_message(ladder, reference, "reference", **quick) | said


def plain(text):
    return re.sub(r"[\u2009\u202f]", " ", text)


def rows(page):
    return page.locator(".rung").evaluate_all(ROWS)


def shown_limits(page):
    return [(row["key"], row["verdict"], plain(row["limit"])) for row in rows(page)]


def limits_of(message):
    return [
        (rung["key"], rung["verdict"], re.sub(r"^([^a-z]*) rpm$", r"\1", plain(rung["limit_text"])))
        for rung in message["rungs"]
    ]


def set_box(page, label, value):
    page.get_by_label(label, exact=True).fill(str(value))
    page.get_by_label(label, exact=True).press("Enter")


def wait_for_sentence(page, message):
    pattern = re.sub(r"[\u2009\u202f]", ".", re.escape(message["sentence"]))
    page.locator(".sentence").filter(has_text=re.compile(pattern)).wait_for()


def selected(page):
    return page.locator(".rung[aria-current]").get_attribute("data-rung")


def wait_for_sheet(page, design, key):
    sheet = sheet_message(speed_limits(design), key)
    page.locator(".rung-sheet h2").filter(has_text=f"{sheet['part']}: {sheet['label']}").wait_for()
    formula = page.locator(".rung-sheet pre").first
    expect(formula).to_have_text(sheet["formula"], use_inner_text=True)


def test_loads_without_another_host_or_an_error(limits_once):
    page, seen = limits_once
    page.locator(".rung").first.wait_for()
    assert page.title() == "sixthrow · limits"
    assert seen.elsewhere == []
    assert seen.errors == []
    assert "teaching and design review" in page.inner_text(".caution")
    size = "[document.documentElement.scrollWidth, document.documentElement.scrollHeight]"
    assert page.evaluate(size) == [1440, 900]


def test_the_ladder_is_the_cores(limits_once):
    page, _ = limits_once
    message = expected(first_demo())
    assert shown_limits(page) == limits_of(message)
    assert plain(page.locator(".sentence").inner_text()).endswith(plain(message["sentence"]))
    assert selected(page) == message["rungs"][0]["key"]
    assert page.locator(".rung.first").get_attribute("data-rung") == message["rungs"][0]["key"]


def test_every_demo_has_its_ladder(limits):
    page, seen = limits
    for name, path in reversed(demo_paths().items()):
        page.get_by_label("Demo design").select_option(name)
        page.locator(".title").filter(has_text=load_design(path).name).wait_for()
        message = expected(load_design(path))
        wait_for_sentence(page, message)
        assert shown_limits(page) == limits_of(message)
    assert seen.errors == []


def test_a_click_picks_a_rung(limits_once):
    page, _ = limits_once
    key = expected(first_demo())["rungs"][4]["key"]
    page.locator(f"[data-rung={key}]").click()
    wait_for_sheet(page, first_demo(), key)
    assert selected(page) == key


def test_keys_pick_rungs(limits_once):
    page, _ = limits_once
    keys = [rung["key"] for rung in expected(first_demo())["rungs"]]
    page.locator(".rung[tabindex='0']").focus()
    page.keyboard.press("Home")
    for key, at in (("ArrowDown", 1), ("ArrowDown", 2), ("ArrowUp", 1), ("End", -1), ("Home", 0)):
        page.keyboard.press(key)
        assert page.locator(".rung:focus").get_attribute("data-rung") == keys[at]
        assert selected(page) == keys[at]
    page.keyboard.press("ArrowUp")
    wait_for_sheet(page, first_demo(), keys[0])
    assert page.locator(".rung[tabindex='0']").count() == 1


def test_only_the_second_plot_of_the_rung_shows(limits_once):
    page, _ = limits_once
    page.locator("[data-rung=oil_supply]").click()
    page.locator("figure[data-plot=limit_polar]").wait_for(state="visible")
    assert page.locator("figure[data-plot=limit_own]").is_hidden()
    page.locator("[data-rung=mean_piston_speed]").click()
    page.locator("figure[data-plot=limit_own]").wait_for(state="visible")
    label = page.locator("figure[data-plot=limit_speed] [role=img]").get_attribute("aria-label")
    assert "Mean piston speed" in label


def test_a_rung_shows_each_of_its_own_plots(limits_once):
    """The title and the curves are those that the core and the charts give."""
    page, seen = limits_once
    page.locator("[data-rung=shaft_stress]").click()
    ladder = speed_limits(first_demo())
    rung = ladder.rung("shaft_stress")
    caption = page.locator("figure[data-plot=limit_own] figcaption")
    for name, make in TORSION_VIEWS["shaft_stress"].charts:
        button = page.get_by_role("button", name=name, exact=True)
        button.click()
        chart = make(ladder, rung)
        caption.filter(has_text=chart.title).wait_for()
        assert button.get_attribute("aria-pressed") == "true"
        xs = page.evaluate(
            """sixthrow.modelNamed("limit_own_main_lines")
            .data.xs.map(x => x.length)"""
        )
        assert xs == [len(line.x) for line in chart.lines if line.role == "main"]
    assert seen.errors == []


def test_a_slider_moves_the_rungs_and_a_pin_shows_by_how_much(limits):
    page, seen = limits
    page.get_by_role("button", name="Set reference").click()
    page.get_by_role("button", name="Replace reference").wait_for()
    slider = page.get_by_label("Stroke, slider", exact=True)
    slider.focus()
    for _ in range(6):
        slider.press("ArrowRight")
    changed = with_value(first_demo(), "cylinder.stroke_mm", float(slider.input_value()))
    message = expected(changed, first_demo())
    wait_for_sentence(page, message)
    assert shown_limits(page) == limits_of(message)
    for rung in message["rungs"]:
        shown = page.locator(f"[data-rung={rung['key']}]")
        text = shown.locator("text.change")
        words = [plain(one) for one in text.all_text_contents()]
        wanted = [plain(rung["change_text"]).removesuffix(" rpm")] if rung["change_text"] else []
        assert words == wanted, rung["key"]
        assert shown.locator("circle.reference-mark").count() == (
            rung["reference_limit"] is not None
        )
    page.get_by_role("button", name="Clear reference").click()
    page.locator(".rung circle.reference-mark").first.wait_for(state="detached")
    assert page.locator(".rung text.change").count() == 0
    assert seen.errors == []


def test_the_selected_rung_stays_selected_when_the_design_changes(limits):
    page, _ = limits
    page.locator("[data-rung=rod_fatigue]").click()
    wait_for_sheet(page, first_demo(), "rod_fatigue")
    set_box(page, "Stroke", 80)
    changed = with_value(first_demo(), "cylinder.stroke_mm", 80)
    wait_for_sentence(page, expected(changed))
    assert selected(page) == "rod_fatigue"
    wait_for_sheet(page, changed, "rod_fatigue")


@pytest.mark.parametrize(
    ("label", "value"), [("Stroke", "99999"), ("Bore", ""), ("Rod mass", "-1")]
)
def test_a_wrong_value_is_refused_beside_its_control_and_the_ladder_stays(
    limits_once, label, value
):
    page, seen = limits_once
    before = rows(page)
    set_box(page, label, value)
    page.locator(".problem:visible").wait_for()
    assert "must be" in page.locator(".problem:visible").inner_text()
    assert rows(page) == before
    page.get_by_label(label, exact=True).press("Escape")
    page.locator(".problem:visible").wait_for(state="detached")
    assert seen.errors == []


def test_an_allowable_in_force_can_be_tried(limits):
    page, _ = limits
    page.locator("summary", has_text="Allowables").click()
    set_box(page, "Journal surface speed", 18)
    changed = with_value(first_demo(), "limits.journal_speed_m_s", 18)
    message = expected(changed)
    wait_for_sentence(page, message)
    assert shown_limits(page) == limits_of(message)


def test_rungs_by_part_are_the_same_rungs_under_their_parts(limits_once):
    page, _ = limits_once
    message = expected(first_demo())
    page.get_by_role("button", name="By part").click()
    page.locator("h2.part").first.wait_for()
    shown = page.locator(".rows > *").evaluate_all(
        "nodes => nodes.map(node => node.dataset.rung ?? node.innerText.trim())"
    )
    of_part = {}
    for rung in message["rungs"]:
        of_part.setdefault(rung["part"], []).append(rung["key"])
    assert shown == [one for part, keys in of_part.items() for one in (part, *keys)]
    page.get_by_role("button", name="By speed").click()
    assert [row["key"] for row in rows(page)] == [rung["key"] for rung in message["rungs"]]


def test_what_cannot_be_judged_is_said(limits):
    page, _ = limits
    message = expected(first_demo())
    notes = page.locator(".notes").inner_text()
    for one in message["unjudged"]:
        assert one["label"] in notes
    page.get_by_label("Open design", exact=True).last.set_input_files(
        {"name": "bare.toml", "mimeType": "text/plain", "buffer": BARE.encode()}
    )
    page.locator(".notes").filter(has_text="[rod_bolts]").wait_for()
    assert page.locator(".rung").count() >= 1


BARE = SIX_TEXT.replace('name = "Hill-climb six"', 'name = "Bare six"')


def test_a_hostile_name_is_shown_as_text(limits):
    page, seen = limits
    name = "<img src=x onerror=window.hit=1>"
    text = BARE.replace("Bare six", name)
    page.get_by_label("Open design", exact=True).last.set_input_files(
        {"name": "hostile.toml", "mimeType": "text/plain", "buffer": text.encode()}
    )
    page.locator(".title").filter(has_text="<img").wait_for()
    page.get_by_role("button", name="Set reference").click()
    page.locator(".reference-name").filter(has_text="<img").wait_for()
    page.get_by_role("button", name="Table", exact=True).click()
    page.locator("caption").filter(has_text="<img").wait_for()
    assert page.evaluate("window.hit") is None
    assert seen.errors == []


def test_the_table_has_every_rung_and_every_head_filled(limits_once):
    page, _ = limits_once
    page.get_by_role("button", name="Table", exact=True).click()
    heads = page.locator(".ladder-view thead th").all_inner_texts()
    assert heads == [
        "Part", "Criterion", "Most used at", "Value there", "Allowable", "Used", "Limit speed",
        "Margin", "Verdict", "Worst misfire", "Limit by other models",
        "Left out, and applies here", "Allowable known from", "Origin",
    ]  # fmt: skip
    message = expected(first_demo())
    assert page.locator("tr[data-rung]").count() == len(message["rungs"])
    for rung in message["rungs"]:
        row = [
            plain(one) for one in page.locator(f"tr[data-rung={rung['key']}] > *").all_inner_texts()
        ]
        wanted = (
            rung["part"], rung["label"], rung["used_at"], rung["value_text"],
            rung["allowable_text"], rung["limit_text"], rung["margin_text"], rung["verdict"],
            rung["origin"],
        )  # fmt: skip
        assert [row[at] for at in (0, 1, 2, 3, 4, 6, 7, 8, 13)] == [plain(one) for one in wanted]
    page.get_by_role("button", name="Ladder", exact=True).click()


def test_the_saved_table_reads_back(limits_once, tmp_path):
    page, _ = limits_once
    page.get_by_role("button", name="Table", exact=True).click()
    with page.expect_download() as download:
        page.get_by_role("button", name="Save as CSV").click()
    assert download.value.suggested_filename == "hill-climb-six-limits.csv"
    path = tmp_path / "limits.csv"
    download.value.save_as(path)
    with path.open(newline="", encoding="utf-8") as file:
        read = list(csv.reader(file))
    ladder = speed_limits(first_demo())
    body = [row for row in read[1:] if len(row) == len(read[0])]
    found = {(row[0], row[1]) for row in body}
    assert found == {(one.criterion.part, one.criterion.label) for one in ladder.rungs}
    assert len(body) == len(ladder.rungs)
    assert all(read[0])
    page.get_by_role("button", name="Ladder", exact=True).click()


def test_design_pin_and_demo_go_along_to_the_other_page_and_back(opened):
    page, seen = opened
    page.get_by_label("Demo design").select_option("Touring six")
    page.locator(".title").filter(has_text="Touring six").wait_for()
    page.get_by_role("button", name="Set reference").click()
    page.get_by_role("button", name="Replace reference").wait_for()
    set_box(page, "Stroke", 91)  # and at once away: the click must not outrun the change
    page.get_by_role("link", name="Limits", exact=True).click()
    page.wait_for_function("location.pathname.endsWith('/limits')")
    design = load_design(demo_paths()["Touring six"])
    changed = with_value(design, "cylinder.stroke_mm", 91)
    wait_for_sentence(page, expected(changed, design))
    wait_until_painted(page)
    assert page.get_by_label("Stroke", exact=True).input_value() == "91"
    assert page.get_by_label("Demo design").input_value() == "Touring six"
    assert page.locator(".rung circle.reference-mark").count() > 0
    assert (
        page.get_by_role("link", name="Limits", exact=True).get_attribute("aria-current") == "page"
    )
    set_box(page, "Bore", 83)
    page.reload()
    wait_until_painted(page)
    page.get_by_role("link", name="Crank train").click()
    page.wait_for_function("!location.pathname.includes('limits')")
    wait_until_drawn(page)
    for label, value in (("Stroke", "91"), ("Demo design", "Touring six")):
        assert page.get_by_label(label, exact=True).input_value() == value
    assert "Touring six" in page.locator(".reference-name").inner_text()
    assert seen.errors == []


def test_a_lost_server_holds_nobody_back(limits):
    page, _ = limits
    page.evaluate("WebSocket.prototype.send = () => {}")
    page.get_by_role("link", name="Crank train").click()
    page.wait_for_function("!location.pathname.includes('limits')")


def test_the_theme_changes_the_figures(limits):
    page, _ = limits
    light = page.evaluate(TICK_COLOUR)
    page.get_by_role("button", name="Dark").click()
    page.wait_for_function(f"light => ({TICK_COLOUR})() !== light", arg=light)
    page.reload()
    wait_until_painted(page)
    page.wait_for_function(f"light => ({TICK_COLOUR})() !== light", arg=light)
    page.get_by_role("button", name="Light").click()
    page.wait_for_function(f"light => ({TICK_COLOUR})() === light", arg=light)


def test_print_has_ladder_and_table_and_no_controls(limits):
    page, _ = limits
    paper = "getComputedStyle(document.body).backgroundColor"
    white = page.evaluate(paper)
    page.get_by_role("button", name="Dark").click()
    assert page.evaluate(paper) != white
    page.emulate_media(media="print")
    page.evaluate("window.dispatchEvent(new Event('beforeprint'))")
    assert page.evaluate(paper) == white
    assert page.locator(".print-title").inner_text().startswith(first_demo().name)
    assert page.locator(".rung").first.is_visible()
    assert page.locator("tr[data-rung]").first.is_visible()
    assert page.locator("tr[data-rung]").count() == page.locator(".rung").count()
    for hidden in (".controls", ".bar", ".tools"):
        assert page.locator(hidden).first.is_hidden()
    page.emulate_media(media="screen")
    page.get_by_role("button", name="Light").click()


def test_bands_follow_the_ladder_and_the_sheet_lists_models_and_marks(limits):
    page, _ = limits
    ladder = speed_limits(first_demo())
    rung = ladder["big_end_film"]
    page.locator('.rung[data-rung="big_end_film"] rect.band').first.wait_for(state="attached")
    page.locator('.rung[data-rung="big_end_film"]').click()
    sheet = page.locator(".rung-sheet")
    sheet.get_by_role("heading", name="By other models").wait_for()
    models = sheet.locator("table").first.locator("tbody th").all_inner_texts()
    assert [model.removesuffix(", used here") for model in models] == [
        end.model for end in rung.band.ends
    ]
    assert sheet.locator("ul.left-out li").count() == len(rung.left_out)
    assert page.locator('.rung[data-rung="big_end_film"] .left-out').inner_text().startswith("†")
    ends = page.locator('.rung[data-rung="big_end_film"] .band-ends')
    assert ends.inner_text() == unbroken(f"other models: {band_text(rung)}")
    unpicked = page.locator('.rung[data-rung="main_film"]')
    assert unpicked.locator(".band-ends").is_hidden()
    unpicked.hover()
    assert unpicked.locator(".band-ends").is_visible()
    bare = next(one for one in ladder if not one.left_out).criterion.key
    assert page.locator(f'.rung[data-rung="{bare}"] .left-out').inner_text() == ""
