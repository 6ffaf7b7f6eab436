"""The main numbers' browser component: tiles that open to their formulas, and a table."""

import param

from apps.components.asking import BrowserComponent
from viz.browser import script, text


class NumberBoard(BrowserComponent):
    """Shows main numbers; all text is set as text in the browser, never as HTML."""

    numbers = param.String(
        default="[]",
        doc="as JSON, which passes quicker than a list: key, label, text, unit, place, formula, "
        "put_in, conventions, source, headline, reference, difference",
    )
    pinned = param.String(default="", doc="what is pinned, in words, or empty")

    _esm = script("shared", "number_board")
    _stylesheets = [text("base.css"), text("number_board.css")]
