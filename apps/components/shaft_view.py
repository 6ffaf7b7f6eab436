"""The shaft's drawing with its bodies, and its tiles, as browser components."""

import param

from apps.components.asking import AskingComponent, BrowserComponent
from viz.browser import bundle, styles


class ShaftView(AskingComponent):
    """Draws the shaft in two views; picking and turning stay in the browser.

    It asks with `{kind: "tab", key}` for what a tab shows once the reader opens it. It also keeps
    the page's figures in the theme's colours.
    """

    scene = param.String(default="", doc="shaft_scene as JSON")

    _esm = bundle("shaft/shaft_view.js")
    _stylesheets = styles("shared/base.css", "shaft/shaft_view.css")


class ShaftBoard(BrowserComponent):
    """Shows the main numbers, and mass and inertia by kind of body."""

    tiles = param.String(default="", doc="shaft_board.tiles_message as JSON")
    kinds = param.String(default="", doc="shaft_board.kinds_message as JSON")
    words = param.String(default="", doc="what the design lacks, or nothing")

    _esm = bundle("shaft/shaft_board.js")
    _stylesheets = styles("shared/base.css", "shaft/shaft_board.css")
