"""The page in a real browser: it loads alone, follows the core, plays, picks and pins."""

import re

import numpy as np
import pytest
from playwright.sync_api import expect

from assets_demo import demo_paths
from kinematics import load_design, solve_cycle, with_value

pytestmark = pytest.mark.browser

COLUMN = """([name, column]) => Array.from(
  window.sixthrow.modelNamed(name)?.data[column])"""
READ_CURSOR = "() => window.sixthrow.modelNamed('rod_force_cursor')?.location"


def column(page, name, one):
    return np.array(page.evaluate(COLUMN, [name, one]), dtype=float)


def first_demo():
    return load_design(next(iter(demo_paths().values())))


def rated(design):
    return design.layout.rated_speed * 30 / np.pi


def box(page, label):
    return page.get_by_label(label, exact=True)


def set_box(page, label, value):
    box(page, label).fill(str(value))
    box(page, label).press("Enter")


def wait_for_curve(page, name, one, expected, tolerance):
    """Wait until a column's largest value is the expected one."""
    page.wait_for_function(
        """([name, column, expected, tolerance]) => {
          const data = window.sixthrow.modelNamed(name)?.data[column];
          return Math.abs(Math.max(...data) - expected) < tolerance;
        }""",
        arg=[name, one, expected, tolerance],
    )


def test_loads_without_another_host_or_an_error(opened_once):
    page, seen = opened_once
    assert seen.elsewhere == []
    assert seen.errors == []
    assert "teaching and design review" in page.inner_text(".caution")


def test_first_picture_is_what_the_core_gives(opened_once):
    page, _ = opened_once
    design = first_demo()
    cycle = solve_cycle(design, rated(design))
    rod = cycle.forces.rod_force[0] / 1e3
    shown = column(page, "rod_force_data", "y2")
    assert shown[:-1] == pytest.approx(rod, abs=1e-5 * np.abs(rod).max())
    assert shown[-1] == shown[0]
    torque = column(page, "crank_torque_data", "y3")
    assert torque == pytest.approx(cycle.mean_torque, rel=1e-5)


def test_every_cylinder_selected_is_the_cores(opened_once):
    page, _ = opened_once
    design = first_demo()
    cycle = solve_cycle(design, rated(design))
    for cylinder in (2, 4):
        page.keyboard.press(str(cylinder + 1))
        thrust = cycle.forces.side_thrust[cylinder] / 1e3
        shown = column(page, "side_thrust_data", "y2")
        assert shown[:-1] == pytest.approx(thrust, abs=1e-5 * np.abs(thrust).max())
    page.keyboard.press("1")


def test_the_crank_is_turned_by_hand_on_curve_polar_and_front_view(opened_once):
    page, seen = opened_once
    on_curve = page.locator("figure[data-plot=rod_force] .drawing").bounding_box()
    middle = on_curve["y"] + on_curve["height"] / 2
    page.mouse.move(on_curve["x"] + 0.5 * on_curve["width"], middle)
    page.mouse.down()
    first = angle(page)
    page.mouse.move(on_curve["x"] + 0.75 * on_curve["width"], middle)
    page.mouse.up()
    assert 180 < first < 420
    assert first + 90 < angle(page) < 720
    page.evaluate("document.activeElement.blur()")
    page.keyboard.press("Home")
    x, y = crank_axis(page)
    page.mouse.move(x + 20, y)
    page.mouse.down()
    for at_x, at_y in ((14, 14), (0, 20), (-14, 14), (-20, 0)):
        page.mouse.move(x + at_x, y + at_y)
    page.mouse.up()
    assert angle(page) == pytest.approx(180, abs=1)
    assert page.get_by_label("Cylinder shown in the plots").input_value() == "0"
    page.keyboard.press("Home")
    assert seen.errors == []


def angle(page):
    return page.evaluate("window.sixthrow.place.angle")


def crank_axis(page):
    """The middle of all places of the window where the canvas takes hold of the crank."""
    held = page.locator(".train-view canvas").evaluate("""(canvas) => {
      const { left, top, width, height } = canvas.getBoundingClientRect();
      const held = [];
      for (let x = left; x < left + width; x += 4) {
        for (let y = top; y < top + height; y += 4) {
          const place = { clientX: x, clientY: y, pointerId: 1 };
          canvas.dispatchEvent(new PointerEvent("pointermove", place));
          if (canvas.classList.contains("turns")) held.push([x, y]);
        }
      }
      return held;
    }""")
    return np.mean(held, axis=0)


def test_moved_slider_changes_plots_to_what_the_core_gives(opened):
    page, seen = opened
    slider = page.get_by_label("Stroke, slider", exact=True)
    slider.focus()
    for _ in range(3):
        slider.press("ArrowRight")
    changed = with_value(first_demo(), "cylinder.stroke_mm", float(slider.input_value()))
    assert changed != first_demo()
    acceleration = solve_cycle(changed, rated(changed)).motion.acceleration[0] / 1e3
    peak = acceleration.max()
    wait_for_curve(page, "acceleration_data", "y2", peak, 1e-5 * peak)
    assert column(page, "acceleration_data", "y2")[:-1] == pytest.approx(
        acceleration, abs=1e-5 * peak
    )
    assert seen.errors == []


def test_between_two_rows_of_the_full_load_curve_the_browser_blends_the_gas(opened):
    page, seen = opened
    design = first_demo()
    rpms = [row.speed * 30 / np.pi for row in design.full_load]
    rpm = round(0.3 * rpms[1] + 0.7 * rpms[2])
    set_box(page, "Speed", rpm)
    rod = solve_cycle(design, rpm).forces.rod_force[0] / 1e3
    wait_for_curve(page, "rod_force_data", "y2", rod.max(), 1e-5 * rod.max())
    assert column(page, "rod_force_data", "y2")[:-1] == pytest.approx(rod, abs=1e-5 * rod.max())
    assert seen.errors == []


def test_the_full_load_curve_is_drawn_listed_and_edited(opened):
    page, seen = opened
    page.locator("summary", has_text="Full-load curve").click()
    group = page.locator("details[data-title='Full-load curve']")
    assert group.locator("tbody tr").count() == len(first_demo().full_load)
    assert group.locator("svg polyline").count() == 2
    first = group.locator("tbody tr").first.locator("td").nth(1)
    before = first.inner_text()
    set_box(page, "Row 1, peak", 74)
    expect(first).not_to_have_text(before)
    peak = 0.74 * first_demo().pressure.peak / 1e5
    assert float(first.inner_text()) == pytest.approx(peak, rel=1e-2)
    set_box(page, "Row 2, speed", 1500)
    page.get_by_text("must be above that of row 1").wait_for()
    assert group.locator("tbody tr").nth(1).locator("td").first.inner_text() != "1500"
    assert seen.errors == []


def test_speed_slider_draws_in_the_browser_and_the_numbers_follow(opened):
    page, _ = opened
    tile = page.locator("[data-number=mean_piston_speed] .value")
    before = tile.inner_text()
    set_box(page, "Speed", 4000)
    rod = solve_cycle(first_demo(), 4000).forces.rod_force[0] / 1e3
    wait_for_curve(page, "rod_force_data", "y2", rod.max(), 1e-5 * rod.max())
    expect(tile).not_to_have_text(before)
    speed = 2 * first_demo().cylinder.stroke * 4000 / 60
    assert float(re.match(r"[\d.]+", tile.inner_text())[0]) == pytest.approx(speed, rel=2e-3)


def test_playing_moves_parts_and_cursor_and_sends_nothing(opened_once):
    page, seen = opened_once
    page.locator("canvas[tabindex='0']").first.wait_for()
    before = page.locator("canvas[tabindex='0']").first.screenshot()
    start = page.evaluate(READ_CURSOR)
    page.wait_for_timeout(1500)  # what loading still sends: the draft that the tab keeps
    sent, received = len(seen.sent), len(seen.received)
    page.keyboard.press("Space")
    page.wait_for_function(f"({READ_CURSOR})() > {start} + 30")
    page.keyboard.press("Space")
    assert page.locator("canvas[tabindex='0']").first.screenshot() != before
    assert (len(seen.sent), len(seen.received)) == (sent, received)


def test_keys_step_scrub_and_stay_out_of_fields(opened_once):
    page, _ = opened_once
    page.keyboard.press("Home")
    page.keyboard.press("ArrowRight")
    page.keyboard.press("Shift+ArrowRight")
    assert page.evaluate(READ_CURSOR) == pytest.approx(11)
    page.keyboard.press("ArrowLeft")
    assert page.evaluate(READ_CURSOR) == pytest.approx(10)
    box(page, "Bore").focus()
    page.keyboard.press("ArrowLeft")
    assert page.evaluate(READ_CURSOR) == pytest.approx(10)
    slider = page.get_by_role("slider", name="Crank angle", exact=True)
    slider.fill("400")
    assert page.evaluate(READ_CURSOR) == pytest.approx(400)


def test_keys_leave_dialogs_and_headings_alone(opened_once):
    page, _ = opened_once
    page.keyboard.press("Home")
    page.get_by_role("button", name="All numbers").click()
    page.keyboard.press("ArrowRight")
    assert page.evaluate(READ_CURSOR) == pytest.approx(0)
    page.keyboard.press("Escape")
    page.locator("summary", has_text="Cylinder pressure").focus()
    page.keyboard.press("Space")
    page.get_by_label("Peak pressure", exact=True).wait_for(state="visible")
    page.get_by_role("button", name="Play").wait_for()


def test_rated_speed_dragged_keeps_its_slider(opened):
    page, _ = opened
    page.locator("summary", has_text="Shaft and bearings").click()
    slider = page.get_by_label("Rated speed, slider", exact=True)
    slider.focus()
    for _ in range(4):
        slider.press("ArrowRight")
    step = float(slider.get_attribute("step"))
    assert float(slider.input_value()) == pytest.approx(rated(first_demo()) + 4 * step)
    assert slider.evaluate("node => node.matches(':focus')")


def test_a_refused_value_is_taken_back_by_escape(opened_once):
    page, _ = opened_once
    before = box(page, "Stroke").input_value()
    set_box(page, "Stroke", 500)
    page.locator(".problem:visible").wait_for()
    box(page, "Stroke").press("Escape")
    assert box(page, "Stroke").input_value() == before
    assert page.locator(".problem:visible").count() == 0


def test_polar_cursor_is_the_load_at_the_angle(opened_once):
    page, _ = opened_once
    design = first_demo()
    page.get_by_role("slider", name="Crank angle", exact=True).fill("40")
    load = solve_cycle(design, rated(design)).bearings.big_end_load("rod")[0, :, 40] / 1e3
    cursor = page.evaluate(
        """() => {
          const find = (name) => window.sixthrow.modelNamed(name)?.data;
          const { x0, y0, x1, y1 } = find("big_end_cursor");
          const text = find("big_end_texts").text
            .find((one) => / kN$/.test(one) && !/peak/.test(one));
          const ring = parseFloat(text);
          return [(x1[0] - x0[0]) * ring, (y1[0] - y0[0]) * ring];
        }"""
    )
    assert cursor == pytest.approx(load, abs=1e-4 * np.abs(load).max())


def test_all_mains_are_drawn_and_are_the_cores(opened_once):
    page, _ = opened_once
    page.get_by_role("tab", name="Main bearings").click()
    page.wait_for_function(
        """() => {
          const model = window.sixthrow.modelNamed("main_bearings_data");
          return model && model.data.both_x.length > 0;
        }"""
    )
    texts = page.evaluate(COLUMN, ["main_bearings_texts", "text"])
    design = first_demo()
    peaks = solve_cycle(design, rated(design)).bearings.main_peaks.peak / 1e3
    shown = [float(re.search(r"peak ([\d.]+)", one)[1]) for one in texts if "peak" in one]
    assert shown == pytest.approx(peaks, rel=6e-3)


def test_a_reference_is_drawn_and_listed_with_differences(opened):
    page, _ = opened
    before = column(page, "rod_force_data", "y2")
    page.get_by_role("button", name="Set reference").click()
    page.get_by_role("button", name="Replace reference").wait_for()
    set_box(page, "Piston assembly", 500)
    rod = (
        solve_cycle(
            with_value(first_demo(), "piston.assembly_mass_g", 500), rated(first_demo())
        ).forces.rod_force[0]
        / 1e3
    )
    wait_for_curve(page, "rod_force_data", "y2", rod.max(), 1e-5 * rod.max())
    assert column(page, "rod_force_data", "reference2") == pytest.approx(before)
    page.get_by_role("button", name="All numbers").click()
    table = page.get_by_role("dialog", name="All main numbers")
    assert "Difference" in table.inner_text()
    assert "%" in table.inner_text()
    page.keyboard.press("Escape")
    page.get_by_role("button", name=re.compile("reference .* g")).first.click()
    wait_for_curve(page, "rod_force_data", "y2", before.max(), 1e-5 * before.max())


def test_number_opens_to_its_formula(opened_once):
    page, _ = opened_once
    page.locator("[data-number=mean_piston_speed]").click()
    dialog = page.locator("dialog.formula")
    for words in ("Formula", "With values (SI)", "Conventions", "Source"):
        assert words in dialog.inner_text()
    page.keyboard.press("Escape")


def test_every_demo_opens(opened_once):
    page, seen = opened_once
    for name, path in reversed(demo_paths().items()):
        page.get_by_label("Demo design").select_option(name)
        design = load_design(path)
        page.locator(".title").filter(has_text=design.name).wait_for()
        acceleration = solve_cycle(design, rated(design)).motion.acceleration[0] / 1e3
        wait_for_curve(
            page, "acceleration_data", "y2", acceleration.max(), 1e-5 * acceleration.max()
        )
        for tab in ("Main bearings", "Free forces and moments", "Big end"):
            page.get_by_role("tab", name=tab).click()
    assert seen.errors == []


def test_theme_changes_figures_and_is_kept(opened):
    page, _ = opened
    read = (
        """() => window.sixthrow.modelNamed('rod_force_figure')?.below[0].major_label_text_color"""
    )
    light = page.evaluate(read)
    page.get_by_role("button", name="Dark").click()
    assert page.evaluate(read) != light
    page.reload()
    page.wait_for_function("window.sixthrow && window.sixthrow.painted > 0")
    assert page.evaluate("document.documentElement.dataset.theme") == "dark"
    page.get_by_role("button", name="Light").click()
    assert page.evaluate("document.documentElement.dataset.theme") == "light"
