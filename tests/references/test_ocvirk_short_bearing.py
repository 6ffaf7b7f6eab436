"""Ocvirk's short bearing: the table of its closed form, printed to four or five digits.

F. W. Ocvirk, Short-bearing approximation for full journal bearings, NACA TN 2808, 1952 (relations
from memory; the figures recomputed independently with quadrature).
"""

import numpy as np
import pytest

from kinematics.film.short_bearing import (
    FilmBearing,
    attitude_angle,
    load_number,
    peak_pressure,
    peak_pressure_angle,
    side_flow,
    squeeze_impulse,
    steady_eccentricity,
    steady_load,
)

TABLE = (  # eccentricity ratio, load number, attitude °, place of the peak °, peak over mean
    (0.1, 1.0101, 82.708, 106.492, 1.9508),
    (0.2, 2.1683, 75.431, 120.000, 2.0655),
    (0.3, 3.6741, 68.178, 130.393, 2.2421),
    (0.4, 5.8665, 60.940, 138.590, 2.4785),
    (0.5, 9.4296, 53.680, 145.374, 2.7856),
    (0.6, 15.9924, 46.321, 151.284, 3.1948),
    (0.7, 30.3358, 38.704, 156.724, 3.7785),
    (0.8, 72.0220, 30.500, 162.079, 4.7302),
    (0.9, 301.6701, 20.826, 167.979, 6.8229),
    (0.95, 1232.1309, 14.475, 171.706, 9.7370),
)
# one land of a medium-speed diesel's big end
DIESEL = FilmBearing(0.1016, 0.05715, 82.55e-6, 0.015)
SPEED = 62.8319


@pytest.mark.parametrize(("ratio", "number", "attitude", "place", "peak"), TABLE)
def test_the_table(ratio, number, attitude, place, peak):
    e = np.array([ratio])
    mean = steady_load(DIESEL, e, SPEED) / (2 * DIESEL.radius * DIESEL.width)
    assert load_number(e)[0] == pytest.approx(number, rel=1e-4)
    assert np.degrees(attitude_angle(e))[0] == pytest.approx(attitude, rel=1e-4)
    assert np.degrees(peak_pressure_angle(e))[0] == pytest.approx(place, rel=1e-4)
    assert (peak_pressure(DIESEL, e, SPEED) / mean)[0] == pytest.approx(peak, rel=1e-4)


def test_the_diesels_big_end_under_20_kn():
    """e 0.825530, attitude 28.232°, film 14.4025 µm, peak 8.76799 MPa, flow 2.48622e-5 m³/s."""
    e = steady_eccentricity(DIESEL, np.array([20000.0]), SPEED)
    assert e[0] == pytest.approx(0.825530, rel=1e-5)
    assert np.degrees(attitude_angle(e))[0] == pytest.approx(28.232, rel=1e-4)
    assert 82.55 * (1 - e[0]) == pytest.approx(14.4025, rel=1e-4)
    assert peak_pressure(DIESEL, e, SPEED)[0] == pytest.approx(8.76799e6, rel=1e-4)
    assert side_flow(DIESEL, e, SPEED)[0] == pytest.approx(2.48622e-5, rel=1e-4)


@pytest.mark.parametrize(
    ("ratio", "full", "half"),
    [(0.5, 2.41840, 1.94560), (0.8, 11.63553, 11.02997), (0.9, 34.13988, 33.50170),
     (0.95, 98.03170, 97.37881)],
)  # fmt: skip
def test_squeeze_closed_forms(ratio, full, half):
    e = np.array([ratio])
    assert squeeze_impulse(e, film="full")[0] == pytest.approx(full, rel=1e-5)
    assert squeeze_impulse(e)[0] == pytest.approx(half, rel=1e-5)
