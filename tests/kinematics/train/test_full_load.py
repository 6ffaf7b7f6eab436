"""The full-load curve: rows are direct solves, blends are straight, everything follows by speed."""

import dataclasses
import math

import numpy as np
import pytest

from assets_demo import demo_paths
from kinematics import Design, DesignError, load_design, parse_design, solve_cycle, speed_sweep
from kinematics.design.design_field import with_value
from kinematics.design.design_file import design_text
from kinematics.design.design_full_load import FullLoadRow
from kinematics.film.film_survey import minimum_films
from kinematics.limits.crank_criteria import CrankParts
from kinematics.limits.piston_criteria import PistonParts
from kinematics.shaft.torsion_train import idling
from kinematics.train.continuous_shaft import continuous_main_loads
from kinematics.train.cycle import RigidTrain, rigid_train
from kinematics.train.dead_centre import unloading_speed
from kinematics.train.gas_check import gas_check
from tests.conftest import SIX_TEXT, changed
from tests.kinematics.full_load_designs import ROWS, RPM, at_row, with_curve

DEMOS = {path.stem: load_design(path) for path in demo_paths().values()}
TOURING = DEMOS["touring_six"]
FORCES = ("cylinder_pressure", "gas_force", "rod_force", "side_thrust", "cylinder_torque")
BETWEEN = (1700.0, 3000.0, 4321.0, 6100.0)


@pytest.fixture
def curved(base: Design) -> Design:
    return with_curve(base)


@pytest.mark.parametrize("row", range(len(ROWS)))
def test_a_row_is_the_design_at_its_peak_and_load(base: Design, row: int) -> None:
    rpm, peak, load = ROWS[row]
    found, direct = solve_cycle(with_curve(base), rpm), solve_cycle(at_row(base, peak, load), rpm)
    for name in FORCES:
        expected = getattr(direct.forces, name)
        atol = 1e-12 * np.abs(expected).max()
        np.testing.assert_allclose(getattr(found.forces, name), expected, rtol=0, atol=atol)
    for frame in ("block", "crank"):
        expected = direct.bearings.main_load(frame)
        close = {"rtol": 0, "atol": 1e-12 * np.abs(expected).max()}
        np.testing.assert_allclose(found.bearings.main_load(frame), expected, **close)
    expected = direct.balance.moment_orders
    atol = 1e-12 * np.abs(expected).max()
    np.testing.assert_allclose(found.balance.moment_orders, expected, rtol=0, atol=atol)


@pytest.mark.parametrize(("rpm", "row"), [(300.0, 0), (1500.0, 0), (7000.0, -1), (20000.0, -1)])
def test_beyond_the_ends_the_end_row_holds(curved: Design, rpm: float, row: int) -> None:
    courses = rigid_train(curved).pressure.courses
    assert np.array_equal(solve_cycle(curved, rpm).forces.cylinder_pressure, courses[row])


def test_gas_is_straight_in_speed_between_rows(curved: Design) -> None:
    low, high = (solve_cycle(curved, ROWS[row][0]) for row in (1, 2))
    for share in (0.1, 0.5, 0.83):
        rpm = (1 - share) * ROWS[1][0] + share * ROWS[2][0]
        between = solve_cycle(curved, rpm)
        expected = (1 - share) * low.forces.gas_force + share * high.forces.gas_force
        np.testing.assert_allclose(between.forces.gas_force, expected, rtol=1e-12, atol=1e-8)
        work = (1 - share) * low.indicated_work + share * high.indicated_work
        assert between.indicated_work == pytest.approx(work, rel=1e-12)


@pytest.mark.parametrize("rpm", [900.0, *BETWEEN, 9000.0])
@pytest.mark.parametrize("stem", ["hill_climb_six", "pilot_boat_six", "v6_60_six_throws"])
def test_mean_torque_is_the_work_at_every_speed(stem: str, rpm: float) -> None:
    design = DEMOS[stem]
    assert design.full_load
    cycle = solve_cycle(design, rpm)
    work = cycle.indicated_work * design.layout.cylinders
    size = np.abs(cycle.forces.cylinder_torque).max() * design.layout.cylinders
    assert cycle.mean_torque * design.layout.cycle_angle == pytest.approx(work, abs=1e-9 * size)


def test_a_curve_of_equal_rows_is_no_curve(base: Design) -> None:
    level = with_curve(base, ((2000.0, 1.0, 1.0), (4000.0, 1.0, 1.0)))
    for rpm in (1000.0, 3100.0, 8000.0):
        one, other = solve_cycle(level, rpm), solve_cycle(base, rpm)
        for name in FORCES:
            np.testing.assert_allclose(
                getattr(one.forces, name), getattr(other.forces, name), rtol=1e-12, atol=1e-7
            )


def test_a_sweep_is_the_cycle_at_each_speed(curved: Design) -> None:
    sweep = speed_sweep(curved, np.array(BETWEEN))
    for row, rpm in enumerate(BETWEEN):
        cycle = solve_cycle(curved, rpm)
        forces, bearings = cycle.forces, cycle.bearings
        for found, expected in (
            (sweep.rod_compression, forces.rod_force.max(axis=1)),
            (sweep.side_thrust, np.abs(forces.side_thrust).max(axis=1)),
            (sweep.big_end_peak, bearings.big_end_peaks.peak),
            (sweep.main_peak, bearings.main_peaks.peak),
            (sweep.torque_peak, forces.crank_torque.max()),
        ):
            np.testing.assert_allclose(found[row], expected, rtol=1e-9)


@pytest.mark.parametrize("is_continuous", [False, True])
def test_fillets_and_torsion_at_a_row_are_those_of_the_row(is_continuous: bool) -> None:
    rpm, peak, load = ROWS[2]
    rule = "continuous" if is_continuous else "cut_at_mains"
    design = changed(
        dataclasses.replace(TOURING, full_load=()), "crank", main_loads=rule, main_stiffness=1e9
    )
    speed = np.array([rpm * RPM])
    found = CrankParts(rigid_train(with_curve(design)))
    direct = CrankParts(rigid_train(at_row(design, peak, load)))
    for name in ("pin_fillet", "journal_fillet", "oil_bore", "shaft_stress", "free_end"):
        expected = getattr(direct, name)(speed)
        np.testing.assert_allclose(getattr(found, name)(speed), expected, rtol=1e-9, err_msg=name)


def test_the_rings_lift_follows_the_gas_of_the_speed() -> None:
    design = with_curve(dataclasses.replace(TOURING, full_load=()))
    rpm, peak, load = ROWS[1]
    speed = np.array([rpm * RPM])
    direct = PistonParts(rigid_train(at_row(TOURING, peak, load))).lift(speed)
    found = PistonParts(rigid_train(design))
    np.testing.assert_allclose(found.lift(speed), direct, rtol=1e-12)
    other = PistonParts(rigid_train(dataclasses.replace(TOURING, full_load=()))).lift(speed)
    assert abs(direct[0] / other[0] - 1) > 0.02


def test_films_at_a_row_are_those_of_the_row() -> None:
    rpm, peak, load = ROWS[1]
    design = dataclasses.replace(TOURING, full_load=())
    design = changed(design, "crank", main_stiffness=1e9)  # else that of each design's own loads
    speed = np.array([rpm * RPM])
    for kind in ("big_end", "main"):
        found = minimum_films(rigid_train(with_curve(design)), speed, kind)
        direct = minimum_films(rigid_train(at_row(design, peak, load)), speed, kind)
        np.testing.assert_allclose(found, direct, rtol=1e-9)


@pytest.mark.parametrize("factor", [0.3, 1.0, 1.5])
def test_the_rod_is_unloaded_where_inertia_takes_the_push(base: Design, factor: float) -> None:
    """Rows about the speed at which it happens, so that it lies before, between and behind them."""
    near = unloading_speed(rigid_train(base)) / RPM
    rows = tuple((factor * near * at, peak, 1.0) for at, peak in ((0.8, 0.8), (1.2, 1.0)))
    train = rigid_train(with_curve(base, rows))
    speed = unloading_speed(train)
    force = train.loads.rod_force[0, 0]
    assert force.at(speed) == pytest.approx(0, abs=1e-9 * force.gas.courses.max())
    below = np.linspace(1.0, 0.999 * speed, 200)
    assert force.over(below).min() > 0


def test_a_continuous_shaft_blends_too(curved: Design) -> None:
    design = dataclasses.replace(TOURING, full_load=curved.full_load)
    train = RigidTrain(design)
    shaft = continuous_main_loads(design, train.crank_angle, train.big_end_block, stiffness=1e9)
    speed = 4000 * RPM
    total = shaft.main_block.at(speed).sum(axis=0)
    expected = train.determinate_main_block.at(speed).sum(axis=0)
    np.testing.assert_allclose(total, expected, atol=1e-9 * np.abs(expected).max())


def test_the_load_slider_multiplies_the_load_of_the_rows(base: Design) -> None:
    half = with_value(with_curve(base), "pressure.load_percent", 50.0)
    rpm, peak, load = ROWS[0]
    direct = solve_cycle(at_row(base, peak, 0.5 * load), rpm).indicated_work
    assert solve_cycle(half, rpm).indicated_work == pytest.approx(direct, rel=1e-12)


def test_the_idle_has_its_own_load_against_full_load_there() -> None:
    boat = DEMOS["pilot_boat_six"]
    assert boat.torsion is not None
    rows = {row.load for row in idling(boat).full_load}
    assert rows == {1.0}
    assert idling(boat).pressure.load == boat.torsion.idle_load


def test_on_a_trace_the_curve_is_ignored_and_said_so() -> None:
    measured = DEMOS["measured_six"]
    ignored = with_curve(measured)
    for rpm in (1500.0, 4000.0):
        one, other = solve_cycle(ignored, rpm), solve_cycle(measured, rpm)
        assert np.array_equal(one.forces.gas_force, other.forces.gas_force)
    assert any("full-load curve is ignored" in one for one in rigid_train(ignored).warnings)


def test_a_curve_survives_the_file(curved: Design) -> None:
    once = parse_design(design_text(curved))
    assert parse_design(design_text(once)) == once
    for read, made in zip(once.full_load, curved.full_load, strict=True):
        assert dataclasses.astuple(read) == pytest.approx(dataclasses.astuple(made), rel=1e-12)


def test_one_value_of_a_row_is_changed_by_its_key(curved: Design) -> None:
    found = with_value(curved, "full_load.2.peak_percent", 99.0)
    assert found.full_load[1].peak == pytest.approx(0.99)
    assert found.full_load[0] == curved.full_load[0]
    assert found.full_load[2:] == curved.full_load[2:]


@pytest.mark.parametrize(
    ("key", "value"),
    [("full_load.2.peak_percent", 151.0), ("full_load.4.load_percent", -1.0),
     ("full_load.1.speed_rpm", math.nan), ("full_load.3.speed_rpm", 2999.0),
     ("full_load.1.intake_percent", math.inf)],
)  # fmt: skip
def test_a_bad_value_names_its_row(curved: Design, key: str, value: float) -> None:
    with pytest.raises(DesignError) as error:
        with_value(curved, key, value)
    assert error.value.field == key


@pytest.mark.parametrize(
    "key",
    ["full_load.0.peak_percent", "full_load.5.peak_percent", "full_load.x.peak_percent",
     "full_load.peak_percent", "full_load.2", "full_load.2.peak", "full_load.-1.peak_percent"],
)  # fmt: skip
def test_keys_of_no_row_are_refused(curved: Design, key: str) -> None:
    with pytest.raises(DesignError, match="no such field"):
        with_value(curved, key, 90.0)


GOOD = ({"speed_rpm": 2000, "peak_percent": 90}, {"speed_rpm": 4000, "peak_percent": 100})
BAD = {
    "one row": (GOOD[:1], "full_load: must have 2 to 12 rows (got 1)"),
    "13 rows": (
        [{"speed_rpm": 1000 + 100 * k, "peak_percent": 90} for k in range(13)], "(got 13)"),
    "falling": (GOOD[::-1], "full_load.2.speed_rpm: must be above"),
    "level": ([GOOD[0], GOOD[0]], "full_load.2.speed_rpm: must be above"),
    "NaN speed": ([GOOD[0], {**GOOD[1], "speed_rpm": "nan"}], "full_load.2.speed_rpm"),
    "NaN peak": ([{**GOOD[0], "peak_percent": "nan"}, GOOD[1]], "full_load.1.peak_percent"),
    "infinite": ([GOOD[0], {**GOOD[1], "speed_rpm": "inf"}], "full_load.2.speed_rpm"),
    "peak 0": ([{**GOOD[0], "peak_percent": 0}, GOOD[1]], "full_load.1.peak_percent"),
    "peak 151": ([GOOD[0], {**GOOD[1], "peak_percent": 151}], "full_load.2.peak_percent"),
    "negative peak": ([GOOD[0], {**GOOD[1], "peak_percent": -5}], "full_load.2.peak_percent"),
    "load 101": ([GOOD[0], {**GOOD[1], "load_percent": 101}], "full_load.2.load_percent"),
    "load -1": ([{**GOOD[0], "load_percent": -1}, GOOD[1]], "full_load.1.load_percent"),
    "intake 5": ([{**GOOD[0], "intake_percent": 5}, GOOD[1]], "full_load.1.intake_percent"),
    "speed 0": ([{**GOOD[0], "speed_rpm": 0}, GOOD[1]], "full_load.1.speed_rpm"),
    "speed 1e6": ([GOOD[0], {**GOOD[1], "speed_rpm": 1e6}], "full_load.2.speed_rpm"),
    "text": ([GOOD[0], {**GOOD[1], "speed_rpm": '"fast"'}], "full_load.2.speed_rpm"),
    "true": ([GOOD[0], {**GOOD[1], "peak_percent": "true"}], "full_load.2.peak_percent"),
    "no peak": ([GOOD[0], {"speed_rpm": 4000}], "full_load.2.peak_percent: is missing"),
    "no speed": ([{"peak_percent": 90}, GOOD[1]], "full_load.1.speed_rpm: is missing"),
    "unknown key": ([GOOD[0], {**GOOD[1], "peek_percent": 90}], "full_load.2.peek_percent"),
}  # fmt: skip


@pytest.mark.parametrize("name", BAD)
def test_bad_curves_are_refused_with_row_and_key(name: str) -> None:
    rows, words = BAD[name]
    table = "".join(
        "\n[[full_load]]\n" + "".join(f"{key} = {value}\n" for key, value in row.items())
        for row in rows
    )
    with pytest.raises(DesignError) as error:
        parse_design(SIX_TEXT + table)
    assert words in str(error.value)


@pytest.mark.parametrize("value", ["3", '"rows"', "{ speed_rpm = 1 }", "[1, 2]"])
def test_what_is_no_list_of_tables_is_refused(value: str) -> None:
    with pytest.raises(DesignError, match="full_load"):
        parse_design(SIX_TEXT.replace("schema = 1", f"schema = 1\nfull_load = {value}"))


def test_only_rows_make_a_curve(base: Design) -> None:
    for bad in ([FullLoadRow(1.0 * 100, 1.0)], ("row", "row")):
        with pytest.raises(DesignError, match="must be a list of tables"):
            dataclasses.replace(base, full_load=bad)


def test_a_row_without_a_course_is_named(base: Design) -> None:
    low = with_curve(base, ((1500.0, 0.2, 1.0), (5000.0, 1.0, 1.0)))
    with pytest.raises(DesignError, match=r"compression alone.*row 1, 1500 rpm") as error:
        _ = rigid_train(low).pressure
    assert error.value.field == "full_load.1.peak_percent"
    low = dataclasses.replace(
        base, full_load=(FullLoadRow(200.0, 1.0, 1.0, 0.1), FullLoadRow(300.0, 1.0))
    )
    with pytest.raises(DesignError, match="row 1") as error:
        _ = rigid_train(low).pressure
    assert error.value.field == "full_load.1.intake_percent"


# --- whether the gas is believable


def test_efficiency_and_temperature_by_hand(base: Design) -> None:
    """Work over what the trapped air burns; T from p V by the ideal gas at both places."""
    check = gas_check(solve_cycle(base, 3000))
    assert check is not None
    mass = check.closing_pressure * check.closing_volume / (287.0 * 340.0)
    assert check.trapped_mass == pytest.approx(mass, rel=1e-12)
    assert check.efficiency == pytest.approx(check.work / (mass / 14.7 * 44e6), rel=1e-12)
    hot = check.peak_pressure * check.peak_volume / (mass * 287.0)
    assert check.peak_temperature == pytest.approx(hot, rel=1e-12)


def test_temperature_when_the_intake_closes_is_the_charges(base: Design) -> None:
    cycle = solve_cycle(base, 3000)
    check = gas_check(cycle)
    assert check is not None
    after = math.degrees(base.pressure.intake_closes - math.pi)
    own = (np.degrees(cycle.train.own_angle[0]) + 360) % 720 - 360
    at = int(np.abs(own - after).argmin())
    assert cycle.forces.cylinder_pressure[0, at] == pytest.approx(check.closing_pressure, rel=0.02)


def test_thin_charge_is_doubted_at_full_load_only(base: Design) -> None:
    """0.7 bar at intake closing cannot burn what a peak of 92 bar needs."""
    thin = with_value(base, "pressure.intake_bar", 0.7)
    found = rigid_train(thin).warnings
    assert len(found) == 2
    assert "indicated efficiency" in found[0]
    assert "above the usual 36 to 42 %" in found[0]
    assert "peak gas temperature" in found[1]
    assert "above the usual 2200 to 2900 K" in found[1]
    assert rigid_train(with_value(thin, "pressure.load_percent", 60.0)).warnings == ()


@pytest.mark.parametrize("stem", DEMOS)
def test_the_demos_have_believable_gas(stem: str) -> None:
    """Bands from memory: petrol 10 to 15 bar, boosted diesel 16 to 22 bar, idle 1.5 to 2.5 bar."""
    design = DEMOS[stem]
    rated = solve_cycle(design, design.layout.rated_speed / RPM)
    diesel = design.pressure.load_control == "mixture"
    low, high = (16e5, 22e5) if diesel else (10e5, 15e5)
    assert low < rated.indicated_mean_pressure < high
    assert rated.train.warnings == ()
    if design.pressure.source == "trace":
        return
    assert 4 <= len(design.full_load) <= 6
    check = gas_check(rated)
    assert check is not None
    assert check.fuel.efficiency[0] <= check.efficiency <= check.fuel.efficiency[1]
    assert check.fuel.temperature[0] <= check.peak_temperature <= check.fuel.temperature[1]
    assert design.torsion is not None
    idle = solve_cycle(idling(design), design.torsion.idle_speed / RPM)
    assert 1.5e5 < idle.indicated_mean_pressure < 2.5e5
