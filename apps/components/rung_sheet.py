"""The picked rung's sheet as a browser component: formula, values, allowable, sensitivities."""

from collections.abc import Callable
from typing import Any

import param
from panel.custom import JSComponent
from panel.io import hold

from viz.browser import script, text


class RungSheet(JSComponent):
    """Shows one rung; in the browser it also titles the rung's figures and picks the second.

    It hands `{kind: "view", index}` to `on_ask` where the reader wants another of its plots.
    """

    sheet = param.String(default="", doc="limit_board.sheet_message as JSON, or empty")

    _esm = script("shared", "rung_sheet")
    _stylesheets = [text("base.css"), text("rung_sheet.css")]

    def __init__(self, on_ask: Callable[[dict[str, Any]], None], **params: Any) -> None:
        super().__init__(**params)
        self._on_ask = on_ask

    def _handle_msg(self, data: Any) -> None:
        if isinstance(data, dict):
            with hold():
                self._on_ask(data)
