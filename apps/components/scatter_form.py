"""The tolerance study's form, and the bob weights' list, as browser components."""

import param

from apps.components.asking import AskingComponent
from viz.browser import bundle, styles

_STYLES = styles(
    "shared/base.css", "shared/number_box.css", "shaft/shaft_tabs.css", "shaft/scatter_form.css"
)


class ScatterForm(AskingComponent):
    """Takes each kind of part's spread and says what the study finds.

    It asks with `{kind: "scatter", serial, ...}` for what `fields` names, in the units shown; each
    kind's distribution is under its name with `_way`. It is busy until `answered` has reached
    the serial, and while `busy` is on.
    """

    rows = param.List(default=[], doc="of each kind: name, label, unit's symbol")
    fields = param.Dict(default={}, doc="values of the form at first, in the units shown")
    grades = param.List(default=[], doc="pairs of name and words")
    study = param.Dict(default={}, doc="verdict, hint, bob, formulas; empty before one")
    problem = param.String(default="", doc="why the last study asked for is not shown")
    answered = param.Integer(default=0, doc="serial of the last study asked for")
    busy = param.Boolean(default=False, doc="whether a study is under way")

    _esm = bundle("shaft/scatter_form.js")
    _stylesheets = _STYLES


class BobWeights(AskingComponent):
    """Lists what a pin's bob weight is made of, or says that the shaft runs without.

    It asks with `{kind: "bob_weights", share, oil}`, share in % and oil in the unit shown.
    """

    needed = param.Boolean(default=True, doc="whether the shaft runs with bob weights")
    share = param.Number(default=50.0, doc="of the reciprocating mass, in %, at first")
    unit = param.String(default="g", doc="unit of the oil")
    lists = param.List(default=[], doc="of each sort of pin: caption, rows of words and number")
    words = param.String(default="")
    problem = param.String(default="", doc="why the last list asked for is not shown")

    _esm = bundle("shaft/bob_weights.js")
    _stylesheets = _STYLES
