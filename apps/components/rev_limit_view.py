"""The rev limit as a browser component: the speed slider and all that is said at it."""

import param

from apps.components.asking import AskingComponent
from viz.browser import bundle, styles


class RevLimitView(AskingComponent):
    """Words the rev limit at every speed; all text is set as text.

    It asks with `{kind: "speed", rpm}` once the slider rests, with `{kind: "proof", key, rpm}` for
    the formulas of a line, with `{kind: "raise", gain, serial}` for what would raise the first
    limit, with `{kind: "solve", index, serial}` for the outcome of one of these, and with
    `{kind: "apply", index, serial}` to show it. It waits until `answered` has reached the serial.
    """

    board = param.String(default="", doc="rev_limit_lines.rev_limit_message and the gains, as JSON")
    speed = param.Number(default=0.0, doc="the page's speed [rpm]")
    raising = param.String(
        default="", doc="before, offers (words, result, outcome), after, as JSON"
    )
    answered = param.Integer(default=0, doc="serial of the last question dealt with")

    _esm = bundle("rev_limit/rev_limit_view.js")
    _stylesheets = styles("shared/base.css", "rev_limit/rev_limit_view.css")

    def show_proof(self, proof: str) -> None:
        """Let the browser show a rev_limit_lines.proof_message, given as JSON."""
        self.send("proof", proof=proof)
