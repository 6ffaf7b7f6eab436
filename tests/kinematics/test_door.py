"""What a notebook sees: names by task, records in one line, a ladder by key, nearest names."""

import dataclasses
import doctest
import inspect
import math
import re
from collections.abc import Iterator

import numpy as np
import pytest

import kinematics
from assets_demo import DEMO_DESIGNS, FOLDER
from kinematics import (
    CounterweightChoice,
    DesignError,
    Spread,
    Spreads,
    film_survey,
    first_order,
    idle_irregularity,
    internal_moment,
    journal_films,
    journal_tilts,
    layout_balances,
    load_demo,
    load_design,
    pin_bob_weights,
    raising_changes,
    rotating_balance,
    scatter_study,
    shaft_costs,
    shaft_geometry,
    shaft_tolerance,
    solve_cycle,
    speed_limits,
    speed_sweep,
    torsional_chain,
    with_value,
)
from kinematics.one_line import LONGEST, one_line, quantity

HILL = load_demo("hill_climb_six")
CYCLE = solve_cycle(HILL, 8500)
SPEED = CYCLE.speed
LADDER = speed_limits(HILL)


def results() -> Iterator[object]:
    """What the door's functions return, once each."""
    yield from (HILL, CYCLE, LADDER, *LADDER.rungs[:3], *LADDER.unjudged)
    yield speed_sweep(HILL, np.linspace(1000, 9000, 5))
    yield raising_changes(LADDER, LADDER["bolt_fatigue"], 1.02 * LADDER["bolt_fatigue"].limit)[0]
    yield from (journal_films(CYCLE), journal_tilts(CYCLE, journal_films(CYCLE)))
    yield film_survey(HILL)
    yield from (shaft_geometry(HILL), shaft_costs(HILL, SPEED)[0], internal_moment(HILL))
    yield CounterweightChoice(HILL, SPEED).minimum_load()
    yield from (torsional_chain(CYCLE.train), idle_irregularity(HILL, 0.02))
    yield from (*layout_balances(HILL, SPEED)[:2], first_order(HILL), rotating_balance(HILL))
    yield from (pin_bob_weights(HILL)[0], shaft_tolerance(HILL, "G16", SPEED))
    spread = Spread(1e-3, "normal")
    yield scatter_study(HILL, Spreads(piston_mass=spread), "G16",
                        samples=20)  # fmt: skip


def inside(thing: object, seen: set[int]) -> Iterator[object]:
    """A record, and every record that its fields and kept values hold."""
    if id(thing) in seen or not type(thing).__module__.startswith("kinematics"):
        return
    seen.add(id(thing))
    yield thing
    fields = dataclasses.fields(thing) if dataclasses.is_dataclass(thing) else ()
    names = [field.name for field in fields if field.name != "parts"] or list(
        getattr(thing, "__dict__", {})
    )
    for value in [getattr(thing, name) for name in names]:
        for one in value if isinstance(value, tuple | list) else (value,):
            yield from inside(one, seen)


def test_every_record_is_told_in_one_line():
    _ = (CYCLE.forces, CYCLE.motion, CYCLE.bearings, CYCLE.balance)
    seen: set[int] = set()
    told = [one for result in results() for one in inside(result, seen)]
    long = {type(one).__name__ for one in told if len(repr(one)) > LONGEST or "\n" in repr(one)}
    assert long == set()
    names = {type(one).__name__ for one in told}
    assert {"Forces", "BearingLoads", "BearingFilms", "Criterion", "TorsionalSystem"} <= names
    assert not [one for one in told if " object at 0x" in repr(one)]


def test_records_of_the_door_have_units():
    unit = re.compile(r"(rpm|mm|µm|kN|N|N·m|bar|kg|kg·mm²?|g|g·mm|%|°|rad|m/s²)(?=[,) ]|$)")
    for record in (HILL, CYCLE, LADDER, LADDER.rungs[0], journal_films(CYCLE), CYCLE.forces,
                   CYCLE.balance, CYCLE.motion, shaft_geometry(HILL), HILL.cylinder):  # fmt: skip
        assert unit.search(repr(record)), repr(record)


def test_a_range_tells_its_ends_and_rounding_as_zero():
    assert quantity(np.array([0.084, 0.002]), "mm") == "2 to 84 mm"
    assert quantity(np.array([-2e5, 1e-12]), "bar") == "-2 to 0 bar"
    assert quantity(0.084, "mm") == "84 mm"
    assert one_line(HILL.piston, "x" * 300).endswith("…)")


def test_a_ladder_is_read_by_key_and_in_order():
    assert [rung.criterion.key for rung in LADDER] == [one.criterion.key for one in LADDER.rungs]
    assert len(LADDER) == len(LADDER.rungs)
    for rung in LADDER:
        assert LADDER[rung.criterion.key] is rung
    rung = LADDER["rod_fatigue"]
    assert rung.limit_rpm == pytest.approx(rung.limit * 30 / math.pi, rel=1e-12)
    with pytest.raises(KeyError, match="did you mean rod_fatigue"):
        LADDER["rod_fatige"]


def test_a_ladders_table_has_every_rung_with_its_limit():
    lines = LADDER.table().splitlines()
    assert lines[0].split() == ["key", "part", "criterion", "limit", "used", "at", "verdict"]
    for line, rung in zip(lines[1:], LADDER, strict=False):
        assert line.startswith(rung.criterion.key + " ")
        assert line.endswith(LADDER.verdict(rung))
        limit = "none" if math.isinf(rung.limit) else f"{rung.limit_rpm:.0f} rpm"
        assert f" {limit} " in line
    missing = lines[1 + len(LADDER) :]
    assert [one.partition(":")[0] for one in missing] == [
        one.criterion.key for one in LADDER.unjudged
    ]


@pytest.mark.parametrize(
    ("key", "near"),
    [("cylinder.bor_mm", "cylinder.bore_mm"), ("cilinder.bore_mm", "cylinder.bore_mm"),
     ("full_load.1.peak_persent", "full_load.1.peak_percent")],
)  # fmt: skip
def test_a_wrong_key_suggests_the_nearest(key, near):
    with pytest.raises(DesignError, match=f"did you mean {near}"):
        with_value(HILL, key, 80)


def test_a_demo_is_loaded_by_name():
    for stem in DEMO_DESIGNS:
        assert load_demo(stem) == load_design(FOLDER / f"{stem}.toml")
    with pytest.raises(DesignError, match="did you mean hill_climb_six"):
        load_demo("hill_climb")
    with pytest.raises(DesignError, match="must be one of"):
        load_demo("../pyproject")


def test_loads_by_frame_are_arrays():
    for frames, cylinders in ((CYCLE.bearings.big_ends, 6), (CYCLE.bearings.mains, 7)):
        for frame, load in frames.items():
            assert isinstance(load, np.ndarray)
            assert load.shape == (cylinders, 2, 720)
            assert frames[frame] is load  # made once
    with pytest.raises(DesignError, match=r"must be one of block, rod, crank .got 'rods'."):
        CYCLE.bearings.big_ends["rods"]


def test_the_door_names_its_tasks():
    """Every name is there, once, under a comment that names a task."""
    assert len(set(kinematics.__all__)) == len(kinematics.__all__)
    assert all(hasattr(kinematics, name) for name in kinematics.__all__)
    text = inspect.getsource(kinematics)
    listed = text[text.index("__all__") :]
    assert re.findall(r"^    # (\w+)$", listed, re.MULTILINE) == [
        "design", "cycle", "fit", "limits", "films", "shaft", "balancing",
    ]  # fmt: skip


@pytest.mark.parametrize("name", kinematics.__all__)
def test_every_name_of_the_door_has_an_example_that_is_true(name):
    thing = inspect.unwrap(getattr(kinematics, name))
    found = doctest.DocTestFinder(recurse=False).find(thing, name, globs={})
    examples = [example for one in found for example in one.examples]
    assert any(example.want for example in examples)
    said: list[str] = []
    runner = doctest.DocTestRunner(optionflags=doctest.NORMALIZE_WHITESPACE)
    for one in found:
        runner.run(one, out=said.append)
    assert not said, "".join(said)
