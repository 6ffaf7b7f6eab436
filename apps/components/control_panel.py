"""The controls' browser component: boxes and sliders, one change under way at a time."""

from collections.abc import Callable
from typing import Any

import param

from apps.components.asking import AskingComponent
from viz.browser import bundle, styles


class ControlPanel(AskingComponent):
    """Shows groups of fields and sends `{kind: "change", key, value, serial}` to `on_change`.

    The browser sends the next change when `answered` has reached the last one's serial, so that
    a fast slider never queues: the latest value wins.
    """

    groups = param.List(default=[], doc="title, open, controls: key, label, unit, slider, why")
    values = param.Dict(default={}, doc="value by key, in the display unit")
    reference = param.Dict(default={}, doc="the same of the reference")
    problem = param.Dict(default={}, doc="key, text of what is wrong, or empty")
    answered = param.Integer(default=0, doc="serial of the last change dealt with")

    _esm = bundle("shared/control_panel.js")
    _stylesheets = styles("shared/base.css", "shared/number_box.css", "shared/control_panel.css")

    def __init__(self, on_change: Callable[[str, Any], None], **params: Any) -> None:
        super().__init__(self._change, **params)
        self._on_change = on_change

    def _change(self, wanted: dict[str, Any]) -> None:
        """Make one change and say that it is dealt with, so that the next may come."""
        try:
            self._on_change(wanted["key"][:80], wanted["value"])
        finally:
            self.answered = wanted["serial"]
