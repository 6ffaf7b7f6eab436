"""The command line: a table of the whole cycle; one line and exit code 2 for what is wrong."""

import csv
import io
import math
import os
import shutil
import subprocess
import sys

import numpy as np
import pytest

from apps.command_line import main
from apps.version import program_version
from assets_demo import FOLDER, demo_paths
from kinematics import load_design, solve_cycle
from kinematics.limits.speed_limits import speed_limits
from tests.conftest import SIX_TEXT

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
    assert "must be 1 to 30000 rpm" in error
    assert not out.exists()


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "schema"),
        (b"\xff\xfe", "UTF-8"),
        (b"schema = 1\n[layout", "TOML"),
        (b"a = " + b"[" * 20_000, "deep"),
        (b"a = " + b"1" * 50_000, "number"),
        (b'name = "' + b"x" * 5_000_000 + b'"', "at most 1 MB"),
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


COMMANDS = {  # what each writes, and what it needs
    "solve": ["--speed", "4000"],
    "films": [],
    "limits": [],
    "report": [],
}


def ran(command, design, out, *more):
    return main([command, str(design), *COMMANDS[command], "--out", str(out), *more])


@pytest.fixture
def design(tmp_path):
    """A design of the test's own, with its pressure trace beside it."""
    for name in ("measured_six.toml", "full_load_trace.csv"):
        shutil.copy(FOLDER / name, tmp_path / name)
    return tmp_path / "measured_six.toml"


@pytest.mark.parametrize("command", COMMANDS)
@pytest.mark.parametrize("way", ["itself", "another path", "symlink", "hard link", "trace"])
@pytest.mark.parametrize("force", [(), ("--force",)])
def test_a_command_never_writes_over_what_it_reads(design, capsys, command, way, force):
    before = {one.name: one.read_bytes() for one in design.parent.iterdir()}
    out = design.with_name("out.csv")
    if way == "itself":
        out = design
    elif way == "another path":
        out = design.parent / ".." / design.parent.name / design.name
    elif way == "symlink":
        out.symlink_to(design)
    elif way == "hard link":
        out.hardlink_to(design)
    else:
        out = design.with_name("full_load_trace.csv")
    assert ran(command, design, out, *force) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert told.err.startswith("sixthrow: --out: must not be a file that the command reads (got ")
    assert told.err.count("\n") == 1
    assert {name: (design.parent / name).read_bytes() for name in before} == before


def test_a_report_never_writes_over_what_it_compares_with(tmp_path, capsys):
    other = tmp_path / "other.toml"
    shutil.copy(TOURING, other)
    before = other.read_bytes()
    assert ran("report", TOURING, other, "--against", str(other), "--force") == 2
    assert "must not be a file that the command reads" in capsys.readouterr().err
    assert other.read_bytes() == before


@pytest.fixture
def small(tmp_path):
    """A design file of few parts, soon computed."""
    path = tmp_path / "small.toml"
    path.write_text(SIX_TEXT, encoding="utf-8")
    return path


@pytest.mark.parametrize("command", COMMANDS)
def test_an_existing_file_is_replaced_only_when_forced(tmp_path, small, capsys, command):
    out = tmp_path / "mine.txt"
    out.write_text("a week's work")
    assert ran(command, small, out) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert "--out: must be a new file; --force replaces an existing one" in told.err
    assert out.read_text() == "a week's work"
    assert ran(command, small, out, "--force") == 0
    assert out.stat().st_size > 1000
    assert sorted(one.name for one in tmp_path.iterdir()) == ["mine.txt", "small.toml"]


@pytest.mark.parametrize(
    ("out", "words"),
    [("none/out.csv", "must be in a folder that exists"), (".", "must be a file (got the folder")],
)
def test_an_impossible_place_is_one_line_and_code_2(tmp_path, capsys, out, words):
    assert ran("solve", TOURING, tmp_path / out) == 2
    told = capsys.readouterr().err
    assert words in told
    assert told.count("\n") == 1


@pytest.mark.parametrize("command", ["solve", "films", "limits"])
def test_lines_of_a_table_end_with_lf(tmp_path, command):
    assert ran(command, TOURING, tmp_path / "out.csv") == 0
    content = (tmp_path / "out.csv").read_bytes()
    assert b"\r" not in content
    assert content.endswith(b"\n")


def test_the_limits_file_has_its_margins_as_numbers(tmp_path):
    assert ran("limits", TOURING, tmp_path / "out.csv") == 0
    with (tmp_path / "out.csv").open(newline="", encoding="utf-8") as file:
        rows = [row for row in csv.DictReader(file) if row["Criterion"]]
    ladder = speed_limits(load_design(TOURING))
    shares = [float(row["Margin on rated speed, %"] or "nan") for row in rows]
    speeds = [float(row["Margin on rated speed, rpm"] or "nan") for row in rows]
    assert np.isfinite(shares).sum() > 10
    rated = ladder.rated * 30 / math.pi
    np.testing.assert_allclose(np.array(speeds) / rated * 100, shares, rtol=1e-7)
    for row in rows:
        rung = next(one for one in ladder.rungs if one.criterion.label == row["Criterion"]
                    and one.criterion.part == row["Part"])  # fmt: skip
        assert float(row["Used, %"]) == pytest.approx(100 * rung.use_at, rel=1e-8)
        if row["Limit speed, rpm"]:
            limit = float(row["Limit speed, rpm"])
            assert limit == pytest.approx(rung.limit * 30 / math.pi, rel=1e-8)


def printed(monkeypatch, encoding, *arguments):
    """What a command prints on a console of an encoding."""
    console = io.TextIOWrapper(io.BytesIO(), encoding=encoding)
    monkeypatch.setattr(sys, "stdout", console)
    assert main(arguments) == 0
    monkeypatch.undo()
    return console.buffer.getvalue().decode(encoding)


@pytest.mark.parametrize("encoding", ["ascii", "latin-1", "cp1252", "utf-8"])
@pytest.mark.parametrize("command", ["limits", "films"])
def test_every_console_can_print_the_tables(monkeypatch, capsys, command, encoding):
    assert len(printed(monkeypatch, encoding, command, str(TOURING))) > 1000
    assert capsys.readouterr().err == ""


# --- as a process -----------------------------------------------------------------------------


def process(*arguments, encoding="utf-8", **options):
    environment = {**os.environ, "PYTHONIOENCODING": encoding, "PYTHONUTF8": "0"}
    return subprocess.Popen(
        [sys.executable, "-m", "apps", *arguments], cwd=FOLDER.parent, env=environment,
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, **options,
    )  # fmt: skip


@pytest.mark.parametrize("command", ["limits", "films"])
def test_a_process_prints_what_its_console_has_characters_for(monkeypatch, small, command):
    out, err = process(command, str(small), encoding="ascii").communicate(timeout=120)
    assert err == b""
    text = out.decode("ascii").replace(os.linesep, "\n")
    assert text == printed(monkeypatch, "ascii", command, str(small))


def test_tables_need_no_bokeh():
    """It takes more time to load than all else together."""
    tables = "cycle_table, films_table, limits_table"
    code = f"import sys; from apps.tables import {tables}; print('bokeh' in sys.modules)"
    found = subprocess.run(
        [sys.executable, "-c", code], cwd=FOLDER.parent, capture_output=True, check=True
    )
    assert found.stdout.split() == [b"False"]


@pytest.mark.skipif(sys.platform != "linux", reason="threads are counted where Linux lists them")
@pytest.mark.parametrize(("asked", "threads"), [(None, 1), ("2", min(2, os.cpu_count() or 1))])
def test_numpy_has_one_thread_unless_asked_otherwise(monkeypatch, asked, threads):
    """The program's matrices are small: a second thread only waits, with a core kept busy."""
    monkeypatch.delenv("OPENBLAS_NUM_THREADS")
    if asked:
        monkeypatch.setenv("OPENBLAS_NUM_THREADS", asked)
    code = "import apps, numpy, os; print(len(os.listdir('/proc/self/task')))"
    found = subprocess.run(
        [sys.executable, "-c", code], cwd=FOLDER.parent, capture_output=True, check=True
    )
    assert int(found.stdout) == threads


def test_the_version_is_told(capsys):
    with pytest.raises(SystemExit) as ended:
        main(["--version"])
    assert ended.value.code == 0
    assert capsys.readouterr().out == f"sixthrow {program_version()}\n"


def test_a_reader_that_goes_away_hears_no_more(small):
    running = process("limits", str(small))
    running.stdout.close()
    assert running.wait(120) == 141
    assert running.stderr.read() == b""


def test_an_interrupt_ends_it_without_a_traceback(monkeypatch, capsys):
    def interrupted(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr("kinematics.load_design", interrupted)
    assert main(["limits", str(TOURING)]) == 130
    assert capsys.readouterr() == ("", "")
