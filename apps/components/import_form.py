"""The browser components of the imports of measured files."""

import param

from apps.components.asking import AskingComponent
from viz.browser import bundle, styles

_STYLES = styles("shared/base.css", "shared/number_box.css", "train/import_form.css")


class ImportForm(param.Parameterized):
    """What both have: a dialog with a file's first rows, how it is taken, what the checks find.

    It opens itself. It asks with `{kind: "settings", …}`: every field of the form as it stands.
    `shown` is all that it shows: file, preview, fields, choices, problems by field, warnings,
    words, offers, effects.
    """

    shown = param.Dict(default={}, doc="empty before a file is chosen")
    units = param.Dict(default={}, doc="symbol of the unit of a field by its name")
    answered = param.Integer(default=0, doc="serial of the last settings answered")
    used = param.Integer(default=0, doc="counts the files that were taken")


class TraceForm(ImportForm, AskingComponent):
    """The import of measured pressure."""

    _esm = bundle("train/trace_form.js")
    _stylesheets = _STYLES


class CurveForm(ImportForm, AskingComponent):
    """The import of a full-load curve."""

    _esm = bundle("train/curve_form.js")
    _stylesheets = _STYLES
