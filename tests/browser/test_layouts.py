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
    "rev-limit": [".rev-limit .dial input"],
    "data-sheet": [".data-sheet .tools"],
}
# Texts that no box may cut, and labels that may not lie on each other.
UNCUT = (
    ".tile .label, .tile .value, .control label, nav a, .command-bar button,"
    " figcaption > :first-child, .choice button"
)

APART = [
    ".command-bar nav a",
    ".command-bar .commands > *",
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
        found[width, height] = page.evaluate(LOOK, [VIEWS[name], UNCUT, APART])
    page.close()
    assert {size: look for size, look in found.items() if look != GOOD} == {}
