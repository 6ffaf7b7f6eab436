"""What is asked for a new design, and what its application asks for; the rest is by rule."""

import math
from dataclasses import dataclass
from typing import Any

from kinematics.declaration import Declaration, check_number, choice, declarations, number
from kinematics.design.engine_layout import LAYOUTS
from kinematics.errors import DesignError
from kinematics.units import in_words, shown_unit

REFERENCE_PRESSURE = 84e5  # [Pa], to which the shares of a bore belong
STROKES = (0.6, 1.6)  # of the bore
MEAN_PISTON_SPEED = 28.0  # [m/s], that a new design may have; above drag racing's nothing is known
LONGEST_ROD = 3.5  # strokes


@dataclass(frozen=True, slots=True)
class Application:
    """What an engine is for: what differs from one to another."""

    compression: float
    piston_index: float  # [kg/m³], piston and rings without pin over bore³
    rod_index: float  # of the rod's ends, against competition
    peak: tuple[float, float]  # [Pa], that may be asked for
    charge: float  # peak pressure over that at the end of compression
    control: str
    grade: str
    inlet: float  # [K]
    metal: tuple[float, float, float]  # [Pa], the rod's tensile, yield and endurance
    bolt_yield: float  # [Pa]
    flywheel: float  # inertia over bore⁵ [kg/m³]
    damper: float  # ring over hub
    peak_angle: float  # [rad]
    exponents: tuple[float, float]  # of compression and expansion
    idle: float  # of the rated speed
    red_line: float  # of the rated speed
    specific: float  # [Pa], gas force on the big end's projected area
    big_end: float  # its least width over bore
    pin: tuple[float, float, float]  # length, small-end width, gap of the bosses over bore
    web: float  # thickness over bore
    film_viscosity: float  # [Pa·s] at which the steady film of a big end is like the real one
    full_load_from: float | None  # of the rated speed
    slowest_idle: float  # [rad/s]


APPLICATIONS = {
    "competition": Application(
        12.5, 290, 1.0, (50e5, 140e5), 2.35, "throttle", "SAE 10W-60", 358.15,
        (1050e6, 750e6, 450e6), 1350e6, 17e3, 4.0, math.radians(13), (1.33, 1.32), 0.13, 1.06,
        36e6, 0.25, (0.68, 0.27, 0.29), 0.23, 1.8e-3, None, 136.0),
    "road": Application(
        10.5, 420, 1.5, (45e5, 140e5), 2.7, "throttle", "SAE 5W-40", 363.15,
        (966e6, 574e6, 339e6), 1100e6, 48e3, 4.0, math.radians(13), (1.33, 1.3), 0.13, 1.08,
        28e6, 0.32, (0.7, 0.28, 0.3), 0.23, 1.4e-3, None, 84.0),
    "boat": Application(
        16.0, 800, 2.6, (90e5, 200e5), 1.5, "mixture", "SAE 40", 348.15,
        (950e6, 680e6, 423e6), 1100e6, 200e3, 9.0, math.radians(9), (1.35, 1.32), 0.25, 1.1,
        34e6, 0.25, (0.82, 0.34, 0.36), 0.28, 4e-3, 0.7, 73.0),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class NewDesign:
    """What is asked for a new design [SI]; all else follows by rules."""

    layout: str = choice("Layout", tuple(LAYOUTS))
    application: str = choice("Application", tuple(APPLICATIONS))
    bore: float = number("Bore", "mm", 50, 250)
    stroke: float = number("Stroke", "mm", 30, 400)
    rod_length: float = number("Rod length", "mm", 60, 1400)
    rated_speed: float = number("Rated speed", "rpm", 200, 15000)
    peak: float = number("Peak pressure", "bar", 45, 200, why="At full load, absolute.")

    def __post_init__(self) -> None:
        for attribute, key, declared in declarations(self):
            _check(key, getattr(self, attribute), declared)
        self._check_stroke()
        self._check_speed()
        low, high = APPLICATIONS[self.application].peak
        _between("peak_bar", self.peak, low, high, "bar", f"of an engine for {self.application}")

    def _check_stroke(self) -> None:
        low, high = (share * self.bore for share in STROKES)
        _between("stroke_mm", self.stroke, low, high, "mm", "0.6 to 1.6 bores")
        shortest = self.stroke / 2 + 0.9 * self.bore
        _between(
            "rod_length_mm", self.rod_length, shortest, LONGEST_ROD * self.stroke, "mm",
            "half the stroke and 0.9 bores, to 3.5 strokes",
        )  # fmt: skip

    def _check_speed(self) -> None:
        most = MEAN_PISTON_SPEED * math.pi / self.stroke
        _between(
            "rated_speed_rpm", self.rated_speed, most / 10, most, "rpm",
            "a mean piston speed of 2.8 to 28 m/s",
        )  # fmt: skip

    @property
    def rules(self) -> Application:
        """What the application asks for."""
        return APPLICATIONS[self.application]

    @property
    def pressure_ratio(self) -> float:
        """Peak pressure over that to which the shares of a bore belong."""
        return self.peak / REFERENCE_PRESSURE


def _check(key: str, value: Any, declared: Declaration) -> None:
    if declared.kind == "choice":
        if value not in declared.choices:
            raise DesignError(key, f"must be {declared.allowed} (got {str(value)[:40]!r})")
        return
    check_number(key, value, declared)
    if not declared.low <= declared.unit.from_si(value) <= declared.high:
        got = in_words(value, declared.unit.key)
        raise DesignError(key, f"must be {declared.allowed} (got {got})")


def _between(key: str, value: float, low: float, high: float, unit: str, words: str) -> None:
    if not low * (1 - 1e-9) <= value <= high * (1 + 1e-9):
        ends = f"{shown_unit(unit).from_si(low):.4g} to {in_words(high, unit, 4)}"
        raise DesignError(key, f"must be {ends}, {words} (got {in_words(value, unit)})")
