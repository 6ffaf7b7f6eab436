"""Figures for a notebook: filled with what `solve_cycle` gives, labelled with units."""

import math

import numpy as np
import pytest
from bokeh.embed import json_item
from bokeh.models import ColumnDataSource

import viz
from kinematics import DesignError, journal_films, load_demo, solve_cycle, speed_limits
from kinematics.units import using_units

CYCLE = solve_cycle(load_demo("hill_climb_six"), 8500)
FILMS = journal_films(CYCLE)
LADDER = speed_limits(CYCLE.design)
SINGLE = 1e-6  # relative, of the single precision that a figure carries


def data(figure, role: str, kind: str = "lines") -> dict:
    sources = figure.select({"type": ColumnDataSource})
    return next(one.data for one in sources if one.name.endswith(f"_{role}_{kind}"))


def only(figure, role: str) -> tuple[np.ndarray, np.ndarray]:
    lines = data(figure, role)
    return np.array(lines["xs"][0]), np.array(lines["ys"][0])


def close(found, expected) -> None:
    size = float(np.abs(expected).max())
    np.testing.assert_allclose(found, expected, rtol=0, atol=SINGLE * size)


def every_figure() -> list:
    return [
        viz.plot_forces(CYCLE), viz.plot_torque(CYCLE), viz.plot_polar(CYCLE),
        viz.plot_ladder(LADDER), viz.plot_orbit(FILMS.mains, 3), viz.plot_film(FILMS.big_ends),
    ]  # fmt: skip


def test_the_door_has_the_figures():
    assert sorted(viz.__all__) == sorted(name for name in dir(viz) if name.startswith("plot_"))
    assert len(every_figure()) == len(viz.__all__)


def test_every_figure_is_complete():
    """Title, both axes with units or names, ranges round what is drawn, and it becomes JSON."""
    for figure in every_figure():
        assert figure.title.text
        x, y = figure.xaxis[0].axis_label, figure.yaxis[0].axis_label
        assert x.split(", ")[-1] in ("°", "rpm", "kN", "µm")
        assert y == "criterion" or y.split(", ")[-1] in ("kN", "N·m", "µm")
        for xs, ys in zip(*(data(figure, "main")[name] for name in ("xs", "ys")), strict=True):
            assert figure.x_range.start <= min(xs)
            assert max(xs) <= figure.x_range.end
            assert figure.y_range.start <= min(ys)
            assert max(ys) <= figure.y_range.end
        assert json_item(figure)["doc"]["roots"]


def test_forces_are_those_of_the_cylinder():
    figure = viz.plot_forces(CYCLE, cylinder=4)
    forces = CYCLE.forces
    for role, values in (("gas", forces.gas_force), ("inertia", forces.inertia_force),
                         ("main", forces.rod_force), ("second", forces.side_thrust)):  # fmt: skip
        angle, found = only(figure, role)
        close(angle, np.degrees(CYCLE.crank_angle))
        close(found, values[3] / 1e3)


def test_torque_and_its_mean():
    figure = viz.plot_torque(CYCLE)
    close(only(figure, "main")[1], CYCLE.forces.crank_torque)
    close(only(figure, "mean")[1], np.full(720, CYCLE.mean_torque))


@pytest.mark.parametrize(
    ("bearing", "number", "frame", "shell"),
    [("big_end", 2, None, "rod"), ("big_end", 6, "crank", "crank"), ("main", 7, None, "block")],
)
def test_a_polar_plot_is_the_bearings_load(bearing, number, frame, shell):
    figure = viz.plot_polar(CYCLE, bearing, number, frame=frame)
    loads = CYCLE.bearings.big_ends if bearing == "big_end" else CYCLE.bearings.mains
    x, y = loads[shell][number - 1] / 1e3
    for found, expected in zip(only(figure, "main"), (x, y), strict=True):
        close(found, np.append(expected, expected[0]))
    peak = data(figure, "main", "marks")
    assert math.hypot(peak["x"][0], peak["y"][0]) == pytest.approx(np.hypot(x, y).max(), rel=SINGLE)
    assert figure.frame_width == figure.frame_height
    assert figure.x_range.end == figure.y_range.end == -figure.x_range.start


def test_an_orbit_lies_in_its_clearance():
    figure = viz.plot_orbit(FILMS.mains, 3)
    clearance = FILMS.mains.bearing.radial_clearance * 1e6
    expected = clearance * FILMS.mains.eccentricity[2]
    for found, one in zip(only(figure, "main"), expected, strict=True):
        close(found, np.append(one, one[0]))
    np.testing.assert_allclose(np.hypot(*only(figure, "allowed")), clearance, rtol=SINGLE)
    mark = data(figure, "main", "marks")
    left = clearance - math.hypot(mark["x"][0], mark["y"][0])
    assert left == pytest.approx(FILMS.mains.minimum_film[2] * 1e6, rel=1e-6)


def test_a_film_over_the_angle():
    close(only(viz.plot_film(FILMS.big_ends, 2), "main")[1], FILMS.big_ends.film[1] * 1e6)


def test_a_ladder_has_a_bar_to_every_limit():
    figure = viz.plot_ladder(LADDER)
    high = LADDER.high * 30 / math.pi
    steel, band = (data(figure, role, "bars") for role in ("steel", "band"))
    limits = [rung.limit_rpm for rung in LADDER if rung.limit <= LADDER.high]
    np.testing.assert_allclose(steel["right"], limits, rtol=1e-12)
    assert band["right"] == pytest.approx([high] * (len(LADDER) - len(limits)))
    texts = data(figure, "main", "labels")["text"]
    for text, rung in zip(texts, LADDER, strict=True):
        assert rung.criterion.label in text


def test_what_is_not_there_is_refused():
    for wrong in (0, 8, True, "two"):
        with pytest.raises(DesignError, match="must be 1 to 7"):
            viz.plot_polar(CYCLE, "main", wrong)
    with pytest.raises(DesignError, match="must be one of big_end, main"):
        viz.plot_polar(CYCLE, "mains")
    with pytest.raises(DesignError, match="must be one of block, crank"):
        viz.plot_polar(CYCLE, "main", frame="rod")
    with pytest.raises(DesignError, match="cylinder: must be 1 to 6"):
        viz.plot_forces(CYCLE, 7)


def test_figures_follow_the_units_that_are_chosen():
    with using_units("us"):
        figure = viz.plot_torque(CYCLE)
    assert figure.yaxis[0].axis_label.endswith("lbf·ft")
    close(only(figure, "main")[1], CYCLE.forces.crank_torque / 1.3558179483314004)
