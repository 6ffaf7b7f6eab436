"""A tolerance study of a shaft: scatter of its parts held against what its grade permits."""

import math

import numpy as np
from numpy.typing import NDArray

from kinematics.array import Array
from kinematics.balancing.balance_quality import PlaneTolerance, check_residual
from kinematics.balancing.balance_scatter import (
    BalanceScatter,
    KindVariances,
    Spreads,
    balance_scatter,
    percentiles,
    variance_by_kind,
)
from kinematics.balancing.shaft_drilling import end_mains, shaft_tolerance
from kinematics.design.allowables import red_line
from kinematics.design.design import Design
from kinematics.one_line import frozen_record, one_line, quantity

ROUNDING = 1e-9  # of what is permissible: less is nothing


@frozen_record
class ScatterStudy:
    """Samples of a design's shaft in the planes of its end mains, and of the running engine.

    `highest` is the speed of the grade, the highest in service, `speed` that of the free loads,
    the rated one [rad/s]; `bob_share` is None where the shaft runs without bob weights.
    """

    design: Design
    spreads: Spreads
    grade: str
    bob_share: float | None
    highest: float
    tolerance: PlaneTolerance
    scatter: BalanceScatter
    kinds: KindVariances

    def __repr__(self) -> str:
        return one_line(
            self,
            f"{len(self.sizes)} shafts",
            f"grade {self.grade}",
            f"allowed {quantity(self.tolerance.amounts, 'g_mm')} a plane",
            f"{100 * self.to_drill:.1f} % to drill",
        )

    @property
    def speed(self) -> float:
        """Rated speed [rad/s]."""
        return self.design.layout.rated_speed

    @property
    def sizes(self) -> Array:
        """Residual unbalance in both planes (s, 2) [kg·m]."""
        return self.scatter.residual_size

    @property
    def residual_percentiles(self) -> Array:
        """Of `sizes`: what 50, 95 and 99 % stay below (3, 2) [kg·m], rounding taken off."""
        found = percentiles(self.sizes)
        return np.where(found < ROUNDING * self.tolerance.amounts, 0.0, found)

    @property
    def within(self) -> NDArray[np.bool_]:
        """Whether each shaft is within its grade in both planes (s,)."""
        planes = self.tolerance.planes
        return check_residual(self.scatter.residual.samples, planes, self.tolerance).within

    @property
    def to_drill(self) -> float:
        """Share of shafts beyond their grade in a plane or both."""
        return float(1 - self.within.mean())

    @property
    def to_drill_error(self) -> float:
        """Standard error of that share: √(p (1 - p) / n).

        Reference: standard error of a proportion; any book on probability.
        """
        share = self.to_drill
        return math.sqrt(share * (1 - share) / len(self.within))


def scatter_study(
    design: Design,
    spreads: Spreads,
    grade: str,
    *,
    bob_share: float | None = None,
    samples: int = 10_000,
    seed: int = 0,
) -> ScatterStudy:
    """Return the study of a design; arguments as of `balance_scatter` and `shaft_tolerance`.

    Parameters
    ----------
    grade : balance quality grade, "G16" for one
    bob_share : share of the reciprocating mass in bob weights, None without them
    samples : number of random shafts, 2 to 200 000

    Returns
    -------
    Residuals in both planes [kg·m] and free loads of the orders [N, N·m] of every sample.

    Raises DesignError where dimensions are missing, or a value cannot be.

    Reference: as of `balance_scatter` and `shaft_tolerance`.

    >>> from kinematics import Spread, Spreads, load_demo, scatter_study
    >>> spreads = Spreads(counterweight_moment=Spread(30e-6))
    >>> study = scatter_study(load_demo("hill_climb_six"), spreads, "G16", samples=500)
    >>> study.tolerance
    PlaneTolerance(front 194.4 g·mm, rear 198.1 g·mm)
    """
    highest = red_line(design.limits, design.layout.rated_speed)
    tolerance, planes = shaft_tolerance(design, grade, highest), end_mains(design)
    scatter = balance_scatter(
        design, planes, spreads, bob_share=bob_share, samples=samples, seed=seed
    )
    kinds = variance_by_kind(design, planes, spreads, bob_share=bob_share)
    return ScatterStudy(design, spreads, grade, bob_share, highest, tolerance, scatter, kinds)
