"""Main loads, misalignment and fillets: determinate and continuous shaft beside one another.

Both rules stand beside one another whichever of them the design names.
"""

import dataclasses

import numpy as np

from kinematics import Cycle, Design
from kinematics.array import Array
from kinematics.design.design import CONTINUOUS, DETERMINATE
from kinematics.errors import DesignError
from kinematics.limits.crank_criteria import CrankParts
from kinematics.strength.crank_strength import AtPlaces
from kinematics.train.cycle import rigid_train
from viz.number_words import as_drawn, axis, with_unit
from viz.shaft.shaft_pictures import peak_main_loads
from viz.shaft.shaft_table import Cell, Table

MAINS_HEAD = "Main bearings, continuous against determinate"
FILLETS_HEAD = "Fillets, acceptability factor Q"


def sharing_tables(cycle: Cycle) -> tuple[Table, ...]:
    """Return mains and throws by both rules at the cycle's speed; DesignError without sizes."""
    return _mains(cycle), *_fillets(cycle.design, cycle.speed)


def _mains(cycle: Cycle) -> Table:
    train, speed = cycle.train, cycle.speed
    shaft, bearing = (
        train.continuous_shaft,
        cycle.design.needed("main_bearing", "their misalignment"),
    )
    loads = (peak_main_loads(train, speed), shaft.main_peaks(speed).peak)
    slope = shaft.slope.at(speed)
    edge = bearing.bearing_width / 2 * np.hypot(slope[:, 0], slope[:, 1]).max(axis=-1)
    rows: list[tuple[Cell, ...]] = [
        (f"Main {number}", *_both(before, after, "kN"), float(as_drawn(at_edge, "um")))
        for number, (before, after, at_edge) in enumerate(zip(*loads, edge, strict=True), 1)
    ]
    head = (
        "Bearing", axis("Determinate", "kN"), axis("Continuous", "kN"), "Change, %",
        axis("Edge displacement (misalignment)", "um"),
    )  # fmt: skip
    return Table(f"{MAINS_HEAD}, {with_unit(speed, 'rpm', 4)}", head, tuple(rows))


def _both(before: float, after: float, unit: str) -> tuple[Cell, ...]:
    values = (float(as_drawn(value, unit)) for value in (before, after))
    return (*values, None if before == 0 else float(100 * (after / before - 1)))


def _fillets(design: Design, speed: float) -> tuple[Table, ...]:
    """Return Q of every throw by both rules; none where the fitted factors cannot be had."""
    try:
        cut, whole = (_acceptability(design, rule, speed) for rule in (DETERMINATE, CONTINUOUS))
    except DesignError:
        return ()

    def told(values: Array) -> list[float]:
        return [float(value) for value in values[:, 0]]

    columns = [
        told(getattr(stresses, place))
        for place in ("pin_fillet", "journal_fillet")
        for stresses in (cut, whole)
    ]
    rows = tuple(
        (f"Throw {number}", *column) for number, column in enumerate(zip(*columns, strict=True), 1)
    )
    head = (
        "Throw", "Pin, determinate", "Pin, continuous", "Journal, determinate",
        "Journal, continuous",
    )  # fmt: skip
    return (Table(f"{FILLETS_HEAD}, {with_unit(speed, 'rpm', 4)}", head, rows),)


def _acceptability(design: Design, rule: str, speed: float) -> AtPlaces:
    ruled = dataclasses.replace(design, crank=dataclasses.replace(design.crank, main_loads=rule))
    return CrankParts(rigid_train(ruled)).acceptability(np.array([speed]))
