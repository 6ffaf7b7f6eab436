"""What a change costs: against closed forms of bodies and masses, and against whole designs."""

import dataclasses
import math

import pytest

from assets_demo import demo_paths
from kinematics import DesignError, load_design, parse_design
from kinematics.limits.shaft_costs import GRAMS, SIZES, shaft_costs, shaft_numbers
from tests.conftest import SIX_TEXT, changed

# determinate, as the closed forms are: in a continuous shaft webs and masses bend its neighbours
HILL = changed(load_design(demo_paths()["Hill climb six"]), "crank", main_loads="cut_at_mains")
SPEED = HILL.layout.rated_speed
COSTS = {one.key: one.slopes for one in shaft_costs(HILL, SPEED)}
DENSITY = 7850.0


def test_every_dimension_and_every_gram_has_its_costs():
    assert set(COSTS) == {*SIZES, *GRAMS}


def test_a_thicker_main_journal_weighs_a_ring_more():
    d, length = 0.056, 0.097 - 0.046 - 0.020
    assert COSTS["main_bearing.diameter_mm"].mass == pytest.approx(
        7 * DENSITY * math.pi / 2 * d * length, rel=1e-5
    )
    inertia = 7 * DENSITY * math.pi * d**3 / 8 * length
    assert COSTS["main_bearing.diameter_mm"].inertia == pytest.approx(inertia, rel=1e-5)
    assert COSTS["main_bearing.diameter_mm"].main_load == 0


def test_a_kilogram_at_a_big_end_counts_whole_and_on_a_piston_half():
    r = HILL.cylinder.crank_radius
    assert COSTS["big end"].inertia == pytest.approx(6 * r**2, rel=1e-6)
    assert COSTS["piston"].inertia == pytest.approx(3 * r**2, rel=1e-6)
    assert COSTS["small end"] == dataclasses.replace(
        COSTS["piston"],
        **{
            name: pytest.approx(getattr(COSTS["piston"], name), rel=1e-6, abs=1e-6)
            for name in dataclasses.asdict(COSTS["piston"])
        },
    )
    assert COSTS["piston"].mass == 0
    assert COSTS["big end"].web_bending == pytest.approx(0, abs=1)  # it pulls evenly all round


def test_pistons_leave_the_sixth_order_alone():
    """Orders below the 6th cancel in a six; the 6th grows with the piston's mass."""
    train_force = shaft_numbers(HILL, SPEED).free_force
    rod = HILL.rod
    reciprocating = HILL.piston.assembly_mass
    reciprocating += rod.mass * rod.cg_from_big_end / HILL.cylinder.rod_length
    assert COSTS["piston"].free_force == pytest.approx(train_force / reciprocating, rel=1e-3)


@pytest.mark.parametrize("key", SIZES)
def test_a_slope_foretells_a_changed_design(key):
    """A two-hundredth more of it moves what its slope says, to a twentieth."""
    group, _, name = key.partition(".")
    attribute = name.rpartition("_")[0]
    record = getattr(HILL, group)
    value = getattr(record, attribute)
    step = 0.005 * value if value else 0.01
    changed = dataclasses.replace(
        HILL, **{group: dataclasses.replace(record, **{attribute: value + step})}
    )
    before, after = shaft_numbers(HILL, SPEED), shaft_numbers(changed, SPEED)
    for name in ("mass", "inertia", "web_bending"):
        moved = getattr(after, name) - getattr(before, name)
        told = getattr(COSTS[key], name) * step
        assert moved == pytest.approx(
            told, rel=0.05 if value else 1e-6, abs=1e-9 * getattr(before, name)
        )


def test_a_design_without_sizes_says_what_it_lacks():
    with pytest.raises(DesignError, match="is missing in the design"):
        shaft_costs(parse_design(SIX_TEXT), 500.0)
