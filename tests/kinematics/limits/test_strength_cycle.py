"""Of measured cycles strength takes the mean or the highest, as the design says; films the mean."""

from dataclasses import replace

import numpy as np
import pytest

from kinematics import DesignError, design_text, parse_design, solve_cycle, speed_limits
from kinematics.limits.left_out import LESS_MARGIN
from kinematics.limits.misfire import misfire_rungs
from kinematics.train.trace_check import shifted_trace
from tests.demos import DEMOS
from viz.train.main_numbers import main_numbers
from viz.train.trace_words import trace_words

DESIGN = DEMOS["measured_six"]
MEAN = DESIGN.pressure.trace
HIGHEST = tuple((np.round(0.12 * np.array(MEAN.pressure)) / 1e4 * 1e5).tolist())  # to 10 Pa
ALONE = replace(DESIGN, pressure=replace(DESIGN.pressure, trace=replace(MEAN, pressure=HIGHEST)))
BY_STRENGTH = ("rod_yield", "buckling_across", "bolt_yield", "pin_bending", "small_end_pressure")
BY_MEAN = ("ring_lift", "big_end_film", "main_film", "big_end_specific_load", "shaft_stress")


def kept(strength_cycle):
    trace = replace(MEAN, highest=(HIGHEST,))
    return replace(
        DESIGN, pressure=replace(DESIGN.pressure, trace=trace, strength_cycle=strength_cycle)
    )


def values(design, keys):
    ladder = speed_limits(design)
    return {key: ladder[key].value_at for key in keys if ladder.rung(key)}


def test_strength_takes_the_cycle_that_the_design_says_and_films_the_mean():
    highest = kept("highest")
    assert values(highest, BY_STRENGTH) == values(ALONE, BY_STRENGTH)
    assert values(highest, BY_MEAN) == values(DESIGN, BY_MEAN)
    assert values(kept("mean"), BY_STRENGTH) == values(DESIGN, BY_STRENGTH)
    assert values(highest, BY_STRENGTH) != values(DESIGN, BY_STRENGTH)
    assert len(values(DESIGN, BY_STRENGTH)) == len(BY_STRENGTH)


def test_fillets_bend_by_the_highest_cycle_and_twist_by_the_mean():
    ladder = speed_limits(kept("highest"))
    parts, mean, alone = (
        speed_limits(design)["pin_fillet"].parts for design in (kept("highest"), DESIGN, ALONE)
    )
    speed = np.array([ladder.rated])
    assert np.array_equal(parts.web_bending(speed), alone.web_bending(speed))
    assert np.array_equal(parts.strain(speed).pin_torque, mean.strain(speed).pin_torque)
    words = " ".join(mark.what for mark in ladder["pin_fillet"].left_out)
    assert "Bending is that of the cycle of highest peak" in words


def test_a_misfire_keeps_the_cycle_that_strength_takes():
    found = misfire_rungs(speed_limits(kept("highest")))["pin_fillet"].rung.parts
    assert found.train.for_strength.design.pressure.trace.pressure == HIGHEST
    assert found.train.for_strength.design.firing == found.train.design.firing


def test_every_rung_that_gas_loads_says_which_cycle_it_has():
    for choice in ("mean", "highest"):
        for rung in speed_limits(kept(choice)):
            marks = [m for m in rung.left_out if "trace of one speed" in m.what]
            if rung.criterion.key not in (*BY_STRENGTH, *BY_MEAN):
                continue
            assert len(marks) == 1, rung
            strength = rung.criterion.key in BY_STRENGTH
            named = "cycle of highest peak" if strength and choice == "highest" else "mean cycle"
            assert named in marks[0].what, rung
            if strength and choice == "mean":
                assert "20 % above" in marks[0].what
                assert marks[0].direction == LESS_MARGIN


def test_peak_pressure_says_of_which_cycle_it_is():
    number = next(n for n in main_numbers(solve_cycle(kept("highest"), 5000)) if
                  n.key == "peak_pressure")  # fmt: skip
    assert number.label == "Peak cylinder pressure, mean cycle"
    assert "highest of the cycles measured" in number.place
    assert trace_words(kept("highest")).startswith("Strength uses the highest cycle")
    assert trace_words(kept("mean")).startswith("All loads")


def test_a_file_holds_both_cycles_and_the_choice():
    design = kept("highest")
    again = parse_design(design_text(design))
    assert again == design
    assert not again.pressure.trace.others


def test_a_shift_moves_both_cycles():
    moved = shifted_trace(kept("mean").pressure.trace, 0.02, DESIGN.layout.cycle_angle)
    assert np.allclose(np.array(moved.highest[0]), 1.2 * np.array(moved.pressure), atol=8)


@pytest.mark.parametrize(
    ("change", "field", "words"),
    [
        ({"strength_cycle": "highest"}, "pressure.strength_cycle", 'must be "mean" without'),
        ({"strength_cycle": "lowest"}, "pressure.strength_cycle", "mean, highest"),
    ],
)
def test_a_cycle_that_is_not_kept_is_refused(change, field, words):
    with pytest.raises(DesignError, match=words) as refused:
        replace(DESIGN.pressure, **change)
    assert refused.value.field == field


def test_highest_cycles_are_as_many_as_the_courses():
    with pytest.raises(DesignError, match="as many lists as"):
        replace(MEAN, highest=(HIGHEST, HIGHEST))
