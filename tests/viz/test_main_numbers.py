"""The main numbers: each substitution, evaluated again from its own text, gives the value shown."""

import dataclasses
import math
import re

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assets_demo import demo_paths
from kinematics import Cycle, Design, load_design, solve_cycle, with_value
from kinematics.design.design import Layout
from kinematics.mechanics.slider_crank import acceleration_harmonics
from kinematics.units import UNITS
from tests.conftest import determinate, layout_of, with_layout
from tests.kinematics.random_designs import designs, solved
from viz.number_words import format_number, join_unit, operand
from viz.train.main_number import MainNumber
from viz.train.main_numbers import main_numbers

DEMOS = {title: load_design(path) for title, path in demo_paths().items()}
SYMBOLS = {unit.symbol: unit for unit in UNITS.values()}
NAMES = {"sin": math.sin, "cos": math.cos, "tan": math.tan, "asin": math.asin} | {
    "sqrt": math.sqrt, "pi": math.pi, "degree": math.pi / 180
}  # fmt: skip
PLAIN = str.maketrans("⁻⁰¹²³⁴⁵⁶⁷⁸⁹", "-0123456789")
POWERS = re.compile("[⁻⁰¹²³⁴⁵⁶⁷⁸⁹]+")
SPOKEN = str.maketrans(
    {"\u2009": "", "−": "-", "·": "*", "√": "sqrt", "π": "pi", "°": "*degree"}
)  # fmt: skip


def evaluated(expression: str) -> float:
    """Value [SI] of an expression as it is shown."""
    spoken = POWERS.sub(lambda found: f"**({found.group().translate(PLAIN)})", expression)
    return float(eval(spoken.translate(SPOKEN), {"__builtins__": {}}, NAMES))


def terms(expression: str) -> float:
    """The largest number that goes into an expression."""
    found = re.findall(r"[\d\u2009.]+", expression)
    return max(float(one.replace("\u2009", "")) for one in found if one.strip("\u2009."))


def check_substitution(one: MainNumber, *, rounding: float = 0.0) -> None:
    """Five digits go in: 1e-4, and `rounding` of the largest term where large terms cancel."""
    if math.isnan(one.value):
        assert one.place.startswith("needs ")
        return
    symbol, expression, *steps = one.substitution.split(" = ")
    shown = join_unit(format_number(one.value, one.digits), one.unit)
    si = SYMBOLS[one.unit].to_si(one.value)
    assert one.formula.startswith(f"{symbol} = ")
    assert steps[-1] == shown
    near = pytest.approx(si, rel=1e-4, abs=rounding * terms(expression))
    assert evaluated(expression) == near, one
    if len(steps) == 2:
        number, unit = steps[0].rsplit(" ", 1)
        assert unit in {"N", "Pa", "W", "m/s²", "K"}
        assert evaluated(number) == pytest.approx(si, rel=1e-4)


def numbers(cycle: Cycle) -> dict[str, MainNumber]:
    return {one.key: one for one in main_numbers(cycle)}


def rated(design: Design) -> Cycle:
    return solve_cycle(design, UNITS["rpm"].from_si(design.layout.rated_speed))


@pytest.mark.parametrize("title", DEMOS)
def test_every_number_follows_from_its_own_text(title: str) -> None:
    for one in main_numbers(rated(DEMOS[title])):
        check_substitution(one)


@pytest.mark.parametrize("rpm", [1.0, 40.0, 1000.0, 12000.0])
@pytest.mark.parametrize("load", [0.0, 37.0, 100.0])
@pytest.mark.parametrize("title", ["Hill climb six", "Pilot boat six", "V6 60 six throws"])
def test_any_speed_and_load(title: str, load: float, rpm: float) -> None:
    cycle = solve_cycle(with_value(DEMOS[title], "pressure.load_percent", load), rpm)
    for one in main_numbers(cycle):
        motored = load == 0 and one.key == "indicated_efficiency"
        assert math.isfinite(one.value) != motored
        check_substitution(one)


@pytest.mark.parametrize(
    "layout",
    [
        layout_of([0.0]),
        layout_of([0.0, 180.0]),
        layout_of([0.0, 120.0, 240.0], strokes=2),
        layout_of([0.0, 90.0], throw_of_cylinder=[1, 1, 2, 2], bank_angle_deg=[-45, 45, -45, 45]),
    ],
    ids=["single", "twin", "two-stroke three", "V4"],
)
def test_any_layout(layout: Layout, base: Design) -> None:
    for one in main_numbers(solve_cycle(with_layout(base, layout), 3000)):
        check_substitution(one)


@settings(max_examples=40, deadline=None)
@given(designs(), st.floats(1.0, 15000.0))
def test_any_design(design: Design, rpm: float) -> None:
    for one in main_numbers(solved(design, rpm)):
        check_substitution(one, rounding=1e-4)


@pytest.mark.parametrize("title", DEMOS)
def test_values_are_those_of_the_cycle(title: str) -> None:
    cycle = rated(DEMOS[title])
    forces, bearings, design = cycle.forces, cycle.bearings, cycle.design
    expected = {
        "mean_piston_speed": np.abs(cycle.motion.velocity[0]).mean(),
        "peak_acceleration": np.abs(cycle.motion.acceleration).max() / 1e3,
        "rod_compression": forces.rod_force.max() / 1e3,
        "rod_tension": -forces.rod_force.min() / 1e3,
        "big_end_load": bearings.big_end_peaks.peak.max() / 1e3,
        "main_load": bearings.main_peaks.peak.max() / 1e3,
        "big_end_specific_load": bearings.big_end_peaks.specific_load(design.big_end).max() / 1e6,
        "main_specific_load": bearings.main_peaks.specific_load(design.main_bearing).max() / 1e6,
        "peak_pressure": forces.cylinder_pressure.max() / 1e5,
        "mean_torque": forces.crank_torque.mean(),
        "indicated_power": (forces.crank_torque * cycle.speed).mean() / 1e3,
    }
    found = numbers(cycle)
    for key, value in expected.items():
        # The mean of |velocity| on the grid misses a kink at each dead centre: 1e-4 at most.
        rel = 1e-4 if key == "mean_piston_speed" else 1e-9
        assert found[key].value == pytest.approx(value, rel=rel), key
    thrust = forces.side_thrust
    assert abs(found["side_thrust"].value) * 1e3 == pytest.approx(np.abs(thrust).max(), rel=1e-9)


@pytest.mark.parametrize("title", DEMOS)
def test_place_is_where_the_peak_lies(title: str) -> None:
    cycle = rated(DEMOS[title])
    found = numbers(cycle)
    for key, values in (
        ("rod_compression", cycle.forces.rod_force / 1e3),
        ("side_thrust", cycle.forces.side_thrust / 1e3),
        ("peak_pressure", cycle.forces.cylinder_pressure / 1e5),
    ):
        cylinder, angle = re.fullmatch(r"cylinder (\d+), ([\d.]+)°", found[key].place).groups()
        column = np.abs(np.degrees(cycle.crank_angle) - float(angle)).argmin()
        assert values[int(cylinder) - 1, column] == pytest.approx(found[key].value, rel=1e-9)


def test_the_first_of_equals_is_named_at_every_speed() -> None:
    design = DEMOS["Hill climb six"]
    for rpm in range(1000, 9000, 100):
        for one in main_numbers(solve_cycle(design, rpm)):
            if one.place.startswith("cylinder"):
                assert one.place.startswith("cylinder 1,")
            if one.place.startswith("main"):
                assert int(one.place[5]) <= 4  # mains 5 to 7 mirror 3 to 1


def test_acceleration_law_holds_with_a_far_offset_pin() -> None:
    design = with_value(DEMOS["Hill climb six"], "cylinder.rod_length_mm", 100.0)
    cycle = rated(with_value(design, "cylinder.pin_offset_mm", 30.0))
    acceleration = numbers(cycle)["peak_acceleration"]
    assert acceleration.place != "cylinder 1, 0°"
    check_substitution(acceleration)


def test_sixth_order_is_what_a_six_leaves() -> None:
    cycle = rated(DEMOS["Hill climb six"])
    train = cycle.train
    reciprocating = -train.loads.reciprocating_inertia[0, 0] / train.motion.acceleration[0, 0]
    sixth = abs(acceleration_harmonics(train.crank)[6]) * train.crank.crank_radius
    found = numbers(cycle)
    assert found["free_force"].place == "order 6"
    assert found["free_force"].value == pytest.approx(
        6 * reciprocating * sixth * cycle.speed**2, rel=1e-9
    )
    assert found["free_moment"].value == 0
    assert found["free_moment"].place == "none up to order 8"


def test_second_order_is_what_a_four_leaves() -> None:
    assert numbers(rated(DEMOS["Inline four"]))["free_force"].place == "order 2"


def test_true_dead_centre_comes_with_a_pin_offset() -> None:
    without = DEMOS["Hill climb six"]
    found = numbers(rated(with_value(without, "cylinder.pin_offset_mm", 2.0)))
    assert "firing_dead_centre" not in numbers(rated(without))
    cylinder = without.cylinder
    reach = cylinder.rod_length + cylinder.crank_radius
    assert found["firing_dead_centre"].value == pytest.approx(
        -math.degrees(math.asin(0.002 / reach)), rel=1e-9
    )


def test_missing_bearings_are_said_and_the_rest_stays() -> None:
    whole = determinate(DEMOS["Touring six"])  # as one without sizes is
    bare = dataclasses.replace(whole, big_end=None, main_bearing=None, oil=None)
    found, before = numbers(rated(bare)), numbers(rated(whole))
    for key, what in (("big_end", "big-end size"), ("main", "main-bearing size")):
        lacking = found.pop(f"{key}_specific_load")
        assert math.isnan(lacking.value)
        assert format_number(lacking.value, lacking.digits) == "–"
        assert what in lacking.substitution
        assert what in lacking.place
        before.pop(f"{key}_specific_load")
    assert found == before


def test_a_rod_that_is_never_pulled_says_so() -> None:
    boat = dataclasses.replace(DEMOS["Pilot boat six"], full_load=())
    tension = numbers(solve_cycle(boat, 300))["rod_tension"]
    assert tension.value < 0
    assert tension.place == "never pulled"


@pytest.mark.parametrize("title", DEMOS)
def test_each_says_its_formula_convention_and_source(title: str) -> None:
    found = main_numbers(rated(DEMOS[title]))
    assert len({one.key for one in found}) == len(found)
    for one in found:
        assert re.search(r"from memory|worked solutions|common practice, no source", one.source)
        assert " = " in one.formula
        assert one.conventions.endswith(".")
        assert not re.search(
            "[<>&]", "".join((one.label, one.formula, one.substitution, one.source))
        )


@pytest.mark.parametrize(
    ("value", "digits", "text"),
    [
        (22.1, 3, "22.1"),
        (39043.1, 3, "39\u2009000"),
        (8150, 4, "8\u2009150"),
        (-1234.5, 3, "−1\u2009230"),
        (9.996, 3, "10.0"),
        (0.000474, 3, "0.000474"),
        (1.184e-7, 3, "1.18·10⁻⁷"),
        (0.0, 3, "0"),
        (-0.0, 3, "0"),
        (math.nan, 3, "–"),
        (math.inf, 4, "–"),
    ],
)
def test_format(value: float, digits: int, text: str) -> None:
    assert format_number(value, digits) == text


@given(st.floats(-1e9, 1e9, allow_nan=False))
def test_substituted_values_stand_as_one_factor(value: float) -> None:
    assert evaluated(f"1 − 2·{operand(value)}²") == pytest.approx(
        1 - 2 * value**2, rel=2e-4, abs=2e-4
    )
    if abs(value) > 1e-12:
        assert evaluated(f"1/{operand(value)}") == pytest.approx(1 / value, rel=1e-4)


def test_rounding_beside_a_large_value_is_put_in_as_nothing() -> None:
    assert operand(3e-9, beside=5e4) == "0"
    assert operand(3e-7, beside=5e4) != "0"


@given(st.floats(-1e12, 1e12, allow_nan=False), st.integers(3, 5))
def test_format_reads_back_to_half_a_unit_of_its_last_digit(value: float, digits: int) -> None:
    back = evaluated(format_number(value, digits))
    assert back == pytest.approx(value, rel=0.5 * 10 ** (1 - digits) * (1 + 1e-9))


def test_the_rolling_moment_says_where_gas_and_piston_act_with_a_pin_offset() -> None:
    said = numbers(rated(DEMOS["Touring six"]))["rolling_moment"].conventions
    for words in ("in the middle of the bore", "pin offset", "not in the side thrust", "Left out"):
        assert words in said
