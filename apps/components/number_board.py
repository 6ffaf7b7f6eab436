"""The main numbers' browser component: tiles that open to their formulas, and a table."""

import param

from apps.components.asking import BrowserComponent
from viz.browser import bundle, styles


class NumberBoard(BrowserComponent):
    """Shows main numbers; all text is set as text in the browser, never as HTML."""

    numbers = param.String(
        default="[]",
        doc="as JSON, which passes quicker than a list: key, label, text, unit, place, formula, "
        "substitution, conventions, source, headline, reference, difference",
    )
    reference = param.String(default="", doc="words of the reference, or empty")

    _esm = bundle("shared/number_board.js")
    _stylesheets = styles("shared/base.css", "shared/number_board.css")
