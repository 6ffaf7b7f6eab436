"""The sign that something is worked out: there while anything is, gone with the last answer."""

import pytest

pytestmark = pytest.mark.browser

TELL = """([name, detail]) =>
  window.sixthrow.events.dispatchEvent(new CustomEvent(name, { detail }))"""


def working(page, who, on):
    page.evaluate(TELL, ["working", {"who": who, "on": on}])


def test_the_sign_stays_until_the_last_has_its_answer(limits):
    page, seen = limits
    sign = page.locator(".busy")
    for who in ("one", "other"):
        working(page, who, True)
    sign.get_by_text("Working…").wait_for()
    working(page, "one", False)
    assert sign.inner_text() == "Working…"
    working(page, "other", False)
    assert sign.inner_text() == ""
    assert seen.errors == []


def test_what_was_asked_is_answered(limits):
    """After every kind of change the sign is gone, whether the change was taken or refused."""
    page, seen = limits
    sign = page.locator(".busy")
    working(page, "test", True)  # so that it shows, however fast the answers come
    sign.get_by_text("Working…").wait_for()
    page.get_by_label("Demo design").select_option("Touring six")
    page.locator(".title").filter(has_text="Touring six").wait_for()
    for value in ("90", "-5"):
        box = page.get_by_label("Stroke", exact=True)
        box.fill(value)
        box.press("Enter")
    page.locator(".problem:visible").wait_for()
    page.locator("input[type=file]").first.set_input_files(
        {"name": "x.toml", "mimeType": "text/plain", "buffer": b"nonsense"}
    )
    page.get_by_text("x.toml").wait_for()
    working(page, "test", False)
    sign.filter(has_not_text="Working").wait_for(state="attached")
    assert seen.errors == []
