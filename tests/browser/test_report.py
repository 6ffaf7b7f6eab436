"""A report opened from disk in a real browser: it asks for nothing, moves, answers and prints."""

import csv
import io
import re
import zlib
from dataclasses import replace
from datetime import date
from xml.etree import ElementTree

import numpy as np
import pytest

from apps.report import write_report
from assets_demo import demo_paths
from kinematics import design_text, load_design, solve_cycle, with_value
from tests.browser.test_accessibility import WIDTHS, findings
from tests.conftest import six
from viz.film.shown_films import ShownFilms

pytestmark = pytest.mark.browser

RPM = 6000
HOSTILE = '</script><script>window.hit = 1</script><img src=x onerror="window.hit = 1">'
DRAWN = """() => window.Bokeh && window.Bokeh.documents.some(doc =>
  (doc.get_model_by_name("rod_force_data")?.data.y2 ?? []).length > 0)"""
DATA = """([name, column]) => { for (const doc of window.Bokeh.documents) {
  const model = doc.get_model_by_name(name);
  if (model) return Array.from(model.data[column]); } }"""
SAYS = """([name, words]) => document.querySelector(`[data-plot="${name}"] .drawing`)
  .getAttribute("aria-label").includes(words)"""
TRAIN = "document.querySelector('[data-part=train]').shadowRoot"
RINGS = """name => Bokeh.documents.some(one =>
  one.get_model_by_name(`${name}_rings`)?.data.radius[0])"""
POLAR = """name => { for (const doc of Bokeh.documents) {
  const figure = doc.get_model_by_name(`${name}_figure`);
  if (!figure) continue;
  const view = Bokeh.index.find_one(figure);
  return [figure.x_range.end - figure.x_range.start, view.frame.bbox.width, view.bbox.width]; } }"""
PX_PER_MM = 96 / 25.4
PAPER_WIDTH = 210 - 2 * 10  # [mm] of a page between its margins
A_FEW_LINES = 8000  # bytes; what a page with less has on it
CURSOR = """() => { for (const doc of window.Bokeh.documents) {
  const model = doc.get_model_by_name("rod_force_cursor");
  if (model) return model.location; } }"""


@pytest.fixture(scope="module")
def design():
    return load_design(next(iter(demo_paths().values())))


@pytest.fixture(scope="module")
def other(design):
    return replace(with_value(design, "cylinder.rod_length_mm", 160.0), name=HOSTILE)


@pytest.fixture(scope="module")
def path(design, other, tmp_path_factory):
    made = tmp_path_factory.mktemp("report") / "report.html"
    write_report(design, made, RPM, other, today=date(2031, 2, 3))
    return made


class Opened:
    """A report in a page of its own that may ask for nothing but the report."""

    def __init__(self, browser, path, **options):
        options = {"viewport": {"width": 1440, "height": 900}, **options}
        self.context = browser.new_context(offline=True, accept_downloads=True, **options)
        self.page = self.context.new_page()
        self.asked, self.errors = [], []
        self.page.route("**/*", self._answer)
        self.page.on("pageerror", lambda error: self.errors.append(str(error)))
        self.page.on("console", self._note)
        self.page.on("dialog", lambda dialog: self.errors.append(dialog.message))
        self.page.goto(path.as_uri())
        self.page.wait_for_function(DRAWN, timeout=30_000)

    def _answer(self, route):
        if self.asked or not route.request.url.startswith("file:"):
            self.asked.append(route.request.url)
            route.abort()
        else:
            self.asked.append(route.request.url)
            route.continue_()

    def _note(self, message):
        if message.type in ("error", "warning"):
            self.errors.append(message.text)

    def data(self, name, column):
        return np.array(self.page.evaluate(DATA, [name, column]), dtype=float)

    def wait_for_force(self, force):
        """Wait until the rod force that is plotted is a force [N] (n,), and compare it all."""
        force = force / 1e3
        self.page.wait_for_function(
            f"([first, near]) => Math.abs(({DATA})(['rod_force_data', 'y2'])[0] - first) < near",
            arg=[float(force[0]), 1e-4 * float(np.abs(force).max())],
        )
        shown = self.data("rod_force_data", "y2")[:-1]
        assert shown == pytest.approx(force, abs=2e-5 * np.abs(force).max())

    def saved(self, selector):
        """The text of the file that a button gives."""
        with self.page.expect_download() as download:
            self.page.locator(selector).click()
        with open(download.value.path(), "rb") as file:
            return download.value.suggested_filename, file.read()


@pytest.fixture
def opened(browser, path):
    yield from one_page(browser, path)


@pytest.fixture(scope="module")
def opened_once(browser, path):
    """One page for all tests that leave speed, cylinder and angle as they found them."""
    yield from one_page(browser, path)


def one_page(browser, path):
    made = Opened(browser, path)
    yield made
    assert made.errors == []
    assert len(made.asked) == 1, made.asked
    made.context.close()


def test_what_is_plotted_is_the_cycle(opened_once, design, other):
    cycle, before = solve_cycle(design, RPM), solve_cycle(other, RPM)
    force = cycle.forces.rod_force[0] / 1e3
    assert opened_once.data("rod_force_data", "y2")[:-1] == pytest.approx(
        force, abs=2e-5 * force.max()
    )
    reference = before.forces.rod_force[0] / 1e3
    shown = opened_once.data("rod_force_data", "reference2")[:-1]
    assert shown == pytest.approx(reference, abs=2e-5 * reference.max())


def test_plots_follow_the_cylinder_and_the_speed(opened, design):
    page = opened.page
    page.get_by_label("Cylinder shown in the plots").select_option(label="3")
    page.wait_for_function(SAYS, arg=["rod_force", "cylinder 3"])
    at_rated = solve_cycle(design, RPM).forces.rod_force[2]
    opened.wait_for_force(at_rated)
    page.locator("#speed").fill("4000")
    opened.wait_for_force(solve_cycle(design, 4000).forces.rod_force[2])
    assert page.locator("#speed-text").text_content() == "4\u2009000 rpm"
    page.locator("#speed-back").click()
    opened.wait_for_force(at_rated)


def test_a_rung_opens_how_it_is_computed(opened_once):
    details = opened_once.page.locator("#rung-mean_piston_speed")
    assert details.get_attribute("open") is None
    opened_once.page.locator('[data-part=ladder] [data-rung="mean_piston_speed"]').click()
    assert details.get_attribute("open") is not None
    assert "2·s·n" in details.text_content()


def test_the_train_moves_and_its_cursors_with_it(opened):
    page = opened.page
    picture = f"() => {TRAIN}.querySelector('canvas').toDataURL()"
    before, at = page.evaluate(picture), page.evaluate(CURSOR)
    page.locator("[data-part=train] .play").click()
    page.wait_for_function(f"at => ({CURSOR})() > at + 5", arg=at)
    page.locator("[data-part=train] .play").click()
    assert page.evaluate(picture) != before


def test_keys_move_the_train_only_within_it(opened):
    page = opened.page
    angle = page.locator("[data-part=train] .angle")
    page.locator("#speed-back").focus()
    page.keyboard.press("ArrowRight")
    assert angle.text_content() == "φ 0°"
    page.locator("[data-part=train] canvas").focus()
    page.keyboard.press("Shift+ArrowRight")
    assert angle.text_content() == "φ 10°"
    assert page.locator("[data-part=film] .angle").text_content() == "φ 0°"


def test_a_bearing_is_selected(opened_once, design):
    opened_once.page.locator('[data-bearing="main_2"]').click()
    opened_once.page.locator('.films[data-selected="main_2"]').wait_for()
    films = ShownFilms(solve_cycle(design, RPM))
    opened_once.page.locator('[data-plot="film_thickness"]').scroll_into_view_if_needed()
    opened_once.page.wait_for_function(SAYS, arg=["film_thickness", "Main 2"])
    film = films.of("main").film[1] * 1e6
    assert opened_once.data("film_thickness_data", "y0")[:-1] == pytest.approx(film, rel=1e-5)


def columns(content):
    head, *rows = csv.reader(io.StringIO(content.decode("utf-8")))
    values = np.array([[float(cell or "nan") for cell in row] for row in rows])
    return dict(zip(head, values.T, strict=True))


def test_every_curve_is_saved(opened_once, design):
    name, content = opened_once.saved("[data-table=cycle]")
    found, cycle = columns(content), solve_cycle(design, RPM)
    assert name.endswith("-curves-6000-rpm.csv")
    for title, values in {
        "rod_force_3_both [kN]": cycle.forces.rod_force[2] / 1e3,
        "acceleration_1 [km/s²]": cycle.motion.acceleration[0] / 1e3,
        "big_end_rod_4_y_both [kN]": cycle.bearings.big_end_load("rod")[3, 1] / 1e3,
        "main_block_7_x_both [kN]": cycle.bearings.main_load("block")[6, 0] / 1e3,
        "crank_torque_both [N·m]": cycle.forces.crank_torque,
        "free_moment_rolling_both [N·m]": cycle.balance.free_moment[2],
    }.items():
        scale = np.abs(values).max()
        assert found[title] == pytest.approx(values, abs=2e-5 * scale), title
    assert found["crank_angle [°]"] == pytest.approx(np.degrees(cycle.crank_angle))


def test_films_tables_and_designs_are_saved(opened_once, design, other):
    films = ShownFilms(solve_cycle(design, RPM))
    found = columns(opened_once.saved("[data-table=films]")[1])
    assert found["film_big_end_3 [µm]"] == pytest.approx(
        films.of("big_end").film[2] * 1e6, rel=1e-5
    )
    assert found["load_main_1_y [kN]"] == pytest.approx(films.of("main").load[0, 1] / 1e3, abs=1e-4)
    orders = columns(opened_once.saved("[data-table=orders]")[1])
    assert list(orders["order"][:2]) == [0.5, 1.0]
    for name in ("cycle-other", "orders-other", "films-other"):
        assert len(columns(opened_once.saved(f"[data-table={name}]")[1])) > 3
    for side, own in (("this", design), ("other", other)):
        assert opened_once.saved(f"[data-design={side}]")[1].decode("utf-8") == design_text(own)
    assert b"Mean piston speed" in opened_once.saved("[data-file=margins]")[1]
    assert b"Big end 1" in opened_once.saved("[data-file=bearings]")[1]


def test_every_figure_is_saved_as_png_and_svg(opened_once):
    page = opened_once.page
    names = page.locator("figure.plot").evaluate_all("all => all.map(one => one.dataset.plot)")
    assert len(names) >= 14
    for name in names:
        file, content = opened_once.saved(f'[data-plot="{name}"] [data-picture=svg]')
        drawn = ElementTree.fromstring(content)
        assert file.endswith(f"{name}.svg")
        assert len(list(drawn.iter("{http://www.w3.org/2000/svg}path"))) > 5, name
        assert list(drawn.iter("{http://www.w3.org/2000/svg}text")), name
        assert opened_once.saved(f'[data-plot="{name}"] [data-picture=png]')[1][:4] == b"\x89PNG"
    for part in ('[data-canvas="train"]', '[data-canvas="film"] >> nth=1'):
        assert opened_once.saved(part)[1][:4] == b"\x89PNG"


def test_every_figure_opens_as_a_table(opened_once):
    page = opened_once.page
    page.get_by_role("button", name="Table and export of Crank torque").click()
    assert page.locator("dialog tbody tr").count() > 20
    page.get_by_role("button", name="Close").click()


def test_hostile_names_stay_text(opened_once):
    page = opened_once.page
    assert page.evaluate("window.hit") is None
    assert page.get_by_text(HOSTILE).count() >= 3
    assert page.locator("img").count() == 0


def drawn_on_pages(pdf):
    """How many bytes of drawing each page of a PDF has, its streams unpacked."""
    found = re.findall(rb"(?:^|\n)(\d+) 0 obj\n?(.*?)\nendobj", pdf, re.DOTALL)
    parts = dict(found)
    pages = [part for part in parts.values() if re.search(rb"/Type\s*/Page\b", part)]
    contents = [parts[re.search(rb"/Contents\s+(\d+)", part)[1]] for part in pages]
    return [
        len(zlib.decompressobj().decompress(part.partition(b"stream")[2].lstrip()))
        for part in contents
    ]


@pytest.mark.parametrize("name", ["big_end", "main_bearings"])
def test_a_polar_is_six_centimetres_wide_in_print(opened, name):
    page = opened.page
    place = page.locator(f'[data-plot="{name}"]')
    place.scroll_into_view_if_needed()
    page.wait_for_function(RINGS, arg=name)
    span, inner, outer = page.evaluate(POLAR, name)
    diameter = 2 / span * inner / outer  # of the outer ring, a share of the figure's width
    page.emulate_media(media="print")
    page.set_viewport_size({"width": round(PAPER_WIDTH * PX_PER_MM), "height": 1000})
    width = place.evaluate("place => place.getBoundingClientRect().width") / PX_PER_MM
    assert diameter * width >= 60


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_it_prints_light_and_open(browser, path, theme):
    opened = Opened(browser, path, color_scheme=theme)
    page = opened.page
    page.evaluate("""() => window.addEventListener("beforeprint", () => {
      window.atPrint = {
        theme: document.documentElement.dataset.theme,
        shut: document.querySelectorAll("details:not([open])").length,
        drawn: [...document.querySelectorAll(".paper-drawing svg")].map(one => one.textContent),
        dark: document.querySelectorAll('.paper-drawing [stroke="#e8edf2"]').length,
      }; })""")
    pdf = page.pdf(prefer_css_page_size=True)
    drawn = drawn_on_pages(pdf)
    assert len(drawn) > 10
    assert min(drawn) > A_FEW_LINES, drawn
    at_print = page.evaluate("window.atPrint")
    assert at_print["theme"] == "light"
    assert at_print["dark"] == 0
    assert at_print["shut"] == page.locator("main details").count() - (
        page.locator("#formulas details").count()
    )
    assert len(at_print["drawn"]) == page.locator("figure.plot").count()
    assert "power" in at_print["drawn"][1]  # even where it was never in view, labels are there
    assert page.evaluate("document.documentElement.dataset.theme") == theme
    assert page.locator("details[open]").count() == 0
    page.emulate_media(media="print")
    for hidden in (".speed", ".keep", ".as-table", "[data-part=train] .time"):
        assert not page.locator(hidden).first.is_visible(), hidden
    assert page.evaluate("getComputedStyle(document.documentElement).backgroundColor") == (
        "rgb(255, 255, 255)"
    )
    assert opened.errors == []
    opened.context.close()


@pytest.mark.parametrize("theme", ["light", "dark"])
def test_axe_finds_nothing(browser, path, theme):
    # axe is brought into the page as a script, which the report's own policy would refuse
    opened = Opened(browser, path, color_scheme=theme, bypass_csp=True)
    for width, height in WIDTHS.items():
        opened.page.set_viewport_size({"width": width, "height": height})
        assert findings(opened.page, width, theme) == []
        assert opened.page.evaluate("document.documentElement.scrollWidth") <= width
    opened.context.close()


def test_a_script_of_somebody_else_is_refused(opened):
    opened.page.evaluate("""() => { const foreign = document.createElement("script");
      foreign.textContent = "window.hit = 2"; document.body.append(foreign); }""")
    assert opened.page.evaluate("window.hit") is None
    assert any("Content Security Policy" in words for words in opened.errors)
    opened.errors.clear()


def test_without_bearings_it_opens_all_the_same(browser, tmp_path):
    path = tmp_path / "bare.html"
    design = replace(six(), big_end=None, main_bearing=None, oil=None)
    write_report(design, path, RPM)
    opened = Opened(browser, path)
    assert opened.errors == []
    assert "There are no oil films" in opened.page.locator("#films").text_content()
    opened.context.close()
