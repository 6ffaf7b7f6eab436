"""The data sheet's browser component: every entry of a design as a row to edit."""

import param

from apps.components.asking import AskingComponent
from viz.browser import bundle, styles


class DataSheet(AskingComponent):
    """Shows rows by part and sends the cells that are changed.

    It asks with `{kind: "edit", cells, serial}`, each cell a key, a column and a text, and with
    `{kind: "table"}` for the sheet as a file. `patch` holds the rows that are no longer as in
    `rows`, so that a change of one value sends one row.
    """

    parts = param.List(default=[], doc="group, title, given of each part, in order")
    rows = param.List(default=[], doc="rows as of `apps.controls.sheet_rows`")
    patch = param.Dict(default={}, doc="rows by key, in place of those of `rows`")
    words = param.List(default=[], doc="words of origin that may be chosen")

    _esm = bundle("data_sheet/data_sheet.js")
    _stylesheets = styles("shared/base.css", "data_sheet/data_sheet_table.css")

    def answer(self, serial: int, refused: list[dict[str, str]]) -> None:
        """Say which cells of a request are refused: key, column, text and problem of each."""
        self.send("answer", serial=serial, refused=refused)
