"""What measured cycles do, cylinder by cylinder: work, and how it scatters from cycle to cycle.

Source: work ∮ p dV and IMEP by definition; J. B. Heywood, Internal Combustion Engine
Fundamentals, 1988, section 9.4.1: coefficient of variation of IMEP (from memory).
"""

import math
from dataclasses import dataclass

from kinematics.array import Array
from kinematics.design.design import Design
from kinematics.design.design_mechanism import Cylinder
from kinematics.mechanics.measured_cycles import MeasuredPressure, PressureCycles
from kinematics.mechanics.slider_crank import piston_motion
from kinematics.one_line import one_line
from kinematics.train.cylinder_pressure import slider_crank
from kinematics.train.trace_check import intake_offset


@dataclass(frozen=True, slots=True)
class CylinderCycles:
    """The cycles of one cylinder in a few numbers."""

    cylinder: int
    count: int
    peak: float  # [Pa] mean of the cycles' peaks
    highest: float  # [Pa] highest peak of all
    mean_pressure: float  # [Pa] mean IMEP
    variation: float  # standard deviation of IMEP over its mean; NaN of one cycle

    __repr__ = one_line


def cycle_mean_pressures(cylinder: Cylinder, cycles: PressureCycles) -> Array:
    """Return the IMEP of each cycle [Pa], (k,), net of gas exchange.

    The sum over the grid of p dV/dφ, which for a periodic signal is the trapezium rule.

    Reference: work over swept volume, by definition.
    """
    crank = slider_crank(cylinder)
    motion = piston_motion(crank, cycles.after_tdc + crank.top_dead_centre)
    work: Array = cycles.pressure @ motion.velocity * cycles.step
    return work / crank.stroke


def cylinder_cycles(cylinder: Cylinder, measured: MeasuredPressure) -> tuple[CylinderCycles, ...]:
    """Return the numbers of every cylinder that is measured.

    Reference: Heywood, 1988, section 9.4.1 (from memory).
    """
    found = []
    for number, cycles in measured.by_cylinder.items():
        peaks = cycles.pressure.max(axis=1)
        work = cycle_mean_pressures(cylinder, cycles)
        mean = float(work.mean())
        several = cycles.count > 1 and mean > 0
        variation = float(work.std(ddof=1)) / mean if several else math.nan
        found.append(
            CylinderCycles(
                number, cycles.count, float(peaks.mean()), float(peaks.max()), mean, variation
            )
        )
    return tuple(found)


def pegged(design: Design, measured: MeasuredPressure) -> MeasuredPressure:
    """Return measured pressure with each cylinder's mean at the intake pressure at intake BDC.

    Unchanged for a two-stroke, or where the design gives no intake pressure.

    Reference: Randolph, SAE 900170: pegging at inlet BDC (from memory).
    """
    offsets = {}
    for number, cycles in measured.by_cylinder.items():
        lacking = intake_offset(design, cycles.after_tdc, cycles.mean)
        if lacking is not None:
            offsets[number] = lacking
    return measured.raised(offsets) if offsets else measured
