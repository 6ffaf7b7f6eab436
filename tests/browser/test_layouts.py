"""Where things stand on every page at six sizes: cause and effect in one view, nothing cut."""

import pytest

from tests.browser.waiting import wait_until_painted

pytestmark = pytest.mark.browser

SIZES = [(1920, 1080), (1440, 900), (1366, 640), (1280, 600), (1024, 768), (390, 844)]

# What has to be in one view, beside the bar: picture, first slider, first plot that it moves.
VIEWS = {
    "": [".train canvas", ".train .time input"],
    "train": [".train canvas", ".controls input[type=range]", "figure.plot .drawing"],
    "bearings": [".film canvas", ".controls input[type=range]"],
    "shaft": ["main.shaft canvas", ".controls input[type=range]", "#pane-loads figure .drawing"],
    "limits": [".ladder .rung.first", ".controls input[type=range]"],
    "compare": [".view .time input", ".compared-plots .drawing"],
    "review": [".card-place .empty", ".controls input[type=range]"],
    "storyboard": [".list .commands"],
    "lessons": [".lesson .question"],
    "rev-limit": [".limit .first", ".train canvas", ".dial input", ".raise .ask"],
    "data-sheet": [".data-sheet .tools"],
}
NOT_ON_A_PHONE = [".raise .ask", ".limit .first"]  # what is scrolled to there

# Texts that no box may cut, and labels that may not lie on each other.
UNCUT = (
    ".tile .label, .tile .value, .control label, nav a, .command-bar button,"
    " figcaption > :first-child, .choice button"
)

APART = [
    ".command-bar nav a",
    ".command-bar .commands > *",
    ".page > .results > *",
    ".tile > *",
    ".choice button",
    ".control .line > *",
]

LOOK = """([views, uncut, groups]) => {
  const deep = (selector, root = document) => [
    ...root.querySelectorAll(selector),
    ...[...root.querySelectorAll("*")].flatMap((node) =>
      node.shadowRoot ? deep(selector, node.shadowRoot) : []),
  ];
  const below = (node, step) =>
    [...deep(step, node), ...(node.shadowRoot ? deep(step, node.shadowRoot) : [])];
  const first = (path) => path.split(" ")
    .reduce((nodes, step) => nodes.flatMap((node) => below(node, step)), [document])
    .find((node) => node.getClientRects().length);
  const shown = (node) => node.getClientRects().length && node.clientWidth > 1
    && getComputedStyle(node).clipPath === "none";
  const isInView = ({ left, right, top, bottom }) =>
    left >= -1 && top >= -1 && right <= innerWidth + 1 && bottom <= innerHeight + 1;
  const overlap = (a, b) => a.left < b.right - 2 && b.left < a.right - 2
    && a.top < b.bottom - 2 && b.top < a.bottom - 2;
  const overlapping = groups.flatMap((selector) => {
    const nodes = deep(selector).filter(shown);
    const boxes = nodes.map((node) => node.getBoundingClientRect());
    return nodes.slice(1).flatMap((node, i) => overlap(boxes[i], boxes[i + 1])
      ? [`${nodes[i].textContent} / ${node.textContent}`] : []);
  });
  const tops = deep(".command-bar nav a").filter(shown)
    .map((node) => Math.round(node.getBoundingClientRect().top));
  const [bar] = deep(".command-bar .bar-line");
  return {
    outside: views.filter((path) => !first(path) || !isInView(first(path).getBoundingClientRect())),
    cut: deep(uncut).filter(shown).filter((node) => node.scrollWidth > node.clientWidth + 1)
      .map((node) => `${node.className || node.tagName}: ${node.textContent}`),
    overlapping,
    sideways: document.documentElement.scrollWidth > innerWidth,
    wrapped: new Set(tops).size > 1 || bar.getBoundingClientRect().height > 84,
  };
}"""
TWO_FRAMES = "() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))"
GOOD = {"outside": [], "cut": [], "overlapping": [], "sideways": False, "wrapped": False}


@pytest.mark.parametrize("name", VIEWS)
def test_cause_and_effect_are_in_one_view_and_nothing_is_cut(browser, address, name):
    page = browser.new_page(viewport={"width": 1920, "height": 1080}, color_scheme="light")
    page.goto(f"{address}{name}")
    wait_until_painted(page)
    page.locator(VIEWS[name][0]).first.wait_for()
    found = {}
    for width, height in SIZES:
        page.set_viewport_size({"width": width, "height": height})
        page.evaluate(TWO_FRAMES)
        views = [path for path in VIEWS[name] if width > 760 or path not in NOT_ON_A_PHONE]
        found[width, height] = page.evaluate(LOOK, [views, UNCUT, APART])
    page.close()
    assert {size: look for size, look in found.items() if look != GOOD} == {}


CONTROLS = ["button:not(.term)", "input[type=range]", "select", "summary"]
SMALL = """selectors => {
  const deep = (selector, root = document) => [
    ...root.querySelectorAll(selector),
    ...[...root.querySelectorAll("*")].flatMap((node) =>
      node.shadowRoot ? deep(selector, node.shadowRoot) : []),
  ];
  return deep(selectors.join())
    .filter((node) => node.getClientRects().length && node.clientWidth > 1)
    .map((node) => [node.textContent || node.getAttribute("aria-label"), node.offsetHeight])
    .filter(([, height]) => height < 44);
}"""


@pytest.fixture(scope="module")
def phone(browser, address):
    """The train's page under a finger."""
    context = browser.new_context(
        viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True
    )
    page = context.new_page()
    page.goto(f"{address}train")
    wait_until_painted(page)
    yield page
    context.close()


def test_what_a_finger_presses_is_large(phone, address):
    found = {}
    for name in ("train", "limits", "rev-limit"):
        phone.goto(f"{address}{name}")
        wait_until_painted(phone)
        found[name] = phone.evaluate(SMALL, CONTROLS)
    assert found == {name: [] for name in found}


def test_a_swipe_begun_on_a_slider_scrolls_and_changes_nothing(phone, address):
    phone.goto(f"{address}train")
    wait_until_painted(phone)
    slider = phone.get_by_label("Speed, slider", exact=True)
    box = slider.bounding_box()
    before = slider.input_value()
    finger = phone.context.new_cdp_session(phone)
    x, y = box["x"] + 0.2 * box["width"], box["y"] + box["height"] / 2
    finger.send("Input.synthesizeScrollGesture", {"x": x, "y": y, "yDistance": -90, "speed": 400})
    phone.wait_for_function("document.querySelector('.page > .controls').scrollTop > 0")
    assert slider.input_value() == before
    assert phone.get_by_label("Speed", exact=True).input_value() == before
    slider.scroll_into_view_if_needed()
    slider.tap(position={"x": 0.2 * box["width"], "y": box["height"] / 2})
    phone.wait_for_function(
        "([node, before]) => node.value !== before", arg=[slider.element_handle(), before]
    )


@pytest.mark.parametrize("name", ["train", "shaft", "limits", "data-sheet"])
def test_paper_has_no_menus_and_no_controls(context, address, name):
    page = context.new_page()
    page.goto(f"{address}{name}")
    wait_until_painted(page)
    page.emulate_media(media="print")
    for menu in (".command-bar nav", ".command-bar .commands", ".controls", ".time", ".choice"):
        assert page.locator(f"{menu}:visible").count() == 0, menu
    assert page.locator("main:visible").count() == 1
    assert name == "data-sheet" or page.locator("figure.plot:visible").count() >= 2
    page.close()


def test_a_projector_has_larger_text_and_lines_and_fewer_controls(context, address):
    page = context.new_page()
    page.goto(f"{address}train")
    wait_until_painted(page)
    page.wait_for_function(ENLARGED, arg=13)
    page.keyboard.press("p")
    page.wait_for_function(ENLARGED, arg=17.6)
    assert not page.get_by_role("button", name="Undo").is_visible()
    assert not page.get_by_label("Side thrust", exact=True).is_visible()
    page.goto(f"{address}limits")
    wait_until_painted(page)
    assert page.locator("html[data-projector]").count() == 1
    page.get_by_role("button", name="Projector").click()
    assert page.get_by_role("button", name="Undo").is_visible()
    page.close()


ENLARGED = """size => { const figure = window.sixthrow.modelNamed?.("rod_force_figure");
  return figure && parseFloat(figure.xaxis?.[0]?.major_label_text_font_size
    ?? figure.below[0].major_label_text_font_size) === size; }"""
