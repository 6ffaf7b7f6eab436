"""The data sheet's browser component: every entry of a design as a row to edit."""

import param

from apps.components.asking import AskingComponent
from viz.browser import bundle, styles


class DataSheet(AskingComponent):
    """Shows rows by part and sends the cells that are changed.

    It asks with `{kind: "edit", cells, serial}`, each cell a key, a column and a text, with
    `{kind: "table"}` for the sheet as a file, with `{kind: "add", group}` for a group that is
    missing and `{kind: "remove", group}` to do without one, and with `{kind: "create", form}` for a
    new design. `patch` holds the rows that are no longer as in `rows`, so that a change of one
    value sends one row.
    """

    parts = param.List(default=[], doc="group, title, given, removable of each part, in order")
    rows = param.List(default=[], doc="rows as of `apps.controls.sheet_rows`")
    patch = param.Dict(default={}, doc="rows by key, in place of those of `rows`")
    words = param.List(default=[], doc="words of origin that may be chosen")

    fields = param.List(default=[], doc="fields of a new design: key, label, unit, choices, value")

    _esm = bundle("data_sheet/data_sheet.js")
    _stylesheets = styles(
        "shared/base.css", "shared/number_box.css", "data_sheet/data_sheet_table.css"
    )

    def created(self, problems: dict[str, str]) -> None:
        """Say what is wrong with the form of a new design by field, or nothing: it is made."""
        self.send("created", problems=problems)

    def answer(self, serial: int, refused: list[dict[str, str]]) -> None:
        """Say which cells of a request are refused: key, column, text and problem of each."""
        self.send("answer", serial=serial, refused=refused)
