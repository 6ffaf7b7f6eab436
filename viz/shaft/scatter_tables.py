"""The tables of a tolerance study: residuals, free forces and moments, and shares of variance."""

import numpy as np

from kinematics.array import Array
from kinematics.balancing.balance_scatter import Drawn, percentiles
from kinematics.balancing.scatter_study import ScatterStudy
from kinematics.train.balance import ellipse
from viz.number_words import as_drawn, axis, capitalised
from viz.shaft.scatter_words import KIND_WORDS, ORDER_WORDS, PLANE_WORDS
from viz.shaft.shaft_table import Cell, Table
from viz.speed_words import rpm_text

NEGLIGIBLE_MEAN = 1e-3  # of what 99 % stay below: a smaller mean is none
HEADS = ("Mean", "50 %", "95 %", "99 %", "Spread, exact", "of samples")


def scatter_tables(study: ScatterStudy) -> tuple[Table, ...]:
    """Return all tables of a study, in the units shown."""
    return _residuals(study), _loads(study), _shares(study)


def _residuals(study: ScatterStudy) -> Table:
    drawn, allowed = study.scatter.residual, study.tolerance.amounts
    mean = _told(np.abs(drawn.mean), study.residual_percentiles[-1])
    columns = (mean, *study.residual_percentiles, *_spreads(drawn.variance, drawn.sample_variance))
    rows = tuple(
        (f"{capitalised(words)} plane", *_shown([column[place] for column in columns], "g_mm"),
         *_shown([allowed[place]], "g_mm"))
        for place, words in enumerate(PLANE_WORDS)
    )  # fmt: skip
    return Table(axis("Residual on the machine", "g_mm"), ("Plane", *HEADS, "Allowed"), rows)


def _loads(study: ScatterStudy) -> Table:
    scatter, at = study.scatter, study.speed**2
    rows: list[tuple[Cell, ...]] = []
    for words, unit, drawn, largest in (
        ("force", "N", scatter.force, scatter.largest_force),
        ("moment", "Nm", scatter.moment, scatter.largest_moment),
    ):
        below = at * percentiles(largest)
        spreads = at * np.array(_spreads(_whole(drawn.variance), _whole(drawn.sample_variance)))
        mean = _told(at * _mean_size(drawn), below[-1])
        for order, name in enumerate(ORDER_WORDS):
            values = [mean[order], *below[:, order], *spreads[:, order]]
            rows.append((axis(f"{name} {words}", unit), *_shown(values, unit)))
    title = f"Maximum free force and moment over a turn at {rpm_text(study.speed)}"
    return Table(title, ("Order", *HEADS), tuple(rows))


def _shares(study: ScatterStudy) -> Table:
    """Return each kind's share of every variance [%]; nothing where nothing scatters."""
    kinds = study.kinds
    found = np.concatenate(
        (kinds.residual, kinds.force.sum(axis=-1), kinds.moment.sum(axis=-1)), axis=1
    )
    whole = found.sum(axis=0)
    rows: list[tuple[Cell, ...]] = [
        (capitalised(words), *_percent(own, whole))
        for (words, _), own in zip(KIND_WORDS.values(), found, strict=True)
    ]
    rows.append(("All", *_percent(whole, whole)))
    head = (
        "Share, %", "front", "rear",
        *(f"{what} {order}" for what in ("force", "moment") for order in (1, 2)),
    )  # fmt: skip
    title = "Contributions to the variance: residual, and free loads by order"
    return Table(title, head, tuple(rows), len(rows) - 1)


def _percent(own: Array, whole: Array) -> list[Cell]:
    return [
        100 * float(part) / float(all_) if all_ > 0 else None
        for part, all_ in zip(own, whole, strict=True)
    ]


def _told(mean: Array, most: Array) -> Array:
    """Return means, zero where they are nothing beside what most stay below."""
    return np.where(mean <= NEGLIGIBLE_MEAN * most, 0.0, mean)


def _mean_size(drawn: Drawn) -> Array:
    """Return the largest of a turn of each order's mean vector (orders,)."""
    x, y = np.moveaxis(drawn.mean, -1, 0)
    return ellipse(x, y).largest


def _whole(variance: Array) -> Array:
    """Return a vector's variance (orders,) from that of its components (orders, 2)."""
    found: Array = variance.sum(axis=-1)
    return found


def _spreads(exact: Array, found: Array) -> tuple[Array, Array]:
    return np.sqrt(exact), np.sqrt(found)


def _shown(values: list[float], unit: str) -> list[Cell]:
    return [float(as_drawn(float(value), unit)) for value in values]
