"""The lessons page in a real browser: predicting, trying, checking, by key alone; progress."""

import json
import math
import re
from pathlib import Path

import pytest

from apps.lessons.lesson_bench import LessonBench
from apps.lessons.lesson_file import LESSONS, lesson_paths, load_lesson
from kinematics import solve_cycle, with_value
from tests.browser.conftest import open_page
from tests.browser.test_accessibility import everywhere
from tests.browser.waiting import wait_until_painted

pytestmark = pytest.mark.browser

README = (LESSONS / "README.md").read_text(encoding="utf-8")
TEXT = re.search(r"```toml\n(.*?)```", README, re.DOTALL)[1]


@pytest.fixture
def lessons(browser, address):
    """The page in a browser that has no progress yet."""
    context = browser.new_context(viewport={"width": 1440, "height": 900})
    page, seen = open_page(context, f"{address}lessons", wait_until_painted)
    page.locator(".sheet h2").wait_for()
    yield page, seen
    context.close()


def bench(number):
    return LessonBench.at_start(load_lesson(lesson_paths()[number - 1]))


def open_lesson(page, number):
    title = load_lesson(lesson_paths()[number - 1]).title
    page.locator("button[data-lesson]").nth(number - 1).click()
    page.locator(".sheet h2", has_text=title).wait_for()


def radio(page, option):
    """An option by its place in the file, wherever it stands."""
    return page.locator(f'.step input[type="radio"][value="{option}"]')


def predict(page, option=0):
    radio(page, option).check()
    page.locator(".sheet").get_by_role("button", name="Predict", exact=True).last.click()
    page.locator(".outcome").wait_for()


def go(page, step):
    page.locator(f"button[data-step={step}]").click()
    page.locator(f".sheet[data-step={step}]").wait_for()


def shown_numbers(page):
    texts = page.locator(".numbers dd").all_inner_texts()
    return [re.sub(r"[\u2009\u202f]", " ", text) for text in texts]


def progress(page):
    return json.loads(page.evaluate("localStorage.getItem('sixthrow-lessons')") or "{}")


def test_loads_without_another_host_or_an_error(lessons):
    page, seen = lessons
    assert page.title() == "sixthrow · lessons"
    assert seen.elsewhere == []
    assert seen.errors == []
    assert "teaching and design review" in page.inner_text(".caution")
    assert page.locator("button[data-lesson]").count() == len(lesson_paths())
    size = "[document.documentElement.scrollWidth, document.documentElement.scrollHeight]"
    assert page.evaluate(size) == [1440, 900]


def test_nothing_of_the_answer_is_in_the_browser_before_the_prediction(lessons):
    page, seen = lessons
    open_lesson(page, 2)
    because = "A pure cosine would have the same at both"
    assert not any(because in str(frame) for frame in seen.received)
    for step in ("try", "why", "check"):
        assert page.locator(f"button[data-step={step}]").is_disabled()
    assert not page.locator(".controls").is_visible()
    predict(page)
    assert because in page.locator(".outcome").inner_text()
    assert page.locator("button[data-step=why]").is_enabled()


def test_a_prediction_is_set_beside_the_engine_without_a_verdict(lessons):
    page, _ = lessons
    open_lesson(page, 3)
    one = bench(3)
    right = one.right(one.lesson.predict)
    assert right != 0
    page.get_by_role("button", name="Hint").click()
    assert "double each angle" in page.locator(".hints").inner_text()
    predict(page, 0)
    yours, engines = (radio(page, i).locator("..").inner_text() for i in (0, right))
    assert yours.endswith("your prediction")
    assert engines.endswith("the engine")
    assert one.lesson.predict.options[0].feedback[0] in page.locator(".outcome").inner_text()
    assert not re.search("[✓✗]", page.locator(".step").inner_text())


def test_options_are_shuffled_and_stay_so(lessons):
    """By the browser's seed: the same order whenever a lesson is opened."""
    page, _ = lessons
    page.evaluate("localStorage.setItem('sixthrow-lessons-seed', '5')")

    def orders():
        found = []
        for number in (2, 3, 5, 7, 8):
            open_lesson(page, number)
            boxes = page.locator('.step input[type="radio"]').all()
            found.append([box.get_attribute("value") for box in boxes])
        return found

    first = orders()
    assert any(order != sorted(order) for order in first)
    assert orders() == first


def test_a_curve_is_drawn_by_key_and_compared_with_the_engines(lessons):
    page, _ = lessons
    open_lesson(page, 1)
    plot = bench(1).plot
    page.wait_for_timeout(1500)  # what loading still sends would draw the handles anew
    page.locator(".handle").first.focus()
    page.keyboard.press("End")
    for _ in range(2):
        page.keyboard.press("PageDown")
    for _ in range(3):
        page.keyboard.press("ArrowUp")
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("PageUp")
    step = (plot.high - plot.low) / 50
    values = [float(one.get_attribute("aria-valuenow")) for one in page.locator(".handle").all()]
    middle = (plot.low + plot.high) / 2
    assert values[-1] == pytest.approx(middle - 7 * step)
    assert values[-2] == pytest.approx(middle + 5 * step)
    assert values[0] == middle
    page.locator(".sheet").get_by_role("button", name="Predict", exact=True).last.click()
    remarks, size = bench(1).remarks(values)
    page.locator(".said", has_text=remarks[0].words).wait_for()
    words = page.locator(".outcome").inner_text()
    assert remarks[1].words in words
    assert size in words
    assert not re.search("[✓✗%]", words)
    assert page.locator(".lesson-plot .line.main").count() >= 1


def test_a_curve_is_drawn_with_the_pointer(lessons):
    page, _ = lessons
    open_lesson(page, 6)
    box = page.locator("svg.lesson-plot.editable").bounding_box()
    page.mouse.move(box["x"] + 70, box["y"] + 40)
    page.mouse.down()
    page.mouse.move(box["x"] + box["width"] - 30, box["y"] + 200, steps=4)
    page.mouse.up()
    values = [float(one.get_attribute("aria-valuenow")) for one in page.locator(".handle").all()]
    assert values == sorted(values, reverse=True), "a falling line"
    assert values[0] > 30


def test_sliders_move_numbers_plot_and_texts_to_those_of_the_core(lessons):
    page, seen = lessons
    open_lesson(page, 7)
    predict(page)
    go(page, "try")
    assert page.locator(".control").count() == len(bench(7).lesson.sliders)
    assert page.locator('figure[data-plot="rod_force"]').is_visible()
    assert page.locator("figure[data-plot]:visible").count() == 1
    start = bench(7)
    design = with_value(start.cycle.design, "piston.assembly_mass_g", 400.0)
    wanted = LessonBench(start.lesson, solve_cycle(design, 8500))
    texts = [re.sub("\u202f", " ", one["text"]) for one in wanted.numbers()]
    box = page.get_by_label("Piston assembly", exact=True)
    box.fill("400")
    box.press("Enter")
    page.locator(".numbers dd", has_text=re.compile("^" + texts[1][:4])).first.wait_for()
    assert shown_numbers(page) == texts
    assert progress(page)["7_a_gram_on_the_piston"]["tried"] is True
    go(page, "why")
    assert wanted.shown("cost") in page.locator(".step").inner_text()
    page.wait_for_function(
        """peak => {
          const y = window.sixthrow.modelNamed("rod_force_data")?.data.y2;
          return y?.length && Math.abs(Math.min(...y) + peak) < 0.01; }""",
        arg=wanted.value("rod_tension"),
    )
    assert seen.errors == []


def is_marked(page, option, mark):
    """Whether an option stands as "right" or "wrong"."""
    above = f"xpath=ancestor::*[contains(concat(' ', @class, ' '), ' {mark} ')]"
    return radio(page, option).locator(above).count() == 1


def test_progress_stays_over_a_reload_and_can_be_forgotten(lessons):
    page, _ = lessons
    open_lesson(page, 5)
    one = bench(5)
    predict(page, one.right(one.lesson.predict))
    go(page, "check")
    wrong = (one.right(one.lesson.checks[0]) + 1) % len(one.lesson.checks[0].options)
    radio(page, wrong).check()
    page.get_by_role("button", name="Answer", exact=True).click()
    page.locator(".said.bad").wait_for()
    assert "Not quite" in page.locator(".said").inner_text()
    assert is_marked(page, wrong, "wrong")
    assert one.lesson.checks[0].options[wrong].feedback[0] in page.locator(".outcome").inner_text()
    assert "right" not in progress(page)["5_where_the_bearing_wears"]
    radio(page, one.right(one.lesson.checks[0])).check()
    page.get_by_role("button", name="Answer", exact=True).click()
    page.locator(".said.good").wait_for()
    assert is_marked(page, one.right(one.lesson.checks[0]), "right")
    page.reload()
    wait_until_painted(page)
    page.locator(".count", has_text="1 of").wait_for()
    open_lesson(page, 5)
    page.locator(".outcome").wait_for()  # the prediction is known again
    page.get_by_role("button", name="Reset progress").click()
    page.get_by_role("button", name="Reset", exact=True).click()
    page.locator(".count", has_text="0 of").wait_for()
    page.locator(".sheet").get_by_role("button", name="Predict", exact=True).last.wait_for()
    assert page.locator(".outcome").count() == 0
    assert progress(page) == {}


def test_a_whole_lesson_goes_by_key_alone(lessons):
    page, _ = lessons
    button = page.locator("button[data-lesson]").nth(2)
    button.focus()
    page.keyboard.press("Enter")
    page.locator(".sheet h2", has_text="Why six cylinders").wait_for()

    def tab_to(locator):
        for _ in range(40):
            page.keyboard.press("Tab")
            if locator.evaluate("node => node.getRootNode().activeElement === node"):
                return
        raise AssertionError("not reached by Tab")

    tab_to(page.get_by_role("radio").first)
    for _ in range(4):
        page.keyboard.press("ArrowDown")
    page.keyboard.press("Space")
    tab_to(page.locator(".sheet button.primary", has_text="Predict"))
    page.keyboard.press("Enter")
    page.locator(".outcome").wait_for()
    for step in ("try", "why", "check"):
        tab_to(page.get_by_role("button", name="Next", exact=True))
        page.keyboard.press("Enter")
        page.locator(f".sheet[data-step={step}]").wait_for()


def test_terms_explain_themselves_on_hover_and_on_focus(lessons):
    page, _ = lessons
    open_lesson(page, 1)
    term = page.locator(".question .term", has_text="dead centre")
    tip = page.locator(".glossary-tip")
    term.hover()
    tip.wait_for()
    assert "Either end of the stroke" in tip.inner_text()
    page.keyboard.press("Escape")
    tip.wait_for(state="hidden")
    page.mouse.move(5, 5)
    term.focus()
    tip.wait_for()
    assert "Either end of the stroke" in tip.inner_text()
    assert "Either end" in term.get_attribute("aria-description")
    page.locator(".sheet h2").focus()
    tip.wait_for(state="hidden")


def test_a_label_of_a_control_explains_its_term_on_hover_alone(lessons):
    page, _ = lessons
    open_lesson(page, 2)
    predict(page)
    go(page, "try")
    tip = page.locator(".glossary-tip")
    page.locator(".control label", has_text="Rod-to-crank ratio").hover()
    tip.wait_for()
    assert "Rod length over crank radius" in tip.inner_text()
    page.mouse.move(5, 5)
    tip.wait_for(state="hidden")
    page.get_by_label("Rod-to-crank ratio", exact=False).first.focus()
    page.locator(".control input[type=range]").first.hover()
    page.mouse.down()
    page.locator(".control label", has_text="Rod-to-crank ratio").hover()
    page.mouse.up()
    assert not tip.is_visible()


def test_a_teachers_file_opens_and_a_broken_one_says_why(lessons):
    page, seen = lessons
    chooser = page.locator('.lesson-list input[aria-label="Open a lesson file"]')

    def give(name, text):
        chooser.set_input_files({"name": name, "mimeType": "text/plain", "buffer": text.encode()})

    give("heavy.toml", TEXT.replace("{live:big_end_load}. With", "{live:big_end_lode}. With"))
    problem = page.locator(".lesson-list [role=alert]")
    problem.filter(has_text="did you mean big_end_load?").wait_for()
    assert re.search(r"heavy\.toml, line \d+, predict\.text", problem.inner_text())
    give("heavy.toml", TEXT.replace('"cost >= 0"', '"cost < 0"'))
    problem.filter(has_text="none").wait_for()
    evil = TEXT.replace("A heavier rod", "<img src=x onerror=alert(1)> rod")
    give("heavy.toml", evil)
    page.locator(".sheet h2", has_text="<img src=x").wait_for()
    assert page.locator(".sheet img").count() == 0
    assert not problem.is_visible()
    predict(page, 1)
    go(page, "try")
    assert len(shown_numbers(page)) == 2
    assert seen.errors == []


def test_the_design_at_work_stays_as_it_was(lessons, address):
    """A design changed on the first page is still there after a lesson."""
    page, _ = lessons
    page.goto(f"{address}train")
    wait_until_painted(page)
    page.get_by_label("Stroke", exact=True).fill("80")
    page.get_by_label("Stroke", exact=True).press("Enter")
    page.wait_for_function(
        "(sessionStorage.getItem('sixthrow-draft') ?? '').includes('stroke_mm = 80')"
    )
    page.goto(f"{address}lessons")
    wait_until_painted(page)
    open_lesson(page, 6)
    predicted = page.locator(".handle").first
    predicted.focus()
    page.keyboard.press("ArrowUp")
    page.locator(".sheet").get_by_role("button", name="Predict", exact=True).last.click()
    page.locator(".outcome").wait_for()
    page.get_by_role("link", name="Crank train").click()
    page.wait_for_function("location.pathname.endsWith('/train')")
    wait_until_painted(page)
    stroke = page.get_by_label("Stroke", exact=True)
    page.wait_for_function("document.querySelector('.train') !== null")
    assert math.isclose(float(stroke.input_value()), 80)


def test_an_address_opens_a_lesson_at_its_step_and_worked_lessons_are_gathered(lessons):
    page, seen = lessons
    open_lesson(page, 5)
    one = bench(5)
    predict(page)
    go(page, "check")
    assert page.evaluate("location.hash") == "#lesson=5_where_the_bearing_wears&step=check"
    page.reload()
    wait_until_painted(page)
    page.locator(".sheet[data-step=check]").wait_for()
    right = one.right(one.lesson.checks[0])
    radio(page, right).check()
    page.get_by_role("button", name="Answer", exact=True).click()
    page.locator(".said.good").wait_for()
    page.get_by_label("Name").fill("A. Student")
    with page.expect_download() as saved:
        page.get_by_role("button", name="Save worked lesson").click()
    assert saved.value.suggested_filename == "5_where_the_bearing_wears-A-Student.json"
    text = Path(saved.value.path()).read_text(encoding="utf-8")
    files = [("a.json", text), ("b.json", text.replace("A. Student", "B. Other")), ("c.json", "{}")]
    page.locator('input[aria-label="Gather worked lessons"]').set_input_files(
        [{"name": n, "mimeType": "text/plain", "buffer": t.encode()} for n, t in files]
    )
    rows = page.locator(".gathered tbody tr")
    rows.first.wait_for()  # files are read in their own time, and shown together
    assert rows.count() == 2
    words = rows.nth(0).inner_text()
    assert "A. Student" in words
    assert one.lesson.checks[0].options[right].text in words
    assert "c.json is not a worked lesson" in page.locator(".gathered").inner_text()
    assert seen.errors == []


@pytest.mark.parametrize("step", ["draw", "chosen", "try", "why", "check"])
def test_axe_finds_nothing(lessons, step):
    page, _ = lessons
    open_lesson(page, 4 if step == "draw" else 2)
    if step != "draw":
        predict(page)
    if step in ("try", "why", "check"):
        go(page, step)
    assert everywhere(page) == []


def test_a_number_is_given_with_a_comma_and_judged_and_questions_follow_each_other(lessons):
    page, seen = lessons
    open_lesson(page, 12)
    box = page.locator(".amount input")
    box.fill("1,234")
    box.press("Enter")
    assert "must be written 1.234 or 1234" in page.locator(".sheet .step .problem").inner_text()
    box.fill("20,5")
    box.press("Enter")
    page.locator(".said", has_text="too low").wait_for()
    assert "46" in page.locator(".amount").inner_text()
    go(page, "check")
    one = bench(12)
    radio(page, one.right(one.lesson.checks[0])).check()
    page.get_by_role("button", name="Answer", exact=True).click()
    page.locator(".said.good").wait_for()
    assert "right" not in progress(page)["12_a_gram_in_stress_and_margin"]
    page.get_by_role("button", name="Next question").click()
    assert page.evaluate("location.hash").endswith("step=check&question=2")
    amount = one.lesson.checks[1].amount
    for away, verdict in ((100, "Too high"), (0, "Right")):
        box.fill(f"{one.amount(amount) + away:.1f}".replace(".", ","))
        box.press("Enter")
        page.locator(".said", has_text=verdict).wait_for()
    assert progress(page)["12_a_gram_in_stress_and_margin"]["right"] is True
    assert seen.errors == []


def test_a_step_sets_arrows_angle_and_marks_on_the_engine(lessons):
    page, seen = lessons
    open_lesson(page, 2)
    predict(page)
    assert "their sum" not in page.locator(".train canvas").first.get_attribute("aria-label")
    go(page, "why")
    picture = page.get_by_role("img", name=re.compile("angle 180°.*second order of the acc.*sum"))
    picture.first.wait_for()
    assert not page.locator(".arrow.gas input").is_checked()
    open_lesson(page, 3)
    page.get_by_role("img", name=re.compile(r"front view; gas [^;]*\.$")).first.wait_for()
    assert page.locator(".arrow.gas input").is_checked()
    assert seen.errors == []
