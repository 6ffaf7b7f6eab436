"""The shaft in numbers, as its page shows it: tiles, and kinds of bodies."""

from dataclasses import dataclass
from typing import Any

import numpy as np

from kinematics import Cycle, Design
from kinematics.balancing.rotating_balance import rotating_balance
from kinematics.design.shaft_throw import throw_unbalance, throw_unbalance_by_size
from kinematics.shaft.shaft_geometry import KINDS, Shaft, running_gear, shaft_geometry
from kinematics.units import shown_unit
from viz.number_words import as_drawn, format_number, with_unit
from viz.shaft.shaft_left_over import couple_left

NEEDED = {  # groups of a design that give a shaft its weight
    "crank_throw": "web thickness and bores",
    "crank_material": "the steel's density",
    "big_end": "the crankpins' diameter",
    "main_bearing": "the main journals' diameter",
}
SAME = 5e-4  # relative: less is not said to differ
PLURALS = {
    "nose": "Nose", "main journal": "Main journals", "crankpin": "Crankpins", "web": "Webs",
    "counterweight": "Counterweights", "oil drilling": "Oil drillings", "flange": "Flange",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Tile:
    """A main number of the shaft: a value [SI] of a unit's key, and what stands under it."""

    key: str
    label: str
    value: float
    unit: str
    note: str = ""
    digits: int = 3


def missing_words(design: Design) -> str:
    """Return in words what a design lacks for its shaft to be weighed; empty if nothing."""
    lacks = [
        f"[{group}] ({what})" for group, what in NEEDED.items() if getattr(design, group) is None
    ]
    if not lacks:
        return ""
    return (
        f"The shaft cannot be weighed: the design file lacks {', '.join(lacks)}. "
        "Loads, layouts and the drawing by usual proportions are shown."
    )


def shaft_tiles(cycle: Cycle, shaft: Shaft | None) -> tuple[Tile, ...]:
    """Return the main numbers; without a shaft's dimensions those that can be had."""
    design = cycle.design
    return (*(() if shaft is None else _weight(design, shaft)), *_loads(cycle, shaft))


def _weight(design: Design, shaft: Shaft) -> tuple[Tile, ...]:
    gear = running_gear(design)
    weights = shaft.of_kind("counterweight")
    hung = sum(weight.mass for weight in weights)
    share = 100 * sum(weight.inertia for weight in weights) / shaft.inertia
    return (
        Tile("mass", "Shaft mass", shaft.mass, "kg",
             f"counterweights {with_unit(hung, 'kg')}" if weights else "no counterweights", 4),
        Tile("inertia", "Polar inertia, shaft", shaft.inertia, "kg_mm2",
             f"{format_number(share, 3)} % of it counterweights", 4),
        Tile("whole_inertia", "With rods and pistons", shaft.inertia + gear, "kg_mm2",
             f"they add {with_unit(gear, 'kg_mm2')}, mean over a turn", 4),
    )  # fmt: skip


def _loads(cycle: Cycle, shaft: Shaft | None) -> tuple[Tile, ...]:
    design, peak = cycle.design, cycle.bearings.main_peaks.peak
    worst = int(np.argmax(peak))
    rpm = with_unit(cycle.speed, "rpm", 4)
    given = throw_unbalance(design)
    left = rotating_balance(design)
    return (
        Tile("main_load", "Peak main load", float(peak[worst]), "kN", f"main {worst + 1}, {rpm}"),
        Tile("throw", "Throw unbalance", given, "kg_mm", _against_size(design, shaft)),
        Tile("left", "Residual static unbalance", abs(left.static) if left.static_is_left else 0.0,
             "kg_mm", couple_left(design, cycle.speed)),
    )  # fmt: skip


def _against_size(design: Design, shaft: Shaft | None) -> str:
    """Say how a given unbalance compares with that by its size."""
    given = design.crank.throw_unbalance
    if shaft is None:
        return "given"
    if given is None:
        return "from geometry"
    by_size = throw_unbalance_by_size(design)
    apart = 100 * abs(given / by_size - 1) if by_size > 0 else float("inf")
    words = with_unit(by_size, "kg_mm", 4)
    return f"given; {words} from geometry ({format_number(apart, 2)} % difference)"


def tiles_message(
    tiles: tuple[Tile, ...], reference: tuple[Tile, ...], reference_words: str
) -> dict[str, Any]:
    """Return the tiles as plain JSON, with differences from a reference's."""
    before = {tile.key: tile.value for tile in reference}
    return {
        "reference": reference_words,
        "tiles": [
            {
                "key": tile.key,
                "label": tile.label,
                "value": format_number(shown_unit(tile.unit).from_si(tile.value), tile.digits),
                "unit": shown_unit(tile.unit).symbol,
                "note": tile.note,
                "change": _change(tile, before[tile.key]) if tile.key in before else "",
            }
            for tile in tiles
        ],
    }


def _change(tile: Tile, before: float) -> str:
    """Return how far a value is from the reference's, in words."""
    by = tile.value - before
    if abs(by) <= SAME * max(abs(before), 1e-12):
        return "as reference"
    near = before > 0 and abs(by) < before  # beyond that a percentage says nothing
    share = f" ({100 * by / before:+.1f} %)".replace("-", "−") if near else ""
    return f"{'+' if by > 0 else '−'}{with_unit(abs(by), tile.unit)}{share}"


def kinds_message(shaft: Shaft | None, reference: Shaft | None) -> dict[str, Any]:
    """Return mass and inertia of every kind of body, as numbers shown and shares of the whole."""
    if shaft is None:
        return {"rows": []}
    return {
        "units": [shown_unit("g").symbol, shown_unit("kg_mm2").symbol],
        "rows": [
            {"name": PLURALS[kind], "count": len(shaft.of_kind(kind)),
             "cells": [_kind_cell(kind, name, shaft, reference) for name in ("mass", "inertia")]}
            for kind in KINDS if shaft.of_kind(kind)
        ],
    }  # fmt: skip


def _kind_cell(kind: str, what: str, shaft: Shaft, reference: Shaft | None) -> dict[str, Any]:
    unit = {"mass": "g", "inertia": "kg_mm2"}[what]
    whole = getattr(shaft, what)

    def of(shaft: Shaft) -> float:
        return sum(getattr(body, what) for body in shaft.of_kind(kind))

    return {
        "text": format_number(float(as_drawn(of(shaft), unit)), 3),
        "share": of(shaft) / whole,
        "reference": None if reference is None else of(reference) / whole,
    }


def shaft_or_none(design: Design) -> Shaft | None:
    """Return a design's shaft; None where groups are missing, else DesignError where it is bad."""
    return None if missing_words(design) else shaft_geometry(design)
