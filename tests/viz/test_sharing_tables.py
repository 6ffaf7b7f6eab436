"""The table of what the mains share: each column is the design's own answer under its rule."""

import dataclasses

import numpy as np
import pytest

from assets_demo import DEMO_DESIGNS, FOLDER
from kinematics import DesignError, load_design, solve_cycle
from kinematics.limits.crank_criteria import CrankParts
from kinematics.train.cycle import RigidTrain
from kinematics.units import using_units
from tests.conftest import changed
from viz.shaft.sharing_tables import sharing_tables

RULES = ("cut_at_mains", "continuous")
DEMOS = {stem: load_design(FOLDER / f"{stem}.toml") for stem in DEMO_DESIGNS}


@pytest.fixture(params=DEMOS)
def designs(request):
    """Return one demo under both rules."""
    return [changed(DEMOS[request.param], "crank", main_loads=rule) for rule in RULES]


def column(table, place):
    return np.array([row[place] for row in table.rows], float)


def test_the_loads_are_those_of_a_cycle_under_each_rule(designs):
    mains = sharing_tables(solve_cycle(designs[0], 4000))[0]
    for place, design in enumerate(designs, 1):
        load = solve_cycle(design, 4000).bearings.main_load("block")
        peak = np.linalg.norm(load, axis=1).max(axis=-1) / 1e3
        np.testing.assert_allclose(column(mains, place), peak, rtol=1e-9)
    change = 100 * (column(mains, 2) / column(mains, 1) - 1)
    np.testing.assert_allclose(column(mains, 3), change, rtol=1e-9)


def test_the_edge_moves_by_the_slope_over_half_the_width(designs):
    cycle = solve_cycle(designs[1], 4000)
    slope = cycle.train.continuous_shaft.slope.at(cycle.speed)
    edge = 0.5e6 * designs[1].main_bearing.bearing_width * np.linalg.norm(slope, axis=1).max(axis=1)
    np.testing.assert_allclose(column(sharing_tables(cycle)[0], 4), edge, rtol=1e-9)


def test_the_fillets_are_those_of_the_criteria_under_each_rule(designs):
    tables = sharing_tables(solve_cycle(designs[1], 4000))
    for shift, design in enumerate(designs):
        quality = CrankParts(RigidTrain(design)).acceptability(np.array([4000 * np.pi / 30]))
        np.testing.assert_allclose(column(tables[1], 1 + shift), quality.pin_fillet[:, 0])
        np.testing.assert_allclose(column(tables[1], 3 + shift), quality.journal_fillet[:, 0])


def test_both_columns_stand_whichever_rule_the_design_names(designs):
    cut, whole = (sharing_tables(solve_cycle(one, 4000)) for one in designs)
    assert cut == whole


def test_the_table_shows_the_units_in_force():
    cycle = solve_cycle(DEMOS["touring_six"], 4000)
    newtons = column(sharing_tables(cycle)[0], 1) * 1e3
    with using_units("us"):
        table = sharing_tables(cycle)[0]
        pounds = column(table, 1)
    assert "lbf" in table.head[1]
    np.testing.assert_allclose(pounds, newtons / 4.4482216152605, rtol=1e-9)


def test_sizes_that_are_missing_are_named():
    design = dataclasses.replace(DEMOS["touring_six"], main_bearing=None)
    with pytest.raises(DesignError, match="main_bearing"):
        sharing_tables(solve_cycle(design, 4000))
