"""The search for the viscosities of films at which their heat and their oil agree.

Source: the secant method, any book on numerical analysis.
"""

import dataclasses
import math
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from kinematics.array import Array
from kinematics.design.design_bearings import Oil
from kinematics.film.film_model import TINY
from kinematics.one_line import frozen_record

FIRST_SLOPE = 1.5  # before two values are known
TELLING = 1e-3  # change of ln μ from which the search learns a slope
FIRST_RISE = 20.0  # above the inlet [K], where the search begins
DOUBTFUL = 0.05  # relative; of what is off by less, the orbit's own error may turn the sign
HOTTEST = 250.0  # above the inlet [K]: no oil is found hotter


@frozen_record
class ViscositySearch:
    """The secant method on ln μ, kept between the values known to be too thick and too thin.

    What is sought rises with ln μ, at least as fast. Each (b,).
    """

    log: Array  # ln μ, where it is asked next
    thin: Array
    thick: Array
    before: Array  # ln μ where it was asked last, and how far off that was
    off_before: Array
    slope: Array

    @staticmethod
    def between(oil: Oil, law: Callable[[Array], Array], count: int) -> "ViscositySearch":
        """Return the search for so many films, from a guess between inlet and hottest oil."""
        inlet = oil.inlet_temperature
        first, thin, thick = (
            np.full(count, math.log(float(law(np.array(inlet + warmer)))))
            for warmer in (FIRST_RISE, HOTTEST, 0.0)
        )
        nothing = np.full(count, np.nan)
        return ViscositySearch(first, thin, thick, nothing, nothing, np.full(count, FIRST_SLOPE))

    def taken(self, rows: NDArray[np.intp]) -> "ViscositySearch":
        """Return that of some rows."""
        each = (getattr(self, field.name)[rows] for field in dataclasses.fields(self))
        return ViscositySearch(*each)

    def begun(self, viscosity: Array, slope: Array) -> "ViscositySearch":
        """Return the search from viscosities [Pa·s] and slopes that are nearly its end's."""
        return dataclasses.replace(self, log=np.log(viscosity), slope=slope)

    def left_after(self, off: Array) -> Array:
        """Return how far off the next value will be at most (b,), after one off by so much.

        The method gains at least as much again as it did with the last value.
        """
        off = np.abs(off)
        before = np.where(np.isnan(self.off_before), off, np.abs(self.off_before))
        left: Array = off**2 / np.maximum(np.maximum(off, before), TINY)
        return left

    def part_of(self, last: "ViscositySearch") -> Array:
        """Return the next change of ln μ over the last one (b,); 0 where that tells nothing."""
        moved = last.log - last.before
        known = np.abs(moved) > TELLING * DOUBTFUL
        part = np.divide(self.log - last.log, moved, out=np.zeros_like(moved), where=known)
        return np.where(np.abs(part) < 1, part, 0.0)

    def next(self, off: Array) -> "ViscositySearch":
        """Return the search after it was off by so much (b,)."""
        log = self.log
        thick = np.where(off > DOUBTFUL, log, self.thick)
        thin = np.where(off < -DOUBTFUL, log, self.thin)
        moved = log - self.before
        known = np.abs(moved) > TELLING
        slope = np.divide(off - self.off_before, moved, out=self.slope.copy(), where=known)
        after = log - off / np.maximum(slope, 1.0)
        trusted = (thin <= after) & (after <= thick) | (np.abs(off) < DOUBTFUL)
        after = np.where(trusted, after, (thin + thick) / 2)
        return ViscositySearch(after, thin, thick, log, off, slope)
