"""The top bar's browser component: demo designs, files, the pinned reference, the theme."""

from collections.abc import Callable
from typing import Any

import param
from panel.custom import JSComponent
from panel.io import hold

from viz.browser import script, text


class CommandBar(JSComponent):
    """Shows what is open and hands each command of the reader to `on_command`."""

    title = param.String(default="", doc="name of the design")
    note = param.String(default="", doc="its note")
    demos = param.List(default=[], doc="names of the demo designs")
    demo = param.String(default="", doc="name of the demo that is open, or empty")
    pinned = param.String(default="", doc="what is pinned, in words, or empty")
    on_trace = param.Boolean(default=False, doc="whether it can go back to the pressure model")
    message = param.Dict(default={}, doc="text, and bad if something went wrong")

    _esm = script("shared", "command_bar")
    _stylesheets = [text("base.css"), text("command_bar.css")]

    def __init__(self, on_command: Callable[[dict[str, Any]], None], **params: Any) -> None:
        super().__init__(**params)
        self._on_command = on_command

    def _handle_msg(self, data: Any) -> None:
        if isinstance(data, dict):
            with hold():
                self._on_command(data)

    def keep_draft(self, content: str, speed_rpm: float) -> None:
        """Let the browser's tab keep the design, for a reload."""
        self._send_msg({"kind": "draft", "text": content, "rpm": speed_rpm})

    def offer_file(self, name: str, content: str) -> None:
        """Let the browser save a text under a name."""
        self._send_msg({"kind": "file", "name": name, "text": content})
