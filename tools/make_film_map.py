"""Make the table of a finite bearing: mobility, peak pressure, flow (kinematics/film/film_map.npz).

Run `python tools/make_film_map.py` from the project's folder; it takes ten minutes on one core.
For each width and eccentricity Reynolds' equation is solved for velocities whose loads lie near
even angles, on two grids; the two give the value for endless cells (Richardson), and splines over
the load angles found give the table's. `--cells 192 16` takes a coarser grid.
"""

import argparse
import math
import sys
import time
from pathlib import Path

import numpy as np
from scipy.interpolate import CubicSpline, PchipInterpolator

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))

from kinematics.array import Array  # noqa: E402
from kinematics.film.film_map import CROWDING  # noqa: E402
from kinematics.film.mobility import finite_length_mobility  # noqa: E402
from kinematics.film.reynolds_film import ReynoldsFilm, clustered_angles, solve_film  # noqa: E402

WIDTH_RATIO = np.array([0.1, 0.15, 0.2, 0.25, 0.3, 0.4, 0.5, 0.65, 0.8, 1.0, 1.25, 1.5])
THINNESS = np.linspace(0, 7, 29)  # -ln(1 - ε)
DIRECTIONS = 37  # of the velocity, for each width and eccentricity
NEAR_MIDDLE = 0.005  # eccentricity ratio that gives the limit of the aside ratio at 0
SHARES = np.linspace(0, 1, 37)
LOAD_ANGLE = math.pi * np.sinh(CROWDING * SHARES) / math.sinh(CROWDING)  # see `crowded`
NAMES = ("along", "ahead", "peak", "peak_angle", "flow")


def directions(eccentricity: float) -> Array:
    """Return load angles [rad] from 0 to π to aim at, denser near 0 where the film is thin."""
    return clustered_angles(np.linspace(0, 1, DIRECTIONS), eccentricity)


def aimed_velocity(eccentricity: float, angle: float, width_ratio: float) -> Array:
    """Return the velocity along the eccentricity and ahead of it that the fitted map gives."""
    fit = fitted(eccentricity, np.array(angle), width_ratio)
    turn = np.array([[math.cos(angle), math.sin(angle)], [-math.sin(angle), math.cos(angle)]])
    return turn @ fit


def fitted(eccentricity: float, angle: Array, width_ratio: float) -> Array:
    """Return the fitted mobility along the load and ahead of it (2, …)."""
    xi, eta = eccentricity * np.cos(angle), eccentricity * np.sin(angle)
    along, ahead = finite_length_mobility(xi, eta, width_ratio)
    return np.stack((along, np.where(np.sin(angle) < 1e-9, 0.0, ahead)))


def numbers_of(film: ReynoldsFilm) -> Array:
    """Return eccentricity's angle from the load, size of mobility, peak, its angle, flow (5,)."""
    load = film.load_angle
    size = float(np.hypot(*film.mobility))
    place = math.remainder(film.peak_angle - load, 2 * math.pi)
    angle = math.remainder(-load, 2 * math.pi)
    return np.array([angle, size, film.peak_over_mean, place, film.side_flow])


def solved(
    eccentricity: float, velocity: Array, width_ratio: float, cells: tuple[int, int]
) -> Array:
    """Return `numbers_of` for endless cells, by second-order extrapolation from two grids."""
    half = (cells[0] // 2, cells[1] // 2)
    coarse = solve_film(eccentricity, velocity, width_ratio, cells=half)
    start = np.repeat(np.repeat(coarse.filled, 2, axis=0), 2, axis=1)
    fine = numbers_of(solve_film(eccentricity, velocity, width_ratio, cells=cells, start=start))
    step = fine - numbers_of(coarse)
    step[[0, 3]] = np.remainder(step[[0, 3]] + math.pi, 2 * math.pi) - math.pi
    step[3] = 0.0  # the place of the peak is found to a cell's share, which does not extrapolate
    return fine + step / 3


def rows(eccentricity: float, width_ratio: float, cells: tuple[int, int]) -> Array:
    """Return the five arrays at the table's load angles (5, beta)."""
    aims = directions(eccentricity)
    found = []
    for aim in aims:
        velocity = aimed_velocity(eccentricity, float(aim), width_ratio)
        angle, *numbers = solved(eccentricity, velocity, width_ratio, cells)
        ahead_of_velocity = math.atan2(velocity[1], velocity[0]) + angle
        found.append((angle, ahead_of_velocity, *numbers))
    angle, turned, size, peak, place, flow = np.array(found).T
    angle[[0, -1]] = 0.0, math.pi  # by symmetry
    place[[0, -1]] = 0.0, abs(place[-1])
    turned[[0, -1]] = 0.0, 0.0
    fit = fitted(eccentricity, angle, width_ratio)
    inner = slice(1, -1)
    ahead = even(angle[inner], size[inner] * np.sin(turned[inner]) / fit[1, inner])
    return np.stack(
        (even(angle, size * np.cos(turned) / fit[0]), ahead, one_sided(angle, peak),
         one_sided(angle, place), even(angle, flow))
    )  # fmt: skip


def even(angle: Array, values: Array) -> Array:
    """Return values at the table's angles, their curve being symmetrical about 0 and π."""
    angles = np.concatenate((-angle[::-1], angle, 2 * math.pi - angle[::-1]))
    kept = np.append(True, np.diff(angles) > 1e-9)
    tripled = np.concatenate((values[::-1], values, values[::-1]))
    return CubicSpline(angles[kept], tripled[kept])(LOAD_ANGLE)


def one_sided(angle: Array, values: Array) -> Array:
    """Return values at the table's angles; two equal peaks make a corner at π."""
    return PchipInterpolator(angle, values)(LOAD_ANGLE)


def middle_rows(width_ratio: float, cells: tuple[int, int]) -> Array:
    """Return the five arrays where the journal is in the middle, at any load angle (5, beta)."""
    _, size, peak, _, flow = solved(0.0, np.array([1.0, 0.0]), width_ratio, cells)
    velocity = aimed_velocity(NEAR_MIDDLE, math.pi / 2, width_ratio)
    angle, near, *_ = solved(NEAR_MIDDLE, velocity, width_ratio, cells)
    turned = math.atan2(velocity[1], velocity[0]) + angle
    fit = fitted(0.0, np.array(0.0), width_ratio)[0]
    aside = near * math.sin(turned) / fitted(NEAR_MIDDLE, np.array(angle), width_ratio)[1]
    return np.outer([size / fit, aside, peak, 0.0, flow], np.ones_like(LOAD_ANGLE))


def main() -> None:
    """Solve all, tell of each width, write the file."""
    asked = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    asked.add_argument("--cells", type=int, nargs=2, default=(512, 24), metavar=("ROUND", "HALF"))
    asked.add_argument("--file", type=Path, default=ROOT / "kinematics" / "film" / "film_map.npz")
    chosen = asked.parse_args()
    cells = tuple(chosen.cells)
    print(f"{cells[0]} cells round, {cells[1]} over half the width, and half of each")
    begun = time.perf_counter()
    table = np.empty((len(NAMES), len(WIDTH_RATIO), len(THINNESS), len(LOAD_ANGLE)))
    for i, width_ratio in enumerate(WIDTH_RATIO):
        table[:, i, 0] = middle_rows(width_ratio, cells)
        for j, thinness in enumerate(THINNESS[1:], start=1):
            table[:, i, j] = rows(-math.expm1(-thinness), width_ratio, cells)
        low, high = table[:2, i].min(axis=(1, 2)), table[:2, i].max(axis=(1, 2))
        print(
            f"L/D {width_ratio:g}: over the fitted map along {low[0]:.3f} to {high[0]:.3f}, "
            f"ahead {low[1]:.3f} to {high[1]:.3f}; {time.perf_counter() - begun:.0f} s so far",
            flush=True,
        )
    arrays = dict(zip(NAMES, table.astype(np.float32), strict=True))
    np.savez_compressed(
        chosen.file, width_ratio=WIDTH_RATIO, thinness=THINNESS, load_angle=LOAD_ANGLE, **arrays
    )
    print(f"{chosen.file.name}: {chosen.file.stat().st_size / 1000:.0f} kB")


if __name__ == "__main__":
    main()
