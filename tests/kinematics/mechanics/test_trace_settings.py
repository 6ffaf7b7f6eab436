"""How a measured file is taken: what is proposed, and what settings may be."""

import math

import numpy as np
import pytest

from kinematics.errors import DesignError
from kinematics.mechanics.trace_file import read_table
from kinematics.mechanics.trace_settings import (
    ANGLE,
    IGNORED,
    PRESSURE_UNITS,
    FiringCycle,
    TraceSettings,
    proposed_settings,
)
from tests.kinematics.mechanics.trace_texts import ANGLES, SIX, bars, text_of


def proposal(text: str, cycle: FiringCycle = SIX) -> TraceSettings:
    return proposed_settings(read_table(text), cycle)


@pytest.mark.parametrize(
    ("head", "factor", "unit"),
    [
        ("angle,p bar", 1, "bar"),
        ("angle,p_kPa", 100, "kPa"),
        ("angle,p [MPa]", 0.1, "MPa"),
        ("angle,PSI", 14.5038, "psi"),
        ("angle,p", 1, "bar"),
        ("angle,p", 100, "kPa"),
        ("", 0.08, "MPa"),
        ("crank_angle_deg,cylinder_pressure_bar", 1, "bar"),
    ],
)
def test_the_unit_is_that_of_the_head_or_of_the_size(head: str, factor: float, unit: str) -> None:
    assert proposal(text_of(ANGLES, factor * bars(), head=head)).unit == unit


def test_psi_is_that_of_nist() -> None:
    """NIST Special Publication 811, 2008, appendix B.8: 1 psi = 6894.757 Pa (from memory)."""
    assert PRESSURE_UNITS["psi"] == pytest.approx(6894.757, abs=5e-4)


def test_angle_counter_and_pressures_are_told_apart() -> None:
    time = 0.5 + np.arange(ANGLES.size)
    text = text_of(time, ANGLES, bars(), 0.9 * bars(), head="")
    assert proposal(text).roles in ((IGNORED, ANGLE, 1, 2), (ANGLE, IGNORED, 1, 2))
    named = text_of(time, ANGLES, bars(), 0.9 * bars(), head="time,crank angle,p1,p2")
    assert proposal(named).roles == (IGNORED, ANGLE, 1, 2)


def test_more_columns_than_cylinders_are_cycles() -> None:
    columns = [bars(peak=60 + k) for k in range(8)]
    head = "angle," + ",".join(f"p{k}" for k in range(8))
    assert proposal(text_of(ANGLES, *columns, head=head)).roles == (ANGLE, *[1] * 8)
    named = "angle,p cycle 1,p cycle 2"
    assert proposal(text_of(ANGLES, *columns[:2], head=named)).roles == (ANGLE, 1, 1)


@pytest.mark.parametrize(
    ("start", "tdc"), [(-360, 0), (0, 0), (-180, 0)], ids=["-360 to 359", "0 to 719", "-180 to 539"]
)
def test_firing_tdc_is_the_turn_nearest_to_the_peak(start: int, tdc: int) -> None:
    assert proposal(text_of(np.arange(start, start + 720.0, 2))).firing_tdc == math.radians(tdc)


def test_firing_tdc_may_lie_a_turn_on() -> None:
    angles = np.arange(0.0, 720, 2)
    assert proposal(text_of(angles, bars(angles - 360))).firing_tdc == pytest.approx(2 * math.pi)
    falling = text_of(-angles, bars(angles - 360))
    found = proposal(falling)
    assert (found.direction, found.firing_tdc) == ("falling", pytest.approx(-2 * math.pi))


@pytest.mark.parametrize(
    ("given", "field", "words"),
    [
        ({"unit": "atm"}, "unit", "must be one of bar, kPa, MPa, psi (got 'atm')"),
        ({"direction": "up"}, "direction", "rising, falling"),
        ({"reference": "x"}, "reference", "cylinder, engine"),
        ({"roles": (1, 2)}, "columns", "one column of crank angle (got 0)"),
        ({"roles": (ANGLE, ANGLE, 1)}, "columns", "(got 2)"),
        ({"roles": (ANGLE, IGNORED)}, "columns", "a column of pressure"),
        ({"offset": 21e5}, "offset", "-20 to 20 bar (got 21 bar)"),
        ({"offset": math.nan}, "offset", "-20 to 20 bar"),
        ({"firing_tdc": 26.0}, "firing_tdc", "-1440 to 1440°"),
        ({"firing_tdc": math.inf}, "firing_tdc", "-1440 to 1440°"),
    ],
)
def test_settings_say_what_each_must_be(given, field: str, words: str) -> None:
    with pytest.raises(DesignError) as caught:
        TraceSettings(**{"roles": (ANGLE, 1), **given})
    assert caught.value.field == field
    assert words in caught.value.message


@pytest.mark.parametrize(
    ("roles", "words"),
    [
        ((ANGLE, 1, 2), "must be 2 as in the file"),
        ((ANGLE, 7), "must be 1 to 6 (got 7)"),
        ((ANGLE, 1, -5), "must be 2"),
    ],
)
def test_settings_must_fit_file_and_engine(roles, words: str) -> None:
    with pytest.raises(DesignError, match="columns") as caught:
        TraceSettings(roles).check(read_table(text_of()), SIX)
    assert words in caught.value.message
