"""A measured full-load curve: units, what is brake, bad rows; and rows that have its IMEP."""

import math
from dataclasses import replace

import numpy as np
import pytest

from kinematics import DesignError, with_value
from kinematics.mechanics.speed_curve import (
    FEWEST_POINTS,
    CurveSettings,
    SpeedCurve,
    proposed_curve,
    speed_curve,
    thinned,
)
from kinematics.mechanics.trace_file import read_table
from kinematics.train.cycle import Cycle, RigidTrain
from kinematics.train.measured_full_load import (
    charges,
    engine_size,
    full_load_mean_pressure,
    measured_full_load,
)
from kinematics.units import UNITS
from tests.demos import DEMOS

DESIGN = DEMOS["touring_six"]
SIZE = engine_size(DESIGN)
RPM = (1500, 2500, 3500, 4500, 5500)
BARS = (10.0, 11.5, 12.4, 12.6, 12.0)


def table(text):
    return read_table(text, fewest_rows=FEWEST_POINTS)


def rows_of(values, head="speed rpm,imep bar"):
    rows = "\n".join(f"{rpm},{value:.8g}" for rpm, value in zip(RPM, values, strict=True))
    return table(f"{head}\n{rows}\n")


def curve(values=BARS, head="speed rpm,imep bar", **changes):
    read = rows_of(values, head)
    return speed_curve(read, replace(proposed_curve(read), **changes), SIZE)


@pytest.mark.parametrize(
    ("unit", "factor"),
    [
        ("N·m", 1e5 * SIZE.swept_volume / (4 * math.pi)),  # p = 4π T/V of a four-stroke
        ("kW", None),
        ("hp", None),
        ("metric hp", None),
        ("lbf·ft", 1e5 * SIZE.swept_volume / (4 * math.pi) / 1.3558179),
        ("psi", 14.503774),
        ("kPa", 100.0),
        ("MPa", 0.1),
    ],
)
def test_each_unit_gives_the_same_mean_pressure(unit: str, factor: float | None) -> None:
    """P = p V n/2 of a four-stroke; horsepowers of 745.69987 and 735.49875 W (NIST SP 811)."""
    watts = {"kW": 1e3, "hp": 745.69987, "metric hp": 735.49875}
    if factor is None:
        per_second = np.array(RPM) / 120
        values = np.array(BARS) * 1e5 * SIZE.swept_volume * per_second / watts[unit]
    else:
        values = np.array(BARS) * factor
    found = curve(values, unit=unit, basis="indicated")
    np.testing.assert_allclose(found.mean_pressure / 1e5, BARS, rtol=1e-6)


def test_brake_values_are_divided_by_the_mechanical_efficiency() -> None:
    found = curve(basis="brake", efficiency=0.8)
    np.testing.assert_allclose(found.mean_pressure / 1e5, np.array(BARS) / 0.8)


@pytest.mark.parametrize(
    ("head", "unit", "basis", "columns"),
    [
        ("speed rpm,brake torque N·m", "N·m", "brake", (0, 1)),
        ("n 1/min;IMEP bar", "bar", "indicated", (0, 1)),
        ("power kW;speed", "kW", "brake", (1, 0)),
        ("rpm;torque lbf-ft", "lbf·ft", "brake", (0, 1)),
        ("rpm;bmep psi", "psi", "brake", (0, 1)),
        ("rpm;Indicated power PS", "metric hp", "indicated", (0, 1)),
        ("a;b", "N·m", "brake", (0, 1)),
    ],
)
def test_unit_and_columns_are_found_from_the_head(head, unit, basis, columns) -> None:
    mark = ";" if ";" in head else ","
    found = proposed_curve(table(head + "\n" + f"1000{mark}50\n2000{mark}60\n3000{mark}70\n"))
    assert (found.unit, found.basis) == (unit, basis)
    assert (found.speed_column, found.value_column) == columns


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("n,t\n1000,5\n2000,6\n10,7\n", "line 4: speed must be 30 to 25000 rpm (got 10 rpm)"),
        ("n,t\n1000,5\n2000,6\n1000,7\n", "line 4: speed 1000 rpm must be in the file once"),
        ("n,t\n1000,5\n2000,-6\n3000,7\n", "line 3: value must be above 0 (at 2000 rpm)"),
        ("n,t\n1000,5\n2000,6\n", "must"),
        ("n,t\n1000,5\n2000,6\n3000,7\n4000,x\n", "line 5"),
        ("n,t\n1000,5\n2000,6\n3000,7\n4000\n", "line 5"),
        ("", "got nothing"),
    ],
)
def test_a_bad_row_is_named_by_its_line(text: str, words: str) -> None:
    with pytest.raises(DesignError) as raised:
        speed_curve(table(text), CurveSettings(0, 1), SIZE)
    assert words in str(raised.value)


@pytest.mark.parametrize(
    ("changes", "field"),
    [({"unit": "atm"}, "unit"), ({"basis": "net"}, "basis"), ({"efficiency": 0.3}, "efficiency"),
     ({"value_column": 0}, "columns")],
)  # fmt: skip
def test_settings_name_their_field(changes, field: str) -> None:
    with pytest.raises(DesignError) as raised:
        replace(CurveSettings(0, 1), **changes)
    assert raised.value.field == field


def test_rows_in_any_order_are_one_curve() -> None:
    text = "n,imep bar\n3000,12\n1000,10\n2000,11\n"
    read = table(text)
    found = speed_curve(read, proposed_curve(read), SIZE)
    assert UNITS["rpm"].array_from_si(found.speed) == pytest.approx([1000, 2000, 3000])
    assert found.lines.tolist() == [3, 4, 2]


@pytest.mark.parametrize("name", ["touring_six", "hill_climb_six", "pilot_boat_six"])
def test_imep_is_straight_over_the_charge(name: str) -> None:
    design = DEMOS[name]
    shares = np.array([0.5, 0.9, 1.2])
    means = np.array([full_load_mean_pressure(design, float(share)) for share in shares])
    assert charges(design, means) == pytest.approx(shares, rel=1e-9)


@pytest.mark.parametrize("load", [100.0, 60.0])
def test_the_design_has_the_measured_imep_at_every_row(load: float) -> None:
    """To the hundredth of a percent that a row holds; the load is of the curve, not the state."""
    design = with_value(DESIGN, "pressure.load_percent", load)
    found = measured_full_load(design, curve())
    full = replace(with_value(design, "pressure.load_percent", 100.0), full_load=found.rows)
    train = RigidTrain(full)
    imep = [Cycle(train, row.speed).indicated_mean_pressure / 1e5 for row in found.rows]
    assert imep == pytest.approx(BARS, rel=2e-4)
    assert all(row.peak == row.intake for row in found.rows)


def test_many_points_are_thinned_to_the_rows_a_design_may_have() -> None:
    speed = np.linspace(100.0, 700.0, 300)
    mean = 1e6 * (1 + 0.2 * np.sin(speed / 120))
    points = SpeedCurve(speed, mean, np.arange(300))
    found, error = thinned(points, 12)
    assert len(found.speed) == 12
    assert {float(found.speed[0]), float(found.speed[-1])} == {100.0, 700.0}
    straight = np.interp(speed, found.speed, found.mean_pressure)
    assert error == pytest.approx((np.abs(mean - straight) / mean).max())
    step, bend = 600.0 / 11, 0.2 / 120**2  # of even rows; of the course, over 1e6
    assert error < 2.2 * step**2 * bend / 8  # even rows on the strongest bend: the factor 1
    line = SpeedCurve(speed, 1e6 + 1e3 * speed, np.arange(300))
    assert len(thinned(line, 12)[0].speed) == 2


@pytest.mark.parametrize("factor", [0.01, 10.0])
def test_a_charge_out_of_range_names_line_speed_and_share(factor: float) -> None:
    with pytest.raises(DesignError, match=r"line 2: 1500 rpm .* % of the design's charge, must be"):
        measured_full_load(DESIGN, curve(np.array(BARS) * factor))


def test_a_design_on_a_trace_is_refused() -> None:
    with pytest.raises(DesignError, match="go back to the model first"):
        measured_full_load(DEMOS["measured_six"], curve())
