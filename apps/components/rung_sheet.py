"""The picked rung's sheet as a browser component: formula, values, allowable, sensitivities."""

import param
from panel.custom import JSComponent

from viz.browser import script, text


class RungSheet(JSComponent):
    """Shows one rung; in the browser it also titles the rung's figures and picks the second."""

    sheet = param.String(default="", doc="limit_board.sheet_message as JSON, or empty")

    _esm = script("shared", "rung_sheet")
    _stylesheets = [text("base.css"), text("rung_sheet.css")]
