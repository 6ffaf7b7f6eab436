"""How far rigid shells and one viscosity may be off: bounds of film and peak pressure.

Two effects that the film models leave out. Under pressure oil thickens, μ = μ₀ exp(α p): with p
the mean over the projected area at each instant, the film is that of the load times exp(-α p), for
a film moves by W/μ. Real films have more pressure where they bear, but are warmer and sheared
there, so this is an upper bound of use, not the answer. And a shell yields: at most it conforms to
the journal over half its circumference, pressure as cos θ round it and as a parabola over the
width, which is the lowest peak that carries the load; the rigid shell's is the highest. A big end
that closes square to its load comes nearer to the first.

Sources: C. Barus, 1893, as in B. J. Hamrock, S. R. Schmid and B. O. Jacobson, Fundamentals of Fluid
Film Lubrication, 2nd ed., 2004 (from memory), α of mineral oils near 100 °C 1 to 2·10⁻⁸ 1/Pa (from
memory); the conforming shell: equilibrium.
"""

import dataclasses
import math

import numpy as np

from kinematics.array import Array
from kinematics.design.design_bearings import Oil
from kinematics.film.film_heat import BALANCE_POINTS
from kinematics.film.grooved_film import bearing_film
from kinematics.film.journal_film import BearingFilms
from kinematics.film.journal_orbit import closed_orbits
from kinematics.film.running_bearings import (
    PRESSURE_COEFFICIENT,
    row_of,
    running_bearings,
)
from kinematics.train.cycle import RigidTrain

RIGID_PRESSURE = 150e6  # [Pa] above it shells yield as much as the film is thick; common practice
CONFORMING = 6 / math.pi  # peak over W/(L D): 4/π round the half shell, 3/2 over the width


def conforming_peaks(films: BearingFilms) -> Array:
    """Return the peak pressure [Pa] (b,) if each shell conformed to its journal.

    6/π W/(L D), the maximum of the cycle: no shell can have less at that load.

    Reference: equilibrium of p cos θ over half the shell, a parabola over the width.
    """
    peaks: Array = CONFORMING * films.specific_load.max(axis=-1)
    return peaks


def thickened_films(train: RigidTrain, films: BearingFilms, kind: str) -> Array:
    """Return the minimum films [m] (b,) of a kind with oil that thickens under pressure.

    `kind` is "big_end" or "main"; at the films' viscosities, on a grid of some 240 points.

    Raises
    ------
    DesignError where no closed orbit is found.

    Reference: Barus, 1893, as in Hamrock, Schmid and Jacobson (from memory).
    """
    bearings = running_bearings(train, np.array([films.speed]), (kind,))
    rows = [row for row, _ in row_of(train, kind)]
    first = [rows.index(row) for row in range(1 + max(rows))]
    thickened = dataclasses.replace(bearings, pressure_coefficient=PRESSURE_COEFFICIENT)
    stride = max(train.points // BALANCE_POINTS, 1)
    oil: Oil = train.design.needed("oil", "the oil film")
    film = bearing_film(oil.film_model, bearings)
    orbit = closed_orbits(thickened.journals(films.viscosity[first], stride), film)
    size = np.sqrt(orbit[:, 0] ** 2 + orbit[:, 1] ** 2).max(axis=-1)
    return (bearings.clearance * (1 - size))[rows]
