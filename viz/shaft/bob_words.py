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
    for rods in sorted({pin.rods for pin in pins}):
        own = [pin for pin in pins if pin.rods == rods]
        found.append(_list(own[0], [pin.throw for pin in own], every=len(own) == len(pins)))
    return found


def _list(pin: PinBobWeight, throws: list[int], *, every: bool) -> dict[str, Any]:
    """Return what one of those pins carries."""
    many_pins = f"pin{'s' if len(throws) > 1 else ''} {', '.join(map(str, throws))}"
    pins = "every pin" if every else many_pins
    rods = "one rod" if pin.rods == 1 else f"{pin.rods} rods"
    times = f"{pin.rods} × " if pin.rods > 1 else ""
    share = f"{operand(100 * pin.share)} % of "
    many = pin.rods * pin.share
    rows = [
        (f"{times}big end with shells", _mass(pin.rotating)),
        (f"{times}{share}piston, pin, rings", _mass(many * pin.piston)),
        (f"{times}{share}small end", _mass(many * pin.small_end)),
        ("Oil", _mass(pin.oil)),
        ("Bob weight", _mass(pin.mass)),
    ]
    return {
        "caption": f"Bob weight of {pins}, with {rods}",
        "rows": [[unbroken(capitalised(name)), unbroken(size)] for name, size in rows],
        "formula": unbroken(_formula(pin, times)),
    }


def _mass(mass: float) -> str:
    """Return a mass [kg] to what a balancing machine's scales show."""
    unit = shown_unit("g")
    return f"{unit.from_si(mass):,.{DECIMALS[unit.symbol]}f} {unit.symbol}".replace(",", THIN_SPACE)


def _formula(pin: PinBobWeight, times: str) -> str:
    """Return the sum with the values put in."""
    sign, factor = ("n ", times) if pin.rods > 1 else ("", "")
    big, piston, small, oil = (
        _mass(part) for part in (pin.big_end, pin.piston, pin.small_end, pin.oil)
    )
    return (
        f"m = {sign}(m big end + k (m piston + m small end)) + m oil = {factor}({big} + "
        f"{operand(pin.share)} · ({piston} + {small})) + {oil} = "
        f"{_mass(pin.mass)}"
    )
