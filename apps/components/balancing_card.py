"""The balancing card as a browser component: what the machine shows, and the holes for it."""

import param

from apps.components.asking import AskingComponent
from viz.browser import bundle, styles


class BalancingCard(AskingComponent):
    """Takes the machine's reading and the drills at hand, and draws the plan.

    It asks with `{kind: "plan", serial, ...}` for what `fields` names, in the units shown, and
    with `{kind: "holes"}` for the plan as a file. It is busy until `answered` has reached the
    serial.
    """

    fields = param.Dict(default={}, doc="values of the form at first, in the units shown")
    grades = param.List(default=[], doc="pairs of name and words")
    drills = param.List(default=[], doc="pairs of diameter [mm] and words")
    webs = param.List(default=[], doc="numbers of the webs that may be drilled")
    units = param.Dict(default={}, doc="symbols: unbalance, length")
    card = param.String(default="", doc="balancing_card.card_message as JSON, or empty")
    problem = param.String(default="", doc="why the last plan asked for is not shown")
    answered = param.Integer(default=0, doc="serial of the last plan asked for")

    _esm = bundle("shaft/balancing_card.js")
    _stylesheets = styles(
        "shared/base.css",
        "shared/number_box.css",
        "shaft/shaft_tabs.css",
        "shaft/balancing_card.css",
    )
