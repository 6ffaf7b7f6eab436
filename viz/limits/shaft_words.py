"""How a criterion is computed, in words, with the values put in: bearings, oil, shaft, torsion."""

import math
from collections.abc import Callable

import numpy as np

from kinematics.limits.bearing_criteria import OIL_DENSITY
from kinematics.limits.speed_limits import Rung
from kinematics.shaft.torsion_train import (
    HIGHEST_ORDER,
    TorsionalChain,
    critical_speed_table,
    idle_irregularity,
    modes,
    order_amplitudes,
    vibratory_stress,
)
from kinematics.strength.crank_strength import (
    equivalent_stresses,
    factors_below_surface,
    fatigue_strengths,
)
from viz.limits.limit_words import FormulaSheet, at, degrees, result
from viz.number_words import (
    format_number,
    format_short,
    format_whole,
    operand,
    whole_degrees,
    with_unit,
)

SHOWN_CRITICALS = 4  # the strongest
LOOSE = 0.1  # [Hz], below which a mode only turns, a viscous damper's ring for itself
_ISO = "ISO 7902, load over projected area (from memory)"
_M53 = (
    "IACS UR M53, as adopted in Korean Register, Rules for the Classification of Steel Ships, "
    "2025, Part 5, Annex 5-3 (read in a public transcription); the coefficient 0.857 of b³ in the "
    "torsion factor is from memory, the transcription reads 0.85, 2 to 4 % more cautious"
)
_INDICATIVE = (
    "Fitted to larger shafts, those of ships' engines: indicative only for a car's crankshaft. "
    "Rolled and undercut fillets lie outside it. Under a treated layer the core counts with the "
    "untreated fillet's strength, and the journal's factors fall off as the pin's do (from "
    "memory). A misfiring cylinder is left out. "
)
_DEN_HARTOG = "J. P. Den Hartog, Mechanical Vibrations, chapter 5 (from memory)"


def _over_area(bearing: str, mains: bool) -> Callable[[Rung], str]:
    """Return a writer of peak load over diameter and width."""

    def write(rung: Rung) -> str:
        size, load, words = _largest(rung, bearing, mains)
        return f"{words}\n" + result(
            rung, "p", f"{operand(load)}/({operand(size.diameter)}·{operand(size.bearing_width)})"
        )

    return write


def _over_width(bearing: str, mains: bool) -> Callable[[Rung], str]:
    def write(rung: Rung) -> str:
        size, load, words = _largest(rung, bearing, mains)
        return f"{words}\n" + result(rung, "q", f"{operand(load)}/{operand(size.bearing_width)}")

    return write


def _largest(rung: Rung, bearing: str, mains: bool) -> tuple[object, float, str]:
    """Return a bearing's size, its largest load [N] and where that lies, in words."""
    size = getattr(rung.parts.design, bearing)
    loads = rung.parts.main_load(at(rung))[0] if mains else rung.parts.big_end_load(at(rung))
    row, i = np.unravel_index(loads.argmax(), loads.shape)
    which = f"main {row + 1}" if mains else "cylinder 1's big end"
    load = float(loads[row, i])
    return size, load, f"F = {operand(load)} N, {which} at {degrees(rung, int(i))}"


def _surface(bearing: str) -> Callable[[Rung], str]:
    def write(rung: Rung) -> str:
        diameter = getattr(rung.parts.design, bearing).diameter
        return result(rung, "v", f"π·{operand(diameter)}·{operand(rung.at / (2 * math.pi))}")

    return write


def _oil(rung: Rung) -> str:
    parts, drilling = rung.parts, rung.parts.drilling
    needed = float(parts.oil_needed(at(rung))[0])
    supply = parts.design.oil.supply_pressure
    density = parts.crankpin_density(rung.at)
    return (
        f"p = {OIL_DENSITY:g}/2·{operand(rung.at)}²·({operand(drilling.entry_radius)}² − "
        f"{operand(drilling.least_radius)}²) = {operand(needed)} Pa\n"
        + result(rung, "n", f"{operand(supply)}/{operand(needed)}")
        + f"\nThe crankpin's load is least about {whole_degrees(density.least_angle)} from "
        f"outward; the hole is at {whole_degrees(parts.design.crank_throw.oil_hole_angle)}."
    )


def _fillet(place: str) -> Callable[[Rung], str]:
    """Return a writer of Q at a place of `AtPlaces`, of the throw where it is least."""

    def write(rung: Rung) -> str:
        parts = rung.parts
        throw = int(getattr(parts.acceptability(at(rung)), place)[:, 0].argmin())
        nominal = parts.alternating(at(rung))
        names = ("web_bending", "web_shear", "pin_torsion", "journal_torsion", "bore_bending")
        b, q, t, g, o = (float(getattr(nominal, name)[throw, 0]) for name in names)
        factors, stress = parts.factors, equivalent_stresses(parts.factors, nominal)
        bent = factors.bore_bending * o
        lines = {
            "pin_fillet": f"σ_v = √(({operand(factors.pin_bending)}·{operand(b)} + 10·10⁶)² + "
            f"3·({operand(factors.pin_torsion)}·{operand(t)})²)",
            "journal_fillet": f"σ_v = √(({operand(factors.journal_bending)}·{operand(b)} + "
            f"{operand(factors.journal_shear)}·{operand(q)} + 10·10⁶)² + "
            f"3·({operand(factors.journal_torsion)}·{operand(g)})²)",
            "oil_bore": f"σ = {operand(factors.bore_bending)}·{operand(o)} = {operand(bent)} Pa, "
            f"σ_v = ({operand(bent)} + 2·√({operand(bent)}² "
            f"+ 9/4·({operand(factors.bore_torsion)}·{operand(t)})²))/3",
        }
        equivalent = float(getattr(stress, place)[throw, 0])
        whole = ", the worse web, shaft in one piece" if parts.continuous else ""
        first = f"throw {throw + 1}{whole}: {lines[place]} = {operand(equivalent)} Pa"
        core = float(getattr(fatigue_strengths(parts.section, parts.material), place))
        if parts.treatment is None or place == "oil_bore":
            return f"{first}\n" + result(rung, "Q", f"{operand(core)}/{operand(equivalent)}")
        below = factors_below_surface(
            parts.section, parts.factors, parts.treatment.transition_depth
        )
        inside = float(getattr(equivalent_stresses(below, nominal), place)[throw, 0])
        surface = parts.treatment.surface_strength
        kind = parts.treatment.kind.replace("_", " ")
        return (
            f"{first}\n{kind} surface: {operand(surface)}/{operand(equivalent)} = "
            f"{operand(surface / equivalent)}\ncore "
            f"{with_unit(parts.treatment.transition_depth, 'mm')} "
            f"below, σ_v = {operand(inside)} Pa there: {operand(core)}/{operand(inside)} = "
            f"{operand(core / inside)}\n" + result(rung, "Q", "the lesser of the two")
        )

    return write


def _shaft_stress(rung: Rung) -> str:
    strain = rung.parts.strain(at(rung))
    stresses = vibratory_stress(strain, rung.parts.design)[0]
    span = int(stresses.argmax())
    chain = rung.parts.chain
    torque = float(strain.span_torque[0, chain.hub + span])
    throws = rung.parts.design.layout.throws
    where = (
        "between hub and throw 1" if span == 0
        else f"between throw {throws} and flywheel" if span == throws
        else f"between throws {span} and {span + 1}"
    )  # fmt: skip
    modulus = torque / float(stresses[span])
    band = ", ".join(
        f"{name.replace('_', ' ')} {operand(k)}" for name, k in chain.stiffness_band.items()
    )
    frequencies = modes(chain).angular_frequency / (2 * math.pi)
    first = frequencies[frequencies > LOOSE][:2]
    return (
        f"T = {operand(torque)} N·m {where}\n"
        + result(rung, "τ", f"{operand(torque)}/{operand(modulus)}")
        + f"\nfirst natural frequencies {operand(float(first[0]))} and "
        f"{operand(float(first[1]))} Hz"
        + f"\nstiffness per throw, N·m/rad: {band}; used: {chain.formula.replace('_', ' ')}"
        + _spread_words(chain)
        + _critical_words(rung)
        + _damper_words(rung)
    )


def _spread_words(chain: TorsionalChain) -> str:
    """Return how far the stiffness formulas are apart, where more than one holds."""
    if len(chain.stiffness_band) < 2:
        return ""
    share = format_number(100 * chain.stiffness_spread, 2)
    return f"\nthe formulas differ by {share} %: take them as a band"


def _critical_words(rung: Rung) -> str:
    """Return the critical speeds of the strongest orders up to a fifth over the rated speed."""
    table = critical_speed_table(rung.parts.chain, float(rung.speed[0]), 1.2 * rung.at)
    strongest = sorted(table, key=lambda one: -one.phasor_sum)[:SHOWN_CRITICALS]
    if not strongest:
        return ""
    words = ", ".join(
        f"order {one.order:g} at {format_whole(one.speed * 30 / math.pi)} rpm "
        f"({format_number(one.phasor_sum, 2)})"
        for one in sorted(strongest, key=lambda one: one.speed)
    )
    return f"\ncritical speeds, with the sum of the phase vectors: {words}"


def _damper_words(rung: Rung) -> str:
    """Return the damper in words, and whether it follows every change of the design."""
    damper, torsion = rung.parts.chain.damper, rung.parts.design.torsion
    if damper is None:
        return "\nno damper"
    given = torsion.damper_damping is not None
    words = f"\n{torsion.damper} damper: ring {operand(damper.inertia)} kg·m², "
    if damper.stiffness:
        words += f"{operand(damper.stiffness)} N·m/rad, "
    words += f"{operand(damper.damping)} N·m·s/rad, "
    return words + ("as given" if given else "its optimum, made anew at every change")


def _twist(rung: Rung) -> str:
    strain = rung.parts.strain(at(rung))
    by_order = order_amplitudes(strain.response, rung.parts.chain)[0]
    strongest = np.argsort(-by_order)[:3]
    orders = ", ".join(
        f"order {strain.response.order[k]:g} {format_short(math.degrees(by_order[k]), 2)}°"
        for k in strongest
    )
    return f"strongest alone: {orders}\n" + result(rung, "Θ", f"{operand(rung.value_at)} rad")


def _irregularity(rung: Rung) -> str:
    turning = idle_irregularity(rung.parts.design, rung.allowed.value)
    energy = float(turning.idle.largest)
    needed = turning.flywheel_needed
    rated = 100 * turning.rated_irregularity
    return (
        result(rung, "δ", f"{operand(energy)}/({operand(turning.inertia)}·{operand(rung.at)}²)")
        + f"\nfor the allowable the flywheel needs {operand(needed or 0.0)} kg·m², it has "
        f"{operand(rung.parts.design.torsion.flywheel_inertia)}\n"
        f"at the rated speed, full load: δ = {operand(rated)} %"
    )


BEARING_WORDS = {
    "big_end_specific_load": FormulaSheet(
        "p = F/(d·b)\nd diameter, b width of the shell", _over_area("big_end", False),
        "Largest load of the cycle; it says nothing of the oil film.", _ISO),
    "big_end_load_per_width": FormulaSheet(
        "q = F/b", _over_width("big_end", False), "Largest load of the cycle.", _ISO),
    "main_specific_load": FormulaSheet(
        "p = F/(d·b)\nd diameter, b width of the shell", _over_area("main_bearing", True),
        "Largest load of the cycle and of all mains, with the shaft cut at every main or in one "
        "piece, as the design has it.", _ISO),
    "main_load_per_width": FormulaSheet(
        "q = F/b", _over_width("main_bearing", True), "Largest load of all mains.", _ISO),
    "crankpin_speed": FormulaSheet(
        "v = π·d·n\nd journal diameter, n turns a second", _surface("big_end"),
        "Of the journal about its own axis; the rod's swing is left out.", "Kinematics"),
    "main_journal_speed": FormulaSheet(
        "v = π·d·n\nd journal diameter, n turns a second", _surface("main_bearing"),
        "Of the journal.", "Kinematics"),
    "oil_supply": FormulaSheet(
        "p = ρ/2·ω²·(r_entry² − r_least²),  n = p_supply/p\n"
        "r distances of the drilling from the shaft's axis", _oil,
        "Oil that enters at the main's surface must climb inward against its own centrifugal "
        "force; beyond, it is thrown outward. Flow losses are left out.",
        "F. M. White, Fluid Mechanics, rigid-body rotation (from memory); oil density common "
        "practice, no source"),
}  # fmt: skip
CRANK_WORDS = {
    "pin_fillet": FormulaSheet(
        "Q = σ_DW/σ_v,  σ_v = √((α_B·σ_BF + σ_add)² + 3·(α_T·τ)²)\n"
        "σ_BF, τ alternating nominal bending of the web, torsion of the pin", _fillet("pin_fillet"),
        _INDICATIVE + "Half the range of each over the cycle; means drop out.", _M53),
    "journal_fillet": FormulaSheet(
        "Q = σ_DW/σ_v,  σ_v = √((β_B·σ_BF + β_Q·σ_QF + σ_add)² + 3·(β_T·τ)²)",
        _fillet("journal_fillet"),
        _INDICATIVE + "Half the range of each over the cycle; means drop out.", _M53),
    "oil_bore": FormulaSheet(
        "Q = σ_DW/σ_v,  σ_v = σ/3·(1 + 2·√(1 + 9/4·(τ/σ)²)),  σ = γ_B·σ_BO, τ = γ_T·τ_N",
        _fillet("oil_bore"), _INDICATIVE + "Never taken as treated.", _M53),
    "shaft_stress": FormulaSheet(
        "(K − ω²·J + i·ω·C)·Θ = T for every order, τ = T_span/W_p\n"
        f"orders up to {HIGHEST_ORDER}, added up over the cycle; half the range", _shaft_stress,
        "Nominal, without the notch of fillet or hole. Gas at full load at every speed. The shaft "
        "is linear, its inertias constant over a turn.", _DEN_HARTOG),
    "free_end_angle": FormulaSheet(
        "Θ = half the range over the cycle of Σ (Θ_hub − Θ_flywheel), all orders", _twist,
        "Twist of the whole shaft, so that the uneven turning of all of it is left out.",
        _DEN_HARTOG),
    "irregularity": FormulaSheet(
        "δ = ΔE/(J·ω²)\nΔE largest swing of energy over the cycle, J all that turns", _irregularity,
        "At the idle's speed and load, the shaft stiff. Not judged on a trace, which does not "
        "tell of the idle.",
        "R. S. Khurmi and J. K. Gupta, Theory of Machines, 14th ed., section 16.10"),
}  # fmt: skip
