"""What the bearings page shows: message, numbers, table and charts against the films themselves."""

import csv
import dataclasses
import io
import json
import math
import re
from functools import cache

import numpy as np
import pytest

from apps.tables.films_table import films_text
from assets_demo import DEMO_DESIGNS
from kinematics import film_survey, solve_cycle
from kinematics.design.design_bearings import FILM_MODELS
from kinematics.film.film_survey import FilmSurvey
from kinematics.limits.speed_limits import speed_limits
from kinematics.units import UNITS
from tests.conftest import changed
from tests.demos import DEMOS
from viz.chart_figure import ROLES, draw
from viz.film.film_board import COLUMNS, model_note, table_csv, table_message
from viz.film.film_charts import FILM_PLOTS, film_charts, shape_chart, survey_chart
from viz.film.film_model_words import film_model_words
from viz.film.film_numbers import film_numbers
from viz.film.film_scene import SECTORS, film_bytes
from viz.film.shown_films import ShownFilms
from viz.limits.criterion_views import view_of
from viz.verdict_words import AT_SPEED, VERDICTS


@cache
def shown_of(stem: str) -> ShownFilms:
    """The films of a demo at its rated speed."""
    design = DEMOS[stem]
    return ShownFilms(solve_cycle(design, design.layout.rated_speed * 30 / math.pi))


def hill() -> ShownFilms:
    return shown_of("hill_climb_six")


def decoded(message):
    length = int(message[:4].view("<u4")[0])
    header = json.loads(bytes(message[4 : 4 + length]))
    return header, message[4 + length :].view("<f4")


def row_of(header, floats, name, bearing, component=0):
    owner, behind = header["like"][bearing]
    n = header["points"]
    entry = header["rows"][name]
    lines = entry["shape"][1] if len(entry["shape"]) > 1 else 1
    start = entry["gas"] + (owner * lines + component) * n
    return np.roll(floats[start : start + n], behind)


@pytest.mark.parametrize("stem", DEMO_DESIGNS)
def test_the_message_holds_every_bearing(stem):
    shown = shown_of(stem)
    header, floats = decoded(film_bytes(shown))
    keys = [one["key"] for one in header["bearings"]]
    assert keys == [one.key for one in shown.bearings]
    assert sorted(header["order"]) == list(range(len(keys)))
    for place, one in enumerate(shown.bearings):
        own = one.films
        film = row_of(header, floats, "film", place)
        np.testing.assert_allclose(film, own.film[one.index] * 1e6, rtol=2e-4)
        for component in (0, 1):
            np.testing.assert_allclose(
                row_of(header, floats, "eccentricity", place, component),
                own.eccentricity[one.index, component], atol=2e-4,
            )  # fmt: skip
            np.testing.assert_allclose(
                row_of(header, floats, "load", place, component),
                own.load[one.index, component] / 1e3, atol=1e-3,
            )  # fmt: skip
        said = header["bearings"][place]
        assert said["least"] == pytest.approx(film.min(), rel=1e-4)
        assert len(said["wearShell"]) == SECTORS
        assert (said["firing"] is None) == (one.kind == "main")
        worn = np.array(said["wearShell"]) * 2 * math.pi / SECTORS
        size = np.hypot(own.load[one.index, 0], own.load[one.index, 1]).mean() / 1e3
        assert worn.sum() == pytest.approx(size, rel=0.01)


def test_the_order_is_by_nearness_to_the_limit():
    ratios = [one.least / one.limit for one in hill().sorted]
    assert ratios == sorted(ratios)
    header, _ = decoded(film_bytes(hill()))
    assert header["bearings"][header["order"][0]]["key"] == hill().sorted[0].key


@pytest.mark.parametrize(
    ("of_edge", "of_least", "state"),
    [(0, 1.01, "not_met"), (0, 0.99, "edge"), (0.5, 0.5, "edge"), (1.01, 0, "edge"),
     (0.99, 0, "met")],
)  # fmt: skip
def test_a_film_meets_its_allowable_or_does_not(of_edge, of_least, state):
    """The edge film is the thinner one, so it is the first to fall below."""
    cut = changed(hill().cycle.design, "crank", main_loads="cut_at_mains")  # it tilts less
    first = ShownFilms(solve_cycle(cut, 8500)).bearings[0]
    assert 0 < first.edge < 0.8 * first.least
    allowed = of_edge * first.edge + of_least * first.least
    design = changed(cut, "limits", big_end_film=allowed)
    assert ShownFilms(solve_cycle(design, 8500)).bearings[0].state == state


@pytest.mark.parametrize("stem", DEMO_DESIGNS)
def test_no_bearing_is_met_whose_edge_film_is_below_the_allowable(stem):
    shown = shown_of(stem)
    header, _ = decoded(film_bytes(shown))
    table = {row["key"]: row for row in table_message(shown)["rows"]}
    for one, sent in zip(shown.bearings, header["bearings"], strict=True):
        met = one.least >= one.limit and shown.edges[one.kind][one.index] >= one.limit
        assert (one.state == "met") == met
        assert sent["state"] == table[one.key]["state"] == one.state
        assert sent["stateWords"] == table[one.key]["words"] == AT_SPEED[one.state]
    assert AT_SPEED["edge"] == "edge film low"


def test_a_film_at_one_speed_bears_no_verdict():
    """The verdict is the ladder's: a film a tenth above its allowable is not marginal for that."""
    assert not set(AT_SPEED) & set(VERDICTS)
    rows = list(csv.reader(io.StringIO(table_csv(hill()))))
    assert rows[0][-1] == "At this speed"
    assert {row[-1] for row in rows[1:]} <= set(AT_SPEED.values())


@pytest.mark.parametrize("stem", DEMO_DESIGNS)
def test_every_number_has_formula_values_and_source(stem):
    for one in (shown_of(stem).bearings[0], shown_of(stem).bearings[-1]):
        numbers = film_numbers(one)
        assert len({number.key for number in numbers}) == len(numbers)
        for number in numbers:
            assert math.isfinite(number.value), number.key
            assert number.formula, number.key
            assert number.source, number.key
            assert " = " in number.substitution, number.key


@pytest.mark.parametrize("model", FILM_MODELS)
def test_the_words_are_of_the_film_model_in_use(model):
    """No formula, source or note describes a model by which nothing was computed."""
    design = changed(hill().cycle.design, "oil", film_model=model)
    shown = ShownFilms(solve_cycle(design, 8500))
    numbers = {number.key: number for number in film_numbers(shown.bearings[0])}
    others = set(FILM_MODELS) - {model}
    assert {f"film_{name}" for name in others} <= set(numbers)
    assert f"film_{model}" not in numbers
    main = [number for key, number in numbers.items() if not key.startswith("film_")]
    page = "\n".join(f"{one.formula} {one.conventions} {one.source}" for one in main)
    page += table_message(shown)["note"]
    rung = next(
        one for one in speed_limits(design).rungs if one.criterion.key == "big_end_film"
    )  # fmt: skip
    view = view_of(rung.criterion)
    sheet = view.formula_of(rung) + view.source_of(rung)
    for words in (page, sheet):
        assert ("Childs" in words) == (model == "finite_length")
        assert ("mobility of the short bearing" in words) == (model == "short_bearing")
        assert ("finite bearing" in words) == (model == "reynolds")
    assert ("solutions of Reynolds' equation" in page) == (model != "short_bearing")
    assert ("solutions of Reynolds' equation" in sheet) == (model == "reynolds")
    assert f"Film model: {film_model_words(model).name}." in films_text(shown)


def test_only_films_of_the_table_can_lie_outside_it():
    def note(model):
        design = changed(hill().cycle.design, "oil", film_model=model)
        wide = changed(design, "big_end", width=1.6 * design.big_end.diameter)
        return model_note(ShownFilms(solve_cycle(wide, 8500)))

    assert "The big ends lie outside its table, L/D 0.1 to 1.5." in note("reynolds")
    assert "outside" not in note("short_bearing")
    assert "outside" not in model_note(hill())


def figure(text: str) -> float:
    """A number as it is put in, powers of ten and thin spaces read."""
    digits = str.maketrans("⁻⁰¹²³⁴⁵⁶⁷⁸⁹−", "-0123456789-")
    text = text.translate(digits).replace("\u2009", "").strip("()")
    mantissa, _, power = text.partition("·10")
    return float(mantissa) * 10 ** int(power or 0)


def test_the_least_film_follows_from_the_values_put_in():
    number = film_numbers(hill().bearings[0])[0]
    clearance, size = re.match(r"h = (\S+)·\(1 − (\S+)\)", number.substitution).groups()
    assert figure(clearance) * (1 - figure(size)) * 1e6 == pytest.approx(number.value, rel=2e-3)


def test_heat_follows_from_the_values_put_in():
    by_key = {number.key: number for number in film_numbers(hill().bearings[7])}
    inlet, loss, heat, flow = re.search(
        r"T = (\S+) \+ (\S+.*?)/\(2·(\S+.*?)·(\S+)\) =", by_key["film_temperature"].substitution
    ).groups()
    warm = figure(inlet) + figure(loss.replace(" ", "")) / (
        2 * figure(heat.replace(" ", "")) * figure(flow)
    )
    assert warm - 273.15 == pytest.approx(by_key["film_temperature"].value, abs=0.05)


def test_the_table_says_what_the_films_are():
    message = table_message(hill())
    assert len(message["columns"]) == len(COLUMNS) == len(message["rows"][0]["cells"])
    assert message["rows"][0]["key"] == hill().sorted[0].key
    rows = list(csv.reader(io.StringIO(table_csv(hill()))))
    assert len(rows) == 14
    assert rows[0][1] == "Minimum film thickness, µm"
    assert float(rows[1][1]) == pytest.approx(hill().sorted[0].least * 1e6, rel=1e-5)


def readable(chart):
    (left, right), (bottom, top) = chart.x_range, chart.y_range
    for line in chart.lines:
        assert line.role in ROLES
        assert np.isfinite(np.asarray(line.x, dtype=float)).all()
    for label in chart.labels:
        assert left <= label.x <= right, label
        assert bottom <= label.y <= top, label


@pytest.mark.parametrize("stem", DEMO_DESIGNS)
def test_shapes_can_be_read(stem):
    _, shape = film_charts()
    for one in shown_of(stem).bearings:
        chart = shape_chart(one)
        readable(chart)
        assert "µm" in chart.x_label
        assert "µm" in chart.y_label
        draw(shape, chart)


def test_the_survey_draws_the_allowed_film_where_it_is_met():
    survey = film_survey(hill().cycle.design)
    chart = survey_chart(survey, "big_end", 2.0e-6, (890.0, 1.0))
    readable(chart)
    draw(film_charts()[0], chart)
    bounds = [line for line in chart.lines if line.role == "allowed"]
    assert bounds
    for line in bounds:
        for x, y in zip(line.x, line.y, strict=True):
            column = [
                np.interp(x * math.pi / 30, survey.speed, row) for row in survey.film["big_end"]
            ]
            assert np.interp(y / 100, survey.load, column) == pytest.approx(2.0e-6, rel=0.05)


def test_a_survey_all_thicker_or_thinner_says_so():
    survey = FilmSurvey(
        np.linspace(100, 900, 5), np.linspace(0, 1, 3),
        {"big_end": np.full((3, 5), 3e-6) + np.arange(5) * 1e-8},
    )  # fmt: skip
    for allowed, words in ((1e-6, "thicker"), (9e-6, "thinner")):
        chart = survey_chart(survey, "big_end", allowed, (500.0, 0.5))
        assert any(words in label.text for label in chart.labels)
        readable(chart)


def test_the_curves_read_rows_of_the_message():
    header, _ = decoded(film_bytes(hill()))
    for plot in FILM_PLOTS:
        for curve in plot.curves:
            assert curve.row in header["rows"]
            assert header["rows"][curve.row]["unit"] == UNITS[plot.unit].symbol


def test_a_reference_crown_is_drawn_within_the_axis():
    design = changed(hill().cycle.design, "big_end", crown=150e-6)
    readable(shape_chart(ShownFilms(solve_cycle(design, 8500)).bearings[0]))


def test_without_heat_balance_it_says_so():
    design = changed(hill().cycle.design, "oil", film_viscosity="given")
    shown = ShownFilms(solve_cycle(design, 8500))
    assert "as given in the design" in table_message(shown)["note"]
    numbers = {number.key: number for number in film_numbers(shown.bearings[0])}
    assert numbers["film_viscosity"].value == pytest.approx(9.0)
    assert dataclasses.asdict(numbers["film_viscosity"])["substitution"].startswith("μ = as given")
