"""What a proposal would need: changes, each alone, that bring its governing limit where it should.

As the rev limit page has them: to the red line where the limit lies below it, at once recalculated.
"""

import math
from typing import Any

from kinematics.limits.speed_limits import Ladder
from viz.rev_limit.rev_limit_raise import offers
from viz.speed_words import rpm, rpm_text

MOST = 4  # offers that are shown


def needed_message(ladder: Ladder) -> dict[str, Any]:
    """Return a heading and the changes; empty where the governing limit needs no raising."""
    first = ladder.lowest
    if first is None or not 0 < first.limit < ladder.red_line:
        return {"title": "", "offers": []}
    gain = math.ceil(rpm(ladder.red_line) - rpm(first.limit))
    return {
        "title": f"To hold the red line, {rpm_text(ladder.red_line)}, one of these",
        "offers": [offer.words for offer in offers(ladder, gain)[:MOST]],
    }
