"""What the groups of a design must be to one another; each group checks itself as it is made."""

import math
from typing import Any

from kinematics.errors import DesignError
from kinematics.mechanics.pressure_trace import check_one_cycle
from kinematics.units import in_words

CONTINUOUS_NEEDS = ("crank_throw", "crank_material", "big_end", "main_bearing")
SIX = 6  # throws: the determinate rule underrates their second main by up to a third


def is_sized_six(design: Any) -> bool:
    """Whether a design has six throws and all sizes that their continuous shaft needs."""
    sized = all(getattr(design, group) is not None for group in CONTINUOUS_NEEDS)
    if design.layout.throws != SIX or not sized:
        return False
    to_pin = 2 * design.crank.web_offset
    room = min(to_pin, design.layout.throw_spacing - to_pin)
    return bool(design.crank_throw.web_thickness < room)


def check_fit(design: Any) -> None:
    """Raise DesignError, with the field, where groups of a `Design` do not go together."""
    _check_trace(design)
    _check_rod(design)
    _check_shaft(design)
    _check_pin(design)


def _most(field: str, found: float, most: float, words: str) -> None:
    """Refuse a length [m] that is not less than another."""
    if not found < most:
        raise DesignError(
            field,
            f"must be less than {in_words(most, 'mm')}, {words} (got {in_words(found, 'mm')})",
        )


def _check_trace(design: Any) -> None:
    trace, cylinders = design.pressure.trace, design.layout.cylinders
    if trace is None:
        return
    degrees = [math.degrees(angle) for angle in trace.crank_angle]
    check_one_cycle(degrees, design.layout.cycle_angle)
    if not trace.others:
        return
    if len(trace.courses) != cylinders:
        raise DesignError(
            "pressure.cylinder_pressure_bar",
            f"must be one list, or one for each of the {cylinders} cylinders "
            f"(got {len(trace.courses)})",
        )
    if design.pressure.source == "trace" and design.firing.imep_spread > 0:
        raise DesignError(
            "firing.imep_spread_percent",
            "must be 0 where each cylinder has its own pressure trace: they differ as measured",
        )


def _check_rod(design: Any) -> None:
    rod, length, shank = design.rod, design.cylinder.rod_length, design.rod_shank
    if rod.cg_from_big_end > length:
        raise DesignError(
            "rod.cg_from_big_end_mm",
            f"must be 0 to the rod length, {in_words(length, 'mm')} "
            f"(got {in_words(rod.cg_from_big_end, 'mm')})",
        )
    if shank is None:
        return
    _most("rod_shank.end_mm", shank.end, length - shank.start, "the rod length less the start")
    density = design.rod_material.density if design.rod_material else 0.0
    cap = design.rod_bolts.cap_mass if design.rod_bolts else 0.0
    parts = density * shank.section * (length - shank.start - shank.end) + shank.eye_mass + cap
    if not parts < rod.mass:
        raise DesignError(
            "rod.mass_g",
            f"must be more than shank, small end and cap as given, {in_words(parts, 'g', 4)} "
            f"(got {in_words(rod.mass, 'g', 4)})",
        )


def _check_shaft(design: Any) -> None:
    layout, offset = design.layout, design.crank.web_offset
    if offset > layout.throw_spacing / 2:
        raise DesignError(
            "crank.web_offset_mm",
            f"must be at most half the throw spacing, {in_words(layout.throw_spacing / 2, 'mm')} "
            f"(got {in_words(offset, 'mm')})",
        )
    for counterweight in design.counterweights:
        if counterweight.web > 2 * layout.throws:
            raise DesignError(
                "counterweight.web",
                f"must be 1 to {2 * layout.throws} (got {counterweight.web})",
            )
    if design.crank.main_loads == "continuous":
        for group in CONTINUOUS_NEEDS:
            design.needed(group, 'crank.main_loads = "continuous"')
    throw = design.crank_throw
    if throw is None:
        return
    for field, group, words in (
        ("pin_bore", "big_end", "the crankpin's diameter"),
        ("journal_bore", "main_bearing", "the main journal's diameter"),
    ):
        bearing = getattr(design, group)
        if bearing is not None:
            _most(f"crank_throw.{field}_mm", getattr(throw, field), bearing.diameter, words)


def _check_pin(design: Any) -> None:
    pin = design.piston_pin
    if pin is None:
        return
    _most("piston_pin.length_mm", pin.length, design.cylinder.bore, "the bore")
    if not pin.mass < design.piston.assembly_mass:
        raise DesignError(
            "piston.assembly_mass_g",
            f"must be more than the pin's mass as given, {in_words(pin.mass, 'g', 4)} "
            f"(got {in_words(design.piston.assembly_mass, 'g', 4)})",
        )
