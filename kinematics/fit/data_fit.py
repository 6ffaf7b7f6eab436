"""Whether data follow one another: speeds, masses and sizes, and the ranges of formulas.

References: as each question says.
"""

from kinematics.design.design import Design
from kinematics.fit.fit_check import (
    DOES_NOT_FIT,
    FITS,
    PURPOSE,
    SAME,
    FitCheck,
    FitQuestion,
    given,
    length,
    mm,
    within,
)
from kinematics.strength.bolted_joint import thread_stress_area
from kinematics.strength.piston_strength import PIN_BORE_RATIOS
from kinematics.units import in_words

MASS_APART = 0.03  # of a mass that follows its size
PRELOAD_RANGE = (0.3, 1.0)  # stress over yield that bolt fatigue was fitted to

RED_LINE = FitQuestion(
    "red_line", "Rated speed to red line", "layout.rated_speed_rpm", "rpm",
    "rated speed ≤ red line", "by definition")  # fmt: skip
PISTON_MASS = FitQuestion(
    "piston_mass", "Piston mass follows bore", "piston.assembly_mass_g", "percent",
    "|(D/D_w)³ − 1| ≤ 3 %\nD bore, D_w bore of the piston weighed",
    "similar pistons, m ∝ D³; 3 %: common practice, no source")  # fmt: skip
ROD_MASS = FitQuestion(
    "rod_mass", "Rod mass follows length", "rod.mass_g", "percent",
    "ρ·A·|l − l_w| / m ≤ 3 %\nA shank midway, l_w length of the rod weighed",
    "a shank that grows by its section; 3 %: common practice, no source")  # fmt: skip
BOLT = FitQuestion(
    "bolt_range", "Bolt preload in range of its formulas", "rod_bolts.preload_kN", "",
    "0.3 ≤ F_min/(R_p·A_S), α_A·F_min/(R_p·A_S) ≤ 1\nA_S stress area of the thread",
    "VDI 2230 part 1, range of the fatigue formula of rolled threads (from memory)")  # fmt: skip
PIN = FitQuestion(
    "pin_range", "Piston pin in range of its formulas", "piston_pin.inner_diameter_mm", "",
    "0.4 ≤ bore/diameter ≤ 0.8",
    "Kolchin and Demidov, Design of Automotive Engines, piston pin (from memory)")  # fmt: skip


def rated_to_red_line(design: Design) -> FitCheck:
    """Check that the rated speed [rad/s] is not above the red line as given.

    Reference: by definition.
    """
    red, rated = given(design, "limits.red_line_rpm"), design.layout.rated_speed
    outcome = within(rated, red)
    shown, most = in_words(rated, "rpm", 5), in_words(red, "rpm", 5)
    return FitCheck(
        RED_LINE, outcome, f"The rated speed is {shown}, the red line {most}.",
        f"rated speed {shown} above red line {most}", rated, red,
        values=f"{shown}, red line {most}",
    )  # fmt: skip


def piston_mass(design: Design) -> FitCheck:
    """Check that the piston's mass is of this bore, as a share of the mass.

    Reference: similar pistons, m ∝ D³; 3 %: common practice, no source.
    """
    bore, mass = design.cylinder.bore, design.piston.assembly_mass
    weighed = design.piston.mass_at_bore or bore
    expected = mass * (bore / weighed) ** 3
    return _followed(
        PISTON_MASS, abs(expected / mass - 1), ("piston", "bore", mass),
        (weighed, bore, expected), f"|({mm(bore)}/{mm(weighed)})³ − 1|",
    )  # fmt: skip


def rod_mass(design: Design) -> FitCheck:
    """Check that the rod's mass is of this length, as a share of the mass.

    Reference: a shank of its section; 3 %: common practice, no source.
    """
    size, mass = design.cylinder.rod_length, design.rod.mass
    weighed = design.rod.mass_at_length or size
    if weighed == size:
        return _followed(ROD_MASS, 0.0, ("rod", "length", mass), (size, size, mass),
                         f"l = l_w = {mm(size)} mm, apart")  # fmt: skip
    shank = design.needed("rod_shank", PURPOSE)
    density = design.needed("rod_material", PURPOSE).density
    added = density * shank.section * (size - weighed)
    return _followed(
        ROD_MASS, abs(added) / mass, ("rod", "length", mass), (weighed, size, mass + added),
        f"{density:.4g} kg/m³·{shank.section * 1e6:.4g} mm²·|{mm(size)} − {mm(weighed)}| mm / "
        f"{mass * 1e3:.4g} g",
    )  # fmt: skip


def _followed(
    question: FitQuestion,
    apart: float,
    named: tuple[str, str, float],
    sizes: tuple[float, float, float],
    expression: str,
) -> FitCheck:
    """Return the check of a part's mass: its name, size and mass; size weighed, now, and mass."""
    (part, size, mass), (weighed, now, expected) = named, sizes
    outcome = within(apart, MASS_APART)
    heavy = in_words(mass, "g", 4)
    if abs(weighed - now) <= SAME:
        words = f"The mass of the {part}, {heavy}, is of this {size}, {length(now)}."
    else:
        words = (
            f"The mass of the {part}, {heavy}, is of a {size} of {length(weighed)}; at "
            f"{length(now)} a similar one weighs {in_words(expected, 'g', 4)}."
        )
    return FitCheck(
        question, outcome, words, f"{part} mass did not follow the {size}", apart, MASS_APART,
        values=f"{expression} = {100 * apart:.3g} %",
    )  # fmt: skip


def bolt_in_range(design: Design) -> FitCheck:
    """Check that a rod bolt's preload is within the range of its formulas, over yield [1].

    Reference: VDI 2230 part 1 (from memory).
    """
    bolts = design.needed("rod_bolts", PURPOSE)
    low, high = PRELOAD_RANGE
    holds = bolts.yield_stress * thread_stress_area(bolts.diameter, bolts.pitch)
    least = bolts.preload / holds
    most = bolts.tightening_factor * least
    fits = low - SAME <= least and most <= high + SAME
    below = least < low - SAME
    side = f"below {low:g}" if below else f"above {high:g}"
    return FitCheck(
        BOLT, FITS if fits else DOES_NOT_FIT,
        f"The bolts' preload is {least:.3g} to {most:.3g} of their yield.",
        f"bolt preload {least if below else most:.3g} of yield, {side}",
        least if below else most, low if below else high, at_least=below,
        values=f"{bolts.preload / 1e3:.4g} kN/{holds / 1e3:.4g} kN = {least:.3g}, "
        f"{bolts.tightening_factor:.3g}·{least:.3g} = {most:.3g}",
    )  # fmt: skip


def pin_in_range(design: Design) -> FitCheck:
    """Check that the pin's bore ratio is within the range that its ovality was fitted to [1].

    Reference: Kolchin and Demidov, Design of Automotive Engines (from memory).
    """
    pin = design.needed("piston_pin", PURPOSE)
    low, high = PIN_BORE_RATIOS
    ratio = pin.inner_diameter / pin.outer_diameter
    below = ratio < low - SAME
    fits = not below and ratio <= high + SAME
    return FitCheck(
        PIN, FITS if fits else DOES_NOT_FIT,
        f"The pin's bore is {ratio:.3g} of its diameter; ovality is fitted from {low:g} to "
        f"{high:g}.",
        f"pin's bore ratio {ratio:.3g} outside {low:g} to {high:g}",
        ratio, low if below else high, at_least=below,
        values=f"{mm(pin.inner_diameter)}/{mm(pin.outer_diameter)} = {ratio:.3g}",
    )  # fmt: skip
