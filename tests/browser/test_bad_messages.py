"""Messages that no page of ours sends: refused in words, and nobody's work is stopped by them."""

import pytest

from tests.browser.waiting import wait_until_drawn

pytestmark = pytest.mark.browser

KEEP_SOCKETS = """
window.sockets = [];
const Plain = window.WebSocket;
window.WebSocket = class extends Plain {
  constructor(...given) { super(...given); window.sockets.push(this); }
};
"""
SEND_PATCH = """(event) => {
  const models = Bokeh.documents.flatMap(doc => [...doc._all_models.values()]);
  const bar = models.find((one) => one.class_name === "CommandBar");
  const content = JSON.stringify({ events: [event] }).replaceAll("THE_BAR", bar.id);
  const header = JSON.stringify({ msgid: crypto.randomUUID(), msgtype: "PATCH-DOC" });
  for (const part of [header, "{}", content]) window.sockets.at(-1).send(part);
}"""
UNKNOWN_MODEL = {"kind": "ModelChanged", "model": {"id": "none"}, "attr": "title", "new": "x"}


def told(data):
    """The patch by which the top bar says something to Python."""
    entries = [["model", {"id": "THE_BAR"}], ["data", data]]
    event = {"type": "event", "name": "data_event", "values": {"type": "map", "entries": entries}}
    return {"kind": "MessageSent", "msg_type": "bokeh_event", "msg_data": event}


def table(**fields):
    return {"type": "map", "entries": [list(pair) for pair in fields.items()]}


@pytest.fixture
def hostile(context, address):
    """A page whose socket a test may write to."""
    page = context.new_page()
    page.add_init_script(KEEP_SOCKETS)
    page.goto(f"{address}train")
    wait_until_drawn(page)
    yield page
    page.close()


def message(page, words):
    page.locator(".message").filter(has_text=words).wait_for()


def reported(page):
    """Make a report on a page, and return its text."""
    with page.expect_download(timeout=90_000) as download:
        page.locator("summary", has_text="File").click()
        page.get_by_role("button", name="Make a report").click()
    with open(download.value.path(), encoding="utf-8") as stream:
        return stream.read()


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (table(kind=[1, 2]), "kind must be one of"),
        (table(kind="explode"), "kind must be one of"),
        (table(kind="demo", name=7), "demo.name must be text"),
        ([1, 2], "must be a table"),
    ],
)
def test_a_bad_message_is_refused_in_words(hostile, data, words):
    hostile.evaluate(SEND_PATCH, told(data))
    message(hostile, words)
    hostile.get_by_role("button", name="Set reference").click()
    hostile.get_by_role("button", name="Replace reference").wait_for()


def test_reports_come_out_after_bad_messages(hostile, opened):
    page, seen = opened
    for event in (UNKNOWN_MODEL, told(table(kind=[1, 2])), UNKNOWN_MODEL):
        hostile.evaluate(SEND_PATCH, event)
    message(hostile, "kind must be one of")
    for one in (hostile, page):
        text = reported(one)
        assert len(text) > 1_000_000
        message(one, "The report is ready")
    assert seen.errors == []
