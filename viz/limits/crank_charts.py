"""The charts of fillets and oil bore: the acceptability factor of every throw."""

from collections.abc import Callable

import numpy as np

from kinematics.limits.speed_limits import Ladder, Rung
from viz.chart import Chart
from viz.limits.rung_chart import bar_chart


def every_throw(place: str) -> Callable[[Ladder, Rung], Chart]:
    """Return a chart of Q for every throw, at the rated speed and at the red line."""

    def chart(ladder: Ladder, rung: Rung) -> Chart:
        both = getattr(rung.parts.acceptability(np.array([ladder.rated, ladder.red_line])), place)
        words = {"pin_fillet": "crankpin fillet", "journal_fillet": "journal fillet",
                 "oil_bore": "oil bore"}[place]  # fmt: skip
        return bar_chart(
            f"Q of the {words} of every throw at rated speed", "acceptability factor Q", "throw",
            both[:, 0], rung.allowed.value, ("at the red line", both[:, 1]),
        )  # fmt: skip

    return chart
