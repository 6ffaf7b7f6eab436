"""In US customary units nothing on screens or in exports keeps a metric unit, but for derivations.

Values put into formulas stay SI, and so do sources and origins, which quote what was printed.
"""

import csv
import io
import json
import re

import numpy as np
import pytest

from apps.tables.cycle_table import cycle_columns
from apps.tables.films_table import films_text
from apps.tables.limits_table import limits_text
from assets_demo import demo_paths
from kinematics import load_design, solve_cycle
from kinematics.limits.speed_limits import speed_limits
from kinematics.units import SYSTEMS, UNITS, using_units
from viz.film.film_board import table_csv, table_message
from viz.film.film_charts import FILM_PLOTS, shape_chart
from viz.film.film_numbers import film_numbers
from viz.film.film_scene import film_bytes
from viz.film.shown_films import ShownFilms
from viz.limits.criterion_views import view_of
from viz.limits.limit_board import ladder_message, sheet_message
from viz.limits.limit_charts import speed_chart
from viz.limits.margin_table import margin_rows
from viz.train.line_plots import LINE_PLOTS, line_picture
from viz.train.main_numbers import main_numbers
from viz.train.order_plots import ORDER_PLOTS, order_picture
from viz.train.polar_plots import BIG_END, polar_picture
from viz.train.scene import scene_bytes

DESIGN = load_design(demo_paths()["Hill climb six"])
CYCLE = solve_cycle(DESIGN, 8000.0)
LADDER = speed_limits(DESIGN)
METRIC = re.compile(
    r"(?<![\w·/])(?:mm|cm|µm|kN|N|MPa|GPa|bar|kPa|N·m|kN·m|N·m/rad|m/s|km/s²|m/s²|kW|W|kg|g|kg·mm|"
    r"kg·m²|kg·mm²|mPa·s|Pa·s|mm²/s|l/min|°C|J)(?![\w·/²³%'’])"
)
QUOTED = ("substitution", "formula", "conventions", "source", "origin", "references", "note", "why")


def _texts(found, key=""):
    if isinstance(found, str):
        if key not in QUOTED:
            yield found
    elif isinstance(found, dict):
        for name, one in found.items():
            yield from _texts(one, name)
    elif isinstance(found, (list, tuple)):
        for one in found:
            yield from _texts(one, key)


def _metric(found):
    return [text for text in _texts(found) if METRIC.search(text)]


@pytest.fixture(autouse=True)
def _us():
    with using_units("us"):
        yield


def test_the_search_finds_metric_units_where_they_are():
    with using_units("si"):
        assert _metric([f"{one.value} {one.unit}" for one in main_numbers(CYCLE)])
        assert _metric(ladder_message(LADDER, None, ""))
        assert _metric(table_message(ShownFilms(CYCLE)))


def test_main_numbers_and_their_last_step():
    for one in main_numbers(CYCLE):
        assert not METRIC.search(one.unit), one.key
        assert not METRIC.search(one.place), one.key
        last = one.substitution.rsplit(" = ", 1)[-1]
        assert not METRIC.search(last), one.substitution


@pytest.mark.parametrize("one", main_numbers(CYCLE), ids=lambda one: one.key)
def test_a_main_number_is_the_same_quantity(one):
    """Its value in US units is the metric one by the factors alone."""
    shown = {number.key: number for number in main_numbers(CYCLE)}[one.key]
    metric = next(unit for unit in UNITS.values() if unit.symbol == one.unit)
    other = SYSTEMS["us"][metric.key]
    assert shown.unit == other.symbol
    assert other.to_si(shown.value) == pytest.approx(metric.to_si(one.value), rel=1e-9)


def test_films():
    shown = ShownFilms(CYCLE)
    assert not _metric(table_message(shown))
    assert not METRIC.search(table_csv(shown).splitlines()[0])
    assert not _metric([films_text(shown)])
    for one in film_numbers(shown.sorted[0]):
        assert not METRIC.search(one.unit), one.key
        assert not METRIC.search(one.place), one.key
    assert not _chart_words(shape_chart(shown.sorted[0]))


def test_the_ladder_and_every_sheet():
    assert not _metric(ladder_message(LADDER, LADDER, "reference"))
    assert not _metric([row[:9] for row in margin_rows(LADDER)])
    assert not _metric([limits_text(LADDER).split("Not assessed")[0].replace("\n", " ")[:500]])
    for rung in LADDER.rungs:
        assert not _metric(sheet_message(LADDER, rung.criterion.key)), rung.criterion.key


@pytest.mark.parametrize("rung", LADDER.rungs, ids=lambda rung: rung.criterion.key)
def test_charts(rung):
    charts = [speed_chart(LADDER, rung, None)]
    charts += [make(LADDER, rung) for _, make in view_of(rung.criterion).charts]
    for chart in charts:
        assert not _chart_words(chart)


@pytest.mark.parametrize("rung", LADDER.rungs, ids=lambda rung: rung.criterion.key)
def test_charts_show_the_same_curves(rung):
    """Every line of a chart is the metric chart's by one factor an axis."""
    for _, make in view_of(rung.criterion).charts:
        ours = make(LADDER, rung)
        with using_units("si"):
            theirs = make(LADDER, rung)
        mine, other = (
            np.concatenate([np.asarray(line.y, float) for line in chart.lines])
            for chart in (ours, theirs)
        )
        seen = np.isfinite(mine) & (np.abs(other) > 1e-6 * np.nanmax(np.abs(other)))
        factors = mine[seen] / other[seen]
        np.testing.assert_allclose(factors, factors[0], rtol=1e-5)


def _chart_words(chart):
    words = [chart.title, chart.x_label, chart.y_label, *(label.text for label in chart.labels)]
    return [one for one in words if METRIC.search(one)]


def test_plots_over_the_angle():
    for picture in (
        *map(line_picture, LINE_PLOTS), *map(line_picture, FILM_PLOTS),
        *map(order_picture, ORDER_PLOTS), polar_picture(BIG_END),
    ):  # fmt: skip
        assert not METRIC.search(picture.feed["unit"]), picture.name
        assert not METRIC.search(str(picture.figure.yaxis[0].axis_label)), picture.name


@pytest.mark.parametrize("packed", [scene_bytes, lambda cycle: film_bytes(ShownFilms(cycle))])
def test_messages_hold_the_same_rows_in_other_units(packed):
    ours, our_rows = _unpacked(packed(CYCLE))
    with using_units("si"):
        theirs, their_rows = _unpacked(packed(CYCLE))
    by_symbol = {unit.symbol: key for key, unit in UNITS.items()}
    for name, row in ours["rows"].items():
        key = by_symbol[theirs["rows"][name]["unit"]]
        assert row["unit"] == SYSTEMS["us"][key].symbol
        ratio = UNITS[key].factor / SYSTEMS["us"][key].factor
        for part in ("gas", "inertia"):
            if part in row:
                here, there = row[part], theirs["rows"][name][part]
                assert our_rows[here] == pytest.approx(their_rows[there] * ratio, rel=1e-5)


def _unpacked(message):
    length = int(message[:4].view("<u4")[0])
    header = json.loads(bytes(message[4 : 4 + length]))
    return header, message[4 + length :].view("<f4")


def test_the_table_of_a_cycle_names_its_units():
    columns = cycle_columns(CYCLE)
    assert {"displacement_1_in", "cylinder_pressure_1_psi", "gas_force_1_lbf"} <= set(columns)
    assert not [name for name in columns if re.search(r"_(mm|bar|N|Nm|m_s|m_s2)$", name)]
    lbf = columns["gas_force_1_lbf"]
    assert lbf * 4.4482216152605 == pytest.approx(CYCLE.forces.gas_force[0], rel=1e-12)


def test_no_film_column_is_metric():
    head = next(csv.reader(io.StringIO(table_csv(ShownFilms(CYCLE)))))
    assert [one for one in head if one.endswith("µin")]
