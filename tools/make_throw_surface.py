"""Make the surface of a throw's stiffness (kinematics/throw/throw_surface.npz) and its test data.

Run from the project's folder, with the extra `tools` installed:

    python tools/make_throw_surface.py sample throws.csv   # 15 minutes on one core
    python tools/make_throw_surface.py fit throws.csv

Throws stand on a Sobol sequence over their ratios. Most are solved on a coarse mesh, some of them
also as `solve_throw` does, for endless fineness. A Gaussian process goes through the coarse ones,
a plane gives what endless fineness adds. A hundred others are solved for endless fineness alone
and held back: the surface is not fitted to them, their error is kept with it, and they go to the
tests. The thinnest webs sampled lie outside of what the surface is said to hold for, so that its
edge there rests on throws to both sides.
"""

import argparse
import csv
import math
import sys
from dataclasses import fields
from pathlib import Path

import numpy as np
from scipy.stats import qmc

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))

from kinematics.array import Array  # noqa: E402
from kinematics.throw.throw_shape import ThrowShape  # noqa: E402
from kinematics.throw.throw_solid import Fineness, Solver, by_elimination, end_stiffness  # noqa: E402
from kinematics.throw.throw_solution import SOLID_MOTIONS, solve_throw  # noqa: E402
from kinematics.throw.throw_surface import (  # noqa: E402
    MOTIONS,
    ThrowSurface,
    bar_stiffness,
    bells,
    scaled_coordinates,
    shape_of_ratios,
    throw_ratios,
)

COUNT, SEED = 618, 7
SAMPLED_LOW = np.array([0.85, 0.65, 0.20, 1.05, 1.05, 0.25, 0.25, 0.0, 0.0])
LOW = np.array([0.85, 0.65, 0.25, 1.05, 1.05, 0.25, 0.25, 0.0, 0.0])
HIGH = np.array([1.90, 1.05, 0.80, 1.80, 1.90, 1.20, 1.20, 0.6, 0.6])
COARSE = Fineness(side=0.225, layers=2, ring=0.0)
FINE = frozenset(range(7, 437, 12))  # throws that are solved on both
HELD_BACK = frozenset((*range(1, 437, 12), *range(437, 500), *range(605, 618)))
# By maximum likelihood over the first 350 throws: how far each coordinate's change reaches, and
# how much the surface bends about its plane, by `MOTIONS`
REACH = np.array([
    [0.93, 9.2, 1.88, 26.8, 13.5, 23.5, 10.1, 13.9, 17.5],
    [1.51, 5.6, 1.79, 18.0, 15.2, 10.1, 6.3, 48.9, 16.6],
    [2.04, 3.3, 1.99, 4.6, 3.3, 4.4, 3.2, 33.9, 8.6],
])  # fmt: skip
BENDING = np.array([1.24, 1.03, 0.056])
PLANE = 10.0  # variance of the plane's weights
NOISE = 5e-5  # of meshes: variance of a logarithm
SHRINKING = 1e-3  # of the finer mesh's plane
SURFACE = ROOT / "kinematics" / "throw" / "throw_surface.npz"
TEST_DATA = ROOT / "tests" / "kinematics" / "throw" / "held_back_throws.csv"
SIZES = tuple(name for name in ThrowShape.__slots__ if name != "crank_radius")


def fast_solver() -> Solver:
    """Return a solver of the extra `tools` where it is installed, else the package's own."""
    try:
        from pypardiso import PyPardisoSolver
    except ImportError:
        return by_elimination
    from scipy import sparse

    def solve(stiffness: sparse.csc_matrix, load: Array) -> Array:
        solver = PyPardisoSolver(mtype=2)  # positive definite: the upper triangle
        upper = sparse.triu(stiffness, format="csr")
        upper.sort_indices()
        shift = solver.solve(upper, np.asfortranarray(load)).reshape(load.shape)
        solver.free_memory(everything=True)
        return shift

    return solve


def sample(path: Path) -> None:
    """Solve all throws and write a line for each."""
    unit = qmc.Sobol(len(LOW), seed=SEED).random(1024)[:COUNT]
    ratios = SAMPLED_LOW + unit * (HIGH - SAMPLED_LOW)
    solve = fast_solver()
    with path.open("w", newline="") as file:
        out = csv.writer(file)
        out.writerow(["number", *SIZES, *(f"coarse_{name}" for name in MOTIONS), *MOTIONS])
        for number, shape in enumerate(map(shape_of_ratios, ratios)):
            row = [math.nan] * 2 * len(MOTIONS)
            if number not in HELD_BACK:
                coarse = end_stiffness(shape, COARSE)
                row[: len(MOTIONS)] = [getattr(coarse, name) for name in SOLID_MOTIONS]
            if number in HELD_BACK or number in FINE:
                found = solve_throw(shape, 1.0, solve=solve).stiffness
                row[len(MOTIONS) :] = [getattr(found, name) for name in MOTIONS]
            sizes = [getattr(shape, name) for name in SIZES]
            out.writerow([number, *(f"{value:.9g}" for value in (*sizes, *row))])
            file.flush()


def fit(path: Path) -> None:
    """Fit the surface, write it and the throws held back, and print its error."""
    with path.open(newline="") as file:
        rows = list(csv.DictReader(file))
    shapes = [ThrowShape(*(float(row[name]) for name in SIZES)) for row in rows]
    ratios = np.stack([throw_ratios(shape) for shape in shapes])
    bars = np.array([[getattr(bar_stiffness(shape, 1.0), name) for name in MOTIONS]
                     for shape in shapes])  # fmt: skip
    coarse = np.array([[float(row[f"coarse_{name}"]) for name in MOTIONS] for row in rows])
    fine = np.array([[float(row[name]) for name in MOTIONS] for row in rows])
    fitted = np.isfinite(coarse[:, 0])
    held = ~fitted & np.all(ratios >= LOW, axis=1)
    at = scaled_coordinates(ratios, LOW, HIGH)
    terms = np.insert(at, 0, 1.0, axis=1)
    plane, weight = _process(at[fitted], terms[fitted], np.log(coarse / bars)[fitted])
    taught = fitted & np.isfinite(fine[:, 0])
    plane += _plane(terms[taught], np.log(fine / coarse)[taught])
    read = terms[held] @ plane.T
    read += np.einsum("mnk,mk->nm", bells(at[held], at[fitted], REACH), weight)
    missed = np.exp(read) * bars[held] / fine[held] - 1
    surface = ThrowSurface(LOW, HIGH, plane, at[fitted], REACH, weight, missed)
    np.savez_compressed(SURFACE, **{field.name: getattr(surface, field.name)
                                    for field in fields(ThrowSurface)})  # fmt: skip
    _write_held_back([row for row, out in zip(rows, held, strict=True) if out])
    for name, column in zip(MOTIONS, np.abs(missed).T, strict=True):
        print(f"{name}: median {np.median(column):.2%}, 95 % {np.quantile(column, 0.95):.2%}, "
              f"worst {column.max():.2%}")  # fmt: skip
    print(f"{fitted.sum()} throws fitted, {held.sum()} held back; all:", surface.error())


def _process(at: Array, terms: Array, wanted: Array) -> tuple[Array, Array]:
    """Return plane (3, 10) and weights (3, k) of a Gaussian process through throws (k, 3)."""
    every = bells(at, at, REACH) * BENDING[:, None, None]
    every += PLANE * (terms @ terms.T) + NOISE * np.eye(len(at))
    weight = np.linalg.solve(every, wanted.T[..., None])[..., 0]
    return PLANE * weight @ terms, BENDING[:, None] * weight


def _plane(terms: Array, wanted: Array) -> Array:
    """Return weights (3, 10) of least squares, all but the first shrunk a little."""
    shrunk = SHRINKING * len(terms) * np.eye(terms.shape[1])
    shrunk[0, 0] = 0.0
    weights: Array = np.linalg.solve(terms.T @ terms + shrunk, terms.T @ wanted).T
    return weights


def _write_held_back(rows: list[dict[str, str]]) -> None:
    names = [*SIZES, *MOTIONS]
    TEST_DATA.parent.mkdir(parents=True, exist_ok=True)
    with TEST_DATA.open("w", newline="") as file:
        out = csv.DictWriter(file, names, extrasaction="ignore", lineterminator="\n")
        out.writeheader()
        out.writerows(rows)


def main() -> None:
    """Sample or fit, as asked."""
    asked = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    asked.add_argument("what", choices=("sample", "fit"))
    asked.add_argument("throws", type=Path)
    given = asked.parse_args()
    {"sample": sample, "fit": fit}[given.what](given.throws)


if __name__ == "__main__":
    main()
