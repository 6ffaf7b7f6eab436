"""Cylinder pressure over the cycle: a closed-cycle model, or a measured trace.

The model lays the pressure between two polytropes, that of compression and that of expansion
after the whole heat is released, by the share burnt (Wiebe). Level of the expansion and start
of burning are solved so that the peak has the given height at the given angle.

Sources: L. Eriksson and I. Andersson, An Analytic Model for Cylinder Pressure in a Four Stroke
SI Engine, SAE 2002-01-0371 (from memory); J. B. Heywood, Internal Combustion Engine
Fundamentals, 1988, section 9.2: Wiebe function with a = 5, m = 2 (from memory).
"""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from kinematics.array import Array
from kinematics.design.design import Design, Layout
from kinematics.design.design_mechanism import Cylinder
from kinematics.design.design_pressure import Pressure
from kinematics.errors import DesignError
from kinematics.mechanics.pressure_trace import resampled_pressure
from kinematics.mechanics.slider_crank import SliderCrank, piston_motion
from kinematics.units import in_words

WIEBE_A, WIEBE_M = 5.0, 2.0
IDLE_CHARGE = 0.3  # of the full charge, with the throttle shut; common practice, no source
BLOWDOWN = math.radians(70)  # from exhaust opening to exhaust pressure; common practice, no source
UNBURNT_DEGREES = -60.0  # from TDC: earlier, nothing burns; common practice, no source
STEEPEST = 1.5  # exponent of a trace's compression; common practice, no source
OVERLAP = math.radians(20)  # either side of gas-exchange TDC; common practice, no source


@dataclass(frozen=True, slots=True)
class ClosedCycle:
    """The model solved for one load: angles [rad] after true firing TDC, pressures [Pa], SI."""

    intake: float
    exhaust: float
    charge_volume: float
    compression_exponent: float
    expansion_exponent: float
    expansion_level: float  # pressure times volume to the expansion exponent
    burn_start: float
    burn_duration: float
    intake_closes: float
    exhaust_opens: float

    @property
    def motored(self) -> "ClosedCycle":
        """The same charge without combustion: it expands on the line of its compression.

        Reference: a polytropic line is its own reverse, by definition.
        """
        exponent = self.compression_exponent
        level = self.intake * self.charge_volume**exponent
        return replace(self, expansion_exponent=exponent, expansion_level=level)

    def compression(self, volume: Array) -> Array:
        """Return the pressure [Pa] of compression alone at volumes [m³], of their shape.

        Reference: Eriksson and Andersson, SAE 2002-01-0371 (from memory).
        """
        ratio = self.charge_volume / volume
        return self.intake * np.exp(self.compression_exponent * np.log(ratio))

    def expansion(self, volume: Array) -> Array:
        """Return the pressure [Pa] with all heat released at volumes [m³], of their shape.

        Reference: Eriksson and Andersson, SAE 2002-01-0371 (from memory).
        """
        return self.expansion_level * np.exp(-self.expansion_exponent * np.log(volume))

    def closed(self, after_tdc: Array, volume: Array) -> Array:
        """Return the pressure [Pa] with the valves shut, of the arguments' shape.

        Reference: Eriksson and Andersson, SAE 2002-01-0371 (from memory).
        """
        compression = self.compression(volume)
        burnt = burnt_share(after_tdc, self.burn_start, self.burn_duration)
        return compression + burnt * (self.expansion(volume) - compression)


def slider_crank(cylinder: Cylinder) -> SliderCrank:
    """Return the slider-crank of a cylinder."""
    return SliderCrank(cylinder.crank_radius, cylinder.rod_length, cylinder.pin_offset)


def cylinder_volume(cylinder: Cylinder, after_tdc: Array) -> Array:
    """Return the volume over the piston [m³] at angles after true TDC [rad], of their shape.

    Reference: swept and clearance volume, by definition.
    """
    crank = slider_crank(cylinder)
    motion = piston_motion(crank, after_tdc + crank.top_dead_centre)
    return volume_at(cylinder, motion.displacement)


def volume_at(cylinder: Cylinder, displacement: Array) -> Array:
    """Return the volume over the piston [m³] at its displacement from TDC [m], of its shape.

    Reference: swept and clearance volume, by definition.
    """
    clearance = slider_crank(cylinder).stroke / (cylinder.compression_ratio - 1)
    return cylinder.piston_area * (clearance + displacement)


def burnt_share(after_tdc: Array, start: float | Array, duration: float) -> Array:
    """Return the Wiebe share of heat released, 1 - exp(-5 y³), of the angle's shape.

    References
    ----------
    Heywood, Internal Combustion Engine Fundamentals, 1988, section 9.2 (from memory).
    """
    progress = np.maximum((after_tdc - start) / duration, 0.0)
    return 1.0 - np.exp(-WIEBE_A * progress * progress * progress)


def cylinder_pressure(design: Design, after_tdc: Array, volume: Array) -> Array:
    """Return absolute pressure [Pa] at angles after true firing TDC [rad] and their volumes [m³].

    Of the angles' shape; where each cylinder has its own trace (c, n), from (n,) or (c, n).

    Raises DesignError where the given peak cannot be reached.

    Reference: Eriksson and Andersson, SAE 2002-01-0371 (from memory).
    """
    pressure, cycle_angle = design.pressure, design.layout.cycle_angle
    folded = _folded(after_tdc, cycle_angle)
    if pressure.trace is not None and pressure.source == "trace":
        return resampled_pressure(pressure.trace, folded, cycle_angle)
    model = closed_cycle(design.cylinder, pressure, design.layout)
    return _whole_cycle(model, design.layout, folded, volume)


def motored_pressure(design: Design, after_tdc: Array, volume: Array) -> Array:
    """Return the pressure [Pa] of the same charge if it does not burn; as `cylinder_pressure`.

    Of a measured trace the compression up to 60° before TDC is carried on by its own polytropic
    exponent until the exhaust opens (common practice, no source).

    Reference: polytropic compression and expansion, Heywood, Internal Combustion Engine
    Fundamentals, 1988, section 9.2 (from memory).
    """
    pressure, cycle_angle = design.pressure, design.layout.cycle_angle
    folded = _folded(after_tdc, cycle_angle)
    if pressure.trace is not None and pressure.source == "trace":
        return _motored_trace(design, folded, volume)
    model = closed_cycle(design.cylinder, pressure, design.layout)
    return _whole_cycle(model.motored, design.layout, folded, volume)


def _folded(after_tdc: Array, cycle_angle: float) -> Array:
    return np.mod(after_tdc + cycle_angle / 2, cycle_angle) - cycle_angle / 2


def _whole_cycle(model: ClosedCycle, layout: Layout, after_tdc: Array, volume: Array) -> Array:
    if layout.strokes_per_cycle == 2:
        return _two_stroke(model, after_tdc, volume)
    return _four_stroke(model, after_tdc, volume)


def _motored_trace(design: Design, after_tdc: Array, volume: Array) -> Array:
    layout, given = design.layout, design.pressure
    assert given.trace is not None
    measured = resampled_pressure(given.trace, after_tdc, layout.cycle_angle)
    before = np.radians(np.arange(-100.0, UNBURNT_DEGREES + 1))
    known = resampled_pressure(given.trace, before, layout.cycle_angle)
    swept = cylinder_volume(design.cylinder, before)
    exponent = -np.polyfit(np.log(swept), np.log(known).T, 1)[0]
    exponent = np.clip(exponent, 0.0, STEEPEST)[..., None]
    carried = known[..., -1:] * (swept[-1] / volume) ** exponent
    opens = math.pi - given.exhaust_opens
    leaving = BLOWDOWN if layout.strokes_per_cycle == 4 else given.exhaust_opens
    expelled = carried + _eased((after_tdc - opens) / leaving) * (measured - carried)
    return np.where(after_tdc < before[-1], measured, expelled)


def charge_share(pressure: Pressure) -> float:
    """Return the charge at the load asked for, against that of full load.

    Reference: as a throttle lowers the charge with the load: common practice, no source.
    """
    shut = IDLE_CHARGE if pressure.load_control == "throttle" else 1.0
    return shut + (1 - shut) * pressure.load


@lru_cache(maxsize=64)
def closed_cycle(cylinder: Cylinder, pressure: Pressure, layout: Layout) -> ClosedCycle:
    """Solve the model for its peak at full load, then take the load asked for.

    At part load the heat falls with the load; a throttle takes charge and intake pressure down
    with it. Raises DesignError where no start of burning puts the peak where it is wanted.

    Reference: Eriksson and Andersson, SAE 2002-01-0371 (from memory).
    """
    full = _full_load(cylinder, pressure, layout)
    load = pressure.load
    charge = charge_share(pressure)
    exponent = full.compression_exponent + load * (
        full.expansion_exponent - full.compression_exponent
    )
    volume = cylinder_volume(cylinder, np.array([_given(pressure.peak_angle)]))
    compression = full.compression(volume)[0]
    rise = full.expansion(volume)[0] - compression
    level = (charge * compression + load * rise) * volume[0] ** exponent
    return ClosedCycle(
        full.intake * charge, full.exhaust, full.charge_volume, full.compression_exponent,
        exponent, float(level), full.burn_start, full.burn_duration, full.intake_closes,
        full.exhaust_opens,
    )  # fmt: skip


def _full_load(cylinder: Cylinder, pressure: Pressure, layout: Layout) -> ClosedCycle:
    exhaust_opens = math.pi - pressure.exhaust_opens
    closing = pressure.exhaust_opens if layout.strokes_per_cycle == 2 else pressure.intake_closes
    intake_closes = closing - math.pi
    charge_volume = float(cylinder_volume(cylinder, np.array([intake_closes]))[0])

    def model(level: float, start: float) -> ClosedCycle:
        return ClosedCycle(
            _given(pressure.intake), _given(pressure.exhaust), charge_volume,
            _given(pressure.compression_exponent), _given(pressure.expansion_exponent),
            level, start, pressure.burn_duration, intake_closes, exhaust_opens,
        )  # fmt: skip

    return model(*_solve_peak(model(0.0, 0.0), cylinder, pressure))


def _solve_peak(model: ClosedCycle, cylinder: Cylinder, pressure: Pressure) -> tuple[float, float]:
    """Return (expansion level, start of burning) that put the peak where it is wanted.

    With x the share burnt, p = c + x (e - c) has its peak where
    x' (e - c) + x e' + (1 - x) c' = 0; e follows from the peak's height.
    """
    peak, angle = _given(pressure.peak), _given(pressure.peak_angle)
    volume = cylinder_volume(cylinder, np.array([angle, 0.0]))
    compression, highest = (float(value) for value in model.compression(volume))
    if peak <= 1.02 * highest:
        raise DesignError(
            "pressure.peak_bar",
            f"must be at least 2 % above the {in_words(highest, 'bar', 4)} of compression alone at "
            f"TDC (got {in_words(peak, 'bar', 4)}); or lower compression or intake pressure",
        )
    crank = slider_crank(cylinder)
    motion = piston_motion(crank, np.array([angle + crank.top_dead_centre]))
    widening = float(cylinder.piston_area * motion.velocity[0] / volume[0])

    def slope(start: Array) -> Array:
        progress = (angle - start) / model.burn_duration
        squared = progress * progress
        left = np.exp(-WIEBE_A * squared * progress)
        rate = 3 * WIEBE_A / model.burn_duration * squared * left
        expansion = (peak - left * compression) / (1 - left)
        return (
            rate * (expansion - compression)
            - (1 - left) * model.expansion_exponent * expansion * widening
            - left * model.compression_exponent * compression * widening
        )

    start = _root(slope, angle - 1.2 * model.burn_duration, angle - 0.02 * model.burn_duration)
    if start is None:
        raise DesignError(
            "pressure.peak_angle_deg",
            f"no start of burning puts the peak at {math.degrees(angle):.4g}° with a burn of "
            f"{math.degrees(model.burn_duration):.4g}°",
        )
    left = math.exp(-WIEBE_A * ((angle - start) / model.burn_duration) ** 3)
    expansion = (peak - left * compression) / (1 - left)
    level = expansion * float(volume[0]) ** model.expansion_exponent
    _check_highest(replace(model, expansion_level=level, burn_start=start), cylinder, pressure)
    return level, start


def _check_highest(model: ClosedCycle, cylinder: Cylinder, pressure: Pressure) -> None:
    """Raise DesignError where the pressure is higher elsewhere than at the peak asked for."""
    after_tdc = np.linspace(-model.exhaust_opens, model.exhaust_opens, 361)
    course = model.closed(after_tdc, cylinder_volume(cylinder, after_tdc))
    at = course.argmax()
    if course[at] > 1.001 * _given(pressure.peak):
        raise DesignError(
            "pressure.peak_bar",
            f"must be higher (got {in_words(_given(pressure.peak), 'bar', 4)} at "
            f"{math.degrees(_given(pressure.peak_angle)):.4g}°): the pressure would reach "
            f"{in_words(float(course[at]), 'bar', 4)} at {math.degrees(after_tdc[at]):.0f}°; or "
            "lower compression, a later peak or a shorter burn",
        )


_STEPS = np.linspace(0.0, 1.0, 65)


def _root(function: Callable[[Array], Array], low: float, high: float) -> float | None:
    """Return the last zero between two ends where the function falls to rises, or None."""
    for _ in range(3):
        places = low + (high - low) * _STEPS
        values = function(places)
        crossings = np.flatnonzero((values[:-1] < 0) & (values[1:] >= 0))
        if not crossings.size:
            return None
        at = crossings[-1]
        low, high = places[at], places[at + 1]
    share = values[at] / (values[at] - values[at + 1])
    return float(low + share * (high - low))


def _four_stroke(model: ClosedCycle, after_tdc: Array, volume: Array) -> Array:
    end = 2 * math.pi
    closed = model.closed(after_tdc, volume)
    emptied = _eased((after_tdc - model.exhaust_opens) / BLOWDOWN)
    expelling = closed + emptied * (model.exhaust - closed)
    turn = _eased((after_tdc - end + OVERLAP) / (2 * OVERLAP))
    expelling = expelling + turn * (model.intake - model.exhaust)
    filled = _eased((after_tdc + end + OVERLAP) / (2 * OVERLAP))
    filling = model.exhaust + filled * (model.intake - model.exhaust)
    return np.where(after_tdc < model.intake_closes, filling, expelling)


def _two_stroke(model: ClosedCycle, after_tdc: Array, volume: Array) -> Array:
    closed = model.closed(after_tdc, volume)
    emptied = _eased((after_tdc - model.exhaust_opens) / (math.pi - model.exhaust_opens))
    scavenged = closed + emptied * (model.intake - closed)
    return np.where(after_tdc < model.intake_closes, model.intake, scavenged)


def _eased(progress: Array) -> Array:
    """Return 0 before 0, 1 after 1, and between them a cubic that is level at both ends."""
    share = np.clip(progress, 0.0, 1.0)
    return share * share * (3.0 - 2.0 * share)


def _given(value: float | None) -> float:
    """Return a field that the design's own check has made sure of."""
    if value is None:
        raise DesignError("pressure", "the pressure model is not complete")
    return value
