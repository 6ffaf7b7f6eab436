"""What the browser may say to Python: kinds and types are declared, all else is refused."""

import pytest

from apps.components.messages import MESSAGES, checked_message
from apps.failures import MessageError, plain_words

BAR = MESSAGES["CommandBar"].to_python
SCHEME = MESSAGES["SchemeForm"].to_python


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (None, "must be a table (got None)"),
        ([1], "must be a table"),
        ({}, "CommandBar.kind must be one of model, all_fire, set_reference"),
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
        checked_message(
            {"kind": "scheme", **fields}, MESSAGES["SchemeForm"].to_python, "SchemeForm"
        )


def test_a_good_message_keeps_its_declared_fields_alone():
    message = {"kind": "demo", "name": "Touring six", "more": object()}
    assert checked_message(message, BAR, "CommandBar") == {"kind": "demo", "name": "Touring six"}
    whole = {"kind": "scheme", "scheme": "x", "rotating": 1, "reciprocating": 0.5, "aside": False}
    assert checked_message(whole, SCHEME, "SchemeForm") == whole


def test_a_refused_message_is_logged_and_said(caplog):
    words = plain_words(MessageError("CommandBar.kind must be one of set_reference (got 7)"))
    assert "got 7" in words
    assert "got 7" in caplog.text
    assert "Traceback" not in caplog.text
