"""The socket: foreign pages are refused, a lost connection is said, a reload loses nothing."""

import http.client
import json

import pytest

from apps.server import free_port
from tests.browser.waiting import wait_until_painted

pytestmark = pytest.mark.browser


def handshake_status(address, origin):
    """Return the HTTP status that a socket handshake with an Origin header ends in."""
    host, port = address.removeprefix("http://").rstrip("/").split(":")
    connection = http.client.HTTPConnection(host, int(port), timeout=10)
    headers = {
        "Connection": "Upgrade",
        "Upgrade": "websocket",
        "Sec-WebSocket-Version": "13",
        "Sec-WebSocket-Key": "dGhlIHNhbXBsZSBub25jZQ==",
    }
    connection.request("GET", "/ws", headers=headers | ({"Origin": origin} if origin else {}))
    status = connection.getresponse().status
    connection.close()
    return status


@pytest.mark.parametrize(
    "origin",
    ["http://evil.example", "http://localhost.evil.example", "http://localhost:1", "null"],
)
def test_a_foreign_page_is_refused(address, origin):
    assert handshake_status(address, origin) == 403


def stroke(page):
    return page.get_by_label("Stroke", exact=True)


def change_stroke(page, value):
    stroke(page).fill(str(value))
    stroke(page).press("Enter")
    page.wait_for_function(
        """value => (sessionStorage.getItem("sixthrow-draft") ?? "")
            .includes(`stroke_mm = ${value}`)""",
        arg=value,
    )


def test_a_reload_goes_on_with_the_same_design(opened):
    page, seen = opened
    change_stroke(page, "81.5")
    page.reload()
    page.wait_for_function("window.sixthrow && window.sixthrow.painted > 0")
    page.wait_for_function(DRAFT_SHOWN, arg="81.5")
    assert stroke(page).input_value() == "81.5"
    assert seen.errors == []


DRAFT_SHOWN = """value => {
  const find = (root) => {
    for (const node of root.querySelectorAll("*")) {
      if (node.id === "cylinder-stroke_mm") return node;
      const found = node.shadowRoot && find(node.shadowRoot);
      if (found) return found;
    }
    return null;
  };
  return find(document)?.value === value;
}"""


def test_a_reload_keeps_the_reference_design_and_the_demo_s_name(opened):
    page, seen = opened
    page.get_by_label("Demo design").select_option("Touring six")
    page.locator(".title").filter(has_text="Touring six").wait_for()
    page.get_by_role("button", name="Set reference").click()
    page.get_by_role("button", name="Replace reference").wait_for()
    reference = page.locator(".reference-name").inner_text()
    change_stroke(page, "91.5")
    page.reload()
    page.locator(".reference-name").filter(has_text=reference).wait_for()
    page.wait_for_function(DRAFT_SHOWN, arg="91.5")
    assert page.get_by_label("Demo design").input_value() == "Touring six"
    page.get_by_role("button", name="reference 94 mm").wait_for()
    assert seen.errors == []


def test_a_cleared_reference_does_not_come_back(opened):
    page, _ = opened
    page.get_by_role("button", name="Set reference").click()
    page.wait_for_function("JSON.parse(sessionStorage.getItem('sixthrow-draft'))?.reference?.text")
    page.get_by_role("button", name="Clear reference").click()
    page.wait_for_function(
        "JSON.parse(sessionStorage.getItem('sixthrow-draft')).reference === null"
    )
    page.reload()
    wait_until_painted(page)
    page.get_by_role("button", name="Set reference").wait_for()


def test_a_broken_pin_is_refused_and_the_design_is_back(opened):
    page, seen = opened
    change_stroke(page, "81.5")
    page.evaluate(
        """() => {
          const draft = JSON.parse(sessionStorage.getItem("sixthrow-draft"));
          draft.reference = { text: "schema = 99", rpm: "<b>" };
          draft.demo = "<img src=x>";
          sessionStorage.setItem("sixthrow-draft", JSON.stringify(draft)); }"""
    )
    page.reload()
    page.locator(".message").filter(has_text="reference design stored in this tab").wait_for()
    page.wait_for_function(DRAFT_SHOWN, arg="81.5")
    assert page.get_by_label("Demo design").input_value() == ""
    assert seen.errors == []


def test_a_broken_draft_is_refused_and_the_page_lives(opened):
    page, seen = opened
    page.wait_for_function("sessionStorage.getItem('sixthrow-draft') !== null")
    broken = json.dumps({"text": "schema = 99", "rpm": "x"})
    page.evaluate("text => sessionStorage.setItem('sixthrow-draft', text)", broken)
    page.reload()
    page.locator(".message").filter(has_text="Nothing was changed").wait_for()
    assert seen.errors == []


def test_a_lost_server_is_said_and_comes_back_with_the_design(context, served_anew):
    port = free_port("127.0.0.1")
    server = served_anew(port)
    page = context.new_page()
    page.goto(f"http://localhost:{port}/train")
    page.wait_for_function("window.sixthrow && window.sixthrow.painted > 0")
    change_stroke(page, "82.5")
    server.kill()
    server.wait(10)
    page.locator(".lost.shown").wait_for()
    served_anew(port)
    with page.expect_navigation():
        page.get_by_role("button", name="Reload").click()
    page.wait_for_function("window.sixthrow && window.sixthrow.painted > 0")
    page.wait_for_function(DRAFT_SHOWN, arg="82.5")
    page.close()
