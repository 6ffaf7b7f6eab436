"""What the browser components share that ask Python for something."""

from collections.abc import Callable, Mapping
from types import MappingProxyType
from typing import Any

import panel as pn
from panel.custom import JSComponent
from panel.io import hold

from apps.failures import MessageError
from apps.session_units import session_system
from kinematics.declaration import shown
from kinematics.units import using_units

ANY = object  # a field that its reader checks, and answers for where it is shown
MessageHandler = Callable[[dict[str, Any]], None]
Fields = Mapping[str, Any]  # what `isinstance` takes, by the field's name


class BrowserComponent(JSComponent):
    """What every component of a page is."""

    __abstract = True

    def __init__(self, **params: Any) -> None:
        super().__init__(**params)  # type: ignore[no-untyped-call]  # untyped in Panel


class AskingComponent(BrowserComponent):
    """Hands each message of the browser, a dict, to `on_ask`; its answers go out together.

    `messages` says which kinds there are and of what type the fields of each are; None is a form,
    whose fields its reader checks. Another kind or type is refused, another field left out.
    """

    __abstract = True

    messages: Mapping[str, Fields | None] = MappingProxyType({})

    def __init__(self, on_ask: MessageHandler, **params: Any) -> None:
        super().__init__(**params)
        self._on_ask = on_ask

    def _handle_msg(self, data: Any) -> None:
        """Do what is asked once the page is loaded: before that, an answer would not be sent."""
        checked = checked_message(data, self.messages, type(self).__name__)
        pn.state.onload(lambda: self._do(checked))

    def _do(self, wanted: dict[str, Any]) -> None:
        with hold(), using_units(session_system()):
            self._on_ask(wanted)


def checked_message(
    data: Any, messages: Mapping[str, Fields | None], sender: str
) -> dict[str, Any]:
    """Return a message of the browser; raises MessageError for one that is not as declared."""
    if not isinstance(data, dict):
        raise MessageError(f"{sender}: a message must be a table (got {shown(data)})")
    kind = data.get("kind")
    if not isinstance(kind, str) or kind not in messages:
        raise MessageError(
            f"{sender}.kind must be one of {', '.join(messages)} (got {shown(kind)})"
        )
    fields = messages[kind]
    if fields is None:
        return data
    for name, wanted in fields.items():
        if not _is_a(data.get(name), wanted):
            found = f"must be {_words(wanted)} (got {shown(data.get(name))})"
            raise MessageError(f"{sender}: {kind}.{name} {found}")
    return {"kind": kind, **{name: data.get(name) for name in fields}}


def _is_a(value: Any, wanted: Any) -> bool:
    """Return whether a value is of a type; a truth value is no number, a whole number is one."""
    if isinstance(value, bool):
        return wanted in (bool, ANY)
    return isinstance(value, (int, float) if wanted is float else wanted)


def _words(wanted: Any) -> str:
    names = {str: "text", int: "a whole number", float: "a number", bool: "true or false"}
    return names.get(wanted, "a whole number or nothing")
