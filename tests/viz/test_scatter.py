"""The tolerance study on the page: what is drawn, told and tabled is what the study found."""

import dataclasses
import json
import math
import re

import numpy as np
import pytest

from assets_demo import demo_paths
from kinematics import load_design
from kinematics.balancing.balance_scatter import Spread, Spreads
from kinematics.balancing.bob_weights import pin_bob_weights
from kinematics.balancing.scatter_study import scatter_study
from kinematics.units import using_units
from viz.chart_words import chart_words
from viz.shaft.bob_words import bob_lists
from viz.shaft.scatter_charts import (
    DRAWN,
    cloud_chart,
    cloud_points,
    scatter_pictures,
    share_chart,
    size_chart,
    study_messages,
)
from viz.shaft.scatter_tables import scatter_tables
from viz.shaft.scatter_words import hint_words, scatter_formulas, verdict_words
from viz.shaft.shaft_table import tables_csv

DEMOS = {name: load_design(path) for name, path in demo_paths().items()}
HILL, V6 = DEMOS["Hill climb six"], DEMOS["V6 60 six throws"]
SPREADS = Spreads(
    Spread(1e-3, "uniform"), Spread(0.8e-3), Spread(1.2e-3), Spread(30e-6),
    Spread(math.radians(0.1), "uniform"), Spread(40e-6),
)  # fmt: skip
STUDY = scatter_study(HILL, SPREADS, "G16", samples=5000)
STILL = scatter_study(HILL, Spreads(), "G16", samples=50)
METRIC = re.compile(r"(?<![\w·/])(?:mm|N|g|kg|N·m|g·mm|kg·mm)(?![\w·/²])")


def plain(text):
    return text.replace("\u2009", "").replace("\u202f", "").replace("−", "-")


@pytest.mark.parametrize("place", [0, 1])
def test_points_drawn_are_the_first_shafts_and_parted_by_what_is_permissible(place):
    points = cloud_points(STUDY, place)
    found = np.concatenate((points["within"], points["beyond"]), axis=1)
    assert found.shape == (2, DRAWN)
    own = 1e6 * STUDY.scatter.residual.samples[:DRAWN, place]
    np.testing.assert_allclose(np.sort(found[0]), np.sort(own.imag), rtol=1e-5, atol=1e-4)
    allowed = 1e6 * STUDY.tolerance.amounts[place]
    assert np.all(np.hypot(*points["within"]) <= allowed * (1 + 1e-6))
    assert np.all(np.hypot(*points["beyond"]) > allowed * (1 - 1e-6))
    assert points["beyond"].shape[1] > 20


@pytest.mark.parametrize("place", [0, 1])
def test_both_circles_have_their_radius(place):
    chart = cloud_chart(STUDY, place)
    for role, size in (
        ("allowed", STUDY.tolerance.amounts[place]),
        ("inertia", STUDY.residual_percentiles[1, place]),
    ):
        (line,) = [one for one in chart.lines if one.role == role]
        np.testing.assert_allclose(np.hypot(line.x, line.y), 1e6 * size, rtol=1e-9)
    assert chart.y_range[1] > 1e6 * STUDY.tolerance.amounts[place]
    beyond = np.mean(STUDY.sizes[:, place] > STUDY.tolerance.amounts[place])
    assert f"{100 * beyond:.1f} % are beyond" in chart_words(chart)


def test_a_permissible_circle_far_outside_is_told_not_drawn():
    study = scatter_study(HILL, SPREADS, "G250", samples=200)
    chart = cloud_chart(study, 0)
    assert not [one for one in chart.lines if one.role == "allowed"]
    assert any("far outside" in one.text for one in chart.labels)
    assert any("far above" in one.text for one in size_chart(study).labels)


def test_a_mean_off_the_middle_is_marked():
    study = scatter_study(V6, SPREADS, "G16", samples=200)
    (mark,) = cloud_chart(study, 0).marks
    mean = study.scatter.residual.mean[0]
    assert (mark.x, mark.y) == pytest.approx((1e6 * mean.imag, 1e6 * mean.real))
    assert "not scatter" in hint_words(study)
    assert "bob weights" in hint_words(study)
    assert hint_words(STUDY) == ""
    assert cloud_chart(STUDY, 0).marks == ()


def test_the_curves_are_the_samples_own_shares():
    chart = size_chart(STUDY)
    for place, role in enumerate(("main", "inertia")):
        (line,) = [one for one in chart.lines if one.role == role]
        for size, share in list(zip(line.x, line.y, strict=True))[5:-1:10]:
            below = np.mean(1e6 * STUDY.sizes[:, place] <= size * (1 + 1e-9))
            assert 100 * below == pytest.approx(share, abs=0.05)
        marks = [(one.x, one.y) for one in chart.marks if one.role == role]
        expected = [(1e6 * x, y) for x, y in zip(STUDY.residual_percentiles[:, place], (50, 95, 99),
                                                 strict=True)]  # fmt: skip
        np.testing.assert_allclose(marks, expected, rtol=1e-9)


def test_bars_are_the_exact_shares_and_sum_to_all():
    chart = share_chart(STUDY)
    for group, own in (
        ("residual on the machine", STUDY.kinds.residual.sum(axis=1)),
        ("free force of the 1st order", STUDY.kinds.force[:, 0].sum(axis=1)),
    ):
        bars = [one for one in chart.bars if one.name.startswith(group)]
        assert sum(one.right for one in bars) == pytest.approx(100)
        expected = sorted((100 * own[own > 0] / own.sum()).tolist(), reverse=True)
        assert [one.right for one in bars] == pytest.approx(expected)
    told = plain(chart_words(chart))
    assert "residual on the machine: counterweights: 62" in told
    assert max(chart.x_ticks) <= 100


def test_tables_hold_the_study():
    residuals, loads, shares = scatter_tables(STUDY)
    for place, row in enumerate(residuals.rows):
        assert row[1] == 0  # the mean of a six is nothing
        assert row[2:5] == pytest.approx(tuple(1e6 * STUDY.residual_percentiles[:, place]))
        assert row[5] == pytest.approx(row[6], rel=0.05)
        assert row[7] == pytest.approx(1e6 * STUDY.tolerance.amounts[place])
    force = STUDY.scatter.largest_force * STUDY.speed**2
    assert loads.rows[0][0] == "1st order force, N"
    assert loads.rows[0][2:5] == pytest.approx(tuple(np.percentile(force[:, 0], (50, 95, 99))))
    spread = STUDY.speed**2 * math.sqrt(STUDY.scatter.force.variance[0].sum())
    assert loads.rows[0][5] == pytest.approx(spread)
    whole = np.array([row[1:] for row in shares.rows[:-1]], dtype=float).sum(axis=0)
    np.testing.assert_allclose(whole, 100, rtol=1e-9)
    assert shares.rows[-1][1:] == pytest.approx((100,) * 6)
    assert tables_csv(residuals, loads, shares).count("\n") > 15


def test_a_free_second_order_is_its_own_mean():
    loads = scatter_tables(scatter_study(DEMOS["Inline four"], SPREADS, "G16", samples=500))[1]
    mean, half = loads.rows[1][1:3]
    assert mean == pytest.approx(half, rel=0.01)
    assert mean > 1000


def test_the_verdict_says_the_share_and_the_percentiles():
    words = plain(verdict_words(STUDY))
    assert float(re.match(r"([\d.]+) % of shafts need drilling", words)[1]) == pytest.approx(
        100 * STUDY.to_drill, abs=0.5
    )
    assert "G16 at 9000 rpm" in words
    assert plain(verdict_words(STILL)).startswith("No shaft of 50 needs drilling")
    assert "below 0 g·mm" in verdict_words(STILL)
    alone = scatter_study(V6, SPREADS, "G16", samples=200)
    assert verdict_words(alone).startswith("Every shaft needs drilling")


def test_formulas_put_in_what_gives_the_result():
    told = [plain(one) for one in scatter_formulas(STUDY)]
    number = r"([\d.]+)"
    for words in ("Throws", "Counterweights"):
        line = next(one for one in told if one.startswith(words))
        sigma, levers, size = map(
            float, re.search(rf"= {number} g·mm · {number} = {number} g·mm", line).groups()
        )
        assert sigma * levers == pytest.approx(size, rel=6e-3)
    whole = next(one for one in told if one.startswith("All, front"))
    parts, result = re.search(rf"√\(([^)]*)\) g·mm = {number}", whole).groups()
    squares = [float(one) ** 2 for one in re.findall(rf"{number}²", parts)]
    assert len(squares) == 3
    assert math.sqrt(sum(squares)) == pytest.approx(float(result), rel=6e-3)
    grade = re.search(rf"{number} mm/s · {number} kg / {number} rpm = {number} g·mm", told[0])
    speed, mass, rpm, most = map(float, grade.groups())
    assert 1e3 * speed * mass / (rpm * math.pi / 30) == pytest.approx(most, rel=5e-3)


def test_nothing_that_scatters_is_drawn_and_told():
    for chart in (cloud_chart(STILL, 0), size_chart(STILL), share_chart(STILL)):
        assert np.all(np.isfinite([*chart.x_range, *chart.y_range]))
        assert chart.x_range[0] < chart.x_range[1]
    assert share_chart(STILL).bars == ()
    assert scatter_tables(STILL)[2].rows[0][1] is None
    assert any("No part" in one for one in scatter_formulas(STILL))


def test_figures_are_fed():
    messages = study_messages(STUDY)
    assert set(messages) == {picture.name for picture in scatter_pictures()}
    for name in ("scatter_front", "scatter_rear"):
        counts = [len(messages[name]["sources"][f"{which}_points"]["x"])
                  for which in ("within", "beyond")]  # fmt: skip
        assert sum(counts) == DRAWN
    bars = messages["scatter_shares"]["sources"]["steel_bars"]
    assert all(bars["name"])


def test_in_us_units_no_metric_one_is_left():
    with using_units("us"):
        charts = [cloud_chart(STUDY, 0), size_chart(STUDY), share_chart(STUDY)]
        texts = [verdict_words(STUDY), *(chart_words(one) for one in charts)]
        texts += [label.text for one in charts for label in one.labels]
        tables = scatter_tables(STUDY)
        texts += [text for one in tables for text in (one.caption, *one.head)]
        texts += [row[0] for one in tables for row in one.rows]
        texts += [json.dumps(bob_lists(pin_bob_weights(V6)), ensure_ascii=False)]
    assert any("oz·in" in text for text in texts)
    assert [text for text in texts if METRIC.search(text)] == []


def test_a_bob_weights_list_adds_up():
    (found,) = bob_lists(pin_bob_weights(V6, 0.5, 0.003))
    sizes = [float(plain(size).split()[0]) for _, size in found["rows"]]
    assert sum(sizes[:-1]) == pytest.approx(sizes[-1], abs=0.11)
    assert sizes[3] == 3.0
    assert plain(found["rows"][1][0]) == "50 % of piston, pin, rings"
    big, piston, small = map(float, re.search(
        r"\(([\d.]+) g \+ 0\.5 · \(([\d.]+) g \+ ([\d.]+) g\)\)", plain(found["formula"])
    ).groups())  # fmt: skip
    assert big + 0.5 * (piston + small) + 3 == pytest.approx(sizes[-1], abs=0.11)


def test_pins_with_two_rods_have_a_list_of_their_own():
    one = pin_bob_weights(V6)[0]
    two = dataclasses.replace(one, throw=2, rods=2)
    single, double = bob_lists((one, two))
    assert "pin 1, with one rod" in single["caption"]
    assert "pin 2, with 2 rods" in double["caption"]
    assert double["rows"][0][0].startswith("2 × big end")
