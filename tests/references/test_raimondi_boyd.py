"""The steady bearing of finite width: Raimondi and Boyd's table for the full bearing.

A. A. Raimondi and J. Boyd, A solution for the finite journal bearing and its application to
analysis and design, III, ASLE Transactions 1, 1958 (figures from memory); the friction and flow of
L/D 1 at S 0.264 and 0.121 also in U. C. Jindal, Machine Design, ch. 17. Their film starts at the
thickest place from an axial groove at ambient pressure.

A journal at rest in its place, turning at ω, is squeezed at ω ε/2 against its sense of rotation:
S = (R/c)² μ N / P is 4 (L/D) / (π ε F). Through the plane of the groove flows what the surface
drags, π R c N L (1 + ε), less what the pressure drives back, h³/(12 μ R) ∂p/∂φ over the width.
"""

import math
from functools import cache
from typing import NamedTuple

import numpy as np
import pytest
from scipy.optimize import brentq

from kinematics.film.reynolds_film import solve_film


class Steady(NamedTuple):
    number: float  # S
    attitude: float  # from the load to the thinnest film [°]
    flow: float  # Q/(R c N L)
    side_share: float  # Q_s/Q
    mean_over_peak: float
    friction: float  # (R/c) f


@cache
def steady(width_ratio, thinnest):
    """What the table prints, of a bearing whose thinnest film is a share of the clearance."""
    e = 1 - thinnest
    film = solve_film(e, np.array([0.0, -1.0]), width_ratio, groove=True)
    number = 4 * width_ratio / (math.pi * e * float(np.hypot(*film.force)))
    grid = film.grid
    slope = film.pressure[0] / (grid.angle[0] + math.pi)
    driven = 2 * slope @ np.diff(grid.width_faces) * (1 + e) ** 3
    flow = math.pi * (1 + e) - math.pi * e / (24 * width_ratio) * driven
    drag = 2 * math.pi**2 * number / math.sqrt(1 - e**2)
    return Steady(
        number,
        -math.degrees(film.load_angle),
        flow,
        math.pi * e * film.side_flow / flow,
        1 / film.peak_over_mean,
        drag + e / 2 * math.sin(-film.load_angle),
    )


@pytest.mark.parametrize(
    ("width_ratio", "thinnest", "number", "attitude", "flow", "side_share", "mean_over_peak"),
    [
        (1.0, 0.8, 0.631, 74.02, 3.59, 0.280, 0.529),
        (1.0, 0.6, 0.264, 63.10, 3.99, 0.497, 0.484),
        (1.0, 0.4, 0.121, 50.58, 4.33, 0.680, 0.415),
        (1.0, 0.2, 0.0446, 36.24, 4.62, 0.842, 0.313),
        (1.0, 0.1, 0.0188, 26.45, 4.74, 0.919, 0.247),
        (0.5, 0.8, 2.03, 74.94, 3.72, 0.318, 0.506),
        (0.5, 0.6, 0.779, 61.45, 4.29, 0.552, 0.441),
        (0.5, 0.4, 0.319, 48.14, 4.85, 0.730, 0.365),
        (0.5, 0.2, 0.0923, 33.31, 5.41, 0.874, 0.267),
        (0.5, 0.1, 0.0313, 23.66, 5.69, 0.939, 0.206),
    ],
)
def test_the_table(width_ratio, thinnest, number, attitude, flow, side_share, mean_over_peak):
    """The greatest differences: S 1.5 % at L/D 1 and 0.6, the peak 2.6 % at L/D 1/2 and 0.2."""
    found = steady(width_ratio, thinnest)
    assert found.number == pytest.approx(number, rel=0.02)
    assert found.attitude == pytest.approx(attitude, abs=0.6)
    assert found.flow == pytest.approx(flow, rel=0.005)
    assert found.side_share == pytest.approx(side_share, abs=0.004)
    assert found.mean_over_peak == pytest.approx(mean_over_peak, rel=0.027)


@pytest.mark.parametrize(("thinnest", "friction"), [(0.6, 5.79), (0.4, 3.22)])
def test_friction_of_a_film_that_fills_the_whole_gap(thinnest, friction):
    """(R/c) f = 2 π² S / √(1 - ε²) + (ε/2) sin φ: the whole gap drags, whole or torn."""
    assert steady(1.0, thinnest).friction == pytest.approx(friction, rel=0.015)


@pytest.mark.parametrize("thinnest", [0.8, 0.4, 0.1])
def test_what_goes_in_goes_out(thinnest):
    """What enters less what leaves at the sides passes the torn film, dragged: π h* / c.

    h* is the gap where the film tears; there pressure ends as a parabola.
    """
    found, e = steady(1.0, thinnest), 1 - thinnest
    film = solve_film(e, np.array([0.0, -1.0]), 1.0, cells=(384, 32), groove=True)
    over = np.arange(film.filled.shape[1])
    last = film.filled.shape[0] - 1 - film.filled[::-1].argmax(axis=0)
    here, before = film.grid.angle[last], film.grid.angle[last - 1]
    end, inside = np.sqrt(film.pressure[last, over]), np.sqrt(film.pressure[last - 1, over])
    tears = here + (here - before) * end / (inside - end)
    passed = np.diff(film.grid.width_faces) @ film.grid.film(tears) * math.pi
    assert found.flow * (1 - found.side_share) == pytest.approx(passed, rel=0.01)


def test_viscosity_for_a_film_of_8_um():
    """L = D = 60 mm, 6 kN, c 0.04 mm, 1260 turns a minute: 6.293 cP.

    U. C. Jindal, Machine Design, ex. 17-2 p. 482.
    """
    pressure = 6000 / 0.06**2
    number = steady(1.0, 0.008 / 0.04).number
    viscosity = number * pressure * (0.04 / 30) ** 2 / (1260 / 60)
    assert viscosity == pytest.approx(6.293e-3, rel=0.005)


def test_the_bearing_of_500_lbf():
    """4 µreyn, 30 turns a second, R 0.75 in, c 0.0015 in, L 1.5 in; answers read from charts.

    J. E. Shigley, Mechanical Engineering Design, ex. 12-1 to 12-4 (from memory).
    """
    pressure = 500 / (1.5 * 1.5)
    number = (0.75 / 0.0015) ** 2 * 4e-6 * 30 / pressure
    assert number == pytest.approx(0.135, rel=1e-3)
    thinnest = brentq(lambda share: steady(1.0, share).number - number, 0.3, 0.6, xtol=1e-6)
    found = steady(1.0, thinnest)
    assert thinnest == pytest.approx(0.42, rel=0.02)
    assert found.attitude == pytest.approx(53, rel=0.02)
    assert found.flow * 0.75 * 0.0015 * 30 * 1.5 == pytest.approx(0.217, rel=0.005)
    assert found.side_share == pytest.approx(0.655, rel=0.01)
    assert found.mean_over_peak == pytest.approx(0.42, rel=0.02)
    assert pressure / found.mean_over_peak == pytest.approx(529, rel=0.02)
