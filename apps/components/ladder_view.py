"""The ladder of speed limits as a browser component: one row a limit, and the same as a table."""

from collections.abc import Callable
from typing import Any

import panel as pn
import param
from panel.custom import JSComponent
from panel.io import hold

from viz.browser import script, text


class LadderView(JSComponent):
    """Shows a ladder and hands what the reader asks for to `on_ask`.

    It asks with `{kind: "pick", key}` for a rung, and with `{kind: "table"}` for the table's file.
    It also keeps the page's figures in the theme's colours.
    """

    ladder = param.String(default="", doc="limit_board.ladder_message and the name, as JSON")
    picked = param.String(default="", doc="key of the rung that is picked")

    _esm = script("shared", "recolour", "ladder")
    _stylesheets = [text("base.css"), text("ladder.css")]

    def __init__(self, on_ask: Callable[[dict[str, Any]], None], **params: Any) -> None:
        super().__init__(**params)
        self._on_ask = on_ask

    def _handle_msg(self, data: Any) -> None:
        """Do what is asked once the page is loaded: before that, an answer would not be sent."""
        if isinstance(data, dict):
            pn.state.onload(lambda: self._do(data))

    def _do(self, wanted: dict[str, Any]) -> None:
        with hold():
            self._on_ask(wanted)
