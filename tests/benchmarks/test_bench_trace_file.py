"""Reading 20 cycles of measured pressure at 0.1°, beside the strict reader of one cycle at 0.1°.

Run with `pytest tests/benchmarks --benchmark-only`. Nothing here asserts a time.
"""

from collections.abc import Callable

import pytest

from assets_demo.make_traces import many_cycles, many_cycles_text, trace_text
from kinematics import load_demo
from kinematics.mechanics.measured_cycles import Choice, measured_pressure
from kinematics.mechanics.pressure_trace import read_trace
from kinematics.mechanics.trace_file import read_table
from kinematics.mechanics.trace_settings import FiringCycle, proposed_settings

Bench = Callable[..., object]
ONE = 7200  # rows of a cycle
CYCLE = FiringCycle(12.566370614359172, (0.0,))


def imported(text: str) -> None:
    """Do all that an import does before the checks."""
    table = read_table(text)
    measured = measured_pressure(table, proposed_settings(table, CYCLE), CYCLE)
    measured.trace(Choice())
    assert measured.together.deviation.size == ONE


@pytest.mark.benchmark(group="a measured file")
def test_twenty_cycles_at_a_tenth_of_a_degree(benchmark: Bench) -> None:
    text = many_cycles_text(many_cycles(load_demo("touring_six"), 0.1))
    benchmark(lambda: imported(text))


@pytest.mark.benchmark(group="a measured file")
def test_one_cycle_by_the_strict_reader(benchmark: Bench) -> None:
    angle, pressure = many_cycles(load_demo("touring_six"), 0.1)
    text = trace_text((angle[:ONE], pressure[:ONE] + 1))
    benchmark(lambda: read_trace(text))
