"""The bob weight of each pin as a list with its sum, and its formula with the values put in."""

from collections.abc import Sequence
from typing import Any

from kinematics.balancing.bob_weights import PinBobWeight
from kinematics.units import shown_unit
from viz.number_words import THIN_SPACE, capitalised, operand, unbroken

DECIMALS = {"g": 1, "oz": 3}
WITHOUT = (
    "No bob weights: all cylinders lie in one plane, so reciprocating masses move in that plane "
    "only, and the shaft is balanced bare."
)
NOTE = (
    "A V engine's shaft runs on the machine with a bob weight on each pin, for the rods and the "
    "share of pistons that its counterweights answer. Half the reciprocating mass, and a few grams "
    "of oil where oil is counted: common practice, no source. The rod's two masses keep its centre "
    "of gravity; shells are weighed with the rod, circlips with the piston."
)


def bob_lists(pins: Sequence[PinBobWeight]) -> list[dict[str, Any]]:
    """Return a list for each number of rods that pins have: caption, rows, formula."""
    found = []
    for rods in sorted({one.rods for one in pins}):
        own = [one for one in pins if one.rods == rods]
        found.append(_list(own[0], [one.throw for one in own], every=len(own) == len(pins)))
    return found


def _list(one: PinBobWeight, throws: list[int], *, every: bool) -> dict[str, Any]:
    """Return what one of those pins carries."""
    many_pins = f"pin{'s' if len(throws) > 1 else ''} {', '.join(map(str, throws))}"
    pins = "every pin" if every else many_pins
    rods = "one rod" if one.rods == 1 else f"{one.rods} rods"
    times = f"{one.rods} × " if one.rods > 1 else ""
    share = f"{operand(100 * one.share)} % of "
    many = one.rods * one.share
    rows = [
        (f"{times}big end with shells", _mass(one.rotating)),
        (f"{times}{share}piston, pin, rings", _mass(many * one.piston)),
        (f"{times}{share}small end", _mass(many * one.small_end)),
        ("Oil", _mass(one.oil)),
        ("Bob weight", _mass(one.mass)),
    ]
    return {
        "caption": f"Bob weight of {pins}, with {rods}",
        "rows": [[unbroken(capitalised(name)), unbroken(size)] for name, size in rows],
        "formula": unbroken(_formula(one, times)),
    }


def _mass(mass: float) -> str:
    """Return a mass [kg] to what a balancing machine's scales show."""
    unit = shown_unit("g")
    return f"{unit.from_si(mass):,.{DECIMALS[unit.symbol]}f} {unit.symbol}".replace(",", THIN_SPACE)


def _formula(one: PinBobWeight, times: str) -> str:
    """Return the sum with the values put in."""
    sign, factor = ("n ", times) if one.rods > 1 else ("", "")
    big, piston, small, oil = (
        _mass(part) for part in (one.big_end, one.piston, one.small_end, one.oil)
    )
    return (
        f"m = {sign}(m big end + k (m piston + m small end)) + m oil = {factor}({big} + "
        f"{operand(one.share)} · ({piston} + {small})) + {oil} = "
        f"{_mass(one.mass)}"
    )
