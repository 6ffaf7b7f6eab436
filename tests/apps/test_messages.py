"""Kinds of messages: what the JavaScript sends and hears is what is declared, both ways."""

import importlib
import pkgutil
import re

import pytest

import apps.components
from apps.components.asking import AskingComponent
from apps.components.messages import MESSAGES
from apps.failures import MessageError

SENT = re.compile(
    r"(?:sendMessage\([\w.]+, |\b(?:send|ask)\()"  # to Python, or to what sends it there
    r"\"(\w+)\"(?:, \{((?:[^{}]|\{[^{}]*\})*)\})?\)"
)
HEARD = re.compile(r"(?:(?<![\w.])|\bmessage\.)kind === \"(\w+)\"")


def components():
    """All components of the pages that pass messages, by name."""
    for module in pkgutil.iter_modules(apps.components.__path__):
        importlib.import_module(f"apps.components.{module.name}")
    return {one.__name__: one for one in AskingComponent.__subclasses__()}


COMPONENTS = components()
EMBEDDED = {"StoryboardStage": "LadderView"}  # a view within, which sends nothing on to Python
per_component = pytest.mark.parametrize("name", COMPONENTS)


def fields_sent(script):
    """The kinds that a script sends, each with the names of its fields."""
    for kind, rest in SENT.findall(script):
        parts = re.sub(r"\([^()]*\)", "", rest).split(",")
        names = {part.split(":")[0].strip() for part in parts if part.strip()}
        yield kind, {name for name in names if not name.startswith("...")}


def test_every_component_has_its_place_in_the_list():
    assert set(MESSAGES) == set(COMPONENTS)


@per_component
def test_what_the_browser_sends_is_declared(name):
    """A kind or field left out of the declaration would be refused or dropped."""
    declared = MESSAGES[name].to_python
    within = COMPONENTS[EMBEDDED[name]]._esm if name in EMBEDDED else ""
    own = [sent for sent in fields_sent(COMPONENTS[name]._esm) if sent not in fields_sent(within)]
    for kind, names in own:
        assert kind in declared, (name, kind)
        if declared[kind] is not None:
            assert names <= set(declared[kind]), (name, kind)


@per_component
def test_no_declared_kind_is_dead(name):
    script = COMPONENTS[name]._esm
    missing = [kind for kind in MESSAGES[name].to_python if f'"{kind}"' not in script]
    assert missing == []


@per_component
def test_what_the_browser_hears_is_what_is_sent_to_it(name):
    script = COMPONENTS[name]._esm
    declared = set(MESSAGES[name].to_browser)
    assert ("msg:custom" in script) == bool(declared)
    if declared:
        assert set(HEARD.findall(script)) == declared


@pytest.mark.parametrize(
    ("kind", "fields", "words"),
    [
        ("explode", {}, "CommandBar.kind must be one of draft"),
        ("file", {"name": "a.toml", "text": 7}, "file.text must be text"),
        ("storyboard", {"text": "{}", "index": None}, "storyboard.index must be a whole number"),
        ("go", {"page": "Limits", "place": []}, "go.place must be a table"),
        ("file", {"name": "a", "text": "b", "more": 1}, "file.more is not declared"),
    ],
)
def test_what_is_not_declared_is_not_sent(kind, fields, words):
    bar = COMPONENTS["CommandBar"](lambda message: None)
    sent = []
    bar._send_msg = sent.append
    with pytest.raises(MessageError, match=re.escape(words)):
        bar.send(kind, **fields)
    assert sent == []
