"""What a change costs beside the limit that it raises: size, power, mass, and what no longer fits.

Power is the indicated one at the rated speed; the peak pressure is kept as it is given.
"""

from kinematics.design.design import Design
from kinematics.errors import DesignError
from kinematics.fit.fit_check import DOES_NOT_FIT, FitCheck
from kinematics.fit.fit_checks import fit_checks
from kinematics.shaft.shaft_geometry import shaft_geometry
from kinematics.train.cycle import Cycle, RigidTrain, rigid_train
from viz.number_words import format_number, short_with_unit, signed

LEAST_SHARE = 0.002  # of what there was; a smaller change is not told


def price(before: Design, after: Design) -> str:
    """Return what a changed design costs, in a sentence; empty where nothing of it changes."""
    old, new = rigid_train(before), rigid_train(after)
    parts = [
        _share("displacement", old.swept_volume, new.swept_volume),
        _size("power", _power(old), _power(new), "kW"),
        _size("TDC height", _height(before), _height(after), "mm"),
        _size("shaft", _shaft_mass(before), _shaft_mass(after), "kg"),
    ]
    told = ", ".join(part for part in parts if part)
    return f"Price: {told}." if told else ""


def misfits(before: Design, after: Design) -> tuple[FitCheck, ...]:
    """Return the checks of fit that the change makes fail."""
    failed = {one.question.key for one in fit_checks(before) if one.outcome == DOES_NOT_FIT}
    return tuple(
        one for one in fit_checks(after)
        if one.outcome == DOES_NOT_FIT and one.question.key not in failed
    )  # fmt: skip


def _share(name: str, before: float, after: float) -> str:
    change = after / before - 1
    if abs(change) < LEAST_SHARE:
        return ""
    return f"{name} {signed(change, format_number(100 * abs(change), 2))} %"


def _size(name: str, before: float | None, after: float | None, unit: str) -> str:
    if before is None or after is None or abs(after - before) < LEAST_SHARE * before:
        return ""
    change = after - before
    return f"{name} {signed(change, short_with_unit(abs(change), unit, 2))}"


def _power(train: RigidTrain) -> float:
    return Cycle(train, train.design.layout.rated_speed).indicated_power


def _height(design: Design) -> float:
    """Return the piston pin's height over the shaft at TDC [m]."""
    return design.cylinder.rod_length + design.cylinder.crank_radius


def _shaft_mass(design: Design) -> float | None:
    try:
        return shaft_geometry(design).mass
    except DesignError:
        return None
