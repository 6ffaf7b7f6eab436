"""How the criteria of torsional vibration and cyclic irregularity are shown."""

import math

import numpy as np

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
from viz.limits.criterion_view import CRANKSHAFT, CriterionView
from viz.limits.plain_story import (
    MINUTE_HAND,
    PERSON_ON_THUMBNAIL,
    PlainStory,
    SentenceTemplate,
    SpokenNumber,
    share_used,
)
from viz.limits.rung_chart import OVER_CYCLE
from viz.limits.substitution import at, result
from viz.limits.torsion_charts import (
    campbell_diagram,
    dampers,
    holzer_residual,
    idle_speed_over_cycle,
    mode_shapes,
    order_response,
    spans,
)
from viz.number_words import format_number, format_short, operand, with_unit
from viz.speed_words import rpm_text
from viz.throw_words import outside_words, surface_words

SHOWN_CRITICALS = 4  # the strongest
LOOSE = 0.1  # [Hz], below which a mode only turns, a viscous damper's ring for itself
_DEN_HARTOG = "J. P. Den Hartog, Mechanical Vibrations, chapter 5 (from memory)"


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
        f"T = {operand(torque)} N·m {where}, W_p = {operand(modulus)} m³\n"
        + result(rung, "τ", f"{operand(torque)}/{operand(modulus)}")
        + f"\nfirst natural frequencies {operand(float(first[0]))} and "
        f"{operand(float(first[1]))} Hz"
        + f"\nstiffness per throw, N·m/rad: {band}; used: {chain.formula.replace('_', ' ')}"
        + _spread_words(chain)
        + _critical_words(rung)
        + _damper_words(rung)
    )


def _spread_words(chain: TorsionalChain) -> str:
    """Return how far the stiffness formulas differ, where more than one holds."""
    words = ""
    if len(chain.stiffness_band) > 1:
        share = format_number(100 * chain.stiffness_spread, 2)
        words = f"\nthese differ by {share} %: take them as a band"
    if chain.outside:
        return f"{words}\nfinite elements not used: {outside_words(chain.outside)}"
    return f"{words}\n{surface_words()}"


def _critical_words(rung: Rung) -> str:
    """Return the critical speeds of the strongest orders up to a fifth over the rated speed."""
    table = critical_speed_table(rung.parts.chain, float(rung.speed[0]), 1.2 * rung.at)
    strongest = sorted(table, key=lambda critical: -critical.phasor_sum)[:SHOWN_CRITICALS]
    if not strongest:
        return ""
    words = ", ".join(
        f"order {critical.order:g} at {rpm_text(critical.speed)} "
        f"({format_number(critical.phasor_sum, 2)})"
        for critical in sorted(strongest, key=lambda critical: critical.speed)
    )
    return f"\ncritical speeds, with the phase-vector sum: {words}"


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
    return words + ("as given" if given else "the optimum, recalculated at every change")


def _amplitude(rung: Rung) -> str:
    strain, twist = rung.parts.strain(at(rung)), rung.parts.twist_over_cycle(at(rung))[0]
    by_order = order_amplitudes(strain.response, rung.parts.chain)[0]
    strongest = np.argsort(-by_order)[:3]
    orders = ", ".join(
        f"order {strain.response.order[k]:g} {format_short(math.degrees(by_order[k]), 2)}°"
        for k in strongest
    )
    high, low = operand(float(twist.max())), operand(float(twist.min()))
    return f"strongest alone: {orders}\n" + result(rung, "Θ", f"({high} − {low})/2")


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


def _damper_heat(rung: Rung) -> str:
    parts = rung.parts
    response = parts.strain(at(rung)).response
    by_order = response.span_heat[0, :, 0]
    strongest = np.argsort(-by_order)[:3]
    orders = ", ".join(
        f"order {response.order[k]:g} {with_unit(float(by_order[k]), 'W')}" for k in strongest
    )
    power = float(by_order.sum())
    return (
        f"c = {operand(parts.chain.damper.damping)} N·m·s/rad; strongest: {orders}\n"
        f"P = {operand(power)} W of all orders, A = {operand(parts.damper_surface)} m²\n"
        + result(rung, "q", f"{operand(power)}/{operand(parts.damper_surface)}")
    )


_CAMPBELL, _BY_ORDER = ("Campbell diagram", campbell_diagram), ("By order", order_response)
_OTHERS = (
    ("Every span", spans),
    ("Mode shapes", mode_shapes),
    ("Holzer", holzer_residual),
    ("Dampers", dampers),
)
TORSION_VIEWS = {
    "shaft_stress": CriterionView(
        sentence="The shaft reaches its allowable vibratory stress",
        formula="(K − ω²·J + i·ω·C)·Θ = T for every order, τ = T_span/W_p\n"
        f"orders up to {HIGHEST_ORDER}, added up over the cycle; amplitude (half peak-to-peak)",
        substitution=_shaft_stress,
        conventions="Nominal, without the notch of fillet or hole. Gas at full load at every "
        "speed. The shaft is linear, its inertias constant over a turn.",
        source=_DEN_HARTOG,
        charts=(_CAMPBELL, _BY_ORDER, *_OTHERS),
        story=PlainStory(
            SpokenNumber("vibratory stress"),
            (SentenceTemplate("Torsion loads the crank as if {n} people stood on each thumbnail "
                              "of it.", PERSON_ON_THUMBNAIL),)),
        group=CRANKSHAFT),
    "free_end_angle": CriterionView(
        sentence="The torsional amplitude at the free end reaches its guide value",
        formula="Θ = (max θ − min θ)/2 over the cycle,  θ = Σ (Θ_hub − Θ_flywheel) of all orders",
        substitution=_amplitude,
        conventions="Twist of the whole shaft: the uneven rotation of the whole is not in it.",
        source=_DEN_HARTOG,
        charts=(_BY_ORDER, _CAMPBELL, *_OTHERS),
        story=PlainStory(
            SpokenNumber("torsional amplitude at the free end"),
            (SentenceTemplate("The crank twists to and fro, each way as far as a minute hand goes "
                              "in {n} s.", MINUTE_HAND),)),
        group=CRANKSHAFT),
    "damper_heat": CriterionView(
        sentence="The damper's heat reaches its guide value",
        formula="q = P/A,  P = Σ c·(h·ω·ΔΘ_h)²/2 over all orders h\n"
        "c damping, ΔΘ_h amplitude between ring and hub, A rim and both faces: π·D·(w + D/2)",
        substitution=_damper_heat,
        conventions="All heat leaves through the surface to the air, steadily. Where no size is "
        "given, that of a steel ring of the same inertia: bore 0.5 and width 0.15 of its diameter "
        "(common practice, no source). Rubber and fluid change with temperature; that is left out.",
        source="J. P. Den Hartog, Mechanical Vibrations, section 3.3 (from memory)",
        charts=(_BY_ORDER, _CAMPBELL, *_OTHERS),
        story=share_used("heat of the damper"),
        group=CRANKSHAFT),
    "irregularity": CriterionView(
        sentence="The cyclic irregularity reaches its allowable",
        formula="δ = ΔE/(J·ω²)\nΔE maximum fluctuation of energy over the cycle, J total inertia",
        substitution=_irregularity,
        conventions="At the idle's speed and load, the shaft rigid. Not assessed on a trace, which "
        "does not describe the idle.",
        source="R. S. Khurmi and J. K. Gupta, Theory of Machines, 14th ed., section 16.10 "
        "(public worked solutions, print not seen)",
        charts=((OVER_CYCLE, idle_speed_over_cycle),)),
}  # fmt: skip
