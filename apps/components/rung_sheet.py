"""The selected rung's sheet as a browser component: formula, values, allowable, sensitivities."""

import param

from apps.components.asking import AskingComponent
from viz.browser import bundle, styles


class RungSheet(AskingComponent):
    """Shows one rung; in the browser it also titles the rung's figures and picks the second.

    It hands `{kind: "view", index}` to `on_ask` where the reader wants another of its plots, and
    `{kind: "damper", choice}` where the design is to take the damper of the formula or the chain.
    """

    sheet = param.String(default="", doc="limit_board.sheet_message as JSON, or empty")

    _esm = bundle("limits/rung_sheet.js")
    _stylesheets = styles("shared/base.css", "limits/rung_sheet.css")
