"""What stands in the tabs of the shaft's page, as browser components."""

import param

from apps.components.asking import AskingComponent
from viz.browser import bundle, styles

_STYLES = styles("shared/base.css", "shaft/shaft_tabs.css")


class ShaftTable(AskingComponent):
    """Shows tables; asks with `{kind: "csv", of}` for them as a file."""

    table = param.String(default="", doc="shaft_table.table_message as JSON")
    of = param.String(default="", doc="what the tables are of, for the file asked for")

    _esm = bundle("shaft/shaft_table.js")
    _stylesheets = _STYLES


class ShaftNotes(AskingComponent):
    """Shows sentences under the charts."""

    notes = param.List(default=[], item_type=str)

    _esm = bundle("shaft/shaft_notes.js")
    _stylesheets = _STYLES


class ThrowForm(AskingComponent):
    """Asks with `{kind: "solve_throw"}` for the design's throw by finite elements."""

    possible = param.Boolean(default=True, doc="whether the design has a throw's sizes")
    busy = param.Boolean(default=False, doc="whether it is being solved")
    problem = param.String(default="", doc="why it was not solved")

    _esm = bundle("shaft/throw_form.js")
    _stylesheets = _STYLES


class SchemeForm(AskingComponent):
    """Chooses a scheme of counterweights and shares [%], and warns of what is left unbalanced.

    It asks with `{kind: "scheme", scheme, rotating, reciprocating, aside}` for what they would be,
    and with `{kind: "apply_scheme"}` and the same to put them on the design; `aside` turns them
    so that the shaft stays balanced.
    """

    schemes = param.List(default=[], doc="pairs of key and words")
    warnings = param.List(default=[], item_type=str)
    outcome = param.String(default="", doc="what the last press did")

    _esm = bundle("shaft/shaft_scheme.js")
    _stylesheets = _STYLES


class TradeOff(AskingComponent):
    """Asks for minimum inertia over main load, picks a point of it and applies it to the design.

    It asks with `{kind: "front", measure, aside, moment_bound, serial}`, the bound null for none,
    is busy until `answered` has reached the serial, with `{kind: "limit", share}` for the minimum
    inertia at a share of the way from the lowest load to that of minimum inertia, and with
    `{kind: "pick_choice", index}` and
    `{kind: "apply_choice", index}`.
    """

    points = param.List(default=[], doc="what each point is, in words")
    selected = param.Integer(default=-1)
    loads = param.List(
        default=[], doc="lowest load, that of minimum inertia, and the selected, shown"
    )
    unit = param.String(default="", doc="unit of the loads")
    moment_unit = param.String(default="", doc="unit of the internal bending moment")
    measure = param.String(default="peak")
    words = param.String(default="", doc="how the present design stands, or why there is nothing")
    title = param.String(default="", doc="title of the figure")
    moment_title = param.String(default="", doc="title of the figure of moments")
    answered = param.Integer(default=0, doc="serial of the last one asked for")

    _esm = bundle("shaft/shaft_trade_off.js")
    _stylesheets = _STYLES
