"""How a criterion is computed, in words, with the values put in: piston, pin, rod and cap.

Values put in are SI but for angles in degrees; the last one is in the unit shown. Text is plain:
whoever shows it must escape it.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import numpy as np

from kinematics.array import Array
from kinematics.design.design_parts import STEEL_MODULUS
from kinematics.limits.speed_limits import Rung
from kinematics.strength.bolted_joint import bolt_force, opening_load, rolled_thread_endurance
from kinematics.strength.piston_strength import HOOP_PLACES, PinStress
from kinematics.strength.rod_strength import EFFECTIVE_LENGTH, slenderness, transition_slenderness
from kinematics.units import SI_SYMBOLS, UNITS, shown_unit
from viz.number_words import format_number, format_short, format_whole, operand, with_unit

_MERIAM = "J. L. Meriam and L. G. Kraige, Engineering Mechanics: Dynamics (from memory)"
_HEYWOOD = (
    "J. B. Heywood, Internal Combustion Engine Fundamentals, 1988, equation 2.9 (from memory)"
)
_KOLCHIN = "A. Kolchin and V. Demidov, Design of Automotive Engines, piston pin (from memory)"
_KHURMI = "R. S. Khurmi and J. K. Gupta, A Textbook of Machine Design, chapter 32"
_SHIGLEY = "Shigley, Mechanical Engineering Design"
_CLASSICAL = (
    "Classical formulas, criticised by Strozzi and others, Engineering Failure Analysis, 2018: "
    "they compare pins, they do not prove one. P is the force between piston and pin, the pin's "
    "own inertia left out, where it is largest in the cycle."
)

_RANGE = (
    "The formula was fitted to bores of 0.4 to 0.8 diameters (from memory). A thinner wall counts "
    "as a thin ring between two point loads (Timoshenko, Strength of Materials, part II, from "
    "memory), which asks more of it; a thicker one is not assessed."
)


@dataclass(frozen=True, slots=True)
class FormulaSheet:
    """What a criterion is; `put_in` writes its formula with the values of a rung."""

    formula: str
    put_in: Callable[[Rung], str]
    conventions: str
    source: str


def result(rung: Rung, symbol: str, expression: str) -> str:
    """Return symbol = expression = value in the unit shown, at the rung's speed."""
    value, unit = rung.value_at, rung.criterion.unit
    steps = [symbol, expression, with_unit(value, unit, 4)]
    if unit in SI_SYMBOLS and shown_unit(unit) is not UNITS[unit]:
        steps.insert(2, f"{operand(value)} {SI_SYMBOLS[unit]}")
    return " = ".join(steps)


def at(rung: Rung) -> Array:
    """Return the rung's speed as an array (1,) [rad/s]."""
    return np.array([rung.at])


def degrees(rung: Rung, index: int) -> str:
    """Return the crank angle at a place of the grid, in words."""
    return f"φ = {format_short(math.degrees(rung.parts.train.crank_angle[index]), 4)}°"


def _mean_piston_speed(rung: Rung) -> str:
    stroke = rung.parts.train.crank.stroke
    return result(rung, "c_m", f"2·{operand(stroke)}·{operand(rung.at / (2 * math.pi))}")


def _acceleration(rung: Rung) -> str:
    size = np.abs(rung.parts.train.motion.acceleration[0])
    where = degrees(rung, int(size.argmax()))
    force = rung.parts.design.piston.assembly_mass * rung.value_at
    return (
        result(rung, "a", f"{operand(rung.at)}²·{operand(float(size.max()))}")
        + f"\nat {where}; the piston assembly then pulls with {operand(force)} N"
    )


def _ring(rung: Rung) -> str:
    parts = rung.parts
    i = int(parts.ring_shares(at(rung))[0].argmax())
    drop = parts.ring_pressure_drop.at(rung.at)[i]
    a = rung.at**2 * parts.train.motion.acceleration[0, i]
    expression = (
        f"{operand(parts.ring.mass)}·{operand(float(a))}/({operand(float(drop))}·"
        f"{operand(parts.ring.flank_area)})"
    )
    land = parts.design.top_ring.land_pressure
    return result(rung, "m·a/(Δp·A)", expression) + (
        f"\nat {degrees(rung, i)}; Δp is (1 − {operand(land)})·(p − p_crankcase)"
    )


def _pin(symbol: str, template: Callable[[Any, float], str]) -> Callable[[Rung], str]:
    """Return a writer of a pin formula: the load first, then the formula with it put in."""

    def write(rung: Rung) -> str:
        loads = rung.parts.boss_load(at(rung))[0]
        i = int(loads.argmax())
        first = f"P = {operand(float(loads[i]))} N at {degrees(rung, i)}"
        return first + "\n" + result(rung, symbol, template(rung.parts.pin, float(loads[i])))

    return write


def _bending(pin: Any, load: float) -> str:
    return (
        f"{operand(load)}·({operand(pin.length)} + 2·{operand(pin.boss_gap)} − 1.5·"
        f"{operand(pin.small_end_width)})"
        f"/(1.2·(1 − {operand(pin.bore_ratio)}⁴)·{operand(pin.outer_diameter)}³)"
    )


def _shear(pin: Any, load: float) -> str:
    ratio = operand(pin.bore_ratio)
    return (
        f"0.85·{operand(load)}·(1 + {ratio} + {ratio}²)/((1 − {ratio}⁴)·"
        f"{operand(pin.outer_diameter)}²)"
    )


def _growth(pin: Any, load: float) -> str:
    modulus = operand(STEEL_MODULUS)
    if pin.thin:
        radius, wall = pin.mean_radius, pin.wall
        return (
            f"(2/π − 1/2)·{operand(load)}·{operand(radius)}³·12/({modulus}·"
            f"{operand(pin.length)}·{operand(wall)}³)"
        )
    ratio = operand(pin.bore_ratio)
    return (
        f"1.35·{operand(load)}/({modulus}·{operand(pin.length)})·((1 + {ratio})/(1 − {ratio}))³"
        f"·(0.1 − ({ratio} − 0.4)³)"
    )


def _hoop(rung: Rung) -> str:
    stress: PinStress = rung.parts.pin_stress(at(rung))
    places = "\n".join(
        f"{place}: {with_unit(float(value[0]), 'MPa', 4)}"
        for place, value in zip(HOOP_PLACES, stress.hoop, strict=True)
    )
    pin = rung.parts.pin
    law = "thin ring" if pin.thin else "fitted formula"
    load = operand(float(rung.parts.boss_load(at(rung)).max()))
    first = f"P = {load} N, α = {operand(pin.bore_ratio)}: {law}"
    return f"{first}\n{places}\n" + result(rung, "|σ|", "the largest in size")


def _boss(pin: Any, load: float) -> str:
    return (
        f"{operand(load)}/({operand(pin.outer_diameter)}·({operand(pin.length)} − "
        f"{operand(pin.boss_gap)}))"
    )


def _small_end(rung: Rung) -> str:
    loads, pin = rung.parts.small_end_load(at(rung))[0], rung.parts.pin
    i = int(loads.argmax())
    expression = (
        f"{operand(float(loads[i]))}/({operand(pin.outer_diameter)}·{operand(pin.small_end_width)})"
    )
    return result(rung, "p", expression) + f"\nat {degrees(rung, i)}"


def _rod_yield(rung: Rung) -> str:
    fibres = rung.parts.fibres(at(rung))[:, 0]
    side, section, i = np.unravel_index(np.abs(fibres).argmax(), fibres.shape)
    stress = float(fibres[side, section, i])
    steel = rung.parts.design.rod_material.yield_stress
    place = rung.parts.shank.place[section] * rung.parts.shank.rod_length
    return (
        result(rung, "n", f"{operand(steel)}/{operand(abs(stress))}")
        + f"\nat {degrees(rung, int(i))}, {with_unit(place, 'mm')} from the small end's centre, "
        + ("tension" if stress > 0 else "compression")
    )


def _rod_fatigue(rung: Rung) -> str:
    parts, steel = rung.parts, rung.parts.design.rod_material
    safety = parts.fatigue_safety(at(rung))[:, 0]
    side, section = np.unravel_index(safety.argmin(), safety.shape)
    duty, one_speed = parts.duty_ranges(at(rung)), parts.ranges(at(rung))
    alternating, mean = (float(part[side, 0, section]) for part in (duty.alternating, duty.mean))
    place = parts.shank.place[section] * parts.shank.rod_length
    factors = (
        f"Se = {operand(steel.endurance)}·{operand(steel.surface_factor)}·"
        f"{operand(steel.size_factor)}·"
        f"{operand(steel.reliability_factor)}/{operand(steel.notch_factor)} = "
        f"{operand(parts.endurance)} Pa"
    )
    expression = _fatigue_expression(parts, steel, alternating, max(mean, 0.0))
    alone = float(parts.cycle_safety(at(rung))[:, 0].min())
    lowest, here = (
        f"{format_whole(UNITS['rpm'].from_si(speed))} rpm" for speed in (parts.duty_from, rung.at)
    )
    return (
        f"{factors}\nσm = {format_number(mean, 5)} Pa, σa = {format_number(alternating, 5)} Pa "
        f"of the duty from {lowest} to {here}\n"
        + result(rung, "n", expression)
        + f"\nin the {('left', 'right')[side]} fibre, "
        + f"{with_unit(place, 'mm')} from the small end's centre"
        + f"\nOf the cycle at {here} alone: n = {operand(alone)} "
        + f"(σa there is {operand(float(one_speed.alternating[side, 0, section]))} Pa)"
        + f"\nn by the other lines: {_other_lines(parts, duty, steel.fatigue_line)}"
    )


FATIGUE_LINES = {"goodman": "Goodman", "gerber": "Gerber", "asme_elliptic": "ASME-elliptic"}


def _fatigue_expression(parts: Any, steel: Any, alternating: float, mean: float) -> str:
    """Return the safety factor of the design's fatigue line with the values put in."""
    half = f"{operand(alternating)}/{operand(parts.endurance)}"
    if steel.fatigue_line == "gerber":
        pull = f"{operand(mean)}/{operand(steel.tensile)}"
        return f"2/({half} + √(({half})² + 4·({pull})²))"
    if steel.fatigue_line == "asme_elliptic":
        return f"1/√(({half})² + ({operand(mean)}/{operand(steel.yield_stress)})²)"
    return f"1/({half} + {operand(mean)}/{operand(steel.tensile)})"


def _other_lines(parts: Any, duty: Any, chosen: str) -> str:
    return ", ".join(
        f"{name} {operand(float(parts.line_safety(duty, line).min()))}"
        for line, name in FATIGUE_LINES.items()
        if line != chosen
    )


def _buckling(plane: str) -> Callable[[Rung], str]:
    def write(rung: Rung) -> str:
        parts, steel = rung.parts, rung.parts.design.rod_material
        section = min(parts.sections, key=lambda one: one.area)
        moment = (
            section.second_moment_in_plane if plane == "in plane" else section.second_moment_across
        )
        length = parts.design.cylinder.rod_length
        ratio = slenderness(length, plane, section.area, moment)
        bound = transition_slenderness(steel.yield_stress, steel.elastic_modulus)
        law = "Euler, beyond" if ratio > bound else "Johnson, up to"
        load, force = parts.buckling_load(plane), float(parts.compression(at(rung))[0])
        return (
            f"L/k = {EFFECTIVE_LENGTH[plane]:g}·{operand(length)}/√({operand(moment)}/"
            f"{operand(section.area)}) "
            f"= {operand(ratio)}; {law} {operand(bound)}\n"
            f"P_cr = {operand(load)} N\n" + result(rung, "n", f"{operand(load)}/{operand(force)}")
        )

    return write


def _opening(rung: Rung) -> str:
    joint, loads = rung.parts.joint, rung.parts.bolt_load(at(rung))[0]
    i = int(loads.argmax())
    expression = (
        f"{operand(joint.preload)}/(1 − {operand(joint.load_factor)})/{operand(float(loads[i]))}"
    )
    return (
        f"{_load_factor(rung)}one bolt carries {operand(float(loads[i]))} N at {degrees(rung, i)}; "
        f"the joint separates at {operand(opening_load(joint))} N\n" + result(rung, "n", expression)
    )


def _load_factor(rung: Rung) -> str:
    """Return the load factor in a line: as given, or how it follows from the dimensions."""
    bolts = rung.parts.design.rod_bolts
    if bolts.load_factor is not None:
        return f"Φ = {operand(bolts.load_factor)}, given\n"
    bolt, clamped = (operand(one) for one in rung.parts.compliances)
    factor = operand(rung.parts.load_factor)
    return (
        f"Φ = n·δ_P/(δ_S + δ_P) = {operand(bolts.load_introduction)}·{clamped}/({bolt} + "
        f"{clamped}) "
        f"= {factor}\n"
    )


def _bolt(rung: Rung) -> str:
    bolts, joint = rung.parts.design.rod_bolts, rung.parts.joint
    limit = rolled_thread_endurance(bolts.diameter)
    force = bolt_force(joint, rung.parts.bolt_load(at(rung))[0])
    high, low = operand(float(force.max())), operand(float(force.min()))
    amplitude = float(rung.parts.bolt_amplitude(at(rung))[0])
    return (
        f"{_load_factor(rung)}"
        f"σ_A = 0.85·(150/{operand(bolts.diameter * 1e3)} + 45) = {operand(limit / 1e6)} MPa\n"
        f"σa = ({high} − {low})/(2·{operand(joint.stress_area)}) = {operand(amplitude)} Pa\n"
        + result(rung, "n", f"{operand(limit)}/{operand(amplitude)}")
    )


def _bolt_yield(rung: Rung) -> str:
    bolts, joint = rung.parts.design.rod_bolts, rung.parts.joint
    loads = rung.parts.bolt_load(at(rung))[0]
    pull = operand(float(loads.max()))
    tightest = rung.parts.tightest_joint.preload
    most = f"({operand(tightest)} + {operand(joint.load_factor)}·{pull})"
    preload = tightest / joint.stress_area
    return (
        f"F_V,max = α_A·F_V,min = {operand(bolts.tightening_factor)}·{operand(bolts.preload)} = "
        f"{operand(tightest)} N\n{_load_factor(rung)}"
        + result(
            rung,
            "n",
            f"{operand(bolts.yield_stress)}·{operand(joint.stress_area)}/{most}",
        )
        + f"\nThe maximum preload alone is {with_unit(preload, 'MPa', 5)}, "
        + f"{100 * preload / bolts.yield_stress:.0f} % of the yield strength."
    )


def _slip(rung: Rung) -> str:
    bolts, load = rung.parts.design.rod_bolts, rung.parts.split_load(at(rung))
    i = int(rung.parts.slip(at(rung))[0].argmin())
    pull, shear = float(load.pull[0, i]) / bolts.count, float(load.shear[0, i])
    share = rung.parts.load_factor
    clamp = max(bolts.preload - (1 - share) * pull, 0.0)
    expression = (
        f"{bolts.count}·{operand(bolts.split_friction)}·{operand(clamp)}/{operand(abs(shear))}"
    )
    return (
        f"{_load_factor(rung)}"
        f"K = {operand(bolts.preload)} − (1 − {operand(share)})·{operand(pull)} = "
        f"{operand(clamp)} N\n" + result(rung, "n", expression) + f"\nat {degrees(rung, i)}"
    )


_PHI = (
    "Φ load factor: as given, or n·δ_P/(δ_S + δ_P) with n load introduction, δ_S and δ_P stretch "
    "of the bolt and compression of what it clamps, each per newton"
)
PISTON_WORDS = {
    "mean_piston_speed": FormulaSheet(
        "c_m = 2·s·n\ns stroke, n crank speed in turns a second", _mean_piston_speed,
        "With a pin offset the true stroke, a little over twice the crank radius.", _HEYWOOD),
    "piston_acceleration": FormulaSheet(
        "a = ω²·|a₁|\na₁ the piston's acceleration at 1 rad/s where it is largest", _acceleration,
        "The ring must follow the piston: its height decides at which acceleration it begins to "
        "flutter. A flag, no law; see the ring's lift.", _MERIAM),
    "ring_lift": FormulaSheet(
        "m·a/(Δp·A)\nm and A mass and flank area of the top ring, Δp pressure above less below",
        _ring,
        "While the valves are shut and the piston slows upward. The pressure below the ring is a "
        "given share of the drop to the crankcase, at the same instant: 0 would flatter the ring, "
        "a larger share lowers its hold. Ring friction is left out. Round the TDC between exhaust "
        "and intake the ring changes flanks; that is not assessed.",
        "Newton's second law for the ring"),
    "pin_bending": FormulaSheet(
        "σ = P·(l + 2·b − 1.5·a)/(1.2·(1 − α⁴)·d³)\n"
        "l length, b gap between bosses, a small end's width, α bore over diameter d",
        _pin("σ", _bending), _CLASSICAL, _KOLCHIN),
    "pin_shear": FormulaSheet(
        "τ = 0.85·P·(1 + α + α²)/((1 − α⁴)·d²)", _pin("τ", _shear), _CLASSICAL, _KOLCHIN),
    "pin_ovalisation": FormulaSheet(
        "Δd = 1.35·P/(E·l)·((1 + α)/(1 − α))³·(0.1 − (α − 0.4)³)\n"
        "α above 0.8: Δd = (2/π − 1/2)·P·R³·12/(E·l·t³), R mean radius, t wall",
        _pin("Δd", _growth), f"{_CLASSICAL} {_RANGE}", _KOLCHIN),
    "pin_hoop": FormulaSheet(
        "square to the load: σ = k·(0.19·f − 1/(1 − α)) outside, −k·(0.19·g + 1/(1 − α)) inside\n"
        "at the load: −k·(0.174·f + 0.636/(1 − α)) outside, k·(0.174·g − 0.636/(1 − α)) inside\n"
        "k = 15·P/(l·d)·(0.1 − (α − 0.4)³), f = (2 + α)·(1 + α)/(1 − α)², "
        "g = (1 + 2α)·(1 + α)/((1 − α)²·α)\n"
        "α above 0.8: M = P·R·(1/2 − 1/π) with P/2 square to the load, P·R/π at it", _hoop,
        f"{_CLASSICAL} {_RANGE} Tension positive; compression counts as much.", _KOLCHIN),
    "boss_pressure": FormulaSheet(
        "p = P/(d·(l − b))\nd diameter, l length, b gap between the bosses", _pin("p", _boss),
        "Both bosses bear the same. P as for the pin's bending.", _KHURMI),
    "small_end_pressure": FormulaSheet(
        "p = P/(d·a)\nd diameter, a width of the small end", _small_end,
        "P is the force between pin and rod, the pin's inertia counted in.", _KHURMI),
}  # fmt: skip
ROD_WORDS = {
    "rod_yield": FormulaSheet(
        "n = Sy/max |σ|,  σ = −N/A ± M/W\n"
        "N force in the section, M bending by the shank's own inertia (whipping)", _rod_yield,
        "Nine sections along the shank, both outer fibres. The mass beyond a section is taken off "
        "its force. The shank whips as a uniform beam of its mean section.",
        f"{_KHURMI}; elementary beam theory"),
    "rod_fatigue": FormulaSheet(
        "1/n = σa/Se + σm/Sut\nσa, σm alternating and mean stress of the duty: from full load at "
        "the lowest speed, with most compression, to this speed, with most tension\n"
        "Se = S'e·k_surface·k_size·k_reliability/K_f\n"
        "Gerber: n·σa/Se + (n·σm/Sut)² = 1; ASME-elliptic: (n·σa/Se)² + (n·σm/Sy)² = 1",
        _rod_fatigue,
        "By Goodman's line, or the one that the design names. The wider of two cycles governs: the "
        "duty always contains the cycle at one speed. A compressive mean counts as zero, which is "
        "on the safe side.",
        f"{_SHIGLEY}, fatigue failure criteria; Marin's factors (from memory)"),
    "buckling_in_plane": FormulaSheet(
        "Johnson: P_cr = A·Sy·(1 − Sy·(L/k)²/(4·π²·E)); Euler beyond √(2·π²·E/Sy)\nn = P_cr/N",
        _buckling("in plane"), "Pinned at both pins in the plane of motion: L is the rod length. "
        "The least section counts as if it ran the whole length.",
        f"{_SHIGLEY}, columns (from memory); ends after {_KHURMI}"),
    "buckling_across": FormulaSheet(
        "Johnson: P_cr = A·Sy·(1 − Sy·(L/k)²/(4·π²·E)); Euler beyond √(2·π²·E/Sy)\nn = P_cr/N",
        _buckling("across"), "Held at both pins across the plane: L is half the rod length.",
        f"{_SHIGLEY}, columns (from memory); ends after {_KHURMI}"),
    "joint_opening": FormulaSheet(
        f"n = F_open/F,  F_open = F_V/(1 − Φ)\nF_V minimum preload, F pull on one bolt\n{_PHI}",
        _opening,
        "F is the share of the pin's pressure on the cap less what the cap's own acceleration "
        "takes, shared evenly by the bolts. The pressure counts as a cosine over half the shell "
        "(common practice, no source). Bending of the cap, which adds a lever and separates the "
        "joint sooner at its edge, is left out.",
        f"{_SHIGLEY}, equation 8-30 (from memory)"),
    "bolt_fatigue": FormulaSheet(
        "n = σ_A/σa,  σa = (F_max − F_min)/(2·A_s) of the bolt, F = F_V + Φ·pull\n"
        f"σ_A = 0.85·(150/d + 45) MPa, thread rolled before heat treatment, d in mm\n{_PHI}",
        _bolt, "Only what alternates counts, so a stiff clamp and a slim bolt help. Bending of the "
        "bolt by an eccentric pull is left out; it adds to the amplitude.",
        "VDI 2230 part 1 (from memory)"),
    "bolt_yield": FormulaSheet(
        "n = Re·A_s/(F_V,max + Φ·F),  F_V,max = α_A·F_V,min\n"
        f"α_A tightening factor, F largest pull on one bolt\n{_PHI}",
        _bolt_yield,
        "From the maximum preload that the tightening method leaves: 1.1 to 1.2 by stretch or "
        "angle, 1.4 to 1.6 by torque (VDI 2230, from memory). Twist from tightening, which falls "
        "off in service, is left out.", f"{_SHIGLEY}, equation 8-24 (from memory)"),
    "split_slip": FormulaSheet(
        "n = i·μ·K/|Q|,  K = F_V − (1 − Φ)·F\n"
        f"i bolts, μ friction, F_V minimum preload, K clamp left, Q shear\n{_PHI}", _slip,
        "A cracked split has no dowel: the clamp holds its shear. That its rough faces interlock "
        "is left out, on the safe side. The pin's pressure counts as a cosine over half the "
        "shell (common practice, no source).",
        "Coulomb; VDI 2230 part 1 (from memory)"),
}  # fmt: skip
