"""The rev limit in a real browser: what it says at any speed is the ladder's."""

import re

import numpy as np
import pytest
from playwright.sync_api import expect

from assets_demo import demo_paths
from kinematics import load_design, with_value
from kinematics.limits.speed_limits import speed_limits
from kinematics.units import UNITS
from tests.browser.conftest import open_page
from tests.browser.test_accessibility import WIDTHS, everywhere
from tests.browser.waiting import wait_until_painted
from viz.limits.criterion_views import story_of
from viz.limits.limit_board import sentence
from viz.number_words import format_number
from viz.rev_limit.rev_limit_lines import ladder_at, rev_limit_rungs, shown_range
from viz.rev_limit.rev_limit_raise import offers, outcome, rest
from viz.speed_words import rpm

pytestmark = pytest.mark.browser

# what the last key asked for is drawn within three frames
FRAMES = """() => new Promise((done) => { let left = 3;
  const frame = () => (--left ? requestAnimationFrame(frame) : done());
  requestAnimationFrame(frame); })"""

SHOWN = """nodes => nodes.map(node => ({ key: node.dataset.line, verdict: node.dataset.verdict,
  told: node.querySelector(".spoken").textContent,
  true: node.querySelector(".true").textContent }))"""
FONT_SIZES = "nodes => nodes.map(node => parseFloat(getComputedStyle(node).fontSize))"
SIZE = "[document.documentElement.scrollWidth, document.documentElement.scrollHeight]"


def rev_limit_page(context, address):
    """Yield the page once its lines stand, and close it after."""
    page, seen = open_page(context, f"{address}rev-limit", wait_until_painted)
    page.locator(".line").first.wait_for()
    yield page, seen
    page.close()


@pytest.fixture
def talk(context, address):
    yield from rev_limit_page(context, address)


@pytest.fixture(scope="module")
def talk_of_demos(context, address):
    """One page for all tests that choose a demo first and look at it as it opens."""
    yield from rev_limit_page(context, address)


@pytest.fixture(scope="module")
def talk_once(context, address):
    """One page for all tests that leave it as they found it, but for the speed."""
    yield from rev_limit_page(context, address)


@pytest.fixture
def talk_at_rated(talk_once):
    """The page of them all, at the rated speed."""
    page, _ = talk_once
    press(page, "r")
    wait_for_speed(page, rpm(speed_limits(first_demo()).rated))
    return talk_once


def first_demo():
    return load_design(next(iter(demo_paths().values())))


def plain(text):
    return re.sub(r"[\u2009\u202f\u00a0]", " ", text)


def shown(page):
    return page.locator(".line").evaluate_all(SHOWN)


def shown_speed(page):
    return float(re.sub(r"\D", "", page.locator(".rpm").inner_text()))


def wait_for_speed(page, speed):
    pattern = re.compile(".".join(f"{speed:,.0f}".split(",")) + "$")
    page.locator(".rpm").filter(has_text=pattern).wait_for()


def wait_for_lines(page, name):
    """Wait until every sentence of a design's has its verdict: it comes with the next frame."""
    page.locator(".rev-limit .print-title", has_text=name).wait_for(state="attached")
    expect(page.locator(".line:not([data-verdict])")).to_have_count(0)


def press(page, *keys):
    page.get_by_label("Speed", exact=True).focus()
    for key in keys:
        page.keyboard.press(key)


def wait_until_solved(page):
    """Wait until all is known that was asked for: the part is busy from the click on."""
    page.wait_for_function(
        """() => { const find = (root) => { for (const n of root.querySelectorAll("*")) {
             if (n.matches(".raise")) return n;
             const f = n.shadowRoot && find(n.shadowRoot); if (f) return f; } return null; };
             const raise = find(document);
             return raise.getAttribute("aria-busy") === "false"
               && raise.querySelectorAll(".offer").length > 0; }""",
        timeout=120_000,  # each offer is a ladder solved anew
    )


def wait_until_kept(page, speed):
    """Wait until the tab keeps the design at a speed [rpm]: Python knows of it."""
    page.wait_for_function(
        """rpm => Math.abs(JSON.parse(sessionStorage.getItem("sixthrow-draft") ?? "{}").rpm - rpm)
             < 1e-6""",
        arg=speed,
    )


def expected(ladder, rung, speed_rpm):
    """Verdict, number in the sentence, and the true number, by the core at a speed."""
    speed = UNITS["rpm"].to_si(speed_rpm)
    moved = ladder_at(ladder, rung.criterion.key, speed)
    one, story = moved.rungs[0], story_of(rung.criterion)
    of = story.number.of
    value = one.value_at if of is None else float(of(one.parts, np.array([speed]))[0])
    unit = UNITS[story.number.unit or one.criterion.unit]
    reference = story.sentence_at(value).reference
    times = None if reference is None else story.times(value, reference)
    return moved.verdict(one), times, unit.from_si(value), unit.symbol


def number(text):
    return float(text.replace("\u202f", "").replace("\u2009", "").replace("−", "-"))


def test_loads_without_another_host_or_an_error(talk_once):
    page, seen = talk_once
    assert page.title() == "sixthrow · rev limit"
    assert seen.elsewhere == []
    assert seen.errors == []
    assert "teaching and design review" in page.inner_text(".caution")
    assert page.evaluate(SIZE) == [1440, 900]
    assert 6 <= len(shown(page)) <= 8
    assert (
        min(page.locator(".spoken").evaluate_all(FONT_SIZES)) >= 20
    )  # and a projector's mode has them larger


def test_the_first_limit_is_said_as_on_the_ladder(talk_once):
    page, _ = talk_once
    assert plain(page.locator(".first").inner_text()) == plain(
        sentence(speed_limits(first_demo()), with_marginal=False)
    )


def test_sentences_at_any_speed_are_computed(talk_at_rated):
    """Read to the digits shown: 2 or 3 in a sentence, 3 beside it."""
    page, _ = talk_at_rated
    ladder = speed_limits(first_demo())
    rungs = {rung.criterion.key: rung for _, rung in rev_limit_rungs(ladder)}
    for keys in (("Home",), ("Shift+ArrowRight",) * 6, ("r", "Shift+ArrowRight"), ("End",)):
        before = page.locator(".rpm").inner_text()
        press(page, *keys)
        page.locator(".rpm").filter(has_not_text=before).wait_for()
        page.evaluate(FRAMES)
        speed = shown_speed(page)
        for line in shown(page):
            if "not assessed" in line["told"]:
                assert speed < rpm(float(rungs[line["key"]].speed[0]))
                continue
            verdict, times, value, unit = expected(ladder, rungs[line["key"]], speed)
            assert line["verdict"] == verdict
            first = re.match(r"([\d.\u202f−]+)\u202f?(\S+) ", line["true"])
            assert first[2] == unit
            assert number(first[1]) == pytest.approx(value, rel=8e-3)
            if times is not None:
                said = [number(one) for one in re.findall(r"[\d.\u202f]*\d", line["told"])]
                assert any(one == pytest.approx(times, rel=6e-2) for one in said), line


def test_keys_move_the_speed(talk_at_rated):
    page, _ = talk_at_rated
    ladder = speed_limits(first_demo())
    low, top = shown_range(ladder)
    steps = (
        ("ArrowRight", 8550), ("ArrowLeft", 8500), ("Shift+ArrowRight", 9000), ("ArrowUp", 9050),
        ("PageDown", 9000), ("Home", low), ("End", top), ("l", rpm(ladder.red_line)),
        ("r", rpm(ladder.rated)), ("f", np.ceil(rpm(ladder.lowest.limit))),
    )  # fmt: skip
    for key, speed in steps:
        press(page, key)
        wait_for_speed(page, speed)
    assert page.locator(".rev-limit").get_attribute("data-verdict") == "over"
    page.locator("[data-jump=Rated]").click()
    wait_for_speed(page, rpm(ladder.rated))
    page.keyboard.press("ArrowRight")  # on the button too
    wait_for_speed(page, rpm(ladder.rated) + 50)


def test_frames_need_no_python_and_the_rested_speed_goes_along(talk):
    page, seen = talk
    press(page, "Home")
    wait_until_kept(page, shown_range(speed_limits(first_demo()))[0])
    before = len(seen.sent)
    slider = page.get_by_label("Speed", exact=True)
    slider.evaluate(
        """async node => { for (let rpm = 2000; rpm <= 9000; rpm += 100) {
             node.value = rpm; node.dispatchEvent(new Event("input"));
             await new Promise(done => requestAnimationFrame(done)); } }"""
    )
    assert len(seen.sent) == before
    wait_for_speed(page, 9000)
    wait_until_kept(page, 9000)
    assert len(seen.sent) > before
    page.reload()
    wait_until_painted(page)
    wait_for_speed(page, 9000)


def test_the_formula_is_one_step_away(talk_at_rated):
    page, _ = talk_at_rated
    press(page, "Shift+ArrowLeft")
    wait_for_speed(page, 8000)
    page.locator("[data-line=mean_piston_speed] button").click()
    dialog = page.locator("dialog.proof")
    dialog.get_by_text("Source of allowable").wait_for()
    text = plain(dialog.inner_text())
    stroke = speed_limits(first_demo()).rung("mean_piston_speed").parts.train.crank.stroke
    assert "at 8 000 rpm" in text
    assert f"{format_number(2 * stroke * 8000 / 60, 4)} m/s" in text
    assert "common practice, no source" in text
    page.keyboard.press("ArrowRight")  # belongs to the dialog
    page.keyboard.press("Escape")
    dialog.wait_for(state="hidden")
    wait_for_speed(page, 8000)


def test_what_it_would_take_is_solved_anew_and_shown(talk):
    page, seen = talk
    ladder = speed_limits(first_demo())
    found = offers(ladder, 200)
    page.get_by_label("Speed to gain").select_option("200")
    page.locator("[data-raise=ask]").click()
    wait_until_solved(page)
    texts = [plain(one) for one in page.locator(".offer").all_inner_texts()]
    for text, offer in zip(texts, found, strict=True):
        assert plain(offer.words) in text
        assert plain(outcome(ladder, offer, 200)["result"]) in text
    said, told = plain(page.locator(".rest").inner_text()), rest(ladder, 200, found)
    for words in (told["title"], *told["lines"], told["after"]):
        assert plain(words) in said
    page.locator(".offer button").first.click()
    new = speed_limits(with_value(first_demo(), found[0].change.key, found[0].value))
    pattern = re.sub(r"[\u2009\u202f]|\\ ", ".", re.escape(sentence(new, with_marginal=False)))
    page.locator(".first").filter(has_text=re.compile(pattern)).wait_for()
    assert page.locator(".offer").count() == 0
    assert seen.errors == []


@pytest.mark.parametrize("name", list(demo_paths()))
def test_a_demo_has_its_ladder_s_verdicts_and_all_that_is_said_is_seen(talk_of_demos, name):
    """Sentences, first limit, offers and what is not enough, at 1440 x 900 without scrolling."""
    page, seen = talk_of_demos
    page.get_by_label("Demo design").select_option(name)
    design = load_design(demo_paths()[name])
    page.locator(".title").filter(has_text=design.name).wait_for()
    ladder = speed_limits(design)
    wait_for_lines(page, design.name)
    wait_for_speed(page, rpm(ladder.rated))
    assert [(one["key"], one["verdict"]) for one in shown(page)] == [
        (rung.criterion.key, ladder.verdict(rung)) for _, rung in rev_limit_rungs(ladder)
    ]
    page.locator("[data-raise=ask]").click()
    wait_until_solved(page)
    hidden = page.locator(".rev-limit, .told, .answer, .rest, .limit").evaluate_all(
        "nodes => nodes.map(n => [n.className, n.scrollHeight - n.clientHeight])"
    )
    assert [part for part in hidden if part[1] > 1] == []
    assert page.evaluate(SIZE) == [1440, 900]
    assert seen.errors == []


def test_what_is_reference_stays_in_the_strips(talk_at_rated):
    page, _ = talk_at_rated
    assert page.locator(".reference-mark").count() == 0
    page.get_by_role("button", name="Set reference").click()
    page.locator(".reference-mark").first.wait_for(state="attached")
    page.get_by_role("button", name="Clear reference").click()
    page.locator(".reference-mark").first.wait_for(state="detached")


def test_axe_finds_nothing(browser, address):
    """As it opens and with a proof open, in every theme at every width."""
    context = browser.new_context(viewport={"width": 1440, "height": 900}, reduced_motion="reduce")
    page, _ = open_page(context, f"{address}rev-limit", wait_until_painted)
    page.locator("[data-raise=ask]").click()
    wait_until_solved(page)
    for opened in (False, True):
        page.set_viewport_size({"width": 1440, "height": 900})
        if opened:
            page.locator(".line button").first.click()
            page.get_by_text("Source of allowable").wait_for()
        assert everywhere(page) == []
        for width, height in WIDTHS.items():
            page.set_viewport_size({"width": width, "height": height})
            assert page.evaluate(SIZE)[0] == width
            small = page.locator(".rev-limit :is(button, select)").evaluate_all(
                """nodes => nodes.map(n => n.getBoundingClientRect())
                     .filter(box => box.width && (box.height < 24 || box.width < 24)).length"""
            )
            assert small == 0
    context.close()
