"""The main numbers of a proposal against its reference, each change attributed too."""

import math
from functools import lru_cache
from typing import Any

from kinematics.design.design import Design
from kinematics.errors import DesignError
from kinematics.limits.attribution import Attribution, LadderAttribution
from kinematics.train.cycle import Cycle, solve_cycle
from kinematics.units import UNITS, shown_system
from viz.compare.compared_results import main_entries
from viz.compare.compared_row import Entries, paired_rows
from viz.compare.comparison_table import change_cell
from viz.number_words import MISSING, signed

SHOWN = (  # by key, in this order
    "indicated_power", "mean_torque", "indicated_mean_pressure", "peak_pressure",
    "mean_piston_speed", "rod_compression", "rod_tension", "side_thrust_major",
    "side_thrust_minor", "big_end_load", "main_load",
)  # fmt: skip


@lru_cache(maxsize=16)
def rated_cycle(design: Design) -> Cycle:
    """Return the cycle of a design at its rated speed, kept for the last ones."""
    return solve_cycle(design, UNITS["rpm"].from_si(design.layout.rated_speed))


def rated_entries(design: Design) -> Entries:
    """Return the main numbers of a design at its rated speed, kept for the last ones."""
    return _entries(design, shown_system())


@lru_cache(maxsize=32)
def _entries(design: Design, _system: str) -> Entries:
    return main_entries(rated_cycle(design))


def number_rows(a: Design, b: Design) -> list[dict[str, Any]]:
    """Return the main numbers of both, with the change as the comparison has it."""
    pair = rated_entries(a), rated_entries(b)
    rows = {row.key: row for row in paired_rows(*pair, MISSING, MISSING)}
    return [
        {
            "key": key,
            "label": rows[key].label,
            "values": [rows[key].a.text, rows[key].b.text],
            "move": change_cell(rows[key]),
            "difference": rows[key].difference,
        }
        for key in SHOWN
        if key in rows
    ]


def number_attributions(
    attribution: LadderAttribution, keys: list[str]
) -> dict[str, dict[str, Any]]:
    """Return by the number's key what each difference does to it, as a share of A's, the rest last.

    A step is taken at its own rated speed.
    """
    a, b = (rated_entries(ladder.design) for ladder in (attribution.a, attribution.b))
    steps: dict[str, Entries] = {}
    for key, design in attribution.steps.items():
        try:
            steps[key] = rated_entries(design)
        except DesignError:  # its speed is beyond what is allowed
            continue
    return {number: _by(number, a, b, steps, keys) for number in SHOWN if number in a}


def _by(
    number: str, a: Entries, b: Entries, steps: dict[str, Entries], keys: list[str]
) -> dict[str, Any]:
    start, end = _value(a, number), _value(b, number)
    if not start or not math.isfinite(start) or not math.isfinite(end):
        return {"by": [None] * (len(keys) + 1)}
    moved = {key: _value(entries, number) - start for key, entries in steps.items()}
    found = Attribution(start, end, {k: v for k, v in moved.items() if math.isfinite(v)})
    return {
        "by": [_cell(move, start) for move in [*(found.by.get(key) for key in keys), found.rest]]
    }


def _value(entries: Entries, number: str) -> float:
    entry = entries.get(number)
    return entry.side.values[0] if entry and entry.side.values else math.nan


def _cell(move: float | None, start: float) -> dict[str, Any] | None:
    """Return a change over the first value: more of a number is neither better nor worse."""
    if move is None:
        return None
    share = round(100 * move / abs(start), 1)
    return {"text": f"{signed(share, f'{abs(share):.1f}')} %", "size": 0, "sense": ""}
