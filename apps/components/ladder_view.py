"""The ladder of speed limits as a browser component: one row a limit, and the same as a table."""

import param

from apps.components.asking import AskingComponent
from viz.browser import bundle, styles


class LadderView(AskingComponent):
    """Shows a ladder and hands what the reader asks for to `on_ask`.

    It asks with `{kind: "pick", key}` for a rung, and with `{kind: "table"}` for the table's file.
    It also keeps the page's figures in the theme's colours.
    """

    ladder = param.String(default="", doc="limit_board.ladder_message and the name, as JSON")
    bands = param.String(default="", doc="limit_board.bands_by_rung and `of`, the ladder's serial")
    selected = param.String(default="", doc="key of the rung that is selected")

    _esm = bundle("limits/ladder.js")
    _stylesheets = styles("shared/base.css", "limits/ladder.css")
