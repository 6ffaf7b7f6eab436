"""The browser component of a design's own criteria: their list, and a form in a dialog."""

import param

from apps.components.asking import AskingComponent
from viz.browser import bundle, styles


class OwnCriteriaForm(AskingComponent):
    """Lists the design's own criteria; adds, changes and removes them.

    It asks with `{kind: "check", form, serial}` while something is typed, with `{kind: "save", …}`
    to have it, and with `{kind: "remove", index}`.
    """

    rows = param.List(default=[], doc="fields of each criterion, and the whole of it in words")
    names = param.List(default=[], doc="name, what it is, unit of all that may be named")
    units = param.List(default=[], doc="key and symbol of the units that a result may have")
    most = param.Integer(default=0, doc="how many there may be")

    _esm = bundle("limits/own_criteria.js")
    _stylesheets = styles("shared/base.css", "shared/number_box.css", "limits/own_criteria.css")

    def answer(self, serial: int, problems: dict[str, str], words: str, *, saved: bool) -> None:
        """Say what is wrong by field, what the criterion comes to, and whether it was saved."""
        self.send("answer", serial=serial, problems=problems, words=words, saved=saved)
