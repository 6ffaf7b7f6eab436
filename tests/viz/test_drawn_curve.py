"""A drawn curve beside the engine's: each feature, in words."""

import numpy as np
import pytest

from viz.lessons.drawn_curve import FEATURES, Axes, Line, remarks, size_words

X = np.linspace(0.0, 10.0, 11)
FINE = np.linspace(0.0, 10.0, 101)
AXES = Axes(0.0, 10.0, -50.0, 50.0, "{:.3g} rpm".format, "{:.3g} N".format)


def said(feature, drawn, true):
    (remark,) = remarks(AXES, Line(X, drawn(X)), Line(FINE, true(FINE)), [feature])
    assert remark.feature == feature
    return remark.alike, remark.words


def rising(x):
    return 2.0 * x


def falling(x):
    return 20.0 - 2.0 * x


def cup(x):
    return (x - 4.0) ** 2


def dome(x):
    return 36.0 - (x - 4.0) ** 2


def level(x):
    return np.full_like(x, 7.0)


@pytest.mark.parametrize("feature", FEATURES)
@pytest.mark.parametrize("curve", [rising, falling, cup, dome])
def test_the_engines_own_curve_is_alike_in_all(feature, curve):
    if feature == "extremum" and curve in (rising, falling):
        return  # it has none between its ends
    assert said(feature, curve, curve)[0]


@pytest.mark.parametrize(
    ("drawn", "true", "words"),
    [
        (falling, rising, "Your curve falls, the engine's rises."),
        (level, rising, "Your curve stays level, the engine's rises."),
        (rising, cup, "Your curve rises, the engine's falls, then rises."),
        (dome, cup, "Your curve rises, then falls, the engine's falls, then rises."),
    ],
)
def test_the_wrong_direction_is_said_whatever_the_size(drawn, true, words):
    assert said("direction", drawn, true) == (False, words)


def test_small_wiggles_of_a_hand_are_no_turns():
    assert said("direction", lambda x: 2.0 * x + np.cos(9 * x), rising) == (
        True, "Both curves rise.",
    )  # fmt: skip


def test_zero_is_where_the_curves_cross_it():
    def crossing(x):
        return 30.0 - 5.0 * x

    alike, words = said("zero", crossing, lambda x: 36.0 - x**2)
    assert alike
    assert words == "Your curve crosses zero at 6 rpm, the engine's at 6 rpm."
    alike, words = said("zero", lambda x: 15.0 - 5.0 * x, crossing)
    assert not alike
    assert words == "Your curve crosses zero at 3 rpm, the engine's at 6 rpm."
    assert said("zero", level, crossing)[1].startswith("Your curve never crosses zero, the")


def test_an_extremum_has_its_place():
    assert said("extremum", lambda x: cup(x + 0.5), cup)[0]
    alike, words = said("extremum", lambda x: cup(x - 3.0), cup)
    assert not alike
    assert words == "Your curve is lowest at 7 rpm, the engine's at 4 rpm."
    assert "lowest at an end of the axis" in said("extremum", rising, cup)[1]
    assert "highest at 4 rpm" in said("extremum", lambda x: dome(x), dome)[1]


def test_a_straight_line_is_not_a_bent_one():
    def parabola(x):
        return 30.0 - 0.5 * x**2

    words = "Your curve is straight, the engine's bends downward."
    assert said("curvature", lambda x: 30.0 - 5.0 * x, parabola) == (False, words)
    assert said("curvature", lambda x: 0.2 * x**2, parabola)[1].startswith("Your curve bends upw")


def test_size_is_the_mean_distance():
    line, drawn = Line(FINE, rising(FINE)), Line(X, rising(X) + 5.0)
    assert "5 N apart on average" in size_words(AXES, drawn, line)
    assert "the same" in size_words(AXES, Line(X, rising(X)), line)
