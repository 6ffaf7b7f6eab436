"""The controls' browser component: boxes and sliders, one change under way at a time."""

from collections.abc import Callable
from typing import Any

import panel as pn
import param
from panel.custom import JSComponent
from panel.io import hold

from viz.browser import script, text


class ControlPanel(JSComponent):
    """Shows groups of fields and sends `{kind: "change", key, value, serial}` to `on_change`.

    The browser sends the next change when `answered` has reached the last one's serial, so that
    a fast slider never queues: the latest value wins.
    """

    groups = param.List(default=[], doc="title, open, controls: key, label, unit, slider, why")
    values = param.Dict(default={}, doc="value by key, in the display unit")
    reference = param.Dict(default={}, doc="the same of the pinned design")
    problem = param.Dict(default={}, doc="key, text of what is wrong, or empty")
    answered = param.Integer(default=0, doc="serial of the last change dealt with")

    _esm = script("shared", "control_panel")
    _stylesheets = [text("base.css"), text("control_panel.css")]

    def __init__(self, on_change: Callable[[str, Any], None], **params: Any) -> None:
        super().__init__(**params)
        self._on_change = on_change

    def _handle_msg(self, data: Any) -> None:
        """Take a change once the page is loaded: before that, its answer would not be sent."""
        if isinstance(data, dict) and data.get("kind") == "change":
            pn.state.onload(lambda: self._change(data))

    def _change(self, data: dict[str, Any]) -> None:
        serial = data.get("serial")
        with hold():  # all that a change brings goes to the browser in one message
            self._on_change(str(data.get("key"))[:80], data.get("value"))
            if isinstance(serial, int):
                self.answered = serial
