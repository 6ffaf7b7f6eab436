"""What the browser components share that ask Python for something."""

from collections.abc import Callable
from typing import Any

import panel as pn
from panel.custom import JSComponent
from panel.io import hold

from apps.session_units import session_system
from kinematics.units import shown_in


class AskingComponent(JSComponent):
    """Hands each message of the browser, a dict, to `on_ask`; its answers go out together."""

    __abstract = True

    def __init__(self, on_ask: Callable[[dict[str, Any]], None], **params: Any) -> None:
        super().__init__(**params)
        self._on_ask = on_ask

    def _handle_msg(self, data: Any) -> None:
        """Do what is asked once the page is loaded: before that, an answer would not be sent."""
        if isinstance(data, dict):
            pn.state.onload(lambda: self._do(data))

    def _do(self, wanted: dict[str, Any]) -> None:
        with hold(), shown_in(session_system()):
            self._on_ask(wanted)
