"""What a verdict is called on every page, in every table and file.

The verdict on a criterion is the ladder's alone (`Ladder.verdict`): it covers every speed up to the
rated one and the reserve up to the red line, and is marginal at best where what is left out exceeds
the allowable by itself, as an edge film does. A guide value has none: it is flagged. A film shown
at one speed has no verdict; it meets its allowable there or it does not.
"""

from typing import Final

WITHIN: Final = "within"
MARGINAL: Final = "marginal"
OVER: Final = "over"
GUIDE: Final = "guide"  # no verdict: a rule of thumb is flagged, whatever its limit
VERDICTS = {
    OVER: "allowable exceeded at or below the rated speed",
    MARGINAL: "first exceeded between rated speed and red line, or what is left out (†) exceeds it",
    WITHIN: "not exceeded up to the red line",
}  # the worst first

MET: Final = "met"
EDGE: Final = "edge"
NOT_MET: Final = "not_met"
AT_SPEED = {MET: "met", EDGE: "edge film low", NOT_MET: "not met"}
AT_SPEED_TITLE = "At this speed"


def worst_verdict(verdicts: set[str]) -> str:
    """Return the worst of some verdicts, empty where there is none."""
    return next((word for word in VERDICTS if word in verdicts), "")
