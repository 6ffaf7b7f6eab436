"""What the lessons say is what the core computes, and each has just one right answer."""

import dataclasses
import math

import numpy as np
import pytest

from apps.controls.controls import changed
from apps.lessons.lesson_bench import LessonBench
from apps.lessons.lesson_file import LIVE_MARK, lesson_paths, load_lesson
from kinematics import DesignError, solve_cycle, with_value
from kinematics.mechanics.slider_crank import acceleration_harmonics
from kinematics.shaft.torsion_train import modes
from kinematics.torsion.torsion_response import phase_vectors, phasor_sums
from kinematics.units import as_shown, shown_unit, using_units
from viz.lessons.lesson_curves import HANDLES
from viz.limits.torsion_charts import bare_chain

PATHS = lesson_paths()
every = pytest.mark.parametrize("path", PATHS, ids=lambda path: path.stem)
RIGHT = {
    1: ("draw", "It gets longer."),
    2: ("Much larger at TDC, by more than a third", "About 17 %"),
    3: ("Almost none", "A quarter is left"),
    4: ("draw", "lower, by less than half", 11200),
    5: ("The inner half, toward the crank's axis", "The rod half"),
    6: ("draw", "Nothing; only mains, crankshaft and block carry more internally"),
    7: ("About 40 N, four thousand times that", "A quarter as much"),
    8: (
        "Orders 3 and 6 stay; of the half orders some fall and others rise",
        "At one and a half times that speed",
    ),
    9: ("Larger: the torque is less even", "By a sixth or a little more"),
    10: ("draw", "It falls by about a tenth"),
    11: ("draw", "Somewhat more than half", 1.01),
    12: (45.6, "The bolt's", 9265),
}


def bench(number):
    return LessonBench.at_start(load_lesson(PATHS[number - 1]))


def right(one, asked):
    if asked.amount is not None:
        return pytest.approx(one.amount(asked.amount), abs=asked.amount.tolerance / 2)
    return asked.options[one.right(asked)].text if asked.options else "draw"


@every
def test_just_one_option_is_right_and_it_is_that_of_the_trade(path):
    one = LessonBench.at_start(load_lesson(path))
    found = tuple(right(one, asked) for asked in (one.lesson.predict, *one.lesson.checks))
    assert found == RIGHT[int(path.stem.partition("_")[0])]


@every
def test_every_value_a_lesson_shows_is_there(path):
    one = LessonBench.at_start(load_lesson(path))
    lesson = one.lesson
    texts = [lesson.question, lesson.predict.text, lesson.predict.because, lesson.todo, lesson.why]
    texts += [text for asked in lesson.checks for text in (asked.text, asked.because)]
    names = {name for text in texts for para in text for name in LIVE_MARK.findall(para)}
    assert names, "a lesson shows live values"
    for name in (*names, *lesson.shown):
        assert math.isfinite(one.value(name.strip())), name
    for text in texts:
        words = "".join(piece["text"] for para in one.filled(text) for piece in para)
        assert "{" not in words


@every
def test_every_curve_is_there_all_along_and_within_its_axis(path):
    one = LessonBench.at_start(load_lesson(path))
    for curve, plot in zip(one.curves, one.plots, strict=True):
        assert (plot is None) == (curve is None)
        if plot is None:
            continue
        for line in plot.lines:
            assert np.all(np.isfinite(line.y)), line.label
            assert plot.low <= line.y.min()
            assert line.y.max() <= plot.high
        assert len(plot.axes()["places"]) == HANDLES


def test_the_wrong_direction_and_a_straight_line_are_said_to_be_so():
    """Near in size, both: what counts is what the lesson is about."""
    first, fourth = bench(1), bench(4)
    falling = np.linspace(48.0, 44.0, HANDLES)
    (direction, _), _ = first.remarks(list(falling))
    assert direction.words == "Your curve falls, the engine's rises."
    assert not direction.alike
    plot = fourth.plot
    ends = np.interp(plot.x[[0, -1]], plot.x, plot.lines[0].y)
    (_, curvature), _ = fourth.remarks(list(np.linspace(*ends, HANDLES)))
    assert curvature.words == "Your curve is straight, the engine's bends downward."


@every
def test_every_option_has_words_and_every_question_a_hint(path):
    lesson = load_lesson(path)
    for asked in (lesson.predict, *lesson.checks):
        assert asked.hints
        assert all(option.feedback for option in asked.options)


def test_a_goal_lies_within_the_sliders_reach_and_is_not_reached_at_the_start():
    one = bench(4)
    low, high, step = one.lesson.ranges["speed_rpm"]
    goal = one.value("unloading_speed")
    assert low < goal < high
    assert not one.goal()["reached"]
    nearest = low + round((goal - low) / step) * step
    assert LessonBench(one.lesson, solve_cycle(one.cycle.design, nearest)).goal()["reached"]
    assert "unloading_speed" not in one.lesson.shown


def test_a_slider_has_the_lessons_ends_and_step_in_the_units_shown():
    one = bench(7)
    control = {"key": "piston.assembly_mass_g", "slider": (1.0, 2.0, 0.5)}
    assert one.ranged(control)["slider"] == (325.0, 365.0, 1.0)
    with using_units("us"):
        low, high, step = one.ranged(control)["slider"]
    assert low == pytest.approx(325 / 28.349523, rel=0.01)
    assert high == pytest.approx(365 / 28.349523, rel=0.01)
    assert 0 < step <= 1 / 28.349523


def test_six_and_four_are_on_one_scale_whatever_is_opened():
    one = bench(3)
    this, four = one.plot.lines
    assert four.y[1] == pytest.approx(one.value("four.free_force_2"))
    np.testing.assert_allclose(this.y[:3], 0.0, atol=1e-9)
    assert this.y[3] < 0.01 * four.y[1], "order 6, of which the piston has almost nothing"
    opened = LessonBench(one.lesson, one._cycle("four"))
    assert opened.value("six.free_force_2") == pytest.approx(0.0, abs=1e-9)


def test_dwell_goes_up_at_the_top_and_down_at_the_bottom():
    top, bottom = bench(1).plot.lines
    assert np.all(np.diff(top.y) > 0)
    assert np.all(np.diff(bottom.y) < 0)
    assert np.all(top.y < bottom.y)


def test_the_second_order_is_close_to_r_over_l():
    one = bench(2)
    plot = one.plot
    np.testing.assert_allclose(plot.lines[0].y, 100 / plot.x, rtol=0.05)
    harmonics = np.abs(acceleration_harmonics(one.cycle.train.crank, 2))
    assert one.value("second_order_share") == pytest.approx(100 * harmonics[2] / harmonics[1])


def test_the_fours_second_order_is_four_times_one_cylinders():
    one = bench(3)
    train = one._cycle("four").train
    speed = one._cycle("four").speed
    masses, crank = train.masses, train.crank
    moving = masses.piston + masses.rod * masses.rod_cg_from_big_end / crank.rod_length
    second = abs(acceleration_harmonics(crank, 2)[2]) * moving * crank.crank_radius * speed**2
    assert one.value("four.free_force_2") == pytest.approx(4 * second, rel=1e-6)
    assert one.value("free_force_2") < 1e-6 * second


def test_the_rod_is_unloaded_where_the_curve_crosses_zero():
    one = bench(4)
    plot = one.plot
    force = plot.lines[0].y
    at = int(np.flatnonzero(np.diff(np.sign(force)))[0])
    low, high = plot.x[at : at + 2]
    assert low <= one.value("unloading_speed") <= high
    np.testing.assert_allclose(force, plot.lines[1].y + plot.lines[2].y, atol=1e-9)


def test_side_thrust_falls_on_both_sides_and_the_first_step_pays_most():
    one = bench(10)
    thrust = one.cycle.forces.side_thrust
    assert one.value("major_thrust") == pytest.approx(thrust.max() / 1e3)
    assert one.value("minor_thrust") == pytest.approx(-thrust.min() / 1e3)
    for line in one.plot.lines:
        assert np.all(np.diff(line.y) < 0)
        assert line.y[0] - line.y[8] > 3 * (line.y[8] - line.y[16])
    assert one.value("major_less") > 2 * one.value("less") > 0


def test_counterweights_have_a_best_between_none_and_too_much():
    one = bench(6)
    load = one.plot.lines[0].y
    best = int(load.argmin())
    assert 0 < best < len(load) - 1
    assert load[best] < 0.5 * load[0]
    assert load[best] < 0.5 * load[-1]


def test_a_gram_costs_its_acceleration():
    """At the dead centre the pull of one gram is one newton a km/s², and that over g in weight."""
    one = bench(7)
    assert one.value("cost") == pytest.approx(one.value("tdc_acceleration"), rel=2e-3)
    assert one.value("weight") == pytest.approx(one.value("cost") / 9.81)


def test_torque_sums_are_the_star_diagrams_sums():
    one = bench(8)
    chain = bare_chain(one.cycle.design)
    shape = modes(chain).shape[1]
    order = np.array([4.5])
    phases = phase_vectors(order, np.array(chain.firing_angles))
    swing = shape[list(chain.places)] / shape[chain.hub]
    assert one.value("torque_sum_4_5") == pytest.approx(float(abs(phasor_sums(phases, swing)[0])))
    frequency = modes(chain).angular_frequency[1] / (2 * math.pi)
    assert one.value("critical_3") == pytest.approx(60 * frequency / 3)
    assert one.value("torque_sum_3") == pytest.approx(float(swing.sum()))


def test_the_swing_over_the_speed_is_the_swing_at_each():
    one = bench(8)
    plot = one.plots[1]
    at = int(np.argmin(np.abs(plot.x - one.value("critical_4_5"))))
    there = LessonBench(one.lesson, solve_cycle(one.cycle.design, float(plot.x[at])))
    this, other = (line.y[at] for line in plot.lines)
    assert this == pytest.approx(there.value("free_end_twist"), rel=1e-9)
    assert other == pytest.approx(there.value("reordered.free_end_twist"), rel=1e-9)
    assert this > 2 * other, "order 4.5 is what the other firing order takes away"
    assert plot.mark == pytest.approx(8500)
    order = {critical.words: critical.x for critical in plot.criticals}
    assert order["4.5"] == pytest.approx(one.value("critical_4_5"), abs=0.6)


def test_values_follow_the_design_on_the_page():
    one = bench(7)
    heavier = with_value(one.cycle.design, "piston.assembly_mass_g", 445.0)
    other = LessonBench(one.lesson, solve_cycle(heavier, 8500))
    assert other.value("rod_tension") > one.value("rod_tension")
    assert other.shown("piston.assembly_mass_g").startswith("445")


def test_a_curve_is_the_same_where_only_what_is_swept_was_changed():
    one = bench(6)
    for key, value, alike in (("counterweight", 30.0, True), ("rod.mass_g", 620.0, False)):
        design = changed(one.cycle.design, key, value)
        other = LessonBench(one.lesson, solve_cycle(design, 5800))
        assert other.sweeps_alike(one, one.lesson.curve) is alike
        same = np.allclose(other.plot.lines[0].y, one.plot.lines[0].y, rtol=1e-6)
        assert same is alike


def test_two_right_options_or_none_are_refused():
    one = bench(3)
    asked = one.lesson.predict
    twice = dataclasses.replace(asked, options=(*asked.options, asked.options[-1]))
    none = dataclasses.replace(asked, options=asked.options[:2])
    for wrong, words in ((twice, "4, 5"), (none, "none")):
        with pytest.raises(DesignError, match=words):
            one.right(wrong)


def test_a_number_is_judged_in_the_units_shown():
    """12 of 10: too high beyond its tolerance; a unit shown otherwise is brought back."""
    one = bench(4)
    asked = one.lesson.checks[1].amount
    right = one.amount(asked)
    assert "".join(filter(str.isalnum, one.judged(asked, right)[1])) == "11200rpm"
    steps = [one.judged(asked, right + away)[0] for away in (0.0, 299.0, 301.0, -301.0)]
    assert steps == [0, 0, 1, -1]
    film = bench(11)
    micrometres = film.amount(film.lesson.checks[1].amount)
    with using_units("us"):
        side, words = film.judged(film.lesson.checks[1].amount, as_shown(micrometres, "um"))
        assert shown_unit("um").symbol in words
    assert side == 0


def test_the_unloading_speed_falls_with_the_root_of_the_mass():
    one = bench(4)
    ratio = one.value("heavier.unloading_speed") / one.value("unloading_speed")
    assert ratio == pytest.approx(1.25**-0.5, rel=0.01)


def test_a_step_may_have_an_engine_of_its_own():
    one = bench(3)
    assert one.engine("four").design.layout.cylinders == 4
    assert one.engine("start") is one.cycle
