"""Every figure: units on its axes, sources with names, a feed that the scene can serve."""

import json

import pytest
from bokeh.models import ColumnDataSource, Line
from bokeh.plotting import figure as bokeh_figure

from assets_demo import demo_paths
from kinematics import load_design, solve_cycle
from viz.train.line_plots import LINE_PLOTS, line_picture
from viz.train.order_plots import ORDER_PLOTS, order_picture
from viz.train.polar_plots import BIG_END, MAIN_BEARINGS, polar_picture
from viz.train.scene import scene_bytes

PICTURES = [
    *(line_picture(plot) for plot in LINE_PLOTS),
    *(polar_picture(plot) for plot in (BIG_END, MAIN_BEARINGS)),
    *(order_picture(plot) for plot in ORDER_PLOTS),
]
NAMES = [picture.name for picture in PICTURES]
UNITS = {"kN", "N", "N·m", "km/s²", "bar"}


def rows():
    design = load_design(next(iter(demo_paths().values())))
    message = scene_bytes(solve_cycle(design, 3000)).tobytes()
    length = int.from_bytes(message[:4], "little")
    return json.loads(message[4 : 4 + length])["rows"]


@pytest.mark.parametrize("picture", PICTURES, ids=NAMES)
def test_unit_is_on_the_axis_and_in_the_feed(picture):
    assert picture.feed["unit"] in UNITS
    if picture.feed["kind"] != "polar":
        assert picture.figure.yaxis[0].axis_label == picture.feed["unit"]


@pytest.mark.parametrize("picture", PICTURES, ids=NAMES)
def test_feed_names_rows_of_the_scene_in_the_same_unit(picture):
    sent = rows()
    wanted = [one["row"] for one in picture.feed.get("curves", picture.feed.get("diagrams", []))]
    for row in wanted:
        assert sent[row]["unit"] == picture.feed["unit"]


@pytest.mark.parametrize("picture", PICTURES, ids=NAMES)
def test_feed_is_plain_json(picture):
    assert json.loads(json.dumps(picture.feed)) == picture.feed


def test_names_of_figures_and_sources_are_unique():
    models = [model for picture in PICTURES for model in picture.figure.references()]
    named = [
        model.name
        for model in models
        if isinstance(model, (ColumnDataSource, bokeh_figure)) and model.name
    ]
    assert len(named) == len(set(named))


def test_each_cause_has_its_own_line_style():
    for picture in PICTURES:
        if picture.feed["kind"] == "line":
            dashes = [
                tuple(renderer.glyph.line_dash)
                for renderer in picture.figure.renderers
                if isinstance(renderer.glyph, Line) and renderer.glyph.y.startswith("y")
            ]
            assert len(set(dashes)) >= min(len(dashes), 3), picture.name
