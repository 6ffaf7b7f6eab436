"""A measured trace in words: what a design runs on, what the checks found, what it changes."""

import math
from typing import Any

from kinematics.design.design import Design
from kinematics.mechanics.measured_cycles import EACH, Choice, MeasuredPressure
from kinematics.mechanics.trace_settings import TraceSettings
from kinematics.train.cycle import Cycle
from kinematics.train.measured_work import CylinderCycles
from kinematics.train.trace_check import LOSS_ANGLE, USUAL_EXPONENT, TdcCheck
from kinematics.units import shown_unit
from viz.number_words import format_number, short_with_unit, signed, with_unit
from viz.train.main_numbers import main_numbers

WHICH_WORDS = {"mean": "mean", "highest": "highest", "upper": "mean + 2σ"}
EFFECTS = ("peak_pressure", "indicated_mean_pressure", "mean_torque", "indicated_power")
SMALLEST_SHIFT = math.radians(0.05)  # that is offered; a tenth of a degree is shown
SMALLEST_OFFSET = 500.0  # [Pa] that is offered
NAME_LENGTH = 90  # of a file's name in what the design stores


def trace_words(design: Design) -> str:
    """Return what the gas force of a design is measured by, without a full stop; else empty."""
    pressure = design.pressure
    if pressure.source != "trace":
        return ""
    own = pressure.trace is not None and bool(pressure.trace.others)
    what = "each cylinder's own measured trace" if own else "the measured trace"
    name = pressure.file or "in the design"
    if not pressure.takes_highest_cycle:
        return f"All loads, torque and films use {what} {name}"
    return f"Strength uses the highest cycle and all else the mean of {what} {name}"


def stored_name(
    file: str, measured: MeasuredPressure, choice: Choice, settings: TraceSettings
) -> str:
    """Return what a design says of its trace: file, course, cylinder, offset and TDC."""
    parts = [file[:NAME_LENGTH], course_words(measured, choice)]
    if choice.zero == "intake":
        parts.append("each cylinder at intake pressure at BDC")
    elif settings.offset:
        parts.append(f"{_signed_unit(settings.offset, 'bar')} added")
    if settings.firing_tdc:
        parts.append(f"firing TDC at {short_with_unit(settings.firing_tdc, 'deg', 5)} of the file")
    return ", ".join(parts)


def course_words(measured: MeasuredPressure, choice: Choice) -> str:
    """Return which course was chosen: the mean of 20 cycles of cylinder 1."""
    if choice.cylinder == EACH:
        counts = {part.count for part in measured.by_cylinder.values()}
        count = f"{min(counts)} to {max(counts)}" if len(counts) > 1 else f"{min(counts)}"
        several = max(counts) > 1
        return (f"{WHICH_WORDS[choice.which]} of {count} cycles" if several else "one cycle") + (
            " of each cylinder"
        )
    cycles = measured.cycles(choice.cylinder)
    one = len(measured.by_cylinder) == 1
    numbers = list(measured.by_cylinder)
    of = f"cylinder {choice.cylinder or numbers[0]}" if choice.cylinder or one else (
        f"{len(numbers)} cylinders together"
    )  # fmt: skip
    if cycles.count == 1:
        return f"one cycle of {of}"
    return f"{WHICH_WORDS[choice.which]} of {cycles.count} cycles of {of}"


def cycles_words(measured: MeasuredPressure, choice: Choice) -> str:
    """Return how many cycles there are, how wide the grid, and how the peaks scatter."""
    cycles = measured.cycles(choice.cylinder)
    step = short_with_unit(cycles.step, "deg", 3)
    peaks = cycles.pressure.max(axis=1)
    words = f"{cycles.count} whole cycle{'s' if cycles.count > 1 else ''}, every {step}."
    if choice.cylinder == EACH:
        words = f"{len(measured.by_cylinder)} cylinders, {words}"
    elif cycles.count > 1:
        words += (
            f" Peaks {with_unit(float(peaks.mean()), 'bar')} ± "
            f"{with_unit(float(peaks.std(ddof=1)), 'bar', 2)} (σ), highest "
            f"{with_unit(float(peaks.max()), 'bar')} in cycle {cycles.highest_index + 1}."
        )
    if measured.wraps_in_turns:
        words += " The angle restarts every turn: check that the peak is at firing TDC."
    return words


def course_note(measured: MeasuredPressure, choice: Choice) -> str:
    """Return what the courses chosen are for, and what of the cycles they leave out."""
    if choice.cylinder == EACH:
        words = (
            f"{_users(measured, choice)} use each cylinder's own course, at every speed. "
            "Criteria of one piston, rod or big end are those of the cylinder of highest peak."
        )
    else:
        words = (
            f"{_users(measured, choice)} use the one course chosen, in all cylinders, at every "
            "speed."
        )
    return f"{words} {_scatter_note(measured, choice)}".strip()


def _users(measured: MeasuredPressure, choice: Choice) -> str:
    """Return what uses the course chosen: all, or all but strength."""
    highest = choice.strength == "highest" and measured.has_highest_cycle(choice)
    return "Torque, power, films and torsion" if highest else "All loads, torque, power and films"


def _scatter_note(measured: MeasuredPressure, choice: Choice) -> str:
    """Return how far the peaks of single cycles are from the course that counts; empty for one."""
    parts = measured.parts(choice)
    if all(part.count == 1 for part in parts):
        return ""
    if choice.which != "mean":
        return "Films, torque and power are then not those of the mean."
    mean = max(float(part.mean.max()) for part in parts)
    highest = max(float(part.pressure.max()) for part in parts)
    above = format_number(100 * (highest / mean - 1), 2)
    if choice.strength == "highest":
        return f"Strength uses the cycle of highest peak, which is {above} % above the mean's."
    return f"Strength criteria use the mean too; the highest peak measured is {above} % above it."


def cylinder_table(
    found: tuple[CylinderCycles, ...], checks: dict[int, TdcCheck]
) -> dict[str, Any]:
    """Return cycles, peaks, work and checks of the cylinders measured, a row each."""
    bar = shown_unit("bar").symbol
    head = ["Cylinder", "Cycles"]
    head += [f"Peak, {bar}", f"Highest, {bar}", f"IMEP, {bar}", "IMEP COV, %"]
    rows = [
        [
            str(one.cylinder), str(one.count), _bars(one.peak), _bars(one.highest),
            _bars(one.mean_pressure),
            "–" if math.isnan(one.variation) else format_number(100 * one.variation, 2),
        ]
        for one in found
    ]  # fmt: skip
    if len(checks) > 1:
        head += ["Late, ° ± 1σ", f"Lacking, {bar}"]
        for one, row in zip(found, rows, strict=True):
            row += _check_cells(checks.get(one.cylinder))
    return {"head": head, "rows": rows}


def _bars(pressure: float, digits: int = 3) -> str:
    """Return a pressure [Pa] as a number in the unit shown."""
    return format_number(shown_unit("bar").from_si(pressure), digits)


def _check_cells(check: TdcCheck | None) -> list[str]:
    if check is None:
        return ["–", "–"]
    size, spread = (f"{math.degrees(x):.1f}" for x in (abs(check.late), check.uncertainty))
    lacking = signed(check.lacking, _bars(abs(check.lacking), 2))
    return [f"{signed(check.late, size)} ± {spread}", lacking]


def finding_words(check: TdcCheck, cylinders: int = 1) -> str:
    """Return what the TDC check found, the mean of some cylinders, and what it rests on."""
    late = abs(check.late)
    side = "late" if check.late > 0 else "early"
    size = f"{_degrees(late)} ± {_degrees(check.uncertainty)} {side}"
    exponent = f"n = {format_number(check.exponent, 3)}"
    ends = " to ".join(f"{format_number(math.degrees(end), 2)}°" for end in check.window)
    if check.motored:
        basis = (
            f"motored peak, taken to lie {_degrees(LOSS_ANGLE)} before TDC (loss angle); "
            f"compression from {ends} has {exponent}"
        )
    else:
        basis = f"compression from {ends} as a polytrope, {exponent}; a motored trace is sharper"
    closing = "" if late > 2 * check.uncertainty else ", within twice its uncertainty"
    which = "The trace is" if cylinders == 1 else f"The mean of {cylinders} cylinders is"
    return f"{which} {size} (1σ){closing}. From the {basis}."


def doubt_words(check: TdcCheck) -> str:
    """Return why a finding is not to be believed, if it is not."""
    if check.is_usual:
        return ""
    low, high = (format_number(end, 3) for end in USUAL_EXPONENT)
    return (
        f"The exponent of compression, {format_number(check.exponent, 3)}, is not the usual {low} "
        f"to {high}: do bore, stroke, rod and compression ratio of this design belong to the "
        "engine measured? Until then believe neither shift nor offset."
    )


def lateness_words(check: TdcCheck, trial: Cycle, shifted: Cycle) -> str:
    """Return what the error that was found does to IMEP."""
    before, after = trial.indicated_mean_pressure, shifted.indicated_mean_pressure
    if abs(check.late) < SMALLEST_SHIFT or after <= 0:
        return ""
    change = 100 * (before / after - 1)
    side = "late" if check.late > 0 else "early"
    text = signed(change, format_number(abs(change), 2))
    return f"{_degrees(abs(check.late))} {side}: IMEP {text} %."


def effect_table(cycles: dict[str, Cycle]) -> dict[str, Any]:
    """Return main numbers of cycles by their headings, a row each."""
    shown = [{number.key: number for number in main_numbers(cycle)} for cycle in cycles.values()]
    rows = [
        [shown[0][key].label, *(numbers[key].words for numbers in shown)]
        for key in EFFECTS
        if all(key in numbers for numbers in shown)
    ]
    return {"head": ["Quantity", *cycles], "rows": rows}


def offset_words(offset: float, why: str) -> str:
    """Return what a button says that adds an offset [Pa]."""
    return f"Add {_signed_unit(offset, 'bar')} ({why})"


def shift_words(late: float) -> str:
    """Return what a button says that moves a trace earlier by an angle [rad]."""
    return f"Shift by {signed(-late, _degrees(abs(late)))}"


def _degrees(angle: float) -> str:
    """Return an angle [rad], not negative, to a tenth of a degree."""
    return f"{math.degrees(angle):.1f}°"


def _signed_unit(value: float, key: str) -> str:
    return signed(value, with_unit(abs(value), key, 2))
