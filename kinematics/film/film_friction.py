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
from kinematics.film.film_model import TINY, JournalPlaces, Velocity, even_gap_share


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
    # the film ends a quarter turn ahead of the velocity; angles are from the thinnest film
    toward, aside = along * at.xi + ahead * at.eta, ahead * at.xi - along * at.eta
    length = np.maximum(np.sqrt(toward * toward + aside * aside), TINY)
    sine, cosine = toward / length, -aside / length
    gap = 1 - size * cosine
    opens = sine > 0  # it ends where the gap opens, else the gap narrows first and opens at -end
    narrow = cosine > 0  # it is filled again half a turn on, else where the gap is as narrow
    half_sine = np.where(narrow, np.where(opens, 1.0, cosine), np.where(opens, sine, 0.0))
    half_cosine = np.where(opens, np.where(narrow, 0.0, -cosine), np.where(narrow, -sine, 1.0))
    middle = np.where(opens, np.where(narrow, -sine, -1.0), 0.0)
    sheared = even_gap_share(at, half_sine, half_cosine, size * middle)
    ends = size * (np.abs(sine) + sine * gap / (1 + size * np.abs(cosine)))
    thinned = (gap * sheared - at.roundness * ends) / at.roundness**2
    lost: Array = (sheared - thinned) / (2 * math.pi)
    return np.where(at.load > 0, 1 - lost, 1.0)
