"""What the browser may say to Python: kinds and types are declared, all else is refused."""

import importlib
import pkgutil
import re

import pytest

import apps.components
from apps.components import command_bar, shaft_tabs
from apps.components.asking import AskingComponent, checked_message
from apps.components.command_bar import CommandBar
from apps.failures import MessageError, plain_words
from viz.browser import text

BAR = CommandBar.messages


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (None, "must be a table (got None)"),
        ([1], "must be a table"),
        ({}, "CommandBar.kind must be one of model, pin"),
        ({"kind": [1, 2]}, "(got [1, 2])"),
        ({"kind": {"a": 1}}, "CommandBar.kind must be one of"),
        ({"kind": "explode"}, "(got 'explode')"),
        ({"kind": "demo", "name": 7}, "demo.name must be text (got 7)"),
        ({"kind": "design", "name": "a.toml"}, "design.text must be text (got None)"),
        ({"kind": "draft", "serial": "1"}, "draft.serial must be a whole number or nothing"),
        ({"kind": "draft", "serial": True}, "draft.serial must be"),
        ({"kind": "x" * 100_000}, "…"),
    ],
)
def test_a_wrong_message_is_refused_by_name(data, words):
    with pytest.raises(MessageError) as refused:
        checked_message(data, BAR, "CommandBar")
    assert words in str(refused.value)
    assert len(str(refused.value)) < 250


@pytest.mark.parametrize(
    "fields",
    [
        {"scheme": "every_web", "rotating": True, "reciprocating": 0, "aside": True},
        {"scheme": "every_web", "rotating": 100, "reciprocating": "0", "aside": True},
        {"scheme": "every_web", "rotating": 100, "reciprocating": 0, "aside": 1},
    ],
)
def test_a_truth_value_is_no_number_and_a_number_none(fields):
    with pytest.raises(MessageError):
        checked_message({"kind": "scheme", **fields}, shaft_tabs.SchemeForm.messages, "SchemeForm")


def test_a_good_message_keeps_its_declared_fields_alone():
    message = {"kind": "demo", "name": "Touring six", "more": object()}
    assert checked_message(message, BAR, "CommandBar") == {"kind": "demo", "name": "Touring six"}
    whole = {"kind": "scheme", "scheme": "x", "rotating": 1, "reciprocating": 0.5, "aside": False}
    assert checked_message(whole, shaft_tabs.SchemeForm.messages, "SchemeForm") == whole


def test_a_refused_message_is_logged_and_said(caplog):
    words = plain_words(MessageError("CommandBar.kind must be one of pin (got 7)"))
    assert "got 7" in words
    assert "got 7" in caplog.text
    assert "Traceback" not in caplog.text


def test_every_kind_that_the_bar_sends_is_declared():
    sent = {kind for kind, _ in SENT.findall(text("shared/command_bar.js"))}
    assert sent
    assert sent <= set(BAR)


def test_what_hears_nothing_is_declared_so():
    assert AskingComponent.messages == {}
    assert set(command_bar.CommandBar.messages) > {"report", "restore"}


def components():
    """All components of the pages that ask Python for something and declare how."""
    for module in pkgutil.iter_modules(apps.components.__path__):
        importlib.import_module(f"apps.components.{module.name}")
    return [one for one in AskingComponent.__subclasses__() if one.messages]


SENT = re.compile(
    r"(?:sendMessage\([\w.]+, |\b(?:send|ask)\()"  # to Python, or to what sends it there
    r"\"(\w+)\"(?:, \{((?:[^{}]|\{[^{}]*\})*)\})?\)"
)


def fields_sent(script):
    """The kinds that a script sends, each with the names of its fields."""
    for kind, rest in SENT.findall(script):
        parts = re.sub(r"\([^()]*\)", "", rest).split(",")
        names = {part.split(":")[0].strip() for part in parts if part.strip()}
        if not any(name.startswith("...") for name in names):
            yield kind, names


@pytest.mark.parametrize("component", components(), ids=lambda one: one.__name__)
def test_every_field_that_the_page_sends_is_declared(component):
    """A field left out of the declaration would be dropped in silence."""
    for kind, names in fields_sent(component._esm):
        fields = component.messages.get(kind)
        if fields is not None:
            assert names <= set(fields), (component.__name__, kind)
