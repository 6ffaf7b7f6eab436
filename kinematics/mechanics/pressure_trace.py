"""A measured cylinder-pressure trace: read from CSV, checked, resampled.

What cannot be used is an error with its line; what merely looks odd is a warning, and runs.
"""

import csv
import io
import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from kinematics.array import Array
from kinematics.errors import DesignError

COLUMNS = ("crank_angle_deg", "cylinder_pressure_bar")
HIGHEST_COLUMN = "highest_cylinder_pressure_bar"  # of a design that keeps a highest cycle too
STRENGTH_CYCLES = ("mean", "highest")  # of measured ones, that strength loads take
MOST_BYTES = 2_000_000
MOST_ROWS = 40_000
FEWEST_ROWS = 36
WIDEST_GAP = math.radians(30)


@dataclass(frozen=True, slots=True)
class PressureTrace:
    """One cycle of measured pressure [Pa] over the angle [rad] from a cylinder's own firing TDC."""

    crank_angle: tuple[float, ...]  # rising
    pressure: tuple[float, ...]  # of all cylinders, or of the first
    others: tuple[tuple[float, ...], ...] = ()  # of the following, where each has its own
    highest: tuple[tuple[float, ...], ...] = ()  # of the cycle of highest peak, as `courses`

    def __post_init__(self) -> None:
        if any(len(self.crank_angle) != len(course) for course in (*self.courses, *self.highest)):
            raise DesignError("pressure.file", "crank angles and pressures differ in number")
        if self.highest and len(self.highest) != len(self.courses):
            raise DesignError(
                f"pressure.{HIGHEST_COLUMN}",
                f"must have as many lists as {COLUMNS[1]}, {len(self.courses)} "
                f"(got {len(self.highest)})",
            )
        if not FEWEST_ROWS <= len(self.crank_angle) <= MOST_ROWS:
            raise DesignError(
                "pressure.file",
                f"must have {FEWEST_ROWS} to {MOST_ROWS} rows (got {len(self.crank_angle)})",
            )
        for course in (*self.courses, *self.highest):
            _check_course(self.crank_angle, course)
        if any(b <= a for a, b in pairwise(self.crank_angle)):
            raise DesignError("pressure.file", "crank angles must rise from row to row")

    @property
    def courses(self) -> tuple[tuple[float, ...], ...]:
        """The pressures [Pa]: one that all cylinders share, or one a cylinder."""
        return (self.pressure, *self.others)

    @property
    def is_alike(self) -> bool:
        """Whether all cylinders have the same pressure."""
        mean_alike = all(course == self.pressure for course in self.others)
        return mean_alike and all(course == self.highest[0] for course in self.highest)

    @property
    def of_highest_cycle(self) -> "PressureTrace":
        """The trace of the cycle of highest peak alone; this trace where none is kept."""
        if not self.highest:
            return self
        return PressureTrace(self.crank_angle, self.highest[0], self.highest[1:])

    @property
    def highest_over_mean(self) -> float:
        """The peak of the highest cycle over that of the trace; 1 where none is kept.

        Reference: a ratio of peaks, by definition.
        """
        return self.of_highest_cycle.extremes[1] / self.extremes[1]

    @property
    def extremes(self) -> tuple[float, float]:
        """The lowest and the highest pressure of all cylinders [Pa]."""
        return min(map(min, self.courses)), max(map(max, self.courses))


def _check_course(angles: tuple[float, ...], pressures: tuple[float, ...]) -> None:
    for row, (angle, pressure) in enumerate(zip(angles, pressures, strict=True), start=1):
        if not (math.isfinite(angle) and math.isfinite(pressure)):
            raise DesignError("pressure.file", f"row {row}: values must be finite")
        if not 0 < pressure <= 1e8:
            raise DesignError(
                "pressure.file",
                f"row {row}: absolute pressure must be above 0 and at most 1000 bar "
                f"(got {pressure / 1e5:g} bar)",
            )


def read_trace(text: str, *, cycle_angle: float = 4 * math.pi) -> PressureTrace:
    """Return the trace in a CSV text with the columns crank_angle_deg, cylinder_pressure_bar.

    Raises DesignError that names the line where the text cannot be used: a missing column, a
    ragged or non-numeric row, angles that do not rise, more or less than one cycle.
    """
    if len(text) > MOST_BYTES:
        raise DesignError("pressure.file", f"must be at most {MOST_BYTES / 1e6:g} MB")
    rows = _numbers(text.removeprefix("\ufeff"))
    angles = [angle for _, angle, _ in rows]
    for (_, before, _), (line, angle, _) in pairwise(rows):
        if angle <= before:
            raise DesignError(
                "pressure.file",
                f"line {line}: crank angle {angle:g}° does not rise from {before:g}°",
            )
    check_one_cycle(angles, cycle_angle)
    for line, _, pressure in rows:
        if not 0 < pressure <= 1000:
            raise DesignError(
                "pressure.file",
                f"line {line}: absolute pressure must be above 0 and at most 1000 bar "
                f"(got {pressure:g} bar)",
            )
    if angles[-1] - angles[0] > math.degrees(cycle_angle) - 1e-6:
        rows = rows[:-1]
    return PressureTrace(
        tuple(math.radians(angle) for _, angle, _ in rows),
        tuple(pressure * 1e5 for _, _, pressure in rows),
    )


def resampled_pressure(trace: PressureTrace, after_tdc: Array, cycle_angle: float) -> Array:
    """Return the trace's pressure [Pa] at angles [rad], straight between samples, periodic.

    Of the angles' shape where cylinders share a course; else (c, n), from angles (n,) or (c, n).

    Reference: straight interpolation, by definition.
    """
    angle = np.array(trace.crank_angle)
    if not trace.others:
        return np.interp(after_tdc, angle, trace.pressure, period=cycle_angle)
    rows = np.broadcast_to(after_tdc, (len(trace.courses), after_tdc.shape[-1]))
    both = zip(rows, trace.courses, strict=True)
    return np.stack([np.interp(row, angle, course, period=cycle_angle) for row, course in both])


def trace_warnings(trace: PressureTrace, cycle_angle: float) -> tuple[str, ...]:
    """Return what looks odd in a trace that can be used, a sentence each."""
    found = [_course_warnings(trace.crank_angle, one, cycle_angle) for one in trace.courses]
    return _by_cylinder(found)


def _by_cylinder(found: list[tuple[str, ...]]) -> tuple[str, ...]:
    """Return the sentences of courses; where there are several, each with its cylinder."""
    if len(found) == 1:
        return found[0]
    return tuple(f"Cylinder {k}: {text}" for k, texts in enumerate(found, 1) for text in texts)


def _course_warnings(
    angles: tuple[float, ...], pressures: tuple[float, ...], cycle_angle: float
) -> tuple[str, ...]:
    pressure = np.array(pressures) / 1e5
    after = np.degrees(np.mod(np.array(angles) + cycle_angle / 2, cycle_angle))
    at_peak = after[pressure.argmax()] - math.degrees(cycle_angle / 2)
    if np.ptp(pressure) < 0.01 * pressure.max():
        return (f"The trace is flat at {pressure.mean():.3g} bar: it runs as a motored case.",)
    found = []
    if not -30 <= at_peak <= 60:
        found.append(
            f"The peak lies {at_peak:.0f}° from firing TDC: is 0° the firing top dead centre?"
        )
    if pressure.max() > 350:
        found.append(f"The peak is {pressure.max():.0f} bar: is the file in kPa or psi, not bar?")
    elif pressure.max() < 6:
        found.append(f"The peak is {pressure.max():.2g} bar: is the file in MPa, not bar?")
    if pressure.min() < 0.15:
        found.append(
            f"The lowest pressure is {pressure.min():.2g} bar: is the file gauge, not absolute?"
        )
    if abs(pressure[0] - pressure[-1]) > 0.15 * pressure.max():
        found.append("The two ends of the cycle do not meet.")
    return tuple(found)


def compression_warnings(trace: PressureTrace, volume: Array, pressure: Array) -> tuple[str, ...]:
    """Return a warning if compression does not follow the volume as a gas does.

    `volume` [m³], (n,), and `pressure` [Pa], (n,) or (c, n), are taken on the compression stroke.
    The slope of log pressure over log volume is the polytropic exponent; outside 1.1 to 1.5 the
    scale or the dead centre is doubtful.

    Reference: Heywood, Internal Combustion Engine Fundamentals, 1988, section 9.2.2: 1.24 to 1.35
    (from memory); the wider bounds are common practice, no source.
    """
    rows = zip(trace.courses, np.atleast_2d(pressure), strict=True)
    return _by_cylinder([_compression_warning(course, volume, row) for course, row in rows])


def _compression_warning(
    course: tuple[float, ...], volume: Array, pressure: Array
) -> tuple[str, ...]:
    if max(course) - min(course) < 0.01 * max(course):
        return ()
    slope = -float(np.polyfit(np.log(volume), np.log(pressure), 1)[0])
    if 1.1 <= slope <= 1.5:
        return ()
    return (
        f"Compression follows an exponent of {slope:.2f}, not 1.1 to 1.5: the scale, the "
        "compression ratio or the dead centre may be off.",
    )


def _numbers(text: str) -> list[tuple[int, float, float]]:
    """Return (line, angle, pressure) of each row."""
    if "\0" in text:
        line = text[: text.index("\0")].count("\n") + 1
        raise DesignError("pressure.file", f"line {line}: must be CSV text (got a NUL byte)")
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    rows: list[tuple[int, float, float]] = []
    try:
        header = [name.strip() for name in next(reader, [])]
        places = _columns(header)
        for row in reader:
            if row:
                rows.append((reader.line_num, *_row(row, len(header), places, reader.line_num)))
            if len(rows) > MOST_ROWS:
                raise DesignError("pressure.file", f"must have at most {MOST_ROWS} rows")
    except csv.Error as error:
        raise DesignError("pressure.file", f"line {reader.line_num}: not CSV ({error})") from None
    if len(rows) < FEWEST_ROWS:
        raise DesignError(
            "pressure.file", f"must have {FEWEST_ROWS} to {MOST_ROWS} rows (got {len(rows)})"
        )
    return rows


def _columns(header: list[str]) -> tuple[int, int]:
    missing = [name for name in COLUMNS if name not in header]
    if missing and any(";" in name for name in header):
        raise DesignError(
            "pressure.file",
            "line 1: must separate columns by commas, decimals by points (got semicolons)",
        )
    if missing or len(header) > 50:
        raise DesignError(
            "pressure.file",
            f"line 1: columns must include {COLUMNS[0]} and {COLUMNS[1]}, at most 50 "
            f"(got {', '.join(header)[:80] or 'nothing'})",
        )
    return header.index(COLUMNS[0]), header.index(COLUMNS[1])


def _row(row: list[str], width: int, places: tuple[int, int], line: int) -> tuple[float, float]:
    if len(row) != width:
        raise DesignError(
            "pressure.file", f"line {line}: must have {width} values as the header (got {len(row)})"
        )
    try:
        angle, pressure = (float(row[place]) for place in places)
    except ValueError:
        found = [row[place][:20] for place in places]
        raise DesignError(
            "pressure.file", f"line {line}: must hold two numbers (got {found})"
        ) from None
    if not (math.isfinite(angle) and math.isfinite(pressure)):
        raise DesignError("pressure.file", f"line {line}: values must be finite")
    return angle, pressure


def check_one_cycle(degrees: Sequence[float], cycle_angle: float) -> None:
    """Raise DesignError unless rising angles [°] span one cycle of `cycle_angle` [rad]."""
    span, cycle = degrees[-1] - degrees[0], math.degrees(cycle_angle)
    widest = max(b - a for a, b in pairwise(degrees))
    if abs(span - math.radians(cycle)) < 0.1 * math.radians(cycle):
        raise DesignError(
            "pressure.file", f"must be in degrees (got a span of {span:.4g}, one cycle in radians)"
        )
    if span > cycle + 1e-6 or span < cycle - math.degrees(WIDEST_GAP):
        raise DesignError("pressure.file", f"must span one cycle of {cycle:.0f}° (got {span:.5g}°)")
    if widest > math.degrees(WIDEST_GAP):
        raise DesignError(
            "pressure.file",
            f"rows must be at most {math.degrees(WIDEST_GAP):.0f}° apart (got {widest:.3g}°)",
        )
