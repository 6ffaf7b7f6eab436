"""The page to start from: a train that turns by hand, and ways on that take the design along."""

import pytest

from apps.pages.front_page import WAYS
from tests.browser.conftest import open_page
from tests.browser.waiting import wait_until_painted

pytestmark = pytest.mark.browser

FITTED = """canvas => new Promise((resolve) => {
  const look = () => {
    const { right, bottom } = canvas.getBoundingClientRect();
    if (right <= innerWidth && bottom <= innerHeight) resolve(true);
    else requestAnimationFrame(look);
  };
  look();
})"""
PILOT_BOAT = "Pilot-boat six"
SIZES = ((1920, 1080), (1440, 900), (1366, 640), (1280, 600), (1024, 768))


@pytest.fixture(scope="module")
def front(context, address):
    page, seen = open_page(context, address, wait_until_painted)
    yield page, seen
    page.close()


def boxes(page):
    """The train, the first thing to do and the cards, on the screen."""
    train, first = (page.locator(one).bounding_box() for one in (".train-view canvas", ".first"))
    return [train, first, *(card.bounding_box() for card in page.locator(".card").all())]


@pytest.mark.parametrize(("width", "height"), SIZES)
def test_the_train_and_all_ways_are_in_one_view(front, width, height):
    page, seen = front
    page.set_viewport_size({"width": width, "height": height})
    page.locator(".train-view canvas").evaluate(FITTED)
    for box in boxes(page):
        assert box["x"] >= 0
        assert box["y"] >= 0
        assert box["x"] + box["width"] <= width
        assert box["y"] + box["height"] <= height
    train = boxes(page)[0]
    assert train["width"] * train["height"] > 0.3 * width * height
    assert seen.errors == []


def test_on_a_phone_the_train_comes_first(front):
    page, _ = front
    page.set_viewport_size({"width": 390, "height": 844})
    train, first, *_ = boxes(page)
    assert train["y"] + train["height"] <= 844
    assert train["y"] < first["y"]
    page.set_viewport_size({"width": 1440, "height": 900})


def test_a_way_leads_on_with_the_design_of_the_tab(front):
    page, seen = front
    page.set_viewport_size({"width": 1440, "height": 900})
    page.get_by_label("Demo design").select_option("Pilot boat six")
    page.get_by_role("link", name=WAYS[0].name).click()
    page.wait_for_url("**/train")
    wait_until_painted(page)
    assert page.locator(".title").inner_text() == PILOT_BOAT
    page.get_by_role("link", name="sixthrow").click()
    page.locator(".card").first.wait_for()
    wait_until_painted(page)
    assert page.locator(".title").inner_text() == PILOT_BOAT
    assert seen.errors == []
