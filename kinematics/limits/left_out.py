"""What the criteria leave out, where it applies to a design, and which way that errs.

Each function takes the parts of a subject and returns the marks of what its criteria leave out;
`together` joins several for one criterion. What a design gives no cause for has no mark.
"""

from collections.abc import Callable
from typing import Any

import numpy as np

from kinematics.design.allowables import LimitName, allowable
from kinematics.design.shaft_throw import is_lightened
from kinematics.design.solid_throw import solid_throw
from kinematics.errors import DesignError
from kinematics.film.film_bounds import RIGID_PRESSURE
from kinematics.film.film_survey import peak_film_pressures
from kinematics.film.grooved_film import main_bears_as_plain
from kinematics.film.journal_film import BearingFilms, JournalFilms, train_films
from kinematics.film.journal_shape import edge_films, journal_tilts
from kinematics.limits.criterion import EITHER_WAY, LESS_MARGIN, THINNER, LeftOut
from kinematics.shaft.torsion_train import critical_speed_table
from kinematics.train.cycle import Cycle
from kinematics.train.full_load import full_load_from, has_curve
from kinematics.units import UNITS, in_words

Marks = tuple[LeftOut, ...]
NOTICED = 1e-3  # share of a film that is put in figures
FULL = 0.95  # oil feed from which a film counts as full; common practice
STEEL_FROM = 180e9  # [Pa] of elastic modulus; below it light alloy or titanium; from memory
FELT = 0.5  # phase-vector sum from which an order excites a mode; common practice
LAND_MEASURED = 0.6  # share of the drop on the land up to which measured ones go; from memory


def together(*functions: Callable[[Any], Marks]) -> Callable[[Any], Marks]:
    """Return a function that joins the marks of several."""
    return lambda parts: tuple(mark for function in functions for mark in function(parts))


def gas_at_every_speed(parts: Any) -> Marks:
    """Return a mark where the gas is that of one speed, for want of a full-load curve.

    Of measured cycles it says that the mean counts.
    """
    pressure = parts.design.pressure
    if has_curve(parts.design):
        return ()
    if pressure.source == "trace":
        of = ", that of the mean cycle" if pressure.has_highest_cycle else ""
        return (LeftOut(f"The pressure trace of one speed counts at every speed{of}", EITHER_WAY),)
    return (
        LeftOut("Without a full-load curve the rated gas pressure counts at every speed",
                EITHER_WAY),
    )  # fmt: skip


def strength_gas_at_every_speed(parts: Any) -> Marks:
    """Return the mark of `gas_at_every_speed`, with the measured cycle that strength takes."""
    pressure = parts.design.pressure
    if not pressure.has_highest_cycle:
        return gas_at_every_speed(parts)
    words = "The pressure trace of one speed counts at every speed, that of the"
    above = in_words(pressure.trace.highest_over_mean - 1, "percent", 2)
    if pressure.takes_highest_cycle:
        return (
            LeftOut(f"{words} cycle of highest peak, {above} above the mean's", EITHER_WAY),
        )  # fmt: skip
    return (
        LeftOut(f"{words} mean cycle, and the highest peak measured is {above} above the mean's",
                LESS_MARGIN),
    )  # fmt: skip


def torsion_by_the_mean(parts: Any) -> Marks:
    """Return a mark where fillets bend by the highest cycle and the shaft twists by the mean.

    Reference: common practice, no source: vibration builds up over many cycles.
    """
    if not parts.design.pressure.takes_highest_cycle or parts.design.torsion is None:
        return ()
    return (
        LeftOut("Bending is that of the cycle of highest peak, torsional vibration that of the "
                "mean cycle, for it builds up over many", EITHER_WAY),
    )  # fmt: skip


def one_of_unequal_cylinders(parts: Any) -> Marks:
    """Return a mark where cylinders differ, and one of them stands for all."""
    if parts.design.cylinders_alike:
        return ()
    number = parts.train.assessed_cylinder + 1
    return (
        LeftOut(f"Cylinders differ: cylinder {number} is assessed, whose pressure is highest, and "
                "another may be worse for this", LESS_MARGIN),
    )  # fmt: skip


def gas_of_one_cylinder(parts: Any) -> Marks:
    """Return the marks of the gas on what is assessed of one cylinder for all."""
    return (*gas_at_every_speed(parts), *one_of_unequal_cylinders(parts))


def strength_gas_of_one_cylinder(parts: Any) -> Marks:
    """Return the marks of the gas on the strength of one cylinder's parts for all."""
    return (*strength_gas_at_every_speed(parts), *one_of_unequal_cylinders(parts))


def second_mode(parts: Any) -> Marks:
    """Return a mark where a second mode of the shaft is excited up to the red line.

    The shaft's own damping is set for the first mode.
    """
    design = parts.design
    if design.torsion is None:
        return ()
    top = max(design.limits.red_line or 0.0, design.layout.rated_speed)
    table = critical_speed_table(parts.chain, full_load_from(design), top)
    modes = sorted({critical.mode for critical in table if critical.phasor_sum >= FELT})
    if len(modes) < 2:
        return ()
    first = next(at for at in table if at.mode == modes[1] and at.phasor_sum >= FELT)
    return (
        LeftOut(
            f"A second torsional mode is excited from {_rpm(first.speed)}, and the shaft's damping "
            "is that of the first", EITHER_WAY),
    )  # fmt: skip


def lightened_webs(parts: Any) -> Marks:
    """Return a mark where chamfer or pocket soften webs whose stiffness counts as uncut.

    Reference: common practice, no source: metal cut off stiffens nothing.
    """
    if not is_lightened(parts.design):
        return ()
    return (
        LeftOut("Web lightening is not counted in stiffness: the webs are softer and critical "
                "speeds lower than computed", EITHER_WAY),
    )  # fmt: skip


def lightened_webs_of_a_continuous_shaft(parts: Any) -> Marks:
    """Return the mark of `lightened_webs` where the shaft's stiffness shares out the main loads."""
    if not parts.design.continuous or not is_lightened(parts.design):
        return ()
    return (
        LeftOut("Web lightening is not counted in stiffness: the continuous shaft is softer than "
                "computed", EITHER_WAY),
    )  # fmt: skip


def throw_outside_surface(parts: Any) -> Marks:
    """Return a mark where a throw's sizes are outside those of its stiffness by finite elements."""
    design = parts.design
    if design.torsion is None and not design.continuous:
        return ()
    try:
        outside = solid_throw(design).outside
    except DesignError:
        return ()
    if not outside:
        return ()
    return (
        LeftOut("The throw is outside the sizes that finite elements cover, so that bars and "
                f"formulas give its stiffness: {'; '.join(outside)}", EITHER_WAY),
    )  # fmt: skip


def one_temperature(parts: Any) -> Marks:
    """Return a mark where the rod's material loses strength with heat, which no steel rod does.

    Reference: common practice, no source.
    """
    material = parts.design.rod_material
    if material is None or material.elastic_modulus >= STEEL_FROM:
        return ()
    return (
        LeftOut("Strength counts at one temperature, and a rod that is not of steel weakens hot",
                LESS_MARGIN),
    )  # fmt: skip


def land_pressure(parts: Any) -> Marks:
    """Return a mark where the land under the top ring may hold more than the share assumed."""
    ring = parts.design.top_ring
    if ring is None or ring.land_pressure >= LAND_MEASURED:
        return ()
    share = in_words(ring.land_pressure, "percent", 3)
    return (
        LeftOut(f"The land under the ring is assumed to hold {share} of the pressure drop, and up "
                f"to {in_words(LAND_MEASURED, 'percent', 3)} occurs", LESS_MARGIN),
    )  # fmt: skip


def partial_groove(parts: Any) -> Marks:
    """Return a mark where the mains have a partial groove that the table of films does not hold."""
    main = parts.design.main_bearing
    if main is None or not main_bears_as_plain(main):
        return ()
    arc, width = in_words(main.groove_arc, "deg", 3), in_words(main.groove, "mm", 3)
    return (
        LeftOut(f"The groove over {arc}, {width} wide, lies outside the table of grooved films and "
                "counts as bearing surface", THINNER),
    )  # fmt: skip


def starved(kind: str) -> Callable[[Any], Marks]:
    """Return a function that marks bearings of a kind fed by less oil than a full film passes.

    What it costs is that of a steady short bearing; over a cycle it is not computed.
    """

    def of(parts: Any) -> Marks:
        films = _films(parts, kind)
        if films is None:
            return ()
        worst = int(films.filling.argmin())
        if films.filling[worst] >= FULL:
            return ()
        passes, full = (
            in_words(float(flow[worst]), "l_min", 2)
            for flow in (films.passed_flow, films.full_flow)
        )
        less = float(1 - films.fed_film[worst] / films.minimum_film[worst])
        words = in_words(less, "percent", 1) if less >= NOTICED else "under 0.1 %"
        return (
            LeftOut(f"At rated speed {_named(kind, worst)} passes {passes}, a full film {full}: it "
                    "is hotter for that, which counts, and begins later, which does not (in a "
                    f"steady bearing {words} of the film)", THINNER),
        )  # fmt: skip

    return of


def rigid_shells(kind: str) -> Callable[[Any], Marks]:
    """Return a function that marks bearings of a kind whose film pressure bends their shells.

    Looked at where full load begins, for there gas presses most on the thinnest film. Below it
    stands the least that carries the load, that of a shell which conforms to its journal.
    """

    def of(parts: Any) -> Marks:
        slow = full_load_from(parts.design)
        try:
            peaks = peak_film_pressures(parts.train, slow, kind)
        except DesignError:
            return ()
        worst = int(peaks.argmax())
        if peaks[worst] <= RIGID_PRESSURE:
            return ()
        peak, bound = (in_words(float(p), "MPa", 3) for p in (peaks[worst], RIGID_PRESSURE))
        return (
            LeftOut(f"Shells count as rigid, but the peak film pressure is {peak} at {_rpm(slow)} "
                    f"in {_named(kind, worst)}, above {bound}", EITHER_WAY),
        )  # fmt: skip

    return of


def edge_film(kind: str, limit: LimitName) -> Callable[[Any], Marks]:
    """Return a function that marks bearings of a kind whose edges come below their allowable."""

    def of(parts: Any) -> Marks:
        every = _every_film(parts)
        if every is None:
            return ()
        films, cycle = every.of(kind), Cycle(parts.train, parts.design.layout.rated_speed)
        tilts = journal_tilts(cycle, every)
        tilt = tilts.big_ends if kind == "big_end" else tilts.mains
        edges = edge_films(films, tilt, films.bearing.crown).min(axis=-1)
        allowed, worst = allowable(parts.design.limits, limit).value, int(np.argmin(edges))
        if edges[worst] >= allowed:
            return ()
        least, bound = (in_words(float(film), "um", 3) for film in (edges[worst], allowed))
        return (
            LeftOut(f"Misalignment and crown leave {_named(kind, worst)} an edge film of {least} "
                    f"at rated speed, below {bound}, if shells and housings are rigid",
                    THINNER, exceeds=True),
        )  # fmt: skip

    return of


def _named(kind: str, row: int) -> str:
    return f"main {row + 1}" if kind == "main" else f"big end {row + 1}"


def _films(parts: Any, kind: str) -> BearingFilms | None:
    films = _every_film(parts)
    return None if films is None else films.of(kind)


def _every_film(parts: Any) -> JournalFilms | None:
    """Return the films at rated speed, which the ladder has too; None where there are none."""
    try:
        return train_films(parts.train, parts.design.layout.rated_speed)
    except DesignError:
        return None


def _rpm(speed: float) -> str:
    return f"{speed / UNITS['rpm'].factor:.0f} rpm"
