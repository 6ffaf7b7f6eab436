"""`sixthrow films`: the table, its CSV, and one line for bad input."""

import csv

import numpy as np
import pytest

from apps.command_line import main
from assets_demo import DEMO_DESIGNS, FOLDER
from kinematics import journal_films, load_design, solve_cycle
from viz.limits.limit_board import CAUTION


@pytest.mark.parametrize("stem", DEMO_DESIGNS)
def test_the_table_has_every_bearing_and_the_caution(capsys, stem):
    assert main(["films", str(FOLDER / f"{stem}.toml")]) == 0
    out = capsys.readouterr().out
    layout = load_design(FOLDER / f"{stem}.toml").layout
    for i in range(layout.cylinders):
        assert f"Big end {i + 1} " in out
    for i in range(layout.throws + 1):
        assert f"Main {i + 1} " in out
    assert out.rstrip().endswith(CAUTION)


def test_the_csv_holds_the_films(tmp_path, capsys):
    out = tmp_path / "films.csv"
    path = FOLDER / "hill_climb_six.toml"
    assert main(["films", str(path), "--speed", "7000", "--out", str(out)]) == 0
    assert "7 000 rpm" in capsys.readouterr().out.replace("\u2009", " ")
    with out.open(newline="", encoding="utf-8") as file:
        rows = list(csv.reader(file))
    values = np.array(rows[1:], dtype=float)
    films = journal_films(solve_cycle(load_design(path), 7000))
    assert values.shape == (720, 1 + 13 * 6)
    np.testing.assert_allclose(
        values[:, rows[0].index("main_3_film_um")], films.mains.film[2] * 1e6, rtol=1e-6
    )
    np.testing.assert_allclose(
        values[:, rows[0].index("big_end_2_eccentricity_x")],
        films.big_ends.eccentricity[1, 0], atol=1e-7,
    )  # fmt: skip


@pytest.mark.parametrize("speed", ["0", "-1", "nan", "inf", "1e9"])
def test_a_speed_that_cannot_be_is_one_line(capsys, speed):
    assert main(["films", str(FOLDER / "touring_six.toml"), "--speed", speed]) == 2
    error = capsys.readouterr().err
    assert error.count("\n") == 1
    assert "must be 1 to 30000 rpm" in error


def test_a_speed_too_low_for_a_film_is_one_line(capsys):
    assert main(["films", str(FOLDER / "pilot_boat_six.toml"), "--speed", "1"]) == 2
    error = capsys.readouterr().err
    assert error.count("\n") == 1
    assert "no oil film can be computed" in error


def test_without_bearings_it_says_what_is_missing(tmp_path, capsys):
    text = (FOLDER / "touring_six.toml").read_text(encoding="utf-8")
    start, end = text.index("[big_end]"), text.index("[main_bearing]")
    path = tmp_path / "bare.toml"
    path.write_text(text[:start] + text[end:], encoding="utf-8")
    assert main(["films", str(path)]) == 2
    assert "big_end: is missing in the design" in capsys.readouterr().err
