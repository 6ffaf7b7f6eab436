"""Tilted and barrel-shaped journals: the film that is left at a bearing's edges.

A journal tilts in its shell where the main journals at both ends of a throw run at different
places in their clearances, and where the throws bend. An edge then comes nearer the shell; a
crown (barrel) lifts both edges and lowers the middle. The load is taken as borne at the
pressure-weighted mean film, pressure being a parabola over the width: of a parabolic crown k the
mean drop is k/5.

An estimate: round shells that do not bend (elastic shells give way at their edges and forgive
much), orbits as of untilted journals, rods and shells square to the shaft. The shaft bends in one
piece as the frame of `continuous_shaft`, whose webs give too much, or throw by throw as straight
bars of the crankpin's section, which give too little: the design's rule for main loads decides.

Source: `shaft_beam`; of the bar, slope F s²/(16 E I) at the ends of one loaded in its middle; the
rest is geometry. What is made of it: common practice, no source.
"""

import math

import numpy as np
from numpy.typing import NDArray

from kinematics.array import Array
from kinematics.design.design import Design
from kinematics.design.design_parts import STEEL_MODULUS
from kinematics.film.journal_film import BearingFilms, JournalFilms
from kinematics.one_line import frozen_record
from kinematics.train.bearing_loads import Turn, rods_on_throws, rotating_parts, turned
from kinematics.train.continuous_shaft import journal_slopes
from kinematics.train.cycle import Cycle

MEAN_DROP = 0.2  # pressure-weighted mean of a parabolic crown, over the crown
STATIONS = 17  # over the width
CROWNS = 41  # tried in looking for the best


@frozen_record
class JournalTilts:
    """Slope of each journal in its shell, dx/dz and dy/dz [rad], (b, 2, n) in the shell's axes."""

    big_ends: Array
    mains: Array


def journal_tilts(cycle: Cycle, films: JournalFilms) -> JournalTilts:
    """Return how big-end and main journals tilt by their orbits and by bending.

    Where the design takes the shaft as continuous, it bends as such with its mains where their
    films put them; determinate, each throw tilts rigidly and bends as a bar.

    Parameters
    ----------
    films : of the same cycle, as of `journal_films`

    Returns
    -------
    Slopes dx/dz and dy/dz [rad], (b, 2, n), in the shell's axes.

    Reference: bending of a bar, F s²/(16 E I) at its ends; frames as of `shaft_beam`.

    >>> from kinematics import journal_films, journal_tilts, load_demo, solve_cycle
    >>> cycle = solve_cycle(load_demo("hill_climb_six"), 8500)
    >>> tilts = journal_tilts(cycle, journal_films(cycle))
    >>> tilts.mains.shape
    (7, 2, 720)
    """
    design = cycle.design
    shift = films.mains.bearing.radial_clearance * films.mains.eccentricity
    if design.continuous:
        mains, pins = journal_slopes(
            design,
            cycle.crank_angle,
            cycle.bearings.big_end_load("block"),
            shift,
            cycle.speed,
        )
        return JournalTilts(turned(pins[_on_throw(design)], _to_rods(cycle)), mains)
    return _tilts_by_throw(cycle, films, shift)


def _on_throw(design: Design) -> NDArray[np.intp]:
    return np.array(design.layout.throw_of_cylinder) - 1


def _tilts_by_throw(cycle: Cycle, films: JournalFilms, shift: Array) -> JournalTilts:
    layout = cycle.design.layout
    throw = np.diff(shift, axis=0) / layout.throw_spacing  # each throw as a rigid body, (t, 2, n)
    rigid = (np.concatenate((throw[:1], throw)) + np.concatenate((throw, throw[-1:]))) / 2
    return JournalTilts(
        turned(throw[_on_throw(cycle.design)], _to_rods(cycle)),
        rigid + _bending(cycle, films.big_ends),
    )


def _to_rods(cycle: Cycle) -> Turn:
    """Return the turn from block axes to those of each rod, (c, n)."""
    bank = np.array(cycle.design.layout.bank_angle)
    angle = (bank - bank[0])[:, None] - cycle.motion.rod_angle
    return Turn(np.sin(angle), np.cos(angle))


def _bending(cycle: Cycle, big_ends: BearingFilms) -> Array:
    """Return the main journals' slope by bending, the mean of their throws', (m, 2, n)."""
    design = cycle.design
    spacing = design.layout.throw_spacing
    bore = design.crank_throw.pin_bore if design.crank_throw is not None else 0.0
    second_moment = math.pi / 64 * (big_ends.bearing.diameter**4 - bore**4)
    front = _throw_forces(cycle) * spacing**2 / (16 * STEEL_MODULUS * second_moment)
    none = np.zeros((1, *front.shape[1:]))
    both = (np.concatenate((front, none)) - np.concatenate((none, front))) / 2
    both[[0, -1]] *= 2  # the shaft's ends have one neighbour
    return both


def _throw_forces(cycle: Cycle) -> Array:
    """Return what rods and rotating parts do to each throw [N], (t, 2, n), block axes."""
    layout = cycle.design.layout
    rods = np.einsum("tc,cxn->txn", -rods_on_throws(layout), cycle.bearings.big_end_load("block"))
    parts = rotating_parts(cycle.design)
    pull = np.zeros(layout.throws, dtype=complex)
    np.add.at(pull, parts.throw, parts.unbalance * cycle.speed**2)
    turning = pull[:, None] * np.exp(1j * cycle.crank_angle)
    return rods + np.stack((turning.imag, turning.real), axis=1)


def edge_films(films: BearingFilms, tilt: Array, crown: float) -> Array:
    """Return the thinnest film anywhere over the width [m], (b, n).

    Parameters
    ----------
    tilt : (b, 2, n), of each journal [rad]
    crown : drop of the journal's radius at its edges [m]

    Reference: follows from geometry; the mean drop k/5 from a pressure that is a parabola.
    """
    station = np.linspace(-1, 1, STATIONS)
    half = films.bearing.width / 2
    clearance = films.bearing.radial_clearance
    least = np.full(films.film.shape, np.inf)
    for place in station:
        at = clearance * films.eccentricity + place * half * tilt
        gap = clearance - np.sqrt(at[:, 0] ** 2 + at[:, 1] ** 2)
        np.minimum(least, gap + crown * (place**2 - MEAN_DROP), out=least)
    return least


@frozen_record
class CrownChoice:
    """The minimum film of one bearing's cycle over the crown."""

    crown: Array  # [m] (k,)
    minimum_film: Array  # [m] (k,), anywhere over the width
    middle_film: Array  # [m] (k,), at mid width

    @property
    def best(self) -> int:
        """Index of the crown with the thickest minimum film."""
        return int(self.minimum_film.argmax())


def crown_choice(films: BearingFilms, tilt: Array, index: int) -> CrownChoice:
    """Return the minimum film of a bearing over crowns from none to twice what its tilt takes.

    `tilt` (b, 2, n) [rad] is that of all bearings of the films, `index` the bearing's.

    Reference: common practice, no source.
    """
    clearance, half = films.bearing.radial_clearance, films.bearing.width / 2
    station = np.linspace(-1, 1, STATIONS)[:, None, None]
    at = clearance * films.eccentricity[index] + station * half * tilt[index]
    gap = clearance - np.sqrt(at[:, 0] ** 2 + at[:, 1] ** 2)  # (stations, n)
    middle = films.film[index].min()
    taken = middle - gap.min()
    crown = np.linspace(0.0, max(2.0 * taken, 0.2 * clearance), CROWNS)
    shape = station[:, 0] ** 2 - MEAN_DROP
    worst = gap.min(axis=-1)[:, None]  # each station's thinnest moment
    least = (worst + crown * shape).min(axis=0)
    return CrownChoice(crown, least, middle - MEAN_DROP * crown)
