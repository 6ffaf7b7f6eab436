"""What a lesson draws on the engine: dwell arcs, the orders of the acceleration, the pin's load."""

import math
from collections.abc import Callable, Iterable
from typing import Any

from kinematics.film.oil_supply import load_density
from kinematics.mechanics.slider_crank import acceleration_harmonics
from kinematics.train.cycle import Cycle
from kinematics.train.dead_centre import dwell
from kinematics.units import UNITS, as_shown, shown_unit
from viz.lessons.lesson_values import DWELL_SHARE

ORDERS = 8  # of the acceleration, of which the sum is exact within a line's width

Mark = dict[str, Any]


def engine_marks(cycle: Cycle, names: Iterable[str]) -> dict[str, Mark]:
    """Return what the browser draws for marks of `MARKS`, by name, in plain numbers."""
    return {name: MARKS[name](cycle) for name in names}


def _dwell(cycle: Cycle) -> Mark:
    found = dwell(cycle.train.crank, DWELL_SHARE)
    return {"top": found.top, "bottom": found.bottom}


def _orders(cycle: Cycle) -> Mark:
    """Return the acceleration's complex orders 1 … `ORDERS` over r·ω², and r·ω² as shown."""
    found = acceleration_harmonics(cycle.train.crank, ORDERS)[1:]
    scale = UNITS["km_s2"].from_si(cycle.train.crank.crank_radius * cycle.speed**2)
    return {
        "real": found.real.tolist(),
        "imaginary": found.imag.tolist(),
        "scale": as_shown(scale, "km_s2"),
        "unit": shown_unit("km_s2").symbol,
    }


def _pin_load(cycle: Cycle) -> Mark:
    """Return the load on the crankpin by angle from outward, the greatest 1."""
    spread = load_density(cycle.bearings.big_end_load("crank")[0])
    peak = float(spread.density.max())
    share = spread.density / peak if peak > 0 else spread.density
    return {"share": [round(float(one), 4) for one in share], "step": 2 * math.pi / share.size}


MARKS: dict[str, Callable[[Cycle], Mark]] = {
    "dwell": _dwell,
    "orders": _orders,
    "pin_load": _pin_load,
}
