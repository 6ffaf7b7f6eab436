"""Checks of a measured trace: where its top dead centre lies, and what pressure it lacks.

A motored trace peaks before TDC by the loss angle, which heat and leakage cause. Of a fired trace
the compression before burning is fitted by (p + p0) V^n = constant with the angle shifted, so that
shift, exponent and missing pressure are found together. That is much less sharp than a motored
trace: the uncertainty counts noise and an exponent that drifts.

Sources: M. J. Stas, Thermodynamic Determination of T.D.C. in Piston Combustion Engines, SAE 960610;
P. Tunestal, TDC Offset Estimation from Motored Cylinder Pressure Data Based on Heat Release
Shaping, Oil and Gas Science and Technology 66, 2011; A. L. Randolph, Methods of Processing
Cylinder-Pressure Transducer Signals to Maximize Data Accuracy, SAE 900170 (all from memory).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from scipy.optimize import least_squares  # type: ignore[import-untyped]

from kinematics.array import Array
from kinematics.design.design import Design
from kinematics.design.design_mechanism import Cylinder
from kinematics.errors import DesignError
from kinematics.mechanics.pressure_trace import PressureTrace, resampled_pressure
from kinematics.one_line import frozen_record
from kinematics.train.cylinder_pressure import cylinder_volume

LOSS_ANGLE = math.radians(0.7)  # usual 0.4 to 1.0°; common practice, no source
LOSS_SPREAD = math.radians(0.3)
DRIFT = 0.02  # of the exponent over the compression fitted; common practice, no source
EARLIEST = math.radians(-110)  # start of the compression fitted
AFTER_CLOSING = math.radians(20)  # the compression is fitted from then on
ENDS = tuple(math.radians(end) for end in (-25.0, -32.0, -40.0))  # tried until one fits
GOOD_FIT = 1.3  # residual over noise; common practice, no source
ABOUT_PEAK = math.radians(6)  # either side: there the motored peak is a parabola
LIKE_COMPRESSION = 1.35  # pressure 60° after over that 60° before TDC, unless fired
ABOUT_BDC = math.radians(5)  # either side, where pressure is averaged
FARTHEST_PEAK = math.radians(-30), math.radians(60)
USUAL_EXPONENT = 1.24, 1.40  # wider than Heywood, 1988, section 9.2.2: 1.24 to 1.35 (from memory)
_LARGEST_SHIFT = math.radians(15)


@frozen_record
class TdcCheck:
    """How much later than the true TDC a trace's own lies, and what compression says."""

    motored: bool
    late: float  # [rad], negative where it is early
    uncertainty: float  # [rad] one standard deviation
    exponent: float  # polytropic, of the compression
    lacking: float  # [Pa] to be added so that compression is a polytrope
    lacking_uncertainty: float  # [Pa] one standard deviation
    window: tuple[float, float]  # [rad] of the compression fitted, from the trace's own TDC

    @property
    def is_usual(self) -> bool:
        """Whether the exponent is a usual one, so that the finding can be believed."""
        return USUAL_EXPONENT[0] <= self.exponent <= USUAL_EXPONENT[1]


@dataclass(frozen=True, slots=True)
class _Fit:
    """A polytrope through compression: late [rad], log level, exponent, lacking [Pa]."""

    values: Array  # (4,)
    deviations: Array  # (4,) one standard deviation each
    misfit: float  # residual over noise


def tdc_check(
    design: Design, after_tdc: Array, pressure: Array, *, loss_angle: float = LOSS_ANGLE
) -> TdcCheck:
    """Return how late a trace is, from its motored peak or its compression.

    Parameters
    ----------
    after_tdc : from the trace's own firing TDC [rad], rising, at even steps, (n,)
    pressure : there [Pa], (n,)
    loss_angle : by which a motored peak comes before TDC [rad]

    Raises
    ------
    DesignError where the peak is so far from firing TDC that another angle must be meant, or the
    compression cannot be fitted.

    Reference: Stas, SAE 960610; Tunestal, 2011 (both from memory).
    """
    half = design.layout.cycle_angle / 2
    after = np.mod(after_tdc + half, 2 * half) - half
    order = np.argsort(after)
    after, pressure = after[order], pressure[order]
    peak = float(after[pressure.argmax()])
    if not FARTHEST_PEAK[0] <= peak <= FARTHEST_PEAK[1]:
        raise DesignError(
            "firing_tdc", "must be within 60° before to 30° after the peak "
            f"(it lies {math.degrees(peak):.0f}° after firing TDC)",
        )  # fmt: skip
    if is_motored(after, pressure):
        return _motored_check(design, after, pressure, loss_angle)
    fit, window = _compression_fit(design, after, pressure, None)
    late, _, exponent, lacking = fit.values
    deviation = fit.deviations
    return TdcCheck(False, float(late), float(deviation[0]), float(exponent), float(lacking),
                    float(deviation[3]), window)  # fmt: skip


def is_motored(after_tdc: Array, pressure: Array) -> bool:
    """Return whether a trace (n,) falls after TDC about as it rose before, as without combustion.

    Reference: common practice, no source.
    """
    before, after = np.interp([-math.pi / 3, math.pi / 3], after_tdc, pressure)
    return bool(after < LIKE_COMPRESSION * before)


def intake_offset(design: Design, after_tdc: Array, pressure: Array) -> float | None:
    """Return what must be added [Pa] for the trace to have intake pressure at intake BDC.

    None for a two-stroke, or where the design gives no intake pressure.

    Reference: Randolph, SAE 900170: pegging at inlet BDC (from memory).
    """
    intake = design.pressure.intake
    if design.layout.strokes_per_cycle == 2 or intake is None:
        return None
    where = np.linspace(-math.pi - ABOUT_BDC, -math.pi + ABOUT_BDC, 11)
    cycle = design.layout.cycle_angle
    return intake - float(np.interp(where, after_tdc, pressure, period=cycle).mean())


def shifted_trace(trace: PressureTrace, late: float, cycle_angle: float) -> PressureTrace:
    """Return a trace that is moved earlier by an angle [rad], on the same grid.

    Reference: straight interpolation, by definition.
    """
    courses = _shifted_courses(trace, late, cycle_angle)
    highest = _shifted_courses(trace.of_highest_cycle, late, cycle_angle) if trace.highest else ()
    return replace(trace, pressure=courses[0], others=courses[1:], highest=highest)


def _shifted_courses(
    trace: PressureTrace, late: float, cycle_angle: float
) -> tuple[tuple[float, ...], ...]:
    angle = np.array(trace.crank_angle)
    moved = np.atleast_2d(resampled_pressure(trace, angle + late, cycle_angle))
    return tuple(tuple(course.tolist()) for course in moved)


def mean_check(checks: Sequence[TdcCheck]) -> TdcCheck:
    """Return the mean of the checks of several cylinders on one encoder, the sharper count more.

    Weights are one over the variance of each angle. The uncertainty is the mean of theirs and not
    less, since what it counts besides noise is common to all.

    Reference: mean weighted by variance, by definition.
    """
    weights = [1 / max(check.uncertainty, 1e-9) ** 2 for check in checks]
    names = ("late", "uncertainty", "exponent", "lacking", "lacking_uncertainty")
    values = [[getattr(check, name) for name in names] for check in checks]
    mean = np.average(values, axis=0, weights=weights)
    return replace(checks[0], **dict(zip(names, mean.tolist(), strict=True)))


def with_trace(
    design: Design, trace: PressureTrace, file: str, strength_cycle: str = "mean"
) -> Design:
    """Return a design that runs on a trace; `file` says where from.

    Strength loads take the highest cycle where `strength_cycle` says so and the trace has one.

    Raises DesignError where the trace does not fit the design's cycle.
    """
    takes = strength_cycle if trace.highest else "mean"
    pressure = replace(
        design.pressure, source="trace", file=file, trace=trace, strength_cycle=takes
    )
    return replace(design, pressure=pressure)


def _motored_check(design: Design, after: Array, pressure: Array, loss: float) -> TdcCheck:
    at = float(after[pressure.argmax()])
    near = np.abs(after - at) <= ABOUT_PEAK
    where, course = after[near] - at, pressure[near]
    if where.size < 5:
        raise DesignError("file", "must have rows at most 2° apart about TDC for the TDC check")
    (a, b, _), cov = np.polyfit(where, course, 2, cov=True)
    vertex = -b / (2 * a)
    slope = np.array([-vertex / a, -1 / (2 * a)])
    spread = math.sqrt(float(slope @ cov[:2, :2] @ slope))
    late = at + vertex + loss
    fit, window = _compression_fit(design, after, pressure, late)
    _, _, exponent, lacking = fit.values
    return TdcCheck(True, late, math.hypot(spread, LOSS_SPREAD), float(exponent), float(lacking),
                    float(fit.deviations[3]), window)  # fmt: skip


def _compression_fit(
    design: Design, after: Array, pressure: Array, late: float | None
) -> tuple[_Fit, tuple[float, float]]:
    """Return the fit over the longest compression that a polytrope follows, and that window."""
    closing = design.pressure.intake_closes - math.pi
    if design.layout.strokes_per_cycle == 2:
        closing = design.pressure.exhaust_opens - math.pi
    start = max(EARLIEST, closing + AFTER_CLOSING)
    for end in ENDS:
        inside = (after >= start) & (after <= end)
        if inside.sum() < 12:
            raise DesignError("file", "must have 12 rows or more on compression for the TDC check")
        fit = _polytrope(design.cylinder, after[inside], pressure[inside], late)
        if fit.misfit <= GOOD_FIT:
            break
    return fit, (start, end)


def _polytrope(cylinder: Cylinder, after: Array, pressure: Array, late: float | None) -> _Fit:
    """Return the polytrope through a compression; with `late` given only the rest is fitted."""
    scale, free = float(pressure[-1]), late is None
    fixed = [] if late is None else [late]

    def course(values: Array) -> Array:
        shift, level, exponent, lacking = np.concatenate((fixed, values))
        volume = cylinder_volume(cylinder, after - shift)
        ratio = volume / cylinder.piston_area / (2 * cylinder.crank_radius)
        return np.exp(level - exponent * np.log(ratio)) - lacking

    first = [0.0] * free + [math.log(max(float(pressure[0]) / scale, 1e-3)), 1.3, 0.0]
    bounds = [_LARGEST_SHIFT] * free + [20.0, 2.5, 10.0]
    lowest = [-_LARGEST_SHIFT] * free + [-20.0, 0.5, -10.0]
    found: Any = least_squares(
        lambda values: course(values) - pressure / scale, first, bounds=(lowest, bounds),
        x_scale=[0.01] * free + [0.1, 0.1, 0.1],
    )  # fmt: skip
    inverse = np.linalg.pinv(found.jac.T @ found.jac)
    noise = float(np.std(np.diff(pressure / scale, 2))) / math.sqrt(6) + 1e-6
    variance = 2 * found.cost / max(len(after) - len(first), 1)
    drift = _drift(cylinder, after, pressure / scale)
    systematic = inverse @ found.jac.T @ drift
    deviations = np.sqrt(np.diag(inverse) * variance + systematic**2)
    pad = [0.0] if late is not None else []
    values = np.array([*fixed, *found.x])
    sizes = np.array([1.0, 1.0, 1.0, scale])
    return _Fit(values * sizes, np.array([*pad, *deviations]) * sizes, math.sqrt(variance) / noise)


def _drift(cylinder: Cylinder, after: Array, pressure: Array) -> Array:
    """Return by how much pressure changes where the exponent drifts by DRIFT over the window."""
    volume = np.log(cylinder_volume(cylinder, after))
    along = (volume - volume[0]) / (volume[-1] - volume[0])
    found: Array = pressure * DRIFT * (volume[-1] - volume[0]) * along * along / 2
    return found
