"""The other models that a design could choose for what a criterion is computed by.

Each is the same part of the same design with one choice changed, so an end of a band is what the
ladder shows once that choice is made.
"""

import dataclasses
from functools import lru_cache
from typing import Any, cast

from kinematics.design.design import CONTINUOUS, DETERMINATE, Design
from kinematics.design.design_bearings import BARUS, EVEN, FILM_MODELS
from kinematics.errors import DesignError
from kinematics.limits.criterion import OtherModels
from kinematics.throw.throw_surface import FINITE_ELEMENTS
from kinematics.train.cycle import rigid_train

MAIN_LOADS = {DETERMINATE: "determinate shaft", CONTINUOUS: "continuous shaft"}
FILMS = {
    "reynolds": "Reynolds film",
    "finite_length": "finite-length fit",
    "short_bearing": "short bearing",
}
OILS = {EVEN: "even viscosity", BARUS: "oil thickening under pressure"}
LINES = {"goodman": "Goodman line", "gerber": "Gerber line", "asme_elliptic": "ASME ellipse"}
FORMULAS = {
    FINITE_ELEMENTS: "finite elements",
    "ker_wilson": "Ker Wilson",
    "carter": "Carter",
    "zimanenko": "Zimanenko",
}


def by_main_loads(parts: Any) -> OtherModels:
    """Return the parts with the shaft determinate or continuous, whichever the design has not.

    Reference: as of `main_bearing_loads` and `continuous_main_loads`.
    """
    own = _main_loads(parts.design)
    return OtherModels(MAIN_LOADS[own], _others(parts, "crank", "main_loads", MAIN_LOADS, own))


def by_film_models(parts: Any) -> OtherModels:
    """Return the parts by the film models that the design has not chosen, and with other oil.

    The oil has one viscosity, or thickens under pressure.

    Reference: as of `mobility` and `film_bounds`.
    """
    own = parts.design.needed("oil", "the oil film").film_model
    names = {name: FILMS.get(name, _plain(name)) for name in FILM_MODELS}
    oil = parts.design.oil.under_pressure
    return OtherModels(
        f"{names[own]}, {OILS[oil]}",
        _others(parts, "oil", "film_model", names, own)
        | _others(parts, "oil", "under_pressure", OILS, oil),
    )


def by_films_and_main_loads(parts: Any) -> OtherModels:
    """Return the parts by the other film models, and with the other rule for main loads.

    Reference: as of `mobility` and `continuous_main_loads`.
    """
    films, mains = by_film_models(parts), by_main_loads(parts)
    return OtherModels(f"{films.own}, {mains.own}", {**films.parts, **mains.parts})


def by_fatigue_lines(parts: Any) -> OtherModels:
    """Return the rod by the other lines of fatigue under mean stress.

    Reference: Shigley, Mechanical Engineering Design, chapter on fatigue (from memory).
    """
    own = parts.design.needed("rod_material", "the rod's fatigue").fatigue_line
    return OtherModels(LINES[own], _others(parts, "rod_material", "fatigue_line", LINES, own))


def by_load_factors(parts: Any) -> OtherModels:
    """Return the joint with its load factor from the dimensions, where the design gives one.

    Reference: as of `bolted_joint`.
    """
    if parts.design.needed("rod_bolts", "the big end's joint").load_factor is None:
        return OtherModels("")
    others = _others(parts, "rod_bolts", "load_factor", {None: "load factor by dimensions"}, 0)
    return OtherModels("load factor as given", others)


def by_throw_stiffness(parts: Any) -> OtherModels:
    """Return the shaft by the other formulas of a throw's torsional stiffness.

    Reference: as of `shaft_stiffness`.
    """
    if parts.design.torsion is None:
        return OtherModels("")
    own, band = parts.chain.formula, parts.chain.stiffness_band
    names = {name: f"throw by {FORMULAS.get(name, _plain(name))}" for name in band}
    return OtherModels(names[own], _others(parts, "torsion", "throw_formula", names, own))


def by_throws_and_main_loads(parts: Any) -> OtherModels:
    """Return the shaft by the other formulas of torsion, and by the other rule for main loads.

    Reference: as of `shaft_stiffness` and `continuous_main_loads`.
    """
    throws, mains = by_throw_stiffness(parts), by_main_loads(parts)
    own = ", ".join(name for name in (throws.own, mains.own) if name)
    return OtherModels(own, {**throws.parts, **mains.parts})


def _main_loads(design: Design) -> str:
    return CONTINUOUS if design.continuous else DETERMINATE


def _plain(name: str) -> str:
    return name.replace("_", " ")


def _others(
    parts: Any, group: str, attribute: str, names: dict[Any, str], own: Any
) -> dict[str, Any]:
    """Return the parts by each choice of a field but its own, those that are not allowed left out.

    `names` are the choices in words.
    """
    found, subject = {}, cast(Any, type(parts))
    for choice, words in names.items():
        if choice == own:
            continue
        try:
            record = dataclasses.replace(getattr(parts.design, group), **{attribute: choice})
            changed = dataclasses.replace(parts.design, **{group: record})
        except DesignError:
            continue
        found[words] = _parts(subject, changed)
    return found


@lru_cache(maxsize=16)
def _parts(subject: Any, design: Design) -> Any:
    """Return the parts of a design, kept: several criteria of a subject ask for the same."""
    return subject(rigid_train(design))
