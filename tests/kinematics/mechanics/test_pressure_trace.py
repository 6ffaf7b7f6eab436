"""Pressure traces from CSV: every bad row is named by its line, odd ones are doubted."""

import math
import pickle

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kinematics.errors import DesignError
from kinematics.mechanics.pressure_trace import (
    MOST_BYTES,
    PressureTrace,
    read_trace,
    resampled_pressure,
    trace_warnings,
)
from tests.conftest import tried

HEADER = "crank_angle_deg,cylinder_pressure_bar"
ANGLES = tuple(range(0, 720, 10))


def csv_text(rows: list[str] | None = None, header: str = HEADER) -> str:
    if rows is None:
        rows = [f"{angle},{1 + 0.01 * angle}" for angle in ANGLES]
    return "\n".join([header, *rows]) + "\n"


def with_row(line: int, row: str) -> str:
    """A good file with one line changed; the header is line 1."""
    lines = csv_text().splitlines()
    lines[line - 1] = row
    return "\n".join(lines) + "\n"


def refusal(text: str) -> str:
    with pytest.raises(DesignError) as caught:
        read_trace(text)
    assert caught.value.field == "pressure.file"
    return caught.value.message


def test_good_trace() -> None:
    trace = read_trace(csv_text())
    np.testing.assert_allclose(np.degrees(trace.crank_angle), ANGLES)
    assert trace.pressure[1] == pytest.approx(1.1e5)


@pytest.mark.parametrize(
    "text",
    [
        csv_text().replace("\n", "\r\n"),
        "\ufeff" + csv_text(),
        csv_text().replace("\n", "\n\n"),
        csv_text().replace(",", " , "),
        csv_text().replace("\n10,", '\n"10",'),
        csv_text([f"{a},{1 + 0.01 * a},x" for a in ANGLES], HEADER + ",note"),
        csv_text([f"{1 + 0.01 * a},{a}" for a in ANGLES], "cylinder_pressure_bar,crank_angle_deg"),
    ],
    ids=["CRLF", "byte-order mark", "blank lines", "spaces", "quotes", "third column", "swapped"],
)
def test_ways_of_writing_the_same(text: str) -> None:
    assert read_trace(text) == read_trace(csv_text())


def test_closed_cycle_drops_its_last_row() -> None:
    rows = [f"{angle},{2 + math.cos(math.radians(angle))}" for angle in range(0, 721, 10)]
    assert len(read_trace(csv_text(rows)).crank_angle) == 72


def test_two_stroke_trace_spans_one_turn() -> None:
    text = csv_text([f"{angle},5" for angle in range(0, 360, 10)])
    assert len(read_trace(text, cycle_angle=2 * math.pi).crank_angle) == 36
    assert "one cycle of 720°" in refusal(text)


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ("80", "must have 2 values as the header (got 1)"),
        ("80,1.8,3", "must have 2 values as the header (got 3)"),
        ("80,", "must hold two numbers"),
        ("80,abc", "must hold two numbers"),
        ("80,<script>alert(1)</script>", "must hold two numbers"),
        ("80,nan", "finite"),
        ("80,inf", "finite"),
        ("-inf,1.8", "finite"),
        ("80,1e999", "finite"),
        ("70,1.8", "does not rise from 70°"),
        ("60,1.8", "does not rise from 70°"),
        ("80,0", "(got 0 bar)"),
        ("80,-1", "(got -1 bar)"),
        ("80,1001", "(got 1001 bar)"),
        ('80,"1.8', "not"),
        ("80,1\0.8", "NUL"),
    ],
)
def test_bad_rows_are_named_by_their_line(row: str, words: str) -> None:
    message = refusal(with_row(10, row))
    if not row.startswith('80,"'):
        assert message.startswith("line 10:"), message
    else:
        assert "line " in message  # an open quote swallows what follows
    assert words in message


def test_semicolons_and_decimal_commas() -> None:
    text = csv_text().replace(",", ";").replace(".", ",")
    assert "decimals by points (got semicolons)" in refusal(text)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "(got nothing)"),
        ("\n\n", "columns must include"),
        ("angle,pressure\n0,1\n", "(got angle, pressure)"),
        (HEADER + "\n", "must have 36 to 40000 rows (got 0)"),
        (csv_text([f"{a},1" for a in range(35)]), "rows (got 35)"),
        (csv_text([f"{math.radians(a)},5" for a in ANGLES]), "radians"),
        (csv_text([f"{a},5" for a in range(0, 1440, 10)]), "(got 1430°)"),
        (csv_text([f"{a},5" for a in range(0, 600, 10)]), "one cycle of 720°"),
        (csv_text([f"{a},5" for a in (*range(0, 300, 5), *range(335, 720, 5))]), "(got 40°)"),
        (csv_text([f"{k * 0.001},5" for k in range(40_001)]), "must have at most 40000 rows"),
        (csv_text(header=",".join(["x"] * 10_000)), "at most 50"),
        (HEADER + "," + ",".join(["x"] * 60) + "\n", "at most 50"),
        ("x" * (MOST_BYTES + 1), "must be at most 2 MB"),
        (HEADER + "\n" + "1" * 200_000 + ",1\n", "line 2"),
    ],
    ids=[
        "empty", "blank", "other columns", "no rows", "few rows", "radians", "two cycles",
        "short", "gap", "many rows", "many columns", "wide header", "large", "long field",
    ],
)  # fmt: skip
def test_bad_files(text: str, words: str) -> None:
    assert words in refusal(text)


def test_errors_stay_short() -> None:
    """A hostile cell is cut, never echoed whole."""
    assert len(refusal(with_row(10, "80," + "x" * 100_000))) < 300
    assert len(refusal(csv_text(header="y" * 100_000))) < 300


@given(st.text(max_size=400))
def test_any_text_is_refused_by_a_design_error(text: str) -> None:
    refusal(text)


@given(st.data())
def test_any_damaged_file_reads_or_is_refused(data: st.DataObject) -> None:
    text = list(csv_text())
    for _ in range(data.draw(st.integers(1, 4))):
        place = data.draw(st.integers(0, len(text) - 1))
        text[place] = data.draw(
            st.sampled_from(["", ",", '"', "\n", "\r", "\0", "-", "e9", ".", "ä"])
        )
    trace = tried(lambda: read_trace("".join(text)))
    if isinstance(trace, DesignError):
        assert pickle.loads(pickle.dumps(trace)).args == trace.args
        return
    assert np.isfinite(trace.pressure).all()
    assert (np.diff(trace.crank_angle) > 0).all()


@given(st.lists(st.floats(0.1, 900), min_size=36, max_size=80), st.floats(-1000, 1000))
def test_resampling_is_periodic_and_stays_within_the_samples(
    bars: list[float], shift: float
) -> None:
    angle = np.arange(len(bars)) * (4 * np.pi / len(bars))
    trace = PressureTrace(tuple(angle.tolist()), tuple(bar * 1e5 for bar in bars))
    where = np.linspace(-7, 30, 500) + shift
    found = resampled_pressure(trace, where, 4 * np.pi)
    again = resampled_pressure(trace, where + 4 * np.pi, 4 * np.pi)
    assert found.min() >= min(trace.pressure) * (1 - 1e-12)
    assert found.max() <= max(trace.pressure) * (1 + 1e-12)
    np.testing.assert_allclose(again, found, atol=1e-8 * max(trace.pressure))
    at_samples = resampled_pressure(trace, angle, 4 * np.pi)
    np.testing.assert_allclose(at_samples, trace.pressure, rtol=1e-9)


@pytest.mark.parametrize(
    ("angles", "pressures"),
    [
        ((0.0,) * 40, (1e5,) * 40),
        (tuple(range(40)), (1e5,) * 39),
        (tuple(range(10)), (1e5,) * 10),
        (tuple(range(40)), (1e5,) * 39 + (math.nan,)),
        ((*range(39), math.inf), (1e5,) * 40),
        (tuple(range(40)), (1e5,) * 39 + (0.0,)),
        (tuple(range(40)), (1e5,) * 39 + (1.1e8,)),
    ],
    ids=["same angles", "unequal", "few", "nan", "inf", "zero", "above"],
)
def test_a_trace_checks_itself(angles, pressures) -> None:
    with pytest.raises(DesignError, match=r"pressure\.file"):
        PressureTrace(angles, pressures)


def test_ends_that_do_not_meet_are_doubted() -> None:
    trace = read_trace(csv_text([f"{a},{20 + a / 20}" for a in ANGLES]))
    assert any("do not meet" in warning for warning in trace_warnings(trace, 4 * math.pi))
