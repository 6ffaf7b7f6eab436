"""The table of all bearings as a browser component."""

import param

from apps.components.asking import AskingComponent
from viz.browser import bundle, styles


class FilmTable(AskingComponent):
    """Shows all bearings, the one nearest its limit first; all text is set as text.

    It asks with `{kind: "pick", key}` for a bearing, and with `{kind: "table"}` for the file.
    """

    table = param.String(
        default="", doc="as JSON: columns (title, unit), rows (key, verdict, cells), note"
    )
    selected = param.String(default="", doc="key of the bearing that is selected")

    _esm = bundle("film/film_table.js")
    _stylesheets = styles("shared/base.css", "film/film_table.css")
