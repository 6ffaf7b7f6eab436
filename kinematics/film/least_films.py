"""The least films of all bearings of a kind over speed, solved no further than needed.

All bearings are solved on few points of the cycle. While their heat is balanced, those leave the
search whose bounds show that they cannot have the least film or filling; those that may have it
at the end are solved at every point. If one that is left has moved further than its bounds, all are
solved. Between speeds that are known a search begins with what lies between their orbits.

Source: as of `journal_film`.
"""

import math
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from kinematics.array import Array
from kinematics.design.design_bearings import Oil
from kinematics.errors import DesignError
from kinematics.film.film_heat import (
    BalancedFilms,
    FilmStart,
    Sieve,
    balance_stride,
    balanced_films,
)
from kinematics.film.film_survey import FilmSweep
from kinematics.film.grooved_film import bearing_film
from kinematics.film.journal_film import KEPT, feed_pressures, train_films
from kinematics.film.running_bearings import row_of, running_bearings
from kinematics.film.viscosity_search import FIRST_SLOPE
from kinematics.one_line import frozen_record
from kinematics.train.cycle import RigidTrain

AT_ONCE = 96  # rows solved at once, more or less: what the processor keeps near
NAMES = ("minimum_film", "filling")
NEARLY_LEAST = np.array([[1.02], [1.005]])  # times the least film and filling on few points:
# bearings that may have it on all
MOVES = (NEARLY_LEAST - 1) / 2  # of film and filling from few points to all, at most
UNSURE = np.array([[0.02], [0.005]])  # of film and filling while the heat is not yet balanced,
PER_OFF = np.array([[1.0], [0.5]])  # and what is added to that for a viscosity so much off
NEAR = 0.01  # relative; speeds this near have the least at the same bearings


@frozen_record
class _Known:
    """What is known of all rows at a speed, on few points of the cycle."""

    start: FilmStart
    values: Array  # (2, b), minimum film [m] and filling


@lru_cache(maxsize=2 * KEPT)
def least_films(train: RigidTrain, kind: str) -> "LeastFilms":
    """Return the least films of a train's bearings of a kind, kept for the last ones.

    Reference: as of `journal_film`.
    """
    return LeastFilms(train, kind)


class LeastFilms:
    """Least films of the bearings of a kind, "big_end" or "main", remembered by speed [rad/s]."""

    def __init__(self, train: RigidTrain, kind: str) -> None:
        self._train, self._kind = train, kind
        self._least: dict[str, dict[float, float]] = {name: {} for name in NAMES}
        self._known: dict[float, _Known] = {}
        self._starts: tuple[float, ...] = ()  # speeds first known, which all later searches use

    def over(self, speed: Array) -> FilmSweep:
        """Return the least minimum film [m] and the least filling of all bearings, (s,) each.

        At the rated speed those of `train_films`, to the last bit; at others both agree within the
        heat balance's tolerance.

        Parameters
        ----------
        speed : of the crank [rad/s] (s,)

        Raises
        ------
        DesignError where bearings or oil are missing, or no closed orbit is found.

        Reference: as of `journal_film`.
        """
        self._ask(speed, NAMES)
        return FilmSweep(*(self._remembered(name, speed) for name in NAMES))

    def least(self, name: str, speed: Array) -> Array:
        """Return the least "minimum_film" [m] or "filling" of all bearings (s,), as of `over`.

        Of speeds between known ones, where limits are met, the other is left out.

        Reference: as of `journal_film`.
        """
        self._ask(speed, (name,) if self._starts else NAMES)
        return self._remembered(name, speed)

    def _remembered(self, name: str, speed: Array) -> Array:
        return np.array([self._least[name][one] for one in speed.tolist()])

    def _ask(self, speed: Array, names: tuple[str, ...]) -> None:
        """Solve what is not yet known at speeds (s,), many at once."""
        asked = [
            one
            for one in dict.fromkeys(speed.tolist())
            if any(one not in self._least[name] for name in names)
        ]
        rated = self._train.design.layout.rated_speed
        if rated in asked and self._take_rated(rated):
            asked.remove(rated)
        rows = 1 + max(row for row, _ in row_of(self._train, self._kind))
        batches = math.ceil(rows * len(asked) / AT_ONCE)
        for batch in np.array_split(np.array(asked), batches) if asked else ():
            self._solve(batch, names)
        if not self._starts and len(self._known) > 1:
            self._starts = tuple(sorted(self._known))

    def nearly_least(self, speed: float, name: str) -> NDArray[np.intp]:
        """Return the bearings that have the least "minimum_film" or "filling", or nearly so.

        Reference: as of `journal_film`.
        """
        near = min(self._least[name], key=lambda one: abs(one - speed), default=0.0)
        if abs(near - speed) > NEAR * speed:
            self.least(name, np.array([speed]))
            near = speed
        place = NAMES.index(name)
        values = self._known[near].values[place]
        rows = np.flatnonzero(values <= float(NEARLY_LEAST[place, 0]) * values.min())
        of_bearing = [row for row, _ in row_of(self._train, self._kind)]
        return np.flatnonzero(np.isin(of_bearing, rows))

    def start_at(self, speed: Array) -> FilmStart | None:
        """Return a start for the films of all rows at speeds (s,), rows by speed, then bearing.

        Straight in the logarithm of speed between those first asked for, so that a later answer
        does not depend on what was asked in between; None beyond them.

        Reference: straight interpolation.
        """
        known = np.array(self._starts or sorted(self._known))
        if len(known) < 2 or speed.min() < known[0] or speed.max() > known[-1]:
            return None
        after = np.clip(np.searchsorted(known, speed), 1, len(known) - 1)
        low, high = known[after - 1], known[after]
        shares = np.log(speed / low) / np.log(high / low)
        pairs = zip(low.tolist(), high.tolist(), shares.tolist(), strict=True)
        each = [self._known[a].start.mixed(self._known[b].start, share) for a, b, share in pairs]
        return FilmStart.joined(each)

    def _take_rated(self, rated: float) -> bool:
        """Take over the films at the rated speed; False where those of the other kind have none."""
        try:
            own = train_films(self._train, rated).of(self._kind)
        except DesignError:
            return False
        rows = [row for row, _ in row_of(self._train, self._kind)]
        first = [rows.index(row) for row in range(1 + max(rows))]
        stride = balance_stride(self._train.points)
        start = FilmStart(
            own.viscosity[first],
            own.eccentricity[first, :, ::stride],
            np.full(len(first), FIRST_SLOPE),
        )
        values = np.stack((own.minimum_film, own.filling))
        self._known[rated] = _Known(start, values[:, first])
        self._remember(rated, NAMES, values)
        return True

    def _remember(self, speed: float, names: tuple[str, ...], values: Array) -> None:
        """Remember the least of some of the values (2, b) at a speed."""
        for name in names:
            self._least[name][speed] = float(values[NAMES.index(name)].min())

    def _solve(self, speed: Array, names: tuple[str, ...]) -> None:
        """Solve films at speeds (s,) and remember them."""
        asked = np.array([name in names for name in NAMES])
        hopeful = _Hopeful(len(speed), asked)
        balanced = self._balanced(speed, hopeful)
        if not hopeful.held(balanced):
            balanced = self._balanced(speed, None)
        values = _values(balanced).reshape(2, len(speed), -1)
        may = values <= NEARLY_LEAST[..., None] * values.min(axis=-1, keepdims=True)
        may &= asked[:, None, None]
        exact = _settled_values(balanced, may)
        if np.any(np.abs(exact / values - 1) > MOVES[..., None], where=np.isfinite(exact)):
            exact = _settled_values(balanced, np.broadcast_to(asked[:, None, None], may.shape))
        starts = balanced.found.parted(len(speed))
        for place, (one, start) in enumerate(zip(speed.tolist(), starts, strict=True)):
            self._known[one] = _Known(start, values[:, place])
            self._remember(one, names, exact[:, place])

    def _balanced(self, speed: Array, sieve: Sieve | None) -> BalancedFilms:
        """Return the films of all rows at speeds, begun between known ones where that leads on."""
        oil: Oil = self._train.design.needed("oil", "the oil film")
        bearings = running_bearings(self._train, speed, (self._kind,))
        feed = feed_pressures(self._train, bearings)
        film = bearing_film(oil.film_model, bearings)
        start = self.start_at(speed)
        if start is not None:
            try:
                return balanced_films(bearings, oil, feed, film, start=start, sieve=sieve)
            except DesignError:
                pass  # from there nothing is found
        return balanced_films(bearings, oil, feed, film, sieve=sieve)


class _Hopeful:
    """Which bearings may still turn out to have the least film or filling at their speed.

    Those between whose bounds, while the heat is not yet balanced, the least may lie; `asked` (2,)
    tells which of the two counts.
    """

    def __init__(self, speeds: int, asked: NDArray[np.bool_]) -> None:
        self._speeds, self._asked = speeds, asked
        self._first: tuple[Array, Array] | None = None  # bounds of all when first looked at

    def __call__(self, balanced: BalancedFilms) -> NDArray[np.bool_]:
        values = _values(balanced)[self._asked]
        unsure = (UNSURE + PER_OFF * np.abs(balanced.off))[self._asked]
        low, high = values * (1 - unsure), values * (1 + unsure)
        if self._first is None:
            self._first = low, high
        shape = (len(values), self._speeds, -1)
        most = high.reshape(shape).min(axis=-1, keepdims=True)
        hopeful: NDArray[np.bool_] = (low.reshape(shape) <= most).any(axis=0).ravel()
        return hopeful

    def held(self, balanced: BalancedFilms) -> bool:
        """Return whether the bearings left at the end lie within their first bounds."""
        if self._first is None:
            return True
        low, high = self._first
        values, left = _values(balanced)[self._asked], self(balanced)
        return bool(np.all((low <= values) & (values <= high), where=left))


def _values(balanced: BalancedFilms) -> Array:
    """Return minimum films [m] and fillings, (2, b)."""
    return np.stack((balanced.minimum_film, balanced.filling))


def _settled_values(balanced: BalancedFilms, wanted: NDArray[np.bool_]) -> Array:
    """Return minimum films [m] and fillings (2, s, b) on all points; infinite if not wanted."""
    values = np.full(wanted.shape, np.inf)
    rows = np.flatnonzero(wanted.any(axis=0))
    settled = balanced.taken(rows).on_all_points()
    filled = np.flatnonzero(wanted[1].ravel()[rows])
    films, fillings = values.reshape(2, -1)
    films[rows] = settled.minimum_film
    if len(filled):
        fillings[rows[filled]] = settled.taken(filled).state.filling
    return values
