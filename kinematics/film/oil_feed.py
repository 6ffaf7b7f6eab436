"""Oil that groove or hole can feed into a film, and the flow that really passes.

A film that is full all round presses Q_v out at its sides, and the supply presses Q_p through it;
both together would make Q_R. Hole and groove are narrower than the bearing, so less enters: Q. The
filling Q/Q_R tells how far a bearing is starved. In the short bearing a film of filling f begins
where the gap is h = c (1 - ε + 2 ε f), for what flows in there covers what leaves down to the
thinnest place; at half the flow that is a quarter turn ahead of it.

Sources: flow from a hole, ISO 7902-2; flow that passes, F. A. Martin and C. S. Lee, Feed-pressure
flow in plain journal bearings, ASLE Trans. 26, 1983, and F. A. Martin, Oil flow in plain steadily
loaded journal bearings, Proc. Instn Mech. Engrs 212 J, 1998 (all from memory; for steady loads,
here from means of the cycle); flow from a groove: the same slot flow over its arc; starved short
bearing: follows from continuity.
"""

import math

import numpy as np

from kinematics.array import Array
from kinematics.film.running_bearings import RunningBearings

LARGEST_HOLE = 0.9  # of the width
SHARED = 0.3  # of √(Q_v Q_p): what both flows take from each other
_ARC_POINTS, _ARC_WEIGHTS = np.polynomial.legendre.leggauss(8)
_FILM_POINTS, _FILM_WEIGHTS = np.polynomial.legendre.leggauss(48)
_HALVINGS = 50


def pressure_flow(
    bearings: RunningBearings,
    orbit: Array,
    viscosity: Array,
    feed_pressure: Array,
    pressed: Array,
) -> Array:
    """Return the flow [m³/s] (b, n) that the supply presses out of groove or hole, the larger.

    Parameters
    ----------
    orbit : eccentricity ratio (b, 2, n)
    viscosity : [Pa·s] (b,);  feed_pressure : [Pa] (b,), gauge, where the oil enters the film
    pressed : (b, 2, n), direction of the squeeze velocity, a unit vector in the shell's axes: a
        hole in the half of the shell that it points to feeds nothing, one at its edge in part

    Reference: ISO 7902-2 (from memory), taken at each instant.
    """
    push = (feed_pressure * bearings.clearance**3 / viscosity)[:, None]
    return push * np.maximum(_groove_shape(bearings, orbit), _hole_shape(bearings, orbit, pressed))


def full_film_flow(side: Array, fed: Array) -> Array:
    """Return Q_R = Q_v + Q_p - 0.3 √(Q_v Q_p) [m³/s], of the arrays' shape, of a full film.

    Reference: Martin and Lee, 1983 (from memory).
    """
    total: Array = side + fed - SHARED * np.sqrt(side * fed)
    return total


def passed_flow(side: Array, fed: Array, extent: Array) -> Array:
    """Return Q = Q_R^s Q_p^(1 - s) [m³/s], at most Q_R; s = 0.7 (a/L)^0.7 + 0.4, at most 1.

    Parameters
    ----------
    side, fed : Q_v and Q_p [m³/s], means of the cycle
    extent : a/L, what hole or groove covers of the bearing's width

    Reference: Martin, 1998 (from memory).
    """
    full = full_film_flow(side, fed)
    share = np.minimum(0.7 * extent**0.7 + 0.4, 1.0)
    return np.minimum(full**share * fed ** (1 - share), full)


def feed_extent(bearings: RunningBearings) -> Array:
    """Return what groove or hole covers of the width, a/L (b,); 1 for a groove all round.

    Reference: their width over the bearing's, by definition.
    """
    width = np.where(bearings.groove_arc > 0, bearings.groove_width, bearings.hole)
    return np.where(bearings.lands > 1, 1.0, np.minimum(width / bearings.width, 1.0))


def starved_eccentricity(eccentricity: Array, filling: Array) -> Array:
    """Return the eccentricity ratio at which a starved short bearing carries what a full one does.

    Both steady; arrays of one shape. The film begins where h/c = 1 - ε + 2 ε f.

    Reference: follows from Reynolds' equation of the short bearing and continuity.
    """
    load = _short_load(eccentricity, np.ones_like(filling))
    low, high = eccentricity, np.ones_like(eccentricity)
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        enough = _short_load(np.minimum(middle, 1 - 1e-12), filling) >= load
        low, high = np.where(enough, low, middle), np.where(enough, middle, high)
    return (low + high) / 2


def _short_load(eccentricity: Array, filling: Array) -> Array:
    """Return ε |∫ (sin θ cos θ, sin² θ) / (1 + ε cos θ)³ dθ| from the film's start to π.

    θ from the widest gap; by Sommerfeld's angle ψ, 1 + ε cos θ = (1 - ε²) / (1 - ε cos ψ), which
    spreads the thin film.
    """
    size = eccentricity[..., None]
    start = 1 - size + 2 * size * filling[..., None]
    left = 1 - size**2
    first = np.arccos(np.clip((1 - left / start) / np.maximum(size, 1e-12), -1, 1))
    half = (math.pi - first) / 2
    angle = first + half * (1 + _FILM_POINTS)
    rest = 1 - size * np.cos(angle)
    sine, cosine = np.sqrt(left) * np.sin(angle) / rest, (np.cos(angle) - size) / rest
    weight = half * _FILM_WEIGHTS * np.sqrt(left) / rest / (left / rest) ** 3
    along, aside = (sine * cosine * weight).sum(-1), (sine**2 * weight).sum(-1)
    load: Array = eccentricity * np.hypot(along, aside)
    return load


def _groove_shape(bearings: RunningBearings, orbit: Array) -> Array:
    """Return 2 R/(12 L') ∫ (h/c)³ dθ over the groove's arc, (b, n), h/c = 1 - x sin θ - y cos θ."""
    land = np.where(
        bearings.lands > 1, bearings.width, (bearings.width - bearings.groove_width) / 2
    )
    half = bearings.groove_arc / 2
    angle = bearings.groove_angle[:, None] + half[:, None] * _ARC_POINTS
    across, along = np.sin(angle), np.cos(angle)

    def moment(i: int, j: int) -> Array:
        """Return ∫ sin^i θ cos^j θ dθ over the arc, (b, 1)."""
        return (half[:, None] * _ARC_WEIGHTS * across**i * along**j).sum(-1, keepdims=True)

    x, y = orbit[:, 0], orbit[:, 1]
    linear = x * moment(1, 0) + y * moment(0, 1)
    square = x * (x * moment(2, 0) + 2 * y * moment(1, 1)) + y * y * moment(0, 2)
    cube = x * x * (x * moment(3, 0) + 3 * y * moment(2, 1)) + y * y * (
        3 * x * moment(1, 2) + y * moment(0, 3)
    )
    whole = moment(0, 0) - 3 * (linear - square) - cube
    return (bearings.radius / (6 * land))[:, None] * whole


def _hole_shape(bearings: RunningBearings, orbit: Array, pressed: Array) -> Array:
    """Return π (h/c)³ / (6 ln(L/d) q) of an oil hole where it stands, 0 where it is pressed."""
    share = np.clip(bearings.hole / bearings.width, 1e-3, LARGEST_HOLE)
    q = 1.204 + 0.368 * share - 1.046 * share**2 + 1.942 * share**3
    place = bearings.hole_angle[:, :: bearings.load.shape[-1] // orbit.shape[-1]]
    x, y = np.sin(place), np.cos(place)
    film = 1 - orbit[:, 0] * x - orbit[:, 1] * y
    # the share of the hole that is not in the pressed half
    across = (bearings.radius / bearings.hole)[:, None] * (pressed[:, 0] * x + pressed[:, 1] * y)
    open_ = np.clip(0.5 - across, 0, 1)
    return film**3 * open_ * (math.pi / (6 * np.log(1 / share) * q))[:, None]
