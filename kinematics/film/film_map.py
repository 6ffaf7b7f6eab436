"""The film of a round bearing of finite width, read from a table and interpolated smoothly.

The table was made by `tools/make_film_map.py`, which solves Reynolds' equation in two dimensions
with the film rupturing where its pressure would fall below the ambient one. It holds, over width
ratio, thinness -ln(1 - ε) and the angle of the eccentricity from the load, what stands in
`QUANTITIES`. Width ratios beyond the table's take its nearest.
"""

import math
from functools import cache, lru_cache
from importlib.resources import files

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import CubicSpline  # type: ignore[import-untyped]

from kinematics.array import Array
from kinematics.film.film_model import JournalPlaces
from kinematics.one_line import frozen_record

QUANTITIES = ("along", "ahead", "peak", "peak_angle", "flow")
CROWDING = 3.5
FINE_THINNESS, FINE_ANGLE = 0.05, 0.01  # steps of the tables that are read


WithSlopes = tuple[Array, Array, Array]  # a value and its slopes over ξ and η


@frozen_record
class FilmTable:
    """The table as it was made; quantities are (width ratios, thinnesses, load angles)."""

    width_ratio: Array  # L/D
    thinness: Array  # -ln(1 - ε), even steps from 0
    load_angle: Array  # [rad], from 0 to π, crowded at 0 where thin films bend most
    quantities: Array  # in the order of `QUANTITIES`, a leading axis


@frozen_record
class FilmMap:
    """The table at the width ratios of several bearings; arrays asked with are (b, n)."""

    which: NDArray[np.intp]  # (b, 1), which of the tables serves a bearing
    tables: Array  # (quantities, tables, thinnesses, load angles), finely spaced

    def of_rows(self, rows: NDArray[np.intp]) -> "FilmMap":
        """Return the map of some of the bearings."""
        return FilmMap(self.which[rows], self.tables)

    def correction(self, at: JournalPlaces) -> tuple[Array, Array]:
        """Return what mobility along the load and ahead of it is to that of the fit.

        Reference: Reynolds' equation, solved by `reynolds_film`.
        """
        along, ahead = self._read(("along", "ahead"), at)
        return along, ahead

    def correction_slopes(self, at: JournalPlaces) -> tuple[WithSlopes, WithSlopes]:
        """Return `correction` along the load and ahead of it, each with its slopes over ξ and η.

        Reference: derivatives of `correction`.
        """
        cell = at.once(self._cell)
        scale = math.sinh(CROWDING) / math.pi
        per_lead = scale / (CROWDING * FINE_ANGLE) / np.sqrt(1 + (at.lead * scale) ** 2)
        per_lead = np.copysign(per_lead, at.eta)
        per_size = np.where(cell.down < 1, 1 / (FINE_THINNESS * (1 - at.size)), 0.0)
        along, ahead = (
            cell.with_steps(self.tables[QUANTITIES.index(name)]) for name in ("along", "ahead")
        )
        return (
            (along[0], *at.slopes(along[1] * per_size, along[2] * per_lead)),
            (ahead[0], *at.slopes(ahead[1] * per_size, ahead[2] * per_lead)),
        )

    def peak_pressure(self, at: JournalPlaces) -> Array:
        """Return the film's peak pressure over the specific load W/(L D).

        Reference: Reynolds' equation, solved by `reynolds_film`.
        """
        return self._read(("peak",), at)[0]

    def peak_angle(self, at: JournalPlaces) -> Array:
        """Return where the peak pressure stands [rad], ahead of the load.

        Reference: Reynolds' equation, solved by `reynolds_film`.
        """
        return np.sign(at.eta) * self._read(("peak_angle",), at)[0]

    def side_flow(self, at: JournalPlaces) -> Array:
        """Return the oil pressed out at both sides over R L times the squeeze velocity.

        Reference: Reynolds' equation, solved by `reynolds_film`.
        """
        return self._read(("flow",), at)[0]

    def _read(self, names: tuple[str, ...], at: JournalPlaces) -> tuple[Array, ...]:
        """Return quantities at places, straight between the fine table's points."""
        cell = at.once(self._cell)
        return tuple(cell.with_steps(self.tables[QUANTITIES.index(name)])[0] for name in names)

    def _cell(self, at: JournalPlaces) -> "_Cell":
        _, _, rows, columns = self.tables.shape
        row, down = cell_of(at.thinness / FINE_THINNESS, rows)
        column, right = cell_of(crowded(np.abs(at.lead)) / FINE_ANGLE, columns)
        return _Cell((self.which * rows + row) * columns + column, columns, down, right)


@frozen_record
class _Cell:
    """The cells of the fine tables in which places lie, (b, n)."""

    first: NDArray[np.intp]  # the corner before, in the table's flat order
    columns: int
    down: Array  # share of the cell's thinness
    right: Array  # share of its angle

    def with_steps(self, table: Array) -> tuple[Array, Array, Array]:
        """Return a quantity, straight between the four corners, and its slopes over one step."""
        flat, right, beyond = table.ravel(), self.right, self.columns
        upper, lower = flat.take(self.first), flat[beyond:].take(self.first)
        across = flat[1:].take(self.first) - upper
        across_lower = flat[beyond + 1 :].take(self.first) - lower
        start = upper + right * across
        down = lower + right * across_lower - start
        return start + self.down * down, down, across + self.down * (across_lower - across)


def cell_of(place: Array, count: int) -> tuple[NDArray[np.intp], Array]:
    """Return the index of the point before a place on an even grid, and the share beyond it."""
    within = np.minimum(np.maximum(place, 0.0), count - 1.0)
    index = np.minimum(within.astype(np.intp), count - 2)
    return index, within - index


@cache
def film_table() -> FilmTable:
    """Return the table that is shipped.

    Reference: Reynolds' equation, solved by `reynolds_film`.
    """
    with (files(__package__) / "film_map.npz").open("rb") as stream:
        kept = np.load(stream)
        return FilmTable(
            kept["width_ratio"].astype(float),
            kept["thinness"].astype(float),
            kept["load_angle"].astype(float),
            np.stack([kept[name] for name in QUANTITIES]).astype(float),
        )


@lru_cache(maxsize=64)
def film_map(width_ratio: tuple[float, ...]) -> FilmMap:
    """Return the map of bearings by their width ratios L/D, kept for those used last.

    Reference: cubic splines; any book on numerical analysis.
    """
    distinct, which = np.unique(np.array(width_ratio), return_inverse=True)
    table = film_table()
    at = np.log(np.clip(distinct, table.width_ratio[0], table.width_ratio[-1]))
    mixed = np.tensordot(_over_width()(at), table.quantities, axes=(1, 1))  # (w, q, t, b)
    down, even, odd = _finer()
    tables = np.stack(
        [
            down @ mixed[:, i] @ (odd if name == "peak_angle" else even).T
            for i, name in enumerate(QUANTITIES)
        ]
    )
    return FilmMap(which.reshape(-1, 1), tables)


def arsinh(values: Array) -> Array:
    """Return the inverse hyperbolic sine, to 1e-15; less work than NumPy's.

    Reference: its formula by logarithms; any table of functions.
    """
    size = np.abs(values)
    return np.copysign(np.log(size + np.sqrt(size * size + 1)), values)


def crowded(load_angle: Array) -> Array:
    """Return where load angles [rad] stand among the table's, 0 to 1: they crowd at 0."""
    return arsinh(load_angle * (math.sinh(CROWDING) / math.pi)) / CROWDING


@cache
def _over_width() -> CubicSpline:
    """Return the spline over ln(L/D) that gives each column's weight."""
    ratio = film_table().width_ratio
    return CubicSpline(np.log(ratio), np.eye(len(ratio)))


@cache
def _finer() -> tuple[Array, Array, Array]:
    """Return the cubic splines that refine thinness, and load angles of even and odd quantities."""
    table = film_table()
    place = crowded(table.load_angle)
    return (
        _refining(table.thinness, FINE_THINNESS, "not-a-knot"),
        _refining(place, FINE_ANGLE, "clamped"),
        _refining(place, FINE_ANGLE, "not-a-knot"),
    )


def _refining(points: Array, step: float, ends: str) -> Array:
    fine = np.linspace(points[0], points[-1], round((points[-1] - points[0]) / step) + 1)
    matrix: Array = CubicSpline(points, np.eye(len(points)), bc_type=ends)(fine)
    return matrix
