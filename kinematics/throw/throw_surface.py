"""Stiffness of a throw between its ends, read from a smooth surface through finite elements.

`tools/make_throw_surface.py` solves some hundred throws by `throw_solid`. The surface gives the
logarithm of the solid's stiffness over that of bars and flat webs: a plane in the throw's
coordinates and a bell about each throw fitted to, so that what it adds to the bars varies little.
It is made for steel's Poisson's ratio and holds within the ratios sampled. What it misses of
throws that it was not fitted to is kept with it.

Source: Gaussian processes: Rasmussen and Williams, Gaussian Processes for Machine Learning, 2006,
chapter 2 (from memory); bars and webs as of `shaft_beam`.
"""

from dataclasses import dataclass
from functools import cache
from importlib.resources import files

import numpy as np

from kinematics.array import Array
from kinematics.mechanics.shaft_beam import rectangle_section, round_section
from kinematics.one_line import frozen_record
from kinematics.throw.throw_shape import ThrowShape
from kinematics.throw.throw_solid import POISSON

MOTIONS = ("in_plane", "across", "torsion")
RATIOS = (  # in the order of `throw_ratios`, as a sentence names them
    "main journal diameter over crank radius",
    "crankpin diameter over main journal diameter",
    "web thickness over crank radius",
    "web width at main journal over its diameter",
    "web width at crankpin over its diameter",
    "main journal length over crank radius",
    "crankpin length over crank radius",
    "journal bore over its diameter",
    "crankpin bore over its diameter",
)
SHOWN_DIGITS = 3
FINITE_ELEMENTS = "finite_elements"  # beside the formulas of `shaft_stiffness`


@dataclass(frozen=True, slots=True)
class ThrowStiffness:
    """Stiffness of a throw from mid main to mid main [N·m/rad], its ends free to move.

    Each resists the turn of one end against the other under a moment alike along the throw.
    """

    in_plane: float  # bending in the plane of the throw
    across: float  # bending across it
    torsion: float


@frozen_record
class ThrowSurface:
    """The surface, and how far it misses; coordinates run from -1 to 1 over what was sampled."""

    low: Array  # (9,), ratios sampled
    high: Array  # (9,)
    plane: Array  # (3, 10), at the middle and by each coordinate, by `MOTIONS`
    centre: Array  # (k, 9), coordinates of the throws fitted to
    reach: Array  # (3, 9), of the bells along the coordinates
    weight: Array  # (3, k), of the bells
    held_back: Array  # (h, 3), stiffness read over that solved, less 1, of throws not fitted to

    def outside(self, shape: ThrowShape) -> tuple[str, ...]:
        """Return in words which ratios of a throw were not sampled, and what was."""
        ratios = throw_ratios(shape)
        return tuple(
            f"{name} must be {low:.{SHOWN_DIGITS}g} to {high:.{SHOWN_DIGITS}g} "
            f"(got {ratio:.{SHOWN_DIGITS}g})"
            for name, low, high, ratio in zip(RATIOS, self.low, self.high, ratios, strict=True)
            if not low - 1e-9 <= ratio <= high + 1e-9
        )

    def stiffness(self, shape: ThrowShape, elastic_modulus: float) -> ThrowStiffness:
        """Return the stiffness of a throw [m] by its modulus [Pa].

        Reference: a surface through `throw_solid`; Rasmussen and Williams, 2006 (from memory).
        """
        at = scaled_coordinates(throw_ratios(shape)[None], self.low, self.high)[0]
        log = self.plane @ np.append(1.0, at) + (self.weight * self._bells(at)).sum(axis=-1)
        bars = bar_stiffness(shape, elastic_modulus)
        drawn = np.array([getattr(bars, name) for name in MOTIONS])
        return ThrowStiffness(*(drawn * np.exp(log)).tolist())

    def slopes(self, shape: ThrowShape) -> Array:
        """Return the change of ln(solid over bars) by each coordinate from -1 to 1, (3, 9).

        Reference: derivative of the plane and the bells.
        """
        at = scaled_coordinates(throw_ratios(shape)[None], self.low, self.high)[0]
        bent = (self.weight * self._bells(at)) @ (self.centre - at) / self.reach**2
        slope: Array = self.plane[:, 1:] + bent
        return slope

    def error(self) -> tuple[float, float]:
        """Return the median and the largest share by which it misses throws not fitted to."""
        missed = np.abs(self.held_back)
        return float(np.median(missed)), float(missed.max())

    def _bells(self, at: Array) -> Array:
        return bells(at[None], self.centre, self.reach)[:, 0]


def bells(at: Array, centre: Array, reach: Array) -> Array:
    """Return exp(-Σ ((x - c)/l)²/2) of coordinates (n, 9) about centres (k, 9), (3, n, k).

    Reference: Rasmussen and Williams, Gaussian Processes for Machine Learning, 2006, equation
    4.9 (from memory).
    """
    apart = (at[:, None] - centre) ** 2
    bell: Array = np.exp(-np.einsum("nkr,mr->mnk", apart, 0.5 / reach**2))
    return bell


def scaled_coordinates(ratios: Array, low: Array, high: Array) -> Array:
    """Return coordinates of throws from their ratios (n, 9), -1 at the low ones, 1 at the high.

    Journal's diameter goes in by the overlap, lengths and widths by their logarithms, bores by
    their squares.

    Reference: a choice that lets the surface vary little.
    """
    bottom, top, at = (_coordinates(each) for each in (low[None], high[None], ratios))
    scaled: Array = (2 * at - bottom - top) / (top - bottom)
    return scaled


def _coordinates(ratios: Array) -> Array:
    overlap = ratios[:, :1] * (1 + ratios[:, 1:2]) / 2
    return np.concatenate(
        (overlap, ratios[:, 1:2], np.log(ratios[:, 2:7]), ratios[:, 7:] ** 2), axis=1
    )


def throw_ratios(shape: ThrowShape) -> Array:
    """Return a throw's ratios in the order of `RATIOS`, (9,).

    Reference: dimensional analysis.
    """
    main, pin, radius = shape.main_diameter, shape.pin_diameter, shape.crank_radius
    return np.array([
        main / radius, pin / main, shape.web_thickness / radius, shape.main_width / main,
        shape.pin_width / pin, shape.journal_length / radius, shape.pin_length / radius,
        shape.journal_bore / main, shape.pin_bore / pin,
    ])  # fmt: skip


def shape_of_ratios(ratios: Array) -> ThrowShape:
    """Return the throw of crank radius 1 that has some ratios (9,)."""
    main, pin_share, web, main_width, pin_width, journal, length, main_bore, pin_bore = (
        float(ratio) for ratio in ratios
    )
    pin = main * pin_share
    return ThrowShape(main, pin, web, main_width * main, pin_width * pin, journal, length,
                      main_bore * main, pin_bore * pin)  # fmt: skip


def bar_stiffness(shape: ThrowShape, elastic_modulus: float) -> ThrowStiffness:
    """Return a throw's stiffness as of bars and flat webs; modulus [Pa].

    Bars run to the webs' middles, webs from axis to axis, of the mean of both widths. A moment
    bends journals, pin and webs alike; across the throw it twists the webs, and a torque bends
    them in their width.

    Reference: Timoshenko, Strength of Materials, part I (from memory); sections of `shaft_beam`.
    """
    one, scale = shape.over_radius(), elastic_modulus * shape.crank_radius**3
    shear = 1 / (2 * (1 + POISSON))
    journal = round_section(one.main_diameter, one.journal_bore, poisson=POISSON)
    pin = round_section(one.pin_diameter, one.pin_bore, poisson=POISSON)
    web = rectangle_section(one.web_thickness, (one.main_width + one.pin_width) / 2)
    lengths = one.journal_length + one.web_thickness, one.pin_length + one.web_thickness
    bending = lengths[0] / journal.second_moment_y + lengths[1] / pin.second_moment_y
    twist = (lengths[0] / journal.torsion_constant + lengths[1] / pin.torsion_constant) / shear
    return ThrowStiffness(
        in_plane=scale / (bending + 2 / web.second_moment_z),
        across=scale / (bending + 2 / (shear * web.torsion_constant)),
        torsion=scale / (twist + 2 / web.second_moment_y),
    )


@cache
def throw_surface() -> ThrowSurface:
    """Return the surface that comes with the package.

    Reference: made by `tools/make_throw_surface.py`.
    """
    with (files(__package__) / "throw_surface.npz").open("rb") as file, np.load(file) as kept:
        return ThrowSurface(**{name: kept[name] for name in kept.files})
