"""The least counterweights for a load: bounds kept, balance kept, and against a general solver."""

import dataclasses
import math

import numpy as np
import pytest
from scipy.optimize import minimize

from assets_demo import demo_paths
from kinematics import DesignError, load_design
from kinematics.balancing.rotating_balance import rotating_balance
from kinematics.design.design import Counterweight
from kinematics.mechanics.web_outline import ring_sector
from kinematics.shaft.counterweight_choice import NEAR, CounterweightChoice
from kinematics.shaft.counterweight_cost import sector_cost, widest_turn
from kinematics.shaft.counterweight_schemes import internal_moment, scheme_counterweights
from kinematics.shaft.part_geometry import part_geometry
from kinematics.train.balance import rotating_phasors
from kinematics.train.cycle import rigid_train
from tests.conftest import layout_of

DEMOS = {name: load_design(path) for name, path in demo_paths().items()}
MEASURES = ("peak", "mean")


def problem(name, measure="peak", *, aside=False):
    design = DEMOS[name]
    return CounterweightChoice(design, design.layout.rated_speed, measure, aside=aside)


def with_choice(design, choice):
    return dataclasses.replace(design, counterweights=choice.counterweights())


@pytest.mark.parametrize("name", DEMOS)
@pytest.mark.parametrize("measure", MEASURES)
@pytest.mark.parametrize("aside", [False, True])
def test_loads_are_those_of_the_changed_design(name, measure, aside):
    """What the problem says of its answer is what the train says of that design, determinate."""
    task = problem(name, measure, aside=aside)
    for choice in (task.choice(task.present), task.minimum_load()):
        train = rigid_train(with_choice(task.design, choice))
        load = train.determinate_main_block.at(task.design.layout.rated_speed)
        size = np.hypot(*np.moveaxis(load, 1, 0))
        expected = size.max() if measure == "peak" else size.mean(axis=-1).max()
        assert choice.load == pytest.approx(expected, rel=1e-4)  # webs of nothing are left out


@pytest.mark.parametrize("name", DEMOS)
@pytest.mark.parametrize("measure", MEASURES)
def test_the_least_inertia_is_less_than_the_present_at_no_higher_load(name, measure):
    task = problem(name, measure)
    now = task.choice(task.present)
    found = task.minimum_inertia(now.load)
    assert found.load <= now.load * (1 + 2 * NEAR)
    assert found.inertia <= now.inertia * (1 + NEAR)
    assert found.unbalance.min() >= 0
    assert found.unbalance.max() <= task.cost.most * (1 + 1e-9)


@pytest.mark.parametrize("name", DEMOS)
@pytest.mark.parametrize("aside", [False, True])
def test_force_and_couple_of_the_shaft_stay(name, aside):
    task = problem(name, aside=aside)
    before, z = rotating_phasors(task.design)
    after, y = rotating_phasors(with_choice(task.design, task.minimum_load()))
    size = np.abs(before).sum()
    assert abs(after.sum() - before.sum()) < 1e-5 * size
    assert (
        abs((after * y).sum() - (before * z).sum()) < 1e-5 * size * task.design.layout.throw_spacing
    )


@pytest.mark.parametrize("name", ["Hill climb six", "Touring six", "Short rod six"])
def test_a_general_solver_finds_no_better(name):
    """SLSQP on the same problem, loads bounded at every 6th angle, from two starts."""
    task = problem(name)
    now = task.choice(task.present)
    limit = 0.5 * (task.minimum_load().load + now.load)
    ours = task.minimum_inertia(limit)
    rows, value = task._balance
    base, shares = task._base[:, ::6], task._shares
    scale = now.inertia

    def spare(unbalance):
        return (limit - np.abs(base + (shares @ unbalance)[:, None])).ravel() / limit

    best = math.inf
    for start in (task.present, np.full_like(task.present, task.present.mean())):
        found = minimize(
            lambda unbalance: task.cost.inertia(np.maximum(unbalance, 0)).sum() / scale,
            start,
            jac=lambda unbalance: task.cost.slope(np.maximum(unbalance, 0)) / scale,
            bounds=[(0, task.cost.most)] * len(start),
            constraints=[{"type": "ineq", "fun": spare},
                         {"type": "eq", "fun": lambda unbalance: rows @ unbalance - value}],
            method="SLSQP",
            options={"maxiter": 300, "ftol": 1e-9},
        )  # fmt: skip
        if found.success and spare(found.x).min() > -1e-6:
            best = min(best, found.fun)
    assert math.isfinite(best)
    assert ours.inertia / scale <= best * (1 + 5e-3)


@pytest.mark.parametrize("measure", MEASURES)
def test_the_front_trades_load_for_inertia(measure):
    front = problem("Hill climb six", measure).front(7)
    loads, inertias = zip(*((one.load, one.inertia) for one in front), strict=True)
    assert list(loads) == sorted(loads)
    assert list(inertias) == sorted(inertias, reverse=True)
    assert inertias[-1] == pytest.approx(0, abs=1e-9)  # a six needs none for its balance
    chords = np.diff(inertias) / np.diff(loads)
    assert np.all(np.diff(chords) > -2e-2 * np.abs(chords).max())  # convex


def test_below_the_least_load_there_is_no_answer():
    task = problem("Touring six")
    best = task.minimum_load()
    assert task.minimum_inertia(0.98 * best.load) is None
    assert task.minimum_inertia(1.01 * best.load) is not None


def test_a_v_engine_needs_its_counterweights_for_its_couple():
    lightest = problem("V6 60 six throws").minimum_inertia(math.inf)
    assert lightest.inertia > 0.1 * problem("V6 60 six throws").choice(
        problem("V6 60 six throws").present
    ).inertia  # fmt: skip


def test_a_sector_costs_what_a_ring_sector_weighs():
    cost = sector_cost(DEMOS["Hill climb six"])
    for unbalance in np.array([0.0, 0.3, 1.0]) * cost.most:
        sector = ring_sector(cost.inner, float(cost.outer(unbalance)), cost.half_angle)
        assert -cost.heavy * sector.first == pytest.approx(unbalance, abs=1e-12)
        assert cost.mass(unbalance) == pytest.approx(cost.heavy * sector.area, abs=1e-12)
        assert cost.inertia(unbalance) == pytest.approx(cost.heavy * sector.polar, abs=1e-12)
    step = 1e-6
    slope = (cost.inertia(0.02 + step) - cost.inertia(0.02 - step)) / (2 * step)
    assert cost.slope(0.02) == pytest.approx(slope, rel=1e-6)


def test_a_weight_askew_is_refused_in_words_unless_weights_may_stand_aside():
    askew = dataclasses.replace(
        DEMOS["Hill climb six"], counterweights=(Counterweight(1, 0.02, math.radians(150)),)
    )
    with pytest.raises(DesignError, match=r"must be 180°, opposite the pin.*\(got 150° on web 1\)"):
        _ = CounterweightChoice(askew, 800.0).present
    with pytest.raises(DesignError, match="must be peak or mean"):
        CounterweightChoice(DEMOS["Hill climb six"], 800.0, "rms")
    task = CounterweightChoice(askew, 800.0, aside=True)
    (now,) = task.choice(task.present).counterweights()
    assert (now.web, now.unbalance) == (1, pytest.approx(0.02))
    assert now.angle == pytest.approx(math.radians(150))


# --- turned aside from their pins -------------------------------------------------------------


@pytest.mark.parametrize("name", DEMOS)
@pytest.mark.parametrize("measure", MEASURES)
def test_free_directions_are_never_heavier(name, measure):
    """Weights opposite their pins are among those that may stand aside."""
    straight, free = problem(name, measure), problem(name, measure, aside=True)
    best, lightest = straight.minimum_load(), straight.minimum_inertia(math.inf)
    assert free.minimum_load().load <= best.load * (1 + 2 * NEAR)
    for share in (0.0, 0.2, 0.7):
        limit = best.load + share * (lightest.load - best.load)
        ours, theirs = free.minimum_inertia(limit * (1 + NEAR)), straight.minimum_inertia(limit)
        assert ours.inertia <= theirs.inertia * (1 + 2 * NEAR) + 1e-9
        assert ours.load <= limit * (1 + 3 * NEAR)


@pytest.mark.parametrize("name", DEMOS)
@pytest.mark.parametrize("measure", MEASURES)
def test_weights_turned_aside_keep_to_their_room(name, measure):
    task = problem(name, measure, aside=True)
    for choice in (task.minimum_load(), task.minimum_inertia(task.choice(task.present).load)):
        assert choice.unbalance.max() <= task.cost.most * (1 + 2 * NEAR)
        assert np.abs(choice.turned).max() <= task.cost.widest * (1 + 1e-3)
        inertia = task.cost.inertia(choice.unbalance).sum()
        assert choice.inertia == pytest.approx(inertia, rel=1e-12)


@pytest.mark.parametrize("name", ["Hill climb six", "Touring six", "V6 60 six throws"])
def test_a_general_solver_finds_no_better_directions(name):
    """SLSQP on lengths along both axes, loads bounded at every 2nd angle, from two starts."""
    task = problem(name, aside=True)
    now, webs = task.choice(task.present), 2 * task.design.layout.throws
    limit = 0.5 * (task.minimum_load().load + now.load)
    ours = task.minimum_inertia(limit)
    rows, value = task._balance
    base, shares = task._base[:, ::2], task._shares
    widest = math.tan(task.cost.widest)

    def spare(placed):
        return (limit - np.abs(base + (shares @ placed)[:, None])).ravel() / limit

    def cost(placed):
        """Return the inertia over the present one's and its slopes."""
        along, ahead = placed.reshape(2, -1)
        size = np.maximum(np.hypot(along, ahead), 1e-9)
        slope = task.cost.slope(size) / size / now.inertia
        return task.cost.inertia(size).sum() / now.inertia, np.tile(slope, 2) * placed

    def spare_slopes(placed):
        toward = base + (shares @ placed)[:, None]
        unit = (toward / np.abs(toward)).conj()
        slopes = -(unit[:, :, None] * shares[:, None, :]).real / limit
        return slopes.reshape(-1, len(placed))

    def turn(placed):
        along, ahead = placed.reshape(2, -1)
        return np.concatenate((widest * along - ahead, widest * along + ahead)) / task.cost.most

    best = math.inf
    for start in (task.present, np.repeat([0.6 * task.present[:webs].mean(), 1e-3], webs)):
        found = minimize(
            cost, start, jac=True, method="SLSQP",
            bounds=[(0, task.cost.most)] * webs + [(-task.cost.most, task.cost.most)] * webs,
            constraints=[{"type": "ineq", "fun": spare, "jac": spare_slopes},
                         {"type": "ineq", "fun": turn},
                         {"type": "eq", "fun": lambda placed: rows @ placed - value}],
            options={"maxiter": 400, "ftol": 1e-8},
        )  # fmt: skip
        if found.success and spare(found.x).min() > -1e-6:
            best = min(best, found.fun)
    assert math.isfinite(best)
    assert ours.inertia / now.inertia <= best * (1 + 5e-3)
    assert ours.inertia / now.inertia >= best * (1 - 5e-3)


def test_a_scheme_turned_aside_is_made_lighter_and_stays_balanced():
    hill = DEMOS["Hill climb six"]
    weights = scheme_counterweights(hill, "none_in_middle", 1.0, 0.0, aside=True)
    design = dataclasses.replace(hill, counterweights=weights)
    task = CounterweightChoice(design, design.layout.rated_speed, aside=True)
    now = task.choice(task.present)
    found = task.minimum_inertia(now.load)
    assert found.inertia < 0.99 * now.inertia
    straight = CounterweightChoice(design, design.layout.rated_speed)
    assert found.inertia <= straight.minimum_inertia(now.load).inertia * (1 + 2 * NEAR)
    left = rotating_balance(with_choice(design, found))
    assert abs(left.static) < 1e-4 * left.one_throw
    assert abs(left.moment) < 1e-4 * left.one_throw * left.spacing


def test_a_wide_sector_may_not_be_turned():
    """A half ring's flanks are at the cheeks: there is no better than opposite the pins."""
    hill = DEMOS["Hill climb six"]
    shaft = dataclasses.replace(
        hill.shaft, counterweight_half_angle=math.pi / 2, web_main_end=0.06, web_pin_end=0.06
    )
    wide = dataclasses.replace(hill, shaft=shaft)
    assert widest_turn(part_geometry(wide), math.pi / 2) == 0
    free, straight = (CounterweightChoice(wide, 800.0, aside=aside) for aside in (True, False))
    limit = straight.choice(straight.present).load
    ours, theirs = free.minimum_inertia(limit), straight.minimum_inertia(limit)
    assert ours.inertia == pytest.approx(theirs.inertia, rel=2 * NEAR)
    assert np.abs(ours.turned).max() < 1e-3


def test_what_no_weight_within_reach_can_hold_is_refused():
    """A present weight on the pin's side holds what none away from the pins can."""
    single = dataclasses.replace(
        DEMOS["Hill climb six"],
        layout=layout_of([0]),
        counterweights=(Counterweight(1, 0.02, 0.0),),
    )
    task = CounterweightChoice(single, 800.0, aside=True)
    assert task.minimum_inertia(math.inf) is None
    with pytest.raises(DesignError, match=r"angle_deg: no counterweights within 41° of 180°"):
        task.minimum_load()
    askew = dataclasses.replace(single, counterweights=(Counterweight(1, 0.02, math.radians(150)),))
    with pytest.raises(DesignError, match=r"angle_deg: no counterweights at 180°"):
        CounterweightChoice(askew, 800.0).minimum_load()
    assert CounterweightChoice(askew, 800.0, aside=True).minimum_load().load > 0


@pytest.mark.parametrize("name", DEMOS)
@pytest.mark.parametrize("aside", [False, True])
def test_the_internal_moment_is_that_of_the_changed_design(name, aside):
    task = problem(name, aside=aside)
    for choice in (task.choice(task.present), task.minimum_load()):
        found = internal_moment(with_choice(task.design, choice)).largest * task.speed**2
        assert choice.inside == pytest.approx(found, rel=1e-4)


@pytest.mark.parametrize("name", ["Hill climb six", "Touring six", "Pilot boat six", "Inline four"])
@pytest.mark.parametrize("aside", [False, True])
def test_a_bound_on_the_internal_moment_is_kept_and_costs_inertia(name, aside):
    free = problem(name, aside=aside)
    bound = 2.0 * free.choice(free.present).inside
    held = CounterweightChoice(free.design, free.speed, aside=aside, moment_bound=bound)
    front = held.front(5)
    assert max(one.inside for one in front) <= bound * (1 + 2 * NEAR)
    for one in front:
        alone = free.minimum_inertia(one.load)
        assert alone.inertia <= one.inertia * (1 + 3 * NEAR)
    lightest = free.minimum_inertia(math.inf)
    assert lightest.inside > bound  # so that the bound is felt
    assert front[-1].inertia > lightest.inertia


def test_a_general_solver_finds_no_better_below_a_moment_bound():
    """SLSQP with the moment held at every mass and the load at every 3rd angle, from two starts."""
    free = problem("Hill climb six")
    now = free.choice(free.present)
    task = CounterweightChoice(free.design, free.speed, moment_bound=2 * now.inside)
    limit = 1.1 * task.minimum_load().load
    ours = task.minimum_inertia(limit)
    rows, value = task._balance
    best = math.inf
    for start in (task.present, np.full_like(task.present, task.present.mean())):
        found = minimize(
            lambda unbalance: task.cost.inertia(np.maximum(unbalance, 0)).sum() / now.inertia,
            start,
            jac=lambda unbalance: task.cost.slope(np.maximum(unbalance, 0)) / now.inertia,
            bounds=[(0, task.cost.most)] * len(start),
            constraints=[
                {"type": "ineq", "fun": lambda unbalance: (limit - np.abs(
                    task._base[:, ::3] + (task._shares @ unbalance)[:, None])).ravel() / limit},
                {"type": "ineq", "fun": lambda unbalance: 1 - np.abs(
                    task._inside + task._bending @ unbalance) / task.moment_bound},
                {"type": "eq", "fun": lambda unbalance: rows @ unbalance - value},
            ],
            method="SLSQP", options={"maxiter": 300, "ftol": 1e-9},
        )  # fmt: skip
        if found.success:
            best = min(best, found.fun)
    assert math.isfinite(best)
    assert ours.inertia / now.inertia <= best * (1 + 5e-3)


def test_a_moment_bound_too_low_is_refused_in_words():
    design = DEMOS["Hill climb six"]
    task = CounterweightChoice(design, design.layout.rated_speed, moment_bound=10.0)
    with pytest.raises(DesignError, match=r"must be higher \(got 10 N·m\)"):
        task.minimum_load()
    for bound in (0.0, -1.0, math.nan):
        with pytest.raises(DesignError, match="must be above 0"):
            CounterweightChoice(design, 800.0, moment_bound=bound)
