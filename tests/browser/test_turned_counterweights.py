"""Counterweights turned aside, on the shaft's page: its two checks, and picking in the figure."""

import pytest

from assets_demo import demo_paths
from kinematics import load_design
from kinematics.shaft.counterweight_choice import CounterweightChoice
from kinematics.shaft.counterweight_schemes import scheme_counterweights
from kinematics.units import shown_unit, using_units
from tests.browser.conftest import open_page
from tests.browser.waiting import wait_until_painted

pytestmark = pytest.mark.browser

SIX = load_design(demo_paths()["Hill climb six"])
MARKS = "window.sixthrow.modelNamed('shaft_front_main_marks')?.data"
LINES = "window.sixthrow.modelNamed('shaft_front_reference_lines')?.data"
PLACE = """index => {
  const [figure, marks] = ["figure", "main_marks"].map((name) =>
    window.sixthrow.modelNamed(`shaft_front_${name}`));
  const view = window.Bokeh.index.find_one(figure);
  const box = view.el.getBoundingClientRect(), { bbox } = view.frame;
  const share = (value, range) => (value - range.start) / (range.end - range.start);
  return [box.x + bbox.left + share(marks.data.x[index], figure.x_range) * bbox.width,
          box.y + bbox.bottom - share(marks.data.y[index], figure.y_range) * bbox.height];
}"""


# Whether every web of the open table has the counterweight chosen for it.
ALIKE = """[...document.querySelectorAll("*")].some((one) => {
  const table = [...one.shadowRoot?.querySelectorAll("table") ?? []]
    .find((one) => one.checkVisibility() && one.caption?.textContent.startsWith("Counterw"));
  return table && [...table.tBodies[0].rows].every(
    (row) => row.cells[1].textContent === row.cells[2].textContent);
})"""


@pytest.fixture(params=["si", "us"])
def shaft(browser, address, request):
    context = browser.new_context(viewport={"width": 1440, "height": 900})
    context.add_cookies([{"name": "sixthrow_units", "value": request.param, "url": address}])
    page, seen = open_page(context, f"{address}shaft", wait_until_painted)
    page.locator("[data-tile=mass] .value").wait_for()
    yield page, seen, request.param
    context.close()


def open_tab(page, key):
    page.locator(f"#tab-{key}").click()
    page.locator(f"#pane-{key}").wait_for()


def rows_of(page, key, caption="Counterweights by web"):
    """Return the cells of a table in a tab, as numbers where they are."""
    table = page.locator(f"#pane-{key} table").filter(has_text=caption)
    cells = table.locator("tbody tr").evaluate_all(
        "rows => rows.map((row) => [...row.cells].map((cell) => cell.textContent))"
    )
    return [[number(cell) for cell in row] for row in cells]


def number(text):
    plain = text.replace("\u2212", "-").replace("\u2009", "").replace("\u202f", "")
    try:
        return float(plain)
    except ValueError:
        return text


def tile(page, key):
    return number(page.locator(f"[data-tile={key}] .value").evaluate("n => n.firstChild.data"))


def test_a_scheme_is_turned_aside_and_leaves_nothing(shaft):
    page, seen, system = shaft
    open_tab(page, "weights")
    pane = page.locator("#pane-weights")
    check = pane.get_by_label("Offset angle to keep the shaft balanced")
    assert check.is_checked()
    pane.get_by_label("On", exact=True).select_option("none_in_middle")
    pane.locator("td").filter(has_text="30.0").first.wait_for()
    with using_units(system):
        factor = shown_unit("kg_mm").factor
    weights = scheme_counterweights(SIX, "none_in_middle", 1, 0, aside=True)
    expected = {one.web: one.unbalance / factor for one in weights}
    for web, row in enumerate(rows_of(page, "weights")[:-1], 1):
        if web in expected:
            assert row[2] == pytest.approx(expected[web], rel=5e-3)
            assert abs(row[3]) == 30
        else:
            assert row[2] == "–"
    unbalanced = pane.get_by_text("As chosen: Statically unbalanced")
    assert unbalanced.is_hidden()
    check.focus()
    page.keyboard.press("Space")
    unbalanced.wait_for()
    page.keyboard.press("Space")
    unbalanced.wait_for(state="hidden")
    pane.locator("[data-apply]").click()
    pane.get_by_text("Applied to the design: ").wait_for()
    page.wait_for_function(f"() => {ALIKE}")
    assert tile(page, "left") == 0
    assert seen.errors == []


def find(page):
    open_tab(page, "front")
    page.locator("#pane-front [data-find]").click()
    page.wait_for_function(f"() => {MARKS}.x.length === 9")


def selected(page, index):
    page.wait_for_function(
        """index => [...document.querySelectorAll("*")].some((one) =>
          one.shadowRoot?.querySelector("#point")?.value === String(index))""",
        arg=index,
    )


def test_points_of_the_front_are_selected_by_pointer_and_key_and_put_on(shaft):
    page, seen, system = shaft
    find(page)
    task = CounterweightChoice(SIX, SIX.layout.rated_speed, aside=True)
    front = task.front()
    with using_units(system):
        units = shown_unit("kN").factor, shown_unit("kg_mm2").factor, shown_unit("kg_mm").factor
    marks = page.evaluate(MARKS)
    assert marks["x"] == pytest.approx([one.load / units[0] for one in front], rel=1e-6)
    assert marks["y"] == pytest.approx([one.inertia / units[1] for one in front], abs=1e-3)
    (straight,) = page.evaluate(LINES)["xs"]
    assert len(straight) == 9
    drawing = page.locator('figure[data-plot="shaft_front"] .drawing')
    drawing.scroll_into_view_if_needed()
    page.mouse.click(*page.evaluate(PLACE, 2))
    selected(page, 2)
    drawing.focus()
    for key, index in (("ArrowLeft", 1), ("ArrowRight", 2), ("End", 8), ("Home", 0)):
        page.keyboard.press(key)
        selected(page, index)
    page.locator("#pane-front table").first.wait_for()
    shown = rows_of(page, "front")[:-1]
    for row, unbalance, turned in zip(shown, front[0].unbalance, front[0].turned, strict=True):
        assert row[2] == pytest.approx(unbalance / units[2], rel=5e-3)
        assert row[3] == pytest.approx(57.29578 * turned, abs=0.06)
    page.locator("[data-use]").click()
    spares = page.locator("#pane-front").get_by_text("loads no main more and saves")
    spares.wait_for(state="detached")
    shown = rows_of(page, "front")
    assert [row[1] for row in shown] == [row[2] for row in shown]
    assert seen.errors == []


def test_the_check_finds_the_trade_off_anew_opposite_the_pins(shaft):
    page, seen, system = shaft
    open_tab(page, "front")
    page.locator("#pane-front [data-find]").click()
    page.locator("#pane-front").get_by_label("Allow angular offset from 180°").uncheck()  # too soon
    front = CounterweightChoice(SIX, SIX.layout.rated_speed).front()
    with using_units(system):
        load = front[0].load / shown_unit("kN").factor
    page.wait_for_function(f"load => Math.abs({MARKS}.x[0] / load - 1) < 1e-6", arg=load)
    page.wait_for_function(f"() => {LINES}.xs.length === 0")  # a source of its own, sent next
    drawing = page.locator('figure[data-plot="shaft_front"] .drawing')
    drawing.focus()
    page.keyboard.press("Home")
    selected(page, 0)
    assert {row[3] for row in rows_of(page, "front")[:-1]} <= {0, "–"}
    assert seen.errors == []
