"""The browser component of the import of measured pressure."""

import param

from apps.components.asking import AskingComponent
from viz.browser import bundle, styles


class TraceForm(AskingComponent):
    """A dialog: a file's first rows, how it is taken, what the checks find; it opens itself.

    It asks with `{kind: "settings", …}`: every field of the form as it stands. `shown` is all that
    it shows: file, preview, fields, choices, problems by field, warnings, words, offers, effects.
    """

    shown = param.Dict(default={}, doc="empty before a file is chosen")
    units = param.Dict(default={}, doc="symbol of the unit of a field by its name")
    answered = param.Integer(default=0, doc="serial of the last settings answered")
    used = param.Integer(default=0, doc="counts the traces that were taken")

    _esm = bundle("train/trace_form.js")
    _stylesheets = styles("shared/base.css", "shared/number_box.css", "train/trace_form.css")
