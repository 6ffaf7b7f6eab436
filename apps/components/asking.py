"""What the browser components share that ask Python for something."""

import hashlib
from collections.abc import Callable
from typing import Any

import panel as pn
from bokeh.document import Document
from panel.custom import JSComponent
from panel.io import hold

from apps.components.messages import MESSAGES, checked_message
from apps.failures import MessageError
from apps.session_units import session_system
from kinematics.units import using_units

MessageHandler = Callable[[dict[str, Any]], None]


class BrowserComponent(JSComponent):
    """What every component of a page is; its script is JavaScript that the browser runs as is."""

    __abstract = True

    def __init__(self, **params: Any) -> None:
        super().__init__(**params)  # type: ignore[no-untyped-call]  # untyped in Panel

    def _get_properties(self, doc: Document | None) -> dict[str, Any]:
        """Return the model's properties; a bundle's name keeps Panel from translating the script.

        The browser takes half a second for that at each opening.
        """
        props: dict[str, Any] = super()._get_properties(doc)
        return props | {"bundle": hashlib.sha256(props["esm"].encode()).hexdigest()}


class AskingComponent(BrowserComponent):
    """Hands each message of the browser, a dict, to `on_ask`; its answers go out together.

    `MESSAGES` says which kinds there are and of what type the fields of each are. Another kind or
    type is refused, another field left out.
    """

    __abstract = True

    def __init__(self, on_ask: MessageHandler, **params: Any) -> None:
        super().__init__(**params)
        self._on_ask = on_ask

    def _handle_msg(self, data: Any) -> None:
        """Do what is asked once the page is loaded: before that, an answer would not be sent."""
        name = type(self).__name__
        checked = checked_message(data, MESSAGES[name].to_python, name)
        pn.state.onload(lambda: self._do(checked))

    def _do(self, wanted: dict[str, Any]) -> None:
        with hold(), using_units(session_system()):
            self._on_ask(wanted)

    def send(self, kind: str, **fields: Any) -> None:
        """Send a message to the browser; raises MessageError for one that is not declared."""
        name, message = type(self).__name__, {"kind": kind, **fields}
        checked = checked_message(message, MESSAGES[name].to_browser, name)
        for key in fields.keys() - checked.keys():
            raise MessageError(f"{name}: {kind}.{key} is not declared")
        self._send_msg(message)
