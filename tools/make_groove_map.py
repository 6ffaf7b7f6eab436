"""Make the table of a main with a groove part of the way round (kinematics/film/groove_map.npz).

Run `python tools/make_groove_map.py` from the project's folder; it takes some fifteen minutes on
one core. For each shell (width, groove's width and arc) and each place of the journal, Reynolds'
equation is solved for velocities whose loads lie near even angles, on two grids; the two give the
value for endless cells (Richardson). Mobility is stored as the share of the way from the plain
shell's to that of two lands, in logarithms. `--parts DIR` keeps each shell's table there, so that
a run that ends early goes on where it was.
"""

import argparse
import itertools
import math
import sys
import time
from pathlib import Path

import numpy as np
from scipy.interpolate import CubicHermiteSpline, PchipInterpolator

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))

from kinematics.array import Array  # noqa: E402
from kinematics.film.groove_map import (  # noqa: E402
    CROWDING,
    QUANTITIES,
    STEPS,
    fewer,
    groove_directions,
    packed,
    parted_over_plain,
    plain_numbers,
)
from kinematics.film.grooved_reynolds import GroovedGrid, GroovedShell  # noqa: E402
from kinematics.film.mobility import finite_length_mobility  # noqa: E402
from kinematics.film.reynolds_film import clustered_angles  # noqa: E402

WIDTH_RATIO = np.array([0.15, 0.25, 0.4, 0.65])
GROOVE_SHARE = np.array([0.06, 0.14, 0.25, 0.4])
ARC = np.radians([120.0, 180.0, 240.0])
THINNESS = np.array([0, 0.4, 0.8, 1.2, 1.6, 2, 2.5, 3, 3.5, 4.2, 5, 6])  # -ln(1 - ε)
SHARES = np.linspace(-1, 1, 25)  # of the eccentricity's direction, 0 at the groove's end
LEADS = np.linspace(-1, 1, 45)
LEAD = math.pi * np.sinh(CROWDING * LEADS) / math.sinh(CROWDING)  # of eccentricity on load
AIMS = 29  # velocities for each place
FINE, COARSE = (96, 4, 8), (48, 2, 4)


def aimed_velocity(eccentricity: float, lead: float, width_ratio: float) -> Array:
    """Return the velocity along the eccentricity and ahead of it that the fitted map gives."""
    xi, eta = eccentricity * math.cos(lead), eccentricity * math.sin(lead)
    fit = np.array(finite_length_mobility(np.array(xi), np.array(eta), width_ratio))
    turn = np.array([[math.cos(lead), math.sin(lead)], [-math.sin(lead), math.cos(lead)]])
    return turn @ fit


def place_rows(shell: GroovedShell, eccentricity: float, direction: float) -> Array:
    """Return lead, mobility along and ahead, peak, its angle ahead of the load, flow (6, aims)."""
    grids = [GroovedGrid(shell, eccentricity, direction, cells) for cells in (FINE, COARSE)]
    starts = [None, None]
    found = []
    for aim in clustered_angles((np.arange(AIMS) + 0.5) / AIMS * 2 - 1, eccentricity):
        velocity = aimed_velocity(eccentricity, float(aim), shell.width_ratio)
        pair = []
        for i, grid in enumerate(grids):
            film = grid.solve(velocity, starts[i])
            starts[i] = film.filled
            lead = math.remainder(-film.load_angle, 2 * math.pi)
            place = math.remainder(film.peak_angle - film.load_angle, 2 * math.pi)
            numbers = (lead, *film.mobility, film.peak_over_mean, place, film.side_flow)
            pair.append(np.array(numbers))
        step = pair[0] - pair[1]
        step[0] = math.remainder(step[0], 2 * math.pi)
        step[4] = 0.0
        found.append(pair[0] + step / 3)
    rows = np.array(found).T
    return rows[:, np.argsort(rows[0])]


def at_leads(rows: Array) -> Array:
    """Return ln mobility along the load, peak, its angle and flow at the table's leads (4, lead).

    The slope of ln mobility over the lead is -2 times ahead over along (a potential).
    """
    lead, along, ahead, *others = np.concatenate((rows, rows, rows), axis=1)
    lead = lead + np.repeat([-2 * math.pi, 0, 2 * math.pi], rows.shape[1])
    kept = np.append(True, np.diff(lead) > 1e-7)
    curve = CubicHermiteSpline(lead[kept], np.log(along[kept]), -2 * (ahead / along)[kept])
    others[1] = np.unwrap(others[1])
    return np.stack(
        [curve(LEAD), *(PchipInterpolator(lead[kept], row[kept])(LEAD) for row in others)]
    )


def shell_table(shell: GroovedShell) -> Array:
    """Return the four tables of a shell (4, thinness, direction, lead)."""
    table = np.empty((len(QUANTITIES), len(THINNESS), len(SHARES), len(LEAD)))
    for i, thinness in enumerate(THINNESS):
        eccentricity = -math.expm1(-thinness)
        xi, eta = eccentricity * np.cos(LEAD), eccentricity * np.sin(LEAD)
        plain = plain_numbers(shell.width_ratio, xi, eta)
        ratio = parted_over_plain(shell.width_ratio, shell.groove_share, xi, eta)
        for j, direction in enumerate(groove_directions(SHARES, shell.arc)):
            log, peak, place, flow = at_leads(place_rows(shell, eccentricity, float(direction)))
            table[:, i, j] = (
                (log - np.log(plain.along)) / np.log(ratio),
                np.log(peak / plain.peak),
                np.remainder(place - plain.peak_angle + math.pi, 2 * math.pi) - math.pi,
                np.log(flow / plain.flow),
            )
    return table


def main() -> None:
    """Solve all shells, tell of each, write the file."""
    asked = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    asked.add_argument("--parts", type=Path, help="folder for the tables of single shells")
    asked.add_argument("--file", type=Path, default=ROOT / "kinematics" / "film" / "groove_map.npz")
    chosen = asked.parse_args()
    begun = time.perf_counter()
    sizes = (len(WIDTH_RATIO), len(GROOVE_SHARE), len(ARC))
    whole = np.empty((len(QUANTITIES), *sizes, len(THINNESS), len(SHARES), len(LEAD)))
    order = sorted(itertools.product(*map(range, sizes)), key=lambda at: abs(at[2] - 1))
    for i, j, k in order:
        part = chosen.parts and chosen.parts / f"{i}_{j}_{k}.npy"
        if part and part.exists():
            whole[:, i, j, k] = np.load(part)
            continue
        shell = GroovedShell(float(WIDTH_RATIO[i]), float(GROOVE_SHARE[j]), float(ARC[k]))
        whole[:, i, j, k] = shell_table(shell)
        if part:
            np.save(part, whole[:, i, j, k])
        share = whole[0, i, j, k]
        print(f"{shell}: share {share.min():.3f} to {share.max():.3f}; "
              f"{time.perf_counter() - begun:.0f} s so far", flush=True)  # fmt: skip
    few = fewer(len(THINNESS))
    tables = {
        name: packed(table if name == "share" else table[:, :, :, few], STEPS[name])
        for name, table in zip(QUANTITIES, whole, strict=True)
    }
    np.savez_compressed(
        chosen.file, width_ratio=WIDTH_RATIO, groove_share=GROOVE_SHARE, arc=ARC,
        thinness=THINNESS, shares=SHARES, leads=LEADS, **tables,
    )  # fmt: skip
    print(f"{chosen.file.name}: {chosen.file.stat().st_size / 1000:.0f} kB")


if __name__ == "__main__":
    main()
