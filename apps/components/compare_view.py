"""Two designs side by side as browser components: what is compared, and the tables."""

import numpy as np
import param

from apps.components.asking import AskingComponent
from viz.browser import bundle, styles


class CompareView(AskingComponent):
    """Names designs A and B, chooses the speeds and the plots that are shown, and feeds them.

    It asks with `{kind: "demo", side, name}`, `{kind: "open", side, name, text}`,
    `{kind: "speed", rpm}` and `{kind: "swap"}`; the sides are "a" and "b".
    """

    blob = param.Array(default=np.zeros(0, np.uint8), doc="scene.scene_bytes of B")
    reference_blob = param.Array(default=np.zeros(0, np.uint8), doc="the same of A, or empty")
    sides = param.String(
        default="", doc="as JSON, of a and b: name, note, demo, rated rpm, or null; rpm of both"
    )
    demos = param.List(default=[], doc="names of the demo designs")
    feeds = param.List(default=[], doc="feed of each figure on the page")
    first = param.List(default=[], doc="names of the figures that are shown at first")

    _esm = bundle("compare/compare_view.js")
    _stylesheets = styles("shared/base.css", "shared/number_box.css", "compare/compare_view.css")


class CompareTables(AskingComponent):
    """Shows the inputs that differ, results and limits; it asks with `{kind: "table"}` for a file,
    and with `{kind: "example"}` for two designs to compare.

    The results are those of the view that is chosen beside it.
    """

    tables = param.String(default="", doc="comparison_table.comparison_message as JSON, or empty")

    _esm = bundle("compare/compare_tables.js")
    _stylesheets = styles("shared/base.css", "shared/number_box.css", "compare/compare_tables.css")
