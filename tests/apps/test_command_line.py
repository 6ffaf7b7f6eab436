"""The command line: a table of the whole cycle; one line and exit code 2 for what is wrong."""

import csv
import math

import numpy as np
import pytest

from apps.command_line import main
from assets_demo import demo_paths
from kinematics import load_design, solve_cycle

TOURING = demo_paths()["Touring six"]


def solved(tmp_path, design=TOURING, speed="4000"):
    out = tmp_path / "cycle.csv"
    code = main(["solve", str(design), "--speed", speed, "--out", str(out)])
    return code, out


def test_solve_writes_every_quantity_with_its_unit(tmp_path):
    code, out = solved(tmp_path)
    assert code == 0
    with out.open() as file:
        rows = list(csv.reader(file))
    header, values = rows[0], np.array(rows[1:], dtype=float)
    assert values.shape == (720, len(header))
    table = dict(zip(header, values.T, strict=True))
    cycle = solve_cycle(load_design(TOURING), 4000)
    for name, expected in (
        ("crank_angle_deg", np.degrees(cycle.crank_angle)),
        ("displacement_2_mm", cycle.motion.displacement[1] * 1e3),
        ("cylinder_pressure_6_bar", cycle.forces.cylinder_pressure[5] / 1e5),
        ("rod_force_1_N", cycle.forces.rod_force[0]),
        ("crank_torque_Nm", cycle.forces.crank_torque),
        ("big_end_load_rod_3_x_N", cycle.bearings.big_end_load("rod")[2, 0]),
        ("main_load_crank_7_y_N", cycle.bearings.main_load("crank")[6, 1]),
        ("free_force_x_N", cycle.balance.free_force[0]),
        ("free_moment_rolling_Nm", cycle.balance.free_moment[2]),
    ):
        assert table[name] == pytest.approx(expected, rel=1e-7, abs=1e-6), name


@pytest.mark.parametrize("speed", ["0", "-3", "nan", "inf", "1e9"])
def test_bad_speed_is_one_line_and_code_2(tmp_path, capsys, speed):
    code, out = solved(tmp_path, speed=speed)
    error = capsys.readouterr().err
    assert code == 2
    assert error.count("\n") == 1
    assert "allowed" in error
    assert not out.exists()


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "schema"),
        (b"\xff\xfe", "UTF-8"),
        (b"schema = 1\n[layout", "TOML"),
        (b"a = " + b"[" * 20_000, "deep"),
        (b"a = " + b"1" * 100_000, "number"),
        (b'name = "' + b"x" * 5_000_000 + b'"', "larger"),
        (b"schema = 1\x00", "TOML"),
    ],
)
def test_bad_design_is_one_line_and_code_2(tmp_path, capsys, content, words):
    path = tmp_path / "bad.toml"
    path.write_bytes(content)
    code, _ = solved(tmp_path, design=path)
    error = capsys.readouterr().err
    assert code == 2
    assert error.count("\n") == 1
    assert words in error


def test_missing_file_is_one_line_and_code_2(tmp_path, capsys):
    code, _ = solved(tmp_path, design=tmp_path / "none.toml")
    assert code == 2
    assert "none.toml" in capsys.readouterr().err


def test_speed_in_the_table_is_the_one_asked_for(tmp_path):
    _, out = solved(tmp_path, design=demo_paths()["Hill climb six"], speed="2000")
    with out.open() as file:
        row = next(csv.DictReader(file))
    cylinder = load_design(demo_paths()["Hill climb six"]).cylinder
    assert cylinder.pin_offset == 0
    expected = (2000 * math.pi / 30) ** 2 * cylinder.crank_radius * (1 + 1 / cylinder.rod_ratio)
    assert float(row["acceleration_1_m_s2"]) == pytest.approx(expected, rel=1e-8)


@pytest.mark.parametrize("port", ["abc", "-1", "65536", "1e3", "", "9" * 5000])
def test_a_bad_port_is_one_line_and_code_2(monkeypatch, capsys, port):
    monkeypatch.setenv("PORT", port)
    assert main(["serve", "--no-browser"]) == 2
    error = capsys.readouterr().err
    assert error.count("\n") == 1
    assert "65535" in error
