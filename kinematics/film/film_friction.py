"""Friction of a bearing's film: shear where the gap is filled, less where it is ruptured.

Behind the half of the shell that the journal presses on, the film ruptures into streamers. They
carry on what leaves the full film at its end, so they fill h_r/h of a gap h that has opened since,
h_r being the gap where the film ends, and only they are sheared. Where the gap is again narrower
than h_r it counts as full. Solved films rupture a little later: their shear is 1 to 2 % of the full
one higher at L/D 0.2, up to 9 % at 0.65.

Sources: H. G. Elrod, A cavitation algorithm, ASME J. Lubr. Tech. 103, 1981 (the filled share);
the pressed half is that of L. Gümbel's condition; integrals by A. Sommerfeld's substitution (all
from memory).
"""

import math

import numpy as np

from kinematics.array import Array
from kinematics.film.film_model import JournalPlaces, Velocity


def filled_share(at: JournalPlaces, velocity: Velocity) -> Array:
    """Return the shear of the film over that of a film full all round [1], (b, n), 0 to 1.

    Parameters
    ----------
    velocity : that the load alone makes, along the load and ahead of it; the half of the shell
        that it points to is pressed

    Reference: Elrod, 1981, and Gümbel's half film (both from memory), as of the module.
    """
    size = at.size
    along, ahead = velocity
    # direction of the velocity from the thinnest film, in the sense of rotation
    turn = np.arctan2(ahead * at.xi - along * at.eta, along * at.xi + ahead * at.eta)
    end = (turn + 1.5 * math.pi) % (2 * math.pi) - math.pi
    opens = np.abs(end)
    closes = np.maximum(np.minimum(end + math.pi, 2 * math.pi - opens), opens)
    gap = 1 - size * np.cos(end)
    shear, thinned = (
        late - early
        for late, early in zip(_integrals(size, closes), _integrals(size, opens), strict=True)
    )
    lost: Array = (shear - gap * thinned) * np.sqrt(1 - size**2) / (2 * math.pi)
    return np.where(at.load > 0, 1 - lost, 1.0)


def _integrals(size: Array, angle: Array) -> tuple[Array, Array]:
    """Return ∫ dφ/H and ∫ dφ/H² from the thinnest film to an angle, H = 1 - ε cos φ.

    By ψ = φ + 2 atan(b sin φ / (1 - b cos φ)), b = ε / (1 + √(1 - ε²)), of which
    sin ψ = √(1 - ε²) sin φ / H.
    """
    root = np.sqrt(1 - size**2)
    b = size / (1 + root)
    sine, cosine = np.sin(angle), np.cos(angle)
    turned = angle + 2 * np.arctan2(b * sine, 1 - b * cosine)
    sine_turned = root * sine / (1 - size * cosine)
    return turned / root, (turned + size * sine_turned) / root**3
