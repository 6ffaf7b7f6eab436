"""Every kind of message between Python and the browser's components, with its fields' types.

The JavaScript sends and hears no other kinds; `tests/apps/test_messages.py` holds it to that.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from apps.failures import MessageError
from kinematics.declaration import shown

ANY = object  # a field that its reader checks, and answers for where it is shown
FORM = None  # in place of fields: a form, whose fields its reader checks
Fields = Mapping[str, Any]  # what `isinstance` takes, by the field's name


@dataclass(frozen=True, slots=True)
class Messages:
    """The kinds of one component with their fields: those it sends to Python, those it hears."""

    to_python: Mapping[str, Fields | None] = field(default_factory=dict)
    to_browser: Mapping[str, Fields | None] = field(default_factory=dict)


_FILE = {"name": str, "text": str}
_SCHEME = {"scheme": str, "rotating": float, "reciprocating": float, "aside": bool}
_STORED = {
    "text": str, "rpm": ANY, "demo": ANY, "reference": ANY, "steps": ANY, "question": ANY,
    "variants": ANY,
}  # fmt: skip
_BAR_COMMANDS = (  # without fields
    "model", "all_fire", "set_reference", "clear_reference", "undo", "redo", "save", "report",
    "fit_list", "solids",
)  # fmt: skip
_IMPORT = Messages(
    {
        "file": {**_FILE, "serial": int},
        "settings": FORM,
        "use": {"serial": int},
        "close": {"serial": int},
    }
)
MESSAGES: Mapping[str, Messages] = {
    "CommandBar": Messages(
        {
            **{key: {} for key in _BAR_COMMANDS},
            "demo": {"name": str},
            "draft": {"serial": int | None},
            "design": _FILE,
            "step": {"text": str, "place": ANY},
            "restore": {**_STORED, "of_link": ANY},
        },
        {
            "draft": {**_STORED, "serial": int | None},
            "storyboard": {"text": str, "index": int},
            "go": {"page": str, "place": dict},
            "file": _FILE,
        },
    ),
    "TraceForm": _IMPORT,
    "CurveForm": _IMPORT,
    "SolidTrainView": Messages({"solid": {"shown": bool, "deflected": bool}}),
    "ControlPanel": Messages({"change": {"key": str, "value": ANY, "serial": int}}),
    "DataSheet": Messages(
        {
            "edit": {"cells": ANY, "serial": int},
            "table": {},
            "add": {"group": str},
            "remove": {"group": str},
            "create": {"form": ANY},
        },
        {"answer": {"serial": int, "refused": list}, "created": {"problems": dict}},
    ),
    "FilmView": Messages({"pick": {"key": str}}),
    "FilmTable": Messages({"pick": {"key": str}, "table": {}}),
    "FilmSurvey": Messages({"survey": {"of": str, "serial": int}, "cancel": {"serial": int}}),
    "ShaftView": Messages({"tab": {"key": str}}),
    "ShaftTable": Messages({"csv": {"of": str}}),
    "ShaftNotes": Messages(),
    "ThrowForm": Messages({"solve_throw": {}}),
    "SchemeForm": Messages({"scheme": _SCHEME, "apply_scheme": _SCHEME}),
    "TradeOff": Messages(
        {
            "front": {"measure": str, "aside": bool, "moment_bound": ANY, "serial": int},
            "limit": {"share": float},
            "pick_choice": {"index": int},
            "apply_choice": {"index": int},
        }
    ),
    "BalancingCard": Messages({"plan": FORM, "holes": {}}),
    "ScatterForm": Messages({"scatter": FORM}),
    "BobWeights": Messages({"bob_weights": FORM}),
    "LadderView": Messages({"pick": {"key": str}, "table": {}}),
    "OwnCriteriaForm": Messages(
        {
            "check": {"form": ANY, "serial": int},
            "save": {"form": ANY, "serial": int},
            "remove": {"index": int},
        },
        {"answer": {"serial": int, "problems": dict, "words": str, "saved": bool}},
    ),
    "RungSheet": Messages({"view": {"index": int}, "damper": {"choice": str}}),
    "ReviewCard": Messages(
        {
            **{key: {} for key in ("refer", "example", "table")},
            "question": {"text": str},
            "rung": {"key": str},
            "keep": {"name": str},
            "curve": {"key": str, "difference": bool},
            "rename": {"index": int, "name": str},
            **{key: {"index": int} for key in ("open", "refer_to", "remove")},
        }
    ),
    "CompareView": Messages(
        {
            "demo": {"side": str, "name": str},
            "open": {"side": str, **_FILE},
            "speed": {"rpm": ANY},
            "swap": {},
        }
    ),
    "CompareTables": Messages({"table": {}, "example": {}}),
    "StepList": Messages(
        {
            **{
                key: {}
                for key in ("add", "take", "use", "go", "delete", "undelete", "save", "example")
            },
            "pick": {"index": int},
            "move": {"by": int},
            "change": {"key": str, "value": ANY},
            "open": _FILE,
            "restore": {"text": ANY, "index": ANY},
        },
        {"keep": {"text": str, "index": int}, "answered": {}},
    ),
    "StoryboardStage": Messages({"pick": {"index": int}}),
    "LessonView": Messages(
        {
            "open": {"key": str, "prediction": ANY},
            "predict": {"choice": ANY, "points": ANY, "value": ANY},
            "check": {"question": ANY, "choice": ANY, "value": ANY},
            "step": {"step": str, "question": ANY},
            "file": _FILE,
        }
    ),
    "RevLimitView": Messages(
        {
            "speed": {"rpm": float},
            "proof": {"key": str, "rpm": float},
            "raise": {"gain": float, "serial": int},
            "solve": {"index": int, "serial": int},
            "apply": {"index": int, "serial": int},
        },
        {"proof": {"proof": str}},
    ),
}


def checked_message(data: Any, kinds: Mapping[str, Fields | None], sender: str) -> dict[str, Any]:
    """Return a message with its declared fields alone; raises MessageError if it breaks them."""
    if not isinstance(data, dict):
        raise MessageError(f"{sender}: a message must be a table (got {shown(data)})")
    kind = data.get("kind")
    if not isinstance(kind, str) or kind not in kinds:
        raise MessageError(f"{sender}.kind must be one of {', '.join(kinds)} (got {shown(kind)})")
    fields = kinds[kind]
    if fields is None:
        return data
    for name, wanted in fields.items():
        if not _is_a(data.get(name), wanted):
            found = f"must be {_words(wanted)} (got {shown(data.get(name))})"
            raise MessageError(f"{sender}: {kind}.{name} {found}")
    return {"kind": kind, **{name: data.get(name) for name in fields}}


def is_number(value: Any) -> bool:
    """Return whether a field that its reader checks is a finite number; true and false are none."""
    number = isinstance(value, (int, float)) and not isinstance(value, bool)
    return number and math.isfinite(value)


def _is_a(value: Any, wanted: Any) -> bool:
    """Return whether a value is of a type; a truth value is no number, a whole number is one."""
    if isinstance(value, bool):
        return wanted in (bool, ANY)
    return isinstance(value, (int, float) if wanted is float else wanted)


def _words(wanted: Any) -> str:
    names = {str: "text", int: "a whole number", float: "a number", bool: "true or false"}
    return names.get(wanted, "a table" if wanted is dict else "a whole number or nothing")
