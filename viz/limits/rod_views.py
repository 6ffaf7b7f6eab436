"""How the criteria of connecting rod and big-end cap are shown."""

from collections.abc import Callable
from typing import Any

import numpy as np

from kinematics.array import Array
from kinematics.limits.speed_limits import Rung
from kinematics.strength.bolted_joint import bolt_force, opening_load, rolled_thread_endurance
from kinematics.strength.rod_strength import EFFECTIVE_LENGTH, slenderness, transition_slenderness
from kinematics.units import UNITS
from viz.limits.criterion_view import RODS, CriterionView
from viz.limits.plain_story import PlainStory, SpokenNumber, by_weight
from viz.limits.rod_charts import (
    along_shank,
    bolt_force_chart,
    bolt_stress,
    goodman,
    joint,
    rod_force_chart,
    rod_stress,
    slip,
)
from viz.limits.rung_chart import OVER_CYCLE
from viz.limits.substitution import at, degrees, result
from viz.number_words import format_number, format_whole, operand, with_unit

FATIGUE_LINES = {"goodman": "Goodman", "gerber": "Gerber", "asme_elliptic": "ASME-elliptic"}
_KHURMI = (
    "R. S. Khurmi and J. K. Gupta, A Textbook of Machine Design, chapter 32 "
    "(public excerpt, print not seen)"
)
_SHIGLEY = "Shigley, Mechanical Engineering Design"
_PHI = (
    "Φ load factor: as given, or n·δ_P/(δ_S + δ_P) with n load introduction, δ_S and δ_P "
    "compliance of the bolt and of what it clamps"
)


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
        section = min(parts.sections, key=lambda shape: shape.area)
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
            f"= {operand(ratio)}\n"
            f"{law} {operand(bound)}: P_cr = {operand(load)} N\n"
            + result(rung, "n", f"{operand(load)}/{operand(force)}")
        )

    return write


def _separation(rung: Rung) -> str:
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
    bolt, clamped = (operand(compliance) for compliance in rung.parts.compliances)
    factor = operand(rung.parts.load_factor)
    return (
        f"Φ = n·δ_P/(δ_S + δ_P) = {operand(bolts.load_introduction)}·{clamped}/({bolt} + "
        f"{clamped}) = {factor}\n"
    )


def _bolt_fatigue(rung: Rung) -> str:
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


def rod_pull(parts: Any, speed: Array) -> Array:
    """Return the maximum tension of the rod at its small end [N], (s,)."""
    force = parts.train.loads.rod_force[parts.train.assessed_cylinder]
    pull: Array = -force.over(speed).min(axis=-1)
    return pull


def rod_push(parts: Any, speed: Array) -> Array:
    """Return the maximum compression of the rod at its small end [N], (s,)."""
    push: Array = parts.compression(speed)
    return push


_PULLED = PlainStory(
    SpokenNumber("rod tension", "kN", rod_pull, "rod_tension"),
    by_weight("{cycles} times per second each rod is pulled by the weight of {what}.",
              "At this speed the tension of the rods is negligible."),
)  # fmt: skip
_PUSHED = PlainStory(
    SpokenNumber("rod compression", "kN", rod_push, "rod_compression"),
    by_weight("{cycles} times per second each rod is pushed by the weight of {what}.",
              "At this speed the compression of the rods is negligible."),
)  # fmt: skip
_COLUMN = "Johnson: P_cr = A·Sy·(1 − Sy·(L/k)²/(4·π²·E)); Euler beyond √(2·π²·E/Sy)\nn = P_cr/N"
_ENDS = f"{_SHIGLEY}, columns (from memory); ends after {_KHURMI}"
_FORCE = ((OVER_CYCLE, rod_force_chart),)
_JOINT = (("Against speed", joint), (OVER_CYCLE, bolt_force_chart))
ROD_VIEWS = {
    "rod_yield": CriterionView(
        sentence="The rod shanks fall to their minimum safety on yield",
        formula="n = Sy/max |σ|,  σ = −N/A ± M/W\n"
        "N force in the section, M bending by the shank's own inertia (whipping)",
        substitution=_rod_yield,
        conventions="Nine sections along the shank, both outer fibres. The force in a section is "
        "without the inertia of the mass beyond it. The shank whips as a uniform beam of its mean "
        "section.",
        source=f"{_KHURMI}; elementary beam theory",
        charts=(("Along the shank", along_shank), (OVER_CYCLE, rod_stress)),
        story=_PULLED, group=RODS),
    "rod_fatigue": CriterionView(
        sentence="The rod shanks fall to their minimum safety in fatigue",
        formula="1/n = σa/Se + σm/Sut\nσa, σm alternating and mean stress of the duty: from full "
        "load at the lowest speed, with maximum compression, to this speed, with maximum tension\n"
        "Se = S'e·k_surface·k_size·k_reliability/K_f\n"
        "Gerber: n·σa/Se + (n·σm/Sut)² = 1; ASME-elliptic: (n·σa/Se)² + (n·σm/Sy)² = 1",
        substitution=_rod_fatigue,
        conventions="By the Goodman line, or the one that the design names. The wider of two "
        "cycles governs: the duty always contains the cycle at one speed. A compressive mean "
        "counts as zero, which is conservative.",
        source=f"{_SHIGLEY}, fatigue failure criteria; Marin's factors (from memory)",
        charts=(("Goodman", goodman), ("Along the shank", along_shank)),
        story=_PULLED, group=RODS),
    "buckling_in_plane": CriterionView(
        sentence="The rods fall to their minimum safety on buckling in the plane of motion",
        formula=_COLUMN, substitution=_buckling("in plane"),
        conventions="Pinned at both pins in the plane of motion: L is the rod length. "
        "The smallest section counts as if it ran the whole length.",
        source=_ENDS, charts=_FORCE, story=_PUSHED, group=RODS),
    "buckling_across": CriterionView(
        sentence="The rods fall to their minimum safety on buckling across the plane of motion",
        formula=_COLUMN, substitution=_buckling("across"),
        conventions="Held at both pins across the plane: L is half the rod length.",
        source=_ENDS, charts=_FORCE, story=_PUSHED, group=RODS),
    "joint_opening": CriterionView(
        sentence="The big-end joints fall to their minimum safety on separation",
        formula=f"n = F_open/F,  F_open = F_V/(1 − Φ)\n"
        f"F_V minimum preload, F load on one bolt\n{_PHI}",
        substitution=_separation,
        conventions="F is the share of the pin's pressure on the cap less the force for the cap's "
        "own acceleration, shared evenly by the bolts. The pressure counts as a cosine over half "
        "the shell (common practice, no source). Bending of the cap, which adds a lever and "
        "separates the joint sooner at its edge, is ignored.",
        source=f"{_SHIGLEY}, equation 8-30 (from memory)",
        charts=_JOINT, story=_PULLED, group=RODS),
    "bolt_fatigue": CriterionView(
        sentence="The rod bolts fall to their minimum safety in fatigue",
        formula="n = σ_A/σa,  σa = (F_max − F_min)/(2·A_s) of the bolt, F = F_V + Φ·load\n"
        f"σ_A = 0.85·(150/d + 45) MPa, thread rolled before heat treatment, d in mm\n{_PHI}",
        substitution=_bolt_fatigue,
        conventions="Only the alternating stress counts, so a stiff clamp and a slim bolt help. "
        "Bending of the bolt by an eccentric load is ignored; it adds to the amplitude.",
        source="VDI 2230 part 1 (from memory)",
        charts=((OVER_CYCLE, bolt_stress),), story=_PULLED, group=RODS),
    "bolt_yield": CriterionView(
        sentence="The rod bolts fall to their minimum safety on yield",
        formula="n = Re·A_s/(F_V,max + Φ·F),  F_V,max = α_A·F_V,min\n"
        f"α_A tightening factor, F maximum load on one bolt\n{_PHI}",
        substitution=_bolt_yield,
        conventions="From the maximum preload of the tightening method: α_A is 1.1 to 1.2 by "
        "stretch or angle, 1.4 to 1.6 by torque (VDI 2230, from memory). Torsion from tightening, "
        "which relaxes in service, is ignored.",
        source=f"{_SHIGLEY}, equation 8-24 (from memory)",
        charts=_JOINT, story=_PULLED, group=RODS),
    "split_slip": CriterionView(
        sentence="The big-end fracture faces fall to their minimum safety on slip",
        formula="n = i·μ·K/|Q|,  K = F_V − (1 − Φ)·F\n"
        f"i bolts, μ friction, F_V minimum preload, K remaining clamp force, Q shear\n{_PHI}",
        substitution=_slip,
        conventions="A fracture-split cap has no dowel: friction carries its shear. That its rough "
        "faces interlock is ignored, which is conservative. The pin's pressure counts as a cosine "
        "over half the shell (common practice, no source).",
        source="Coulomb; VDI 2230 part 1 (from memory)",
        charts=((OVER_CYCLE, slip),), story=_PULLED, group=RODS),
}  # fmt: skip
