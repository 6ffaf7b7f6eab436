"""How the criteria of piston, top ring and piston pin are shown."""

import math
from collections.abc import Callable
from typing import Any

import numpy as np

from kinematics.array import Array
from kinematics.design.design_parts import STEEL_MODULUS
from kinematics.limits.speed_limits import Rung
from kinematics.strength.piston_strength import HOOP_PLACES, PinStress, PistonPin
from viz.limits.criterion_view import PINS, PISTONS, RINGS, CriterionView
from viz.limits.piston_charts import (
    acceleration,
    pin_load,
    pin_pressure,
    piston_speed,
    ring_forces,
)
from viz.limits.plain_story import (
    OWN_WEIGHT,
    PlainStory,
    SentenceTemplate,
    SpokenNumber,
    by_runner,
    by_weight,
)
from viz.limits.rung_chart import OVER_CYCLE
from viz.limits.substitution import at, degrees, result
from viz.number_words import operand, with_unit

_MERIAM = "J. L. Meriam and L. G. Kraige, Engineering Mechanics: Dynamics (from memory)"
_HEYWOOD = (
    "J. B. Heywood, Internal Combustion Engine Fundamentals, 1988, equation 2.9 (from memory)"
)
_KOLCHIN = "A. Kolchin and V. Demidov, Design of Automotive Engines, piston pin (from memory)"
_KHURMI = (
    "R. S. Khurmi and J. K. Gupta, A Textbook of Machine Design, chapter 32 "
    "(public excerpt, print not seen)"
)
_CLASSICAL = (
    "Classical formulas, criticised by Strozzi and others, Engineering Failure Analysis, 2018: "
    "they compare pins, they do not prove one. P is the maximum force between piston and pin over "
    "the cycle, without the pin's own inertia."
)
_RANGE = (
    "The formula was fitted to bores of 0.4 to 0.8 diameters (from memory). A thinner wall counts "
    "as a thin ring between two point loads (Timoshenko, Strength of Materials, part II, from "
    "memory), which asks more of it; a thicker one is not assessed."
)


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


def _ring_lift(rung: Rung) -> str:
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


def _of_pin(symbol: str, template: Callable[[Any, float], str]) -> Callable[[Rung], str]:
    """Return a writer of a pin formula: the load first, then the formula with its values."""

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
        radius, wall = operand(pin.mean_radius), operand(pin.wall)
        return f"(2/π − 1/2)·{operand(load)}·{radius}³·12/({modulus}·{operand(pin.length)}·{wall}³)"
    ratio = operand(pin.bore_ratio)
    return (
        f"1.35·{operand(load)}/({modulus}·{operand(pin.length)})·((1 + {ratio})/(1 − {ratio}))³"
        f"·(0.1 − ({ratio} − 0.4)³)"
    )


def _hoop(rung: Rung) -> str:
    stress: PinStress = rung.parts.pin_stress(at(rung))
    pin, load = rung.parts.pin, float(rung.parts.boss_load(at(rung)).max())
    hoop = stress.hoop[:, 0]
    governing = int(np.abs(hoop).argmax())
    places = [
        f"{place}: {with_unit(float(value), 'MPa', 4)}"
        for place, value in zip(HOOP_PLACES, hoop, strict=True)
    ]
    first = f"P = {operand(load)} N; governing: {HOOP_PLACES[governing]}"
    terms = _thin_ring_terms(pin, load) if pin.thin else _fitted_terms(pin, load)
    expression = terms[governing] if hoop[governing] > 0 else f"−({terms[governing]})"
    return "\n".join([first, *places, result(rung, "|σ|", expression)])


def _fitted_terms(pin: PistonPin, load: float) -> tuple[str, ...]:
    """Return the hoop stress at the four places by the fitted formula, with its values."""
    a = operand(pin.bore_ratio)
    k = (
        f"15·{operand(load)}/({operand(pin.length)}·{operand(pin.outer_diameter)})"
        f"·(0.1 − ({a} − 0.4)³)"
    )
    f, g = f"(2 + {a})·(1 + {a})/(1 − {a})²", f"(1 + 2·{a})·(1 + {a})/((1 − {a})²·{a})"
    return (
        f"{k}·(0.19·{f} − 1/(1 − {a}))",
        f"−{k}·(0.19·{g} + 1/(1 − {a}))",
        f"−{k}·(0.174·{f} + 0.636/(1 − {a}))",
        f"{k}·(0.174·{g} − 0.636/(1 − {a}))",
    )


def _thin_ring_terms(pin: PistonPin, load: float) -> tuple[str, ...]:
    """Return the hoop stress at the four places of a thin ring, with its values."""
    p, r, t, length = (operand(value) for value in (load, pin.mean_radius, pin.wall, pin.length))
    square = f"6·{p}·{r}·(1/2 − 1/π)/({length}·{t}²)"
    push, at_load = f"{p}/(2·{length}·{t})", f"6·{p}·{r}/(π·{length}·{t}²)"
    return (f"{square} − {push}", f"−{square} − {push}", f"−{at_load}", at_load)


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


def _pin_load(parts: Any, speed: Array) -> Array:
    """Return the maximum force between piston and pin [N], (s,)."""
    load: Array = parts.boss_load(speed).max(axis=-1)
    return load


_PIN_STORY = PlainStory(
    SpokenNumber("force on the pin", "kN", _pin_load),
    by_weight("{cycles} times per second each piston pin carries the weight of {what}.",
              "At this speed the load on the pins is negligible."),
)  # fmt: skip
_LOAD = ((OVER_CYCLE, pin_load),)
_PRESSURE = ((OVER_CYCLE, pin_pressure),)
PISTON_VIEWS = {
    "mean_piston_speed": CriterionView(
        sentence="The mean piston speed reaches its guide value",
        formula="c_m = 2·s·n\ns stroke, n crank speed in turns per second",
        substitution=_mean_piston_speed,
        conventions="With a pin offset the true stroke, a little over twice the crank radius.",
        source=_HEYWOOD,
        charts=((OVER_CYCLE, piston_speed),),
        story=PlainStory(
            SpokenNumber("mean piston speed"),
            by_runner("Each piston stops {stops} times per second; on average it runs {n} times "
                      "as fast as {whom}.")),
        group=PISTONS),
    "piston_acceleration": CriterionView(
        sentence="The top rings may begin to flutter",
        sentence_if_given="The pistons reach their allowable acceleration",
        formula="a = ω²·|a₁|\na₁ maximum acceleration of the piston at 1 rad/s",
        substitution=_acceleration,
        conventions="The ring must follow the piston: its height decides at which acceleration it "
        "begins to flutter. A flag, no law; see the top ring lift.",
        source=_MERIAM,
        charts=((OVER_CYCLE, acceleration),),
        story=PlainStory(
            SpokenNumber("piston acceleration"),
            (SentenceTemplate("At the top of its stroke each piston weighs {n} times its weight "
                              "at rest.", OWN_WEIGHT),)),
        group=RINGS),
    "ring_lift": CriterionView(
        sentence="The top rings lift off their seat",
        formula="m·a/(Δp·A)\nm and A mass and flank area of the top ring, a acceleration toward "
        "the crank, Δp pressure above less below",
        substitution=_ring_lift,
        conventions="While the valves are shut and the piston slows upward. The pressure below the "
        "ring is a given share of the drop to the crankcase, at the same instant: 0 flatters the "
        "ring, a larger share lowers the force that seats it. Ring friction is ignored. Round the "
        "TDC between exhaust and intake the ring changes flanks; that is not assessed.",
        source="Newton's second law for the ring",
        charts=((OVER_CYCLE, ring_forces),),
        story=PlainStory(
            SpokenNumber("share of the gas force on the ring"),
            (SentenceTemplate("The top ring's own inertia takes {use} % of the gas force that "
                              "holds it down."),)),
        group=RINGS),
    "pin_bending": CriterionView(
        sentence="The piston pins reach their allowable bending stress",
        formula="σ = P·(l + 2·b − 1.5·a)/(1.2·(1 − α⁴)·d³)\n"
        "l length, b gap between bosses, a small-end width, α bore over diameter d",
        substitution=_of_pin("σ", _bending), conventions=_CLASSICAL, source=_KOLCHIN,
        charts=_LOAD, story=_PIN_STORY, group=PINS),
    "pin_shear": CriterionView(
        sentence="The piston pins reach their allowable shear stress",
        formula="τ = 0.85·P·(1 + α + α²)/((1 − α⁴)·d²)",
        substitution=_of_pin("τ", _shear), conventions=_CLASSICAL, source=_KOLCHIN,
        charts=_LOAD, story=_PIN_STORY, group=PINS),
    "pin_ovalisation": CriterionView(
        sentence="The piston pins reach their allowable ovalisation",
        formula="Δd = 1.35·P/(E·l)·((1 + α)/(1 − α))³·(0.1 − (α − 0.4)³)\n"
        "α above 0.8: Δd = (2/π − 1/2)·P·R³·12/(E·l·t³), R mean radius, t wall",
        substitution=_of_pin("Δd", _growth), conventions=f"{_CLASSICAL} {_RANGE}",
        source=_KOLCHIN, charts=_LOAD, story=_PIN_STORY, group=PINS),
    "pin_hoop": CriterionView(
        sentence="The piston pins reach their allowable hoop stress",
        formula="square to the load: σ = k·(0.19·f − 1/(1 − α)) outside, "
        "−k·(0.19·g + 1/(1 − α)) inside\n"
        "at the load: −k·(0.174·f + 0.636/(1 − α)) outside, k·(0.174·g − 0.636/(1 − α)) inside\n"
        "k = 15·P/(l·d)·(0.1 − (α − 0.4)³), f = (2 + α)·(1 + α)/(1 − α)², "
        "g = (1 + 2α)·(1 + α)/((1 − α)²·α)\n"
        "α above 0.8: M = P·R·(1/2 − 1/π) with P/2 square to the load, P·R/π at it",
        substitution=_hoop,
        conventions=f"{_CLASSICAL} {_RANGE} Tension positive; compression counts as much.",
        source=_KOLCHIN, charts=_LOAD, story=_PIN_STORY, group=PINS),
    "boss_pressure": CriterionView(
        sentence="The pin bosses reach their allowable pressure",
        formula="p = P/(d·(l − b))\nd diameter, l length, b gap between the bosses",
        substitution=_of_pin("p", _boss),
        conventions="Both bosses carry the same load. P as for the pin's bending.",
        source=_KHURMI, charts=_PRESSURE, story=_PIN_STORY, group=PINS),
    "small_end_pressure": CriterionView(
        sentence="The small ends reach their allowable pressure",
        formula="p = P/(d·a)\nd diameter, a width of the small end",
        substitution=_small_end,
        conventions="P is the force between pin and rod, with the pin's inertia.",
        source=_KHURMI, charts=_PRESSURE, story=_PIN_STORY, group=PINS),
}  # fmt: skip
