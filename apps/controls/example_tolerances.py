"""Tolerances to begin a study with: the form of the shaft's page, and a storyboard's pictures."""

from functools import lru_cache

from kinematics import Design
from kinematics.balancing.balance_scatter import Spread, Spreads
from kinematics.balancing.bob_weights import BOB_SHARE, needs_bob_weights
from kinematics.balancing.scatter_study import ScatterStudy, scatter_study
from kinematics.units import UNITS
from viz.shaft.scatter_words import KIND_WORDS

GRADE, SAMPLES, SEED = "G16", 10_000, 1
EXAMPLE_TOLERANCES = {  # invented, of a small workshop: in g, g·mm and degrees
    "piston_mass": (1.0, "uniform"), "rod_small_end": (0.8, "normal"),
    "rod_big_end": (1.2, "normal"), "throw_moment": (30.0, "normal"),
    "throw_angle": (0.1, "uniform"), "counterweight_moment": (40.0, "normal"),
}  # fmt: skip


@lru_cache(maxsize=4)
def example_study(design: Design) -> ScatterStudy:
    """Return the study of a design at these tolerances, as the form first shows it.

    Raises DesignError where it cannot be had.
    """
    spreads = {
        name: Spread(UNITS[KIND_WORDS[name][1]].to_si(size), way)
        for name, (size, way) in EXAMPLE_TOLERANCES.items()
    }
    share = BOB_SHARE if needs_bob_weights(design.layout) else None
    return scatter_study(
        design, Spreads(**spreads), GRADE, bob_share=share, samples=SAMPLES, seed=SEED
    )
