"""`sixthrow limits`: the table, its CSV, and one line for bad input."""

import csv

import pytest

from apps.command_line import main
from assets_demo import DEMO_DESIGNS, FOLDER
from tests.demos import demo_ladder
from viz.limits.limit_board import CAUTION
from viz.limits.margin_table import CSV_HEAD


@pytest.mark.parametrize("stem", DEMO_DESIGNS)
def test_the_table_has_every_rung_and_the_caution(capsys, stem):
    path = FOLDER / f"{stem}.toml"
    assert main(["limits", str(path)]) == 0
    out = capsys.readouterr().out
    for rung in demo_ladder(stem).rungs:
        assert rung.criterion.label in out
    assert out.rstrip().endswith(CAUTION)


def test_the_csv_is_written(tmp_path, capsys):
    out = tmp_path / "limits.csv"
    assert main(["limits", str(FOLDER / "touring_six.toml"), "--out", str(out)]) == 0
    with out.open(newline="", encoding="utf-8") as file:
        rows = list(csv.reader(file))
    assert tuple(rows[0]) == CSV_HEAD
    assert len(rows) > 25


def test_what_is_not_judged_says_what_is_missing(tmp_path, capsys):
    text = (FOLDER / "touring_six.toml").read_text(encoding="utf-8")
    start = text.index("[rod_bolts]")
    bare = text[:start] + text[text.index("[crank_throw]") :]
    path = tmp_path / "bare.toml"
    path.write_text(bare, encoding="utf-8")
    assert main(["limits", str(path)]) == 0
    out = capsys.readouterr().out
    assert "Not assessed: Big-end cap, Joint separation: rod_bolts: is missing" in out


@pytest.mark.parametrize(
    ("old", "new", "field"),
    [
        ("load_introduction = 0.5", "load_introduction = nan", "rod_bolts.load_introduction"),
        ("oil_bore_mm = 5.0", "oil_bore_mm = inf", "crank_throw.oil_bore_mm"),
        ('damper = "tuned"', 'damper = "rubber"', "torsion.damper"),
        ("red_line_rpm = 6000.0", "red_line = 6000.0", "limits.red_line"),
        ("tensile_MPa = 966.0", "tensile_MPa = 10.0", "rod_material.tensile_MPa"),
    ],
)
def test_a_bad_value_is_one_line_and_exit_code_2(tmp_path, capsys, old, new, field):
    text = (FOLDER / "touring_six.toml").read_text(encoding="utf-8")
    assert old in text
    path = tmp_path / "bad.toml"
    path.write_text(text.replace(old, new), encoding="utf-8")
    assert main(["limits", str(path)]) == 2
    captured = capsys.readouterr()
    assert captured.out == ""
    assert captured.err.count("\n") == 1
    assert field in captured.err
