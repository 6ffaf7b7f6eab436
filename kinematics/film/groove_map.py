"""How a groove part of the way round changes a main's film, read from a table.

The table was made by `tools/make_groove_map.py`, which solves Reynolds' equation in two dimensions
with the groove open (`grooved_reynolds`). It holds, over width ratio, groove's width and arc,
thinness -ln(1 - ε), the eccentricity's direction from the groove and its lead on the load:

- mobility along the load as a share, in logarithms, of the way from the plain shell to two lands
  (0: as plain, 1: as parted all round); mobility ahead of the load follows from its slope, since
  the journal's velocity is the gradient of a potential over the load;
- peak pressure and side flow over those of the plain shell (logarithms), and how far ahead of the
  plain shell's the peak stands.

Source: `grooved_reynolds`; that a film with Swift and Stieber's condition has a potential follows
from its being the minimum of a quadratic form.
"""

import math
from dataclasses import dataclass
from functools import cache, cached_property, lru_cache
from importlib.resources import files

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import CubicSpline  # type: ignore[import-untyped]

from kinematics.array import Array
from kinematics.errors import DesignError
from kinematics.film.film_map import arsinh, cell_of, film_map
from kinematics.film.film_model import JournalPlaces
from kinematics.film.mobility import finite_length_mobility
from kinematics.one_line import frozen_record, one_line

Shell = tuple[float, float, float]  # L/D, groove's width over the shell's, arc [rad]

STEPS = {"share": 1 / 1024, "peak": 0.01, "peak_angle": 0.05, "flow": 0.02}  # of what is stored
QUANTITIES = tuple(STEPS)
CROWDING = 3.0  # of the leads at 0
MIDDLE_TERMS = 20  # of the series over the load's direction where the journal is in the middle
END_SCALE = 0.15  # [rad] about a groove's end in which directions are even
LEAD_SCALE = math.sinh(CROWDING) / math.pi
FINE_THINNESS, FINE_SHARE, FINE_LEAD = 0.125, 1 / 24, 1 / 48  # steps of the tables that are read


@frozen_record
class PlainNumbers:
    """What the plain shell's film has at places, of their shape."""

    along: Array  # mobility along the load
    ahead: Array
    peak: Array  # peak pressure over W/(L D)
    peak_angle: Array  # [rad] ahead of the load
    flow: Array  # side flow over R L times the squeeze velocity


def plain_numbers(width_ratio: float, xi: Array, eta: Array) -> PlainNumbers:
    """Return the film of the plain shell at places (n,), by `film_map`.

    Reference: Reynolds' equation, solved by `reynolds_film`.
    """
    one = np.ones_like(xi)[None]
    table, at = film_map((width_ratio,)), JournalPlaces(xi[None], eta[None], 0 * one, one, one)
    fit = finite_length_mobility(xi, eta, width_ratio)
    along, ahead = (own * factor[0] for own, factor in zip(fit, table.correction(at), strict=True))
    return PlainNumbers(
        along,
        ahead,
        table.peak_pressure(at)[0],
        table.peak_angle(at)[0],
        table.side_flow(at)[0],
    )


def parted_over_plain(width_ratio: float, groove_share: float, xi: Array, eta: Array) -> Array:
    """Return mobility along the load of two lands over that of the plain shell, (n,).

    Each land bears half the load on (L - w)/2, in units of the whole shell's width.

    Reference: Reynolds' equation, solved by `reynolds_film`.
    """
    left = 1 - groove_share
    lands = plain_numbers(left / 2 * width_ratio, xi, eta).along / left
    ratio: Array = lands / plain_numbers(width_ratio, xi, eta).along
    return ratio


def groove_directions(share: Array, arc: float) -> Array:
    """Return directions [rad] from the groove's middle at shares: -1 there, 0 its end, 1 opposite.

    Reference: a choice of grid, even within `END_SCALE` of the end and crowded there.
    """
    reach = np.where(share < 0, arc / 2, math.pi - arc / 2)
    away = END_SCALE * np.sinh(np.arcsinh(reach / END_SCALE) * share)
    return np.clip(arc / 2 + away, 0.0, math.pi)


@frozen_record
class GrooveTable:
    """The table as it was made; quantities are (shells' axes, thinness, direction, lead)."""

    width_ratio: Array  # L/D
    groove_share: Array  # groove's width over the shell's
    arc: Array  # of the groove [rad]
    axes: dict[str, tuple[Array, Array, Array]]  # by quantity: -ln(1 - ε), direction's and lead's
    # shares, as of `groove_directions` and of `_fine_axes`
    quantities: dict[str, Array]  # (width ratios, groove shares, arcs, thinness, direction, lead)

    def holds(self, width_ratio: float, groove_share: float, arc: float) -> bool:
        """Return whether a shell lies within the table's range."""
        return all(
            axis[0] * (1 - 1e-9) <= value <= axis[-1] * (1 + 1e-9)
            for axis, value in (
                (self.width_ratio, width_ratio),
                (self.groove_share, groove_share),
                (self.arc, arc),
            )
        )


@dataclass(frozen=True, eq=False, repr=False)
class GrooveFactors:
    """What a groove makes of the plain shell's film at places, and its slopes, (b, n)."""

    place: "GroovePlace"
    read: tuple["_Between", "_Between"]  # log and turn

    __repr__ = one_line

    @cached_property
    def log(self) -> Array:
        """Logarithm of mobility over the plain shell's."""
        return self.read[0].value

    @cached_property
    def turn(self) -> Array:
        """What mobility ahead gains over that along."""
        return self.place.side * self.read[1].value

    @property
    def log_slopes(self) -> tuple[Array, Array]:
        """Slopes of `log` over ξ and η."""
        return self.place.slopes(self.read[0])

    @property
    def turn_slopes(self) -> tuple[Array, Array]:
        """Slopes of `turn` over ξ and η."""
        over_xi, over_eta = self.place.slopes(self.read[1])
        return self.place.side * over_xi, self.place.side * over_eta


@frozen_record
class GrooveMap:
    """The table for several bearings, each with its own groove; arrays asked with are (b, n)."""

    which: NDArray[np.intp]  # (b, 1), which of the shells serves a bearing
    arc: Array  # [rad] (b, 1)
    shells: tuple[Shell, ...]  # width ratio, groove's share, arc

    def of_rows(self, rows: NDArray[np.intp]) -> "GrooveMap":
        """Return the map of some of the bearings."""
        return GrooveMap(self.which[rows], self.arc[rows], self.shells)

    def factors(self, place: "GroovePlace") -> GrooveFactors:
        """Return the factors at places.

        Reference: Reynolds' equation, solved by `grooved_reynolds`.
        """
        log, turn = _stacked(self.shells, ("log", "turn"))
        return GrooveFactors(place, (place.read(log), place.read(turn)))

    def change(self, name: str, place: "GroovePlace") -> Array:
        """Return the change of "peak" or "flow" (logarithms), or of "peak_angle" [rad].

        Reference: Reynolds' equation, solved by `grooved_reynolds`.
        """
        value = place.read(_stacked(self.shells, (name,))[0]).value
        return place.side * value if name == "peak_angle" else value

    def place(self, at: JournalPlaces, direction: Array) -> "GroovePlace":
        """Return where places lie in the tables, which are mirror images over the groove's middle.

        `direction` is the load's from that middle [rad].

        Reference: a choice of grid, as of `groove_directions`.
        """
        turn = (direction + at.lead) / (2 * math.pi)
        away = 2 * math.pi * (turn - np.rint(turn))
        side = np.where(away < 0, -1.0, 1.0)
        beyond = np.abs(away) - self.arc / 2
        within, without = (
            np.arcsinh(reach / END_SCALE) * FINE_SHARE
            for reach in (self.arc / 2, math.pi - self.arc / 2)
        )
        stretch = np.where(beyond < 0, within, without)
        lead, counts = side * at.lead, _counts()
        (i, x), (j, y), (k, z) = (
            cell_of(steps, count)
            for steps, count in zip(
                (
                    at.thinness / FINE_THINNESS,
                    arsinh(beyond / END_SCALE) / stretch + 1 / FINE_SHARE,
                    arsinh(lead * LEAD_SCALE) / (CROWDING * FINE_LEAD) + 1 / FINE_LEAD,
                ),
                counts,
                strict=True,
            )
        )
        first = ((self.which * counts[0] + i) * counts[1] + j) * counts[2] + k
        return GroovePlace(at, side, first, (x, y, z), beyond, stretch)


@dataclass(frozen=True, eq=False, repr=False)
class GroovePlace:
    """Where places lie in the fine tables, (b, n)."""

    at: JournalPlaces
    side: Array  # 1, or -1 where the mirror image is read
    first: NDArray[np.intp]  # the corner before, in a table's flat order
    part: tuple[Array, Array, Array]  # of the cell: of its thinness, direction and lead
    beyond: Array  # how far the eccentricity is beyond the groove's end [rad]
    stretch: Array  # what makes steps of direction of it

    __repr__ = one_line

    def read(self, table: Array) -> "_Between":
        """Return a quantity of a table (shells, thinness, direction, lead) at the places."""
        return _Between.corners(table, self.first, self.part)

    def slopes(self, value: "_Between") -> tuple[Array, Array]:
        """Return the slopes over ξ and η of what was read."""
        thinner, across, ahead = value.steps
        over_size, over_direction, over_lead = self._rates
        return self.at.slopes(thinner * over_size, across * over_direction + ahead * over_lead)

    @cached_property
    def _rates(self) -> tuple[Array, Array, Array]:
        """Steps of thinness over ε, 0 beyond the table; of direction and lead a radian."""
        lead = self.at.lead * LEAD_SCALE
        return (
            np.where(self.part[0] < 1, 1 / (FINE_THINNESS * (1 - self.at.size)), 0.0),
            self.side / (self.stretch * np.sqrt(self.beyond**2 + END_SCALE**2)),
            self.side * LEAD_SCALE / (CROWDING * FINE_LEAD * np.sqrt(1 + lead * lead)),
        )


@frozen_record
class _Between:
    """A quantity straight between the eight corners of cells, (b, n)."""

    part: tuple[Array, Array]  # of the cell's thinness and direction
    near: Array  # at the thinness before
    thinner: Array  # slope over one step of thinness
    rises: tuple[Array, Array]  # slopes over one of direction, at the thinness before and after
    leads: tuple[Array, Array, Array, Array]  # over one of lead, at both directions of both

    @staticmethod
    def corners(
        table: Array, first: NDArray[np.intp], part: tuple[Array, Array, Array]
    ) -> "_Between":
        _, _, columns, depth = table.shape
        flat, (x, y, z) = table.ravel(), part
        c000, c010 = flat.take(first), flat[depth:].take(first)
        d00, d01 = flat[1:].take(first) - c000, flat[depth + 1 :].take(first) - c010
        flat = flat[columns * depth :]
        c100, c110 = flat.take(first), flat[depth:].take(first)
        d10, d11 = flat[1:].take(first) - c100, flat[depth + 1 :].take(first) - c110
        low, low_next = c000 + z * d00, c100 + z * d10
        rise, rise_next = c010 + z * d01 - low, c110 + z * d11 - low_next
        near = low + y * rise
        thinner = low_next + y * rise_next - near
        return _Between((x, y), near, thinner, (rise, rise_next), (d00, d01, d10, d11))

    @property
    def value(self) -> Array:
        """The quantity itself."""
        return self.near + self.part[0] * self.thinner

    @property
    def steps(self) -> tuple[Array, Array, Array]:
        """Slopes over one step of thinness, direction and lead."""
        (x, y), (rise, rise_next), (d00, d01, d10, d11) = self.part, self.rises, self.leads
        before, after = d00 + y * (d01 - d00), d10 + y * (d11 - d10)
        return self.thinner, rise + x * (rise_next - rise), before + x * (after - before)


@cache
def _counts() -> tuple[int, int, int]:
    """Return how many thinnesses, directions and leads the fine tables have."""
    return (
        _points(FINE_THINNESS, thinnest_tabled()), _points(FINE_SHARE, 2), _points(FINE_LEAD, 2),
    )  # fmt: skip


@cache
def groove_table() -> GrooveTable:
    """Return the table that is shipped.

    Reference: Reynolds' equation, solved by `grooved_reynolds`.
    """
    with (files(__package__) / "groove_map.npz").open("rb") as stream:
        stored = np.load(stream)
        places = [stored[name].astype(float) for name in ("thinness", "shares", "leads")]
        few = (places[0][fewer(len(places[0]))], *places[1:])
        width_ratio, groove_share, arc = (
            stored[name].astype(float) for name in ("width_ratio", "groove_share", "arc")
        )
        return GrooveTable(
            width_ratio,
            groove_share,
            arc,
            {name: (*places,) if name == "share" else few for name in QUANTITIES},
            {name: unpacked(stored[name], step) for name, step in STEPS.items()},
        )


def fewer(count: int) -> list[int]:
    """Return the thinnesses at which peak and flow are kept: every second and the last.

    Reference: a choice of grid, common practice, no source.
    """
    return sorted({*range(0, count, 2), count - 1})


def packed(values: Array, step: float) -> NDArray[np.int16]:
    """Return values in whole steps, differences along the last two axes, which pack tightly.

    Reference: a way of storing, common practice, no source.
    """
    whole = np.round(values / step).astype(np.int16)
    return np.diff(np.diff(whole, axis=-1, prepend=0), axis=-2, prepend=0).astype(np.int16)


def unpacked(stored: NDArray[np.int16], step: float) -> Array:
    """Return the values of `packed`.

    Reference: a way of storing, common practice, no source.
    """
    whole = np.cumsum(np.cumsum(stored, axis=-2, dtype=np.int32), axis=-1, dtype=np.int32)
    values: Array = whole.astype(np.float32) * np.float32(step)
    return values


def groove_map(shells: tuple[Shell, ...]) -> GrooveMap:
    """Return the map of bearings by width ratio L/D, groove's share of the width and arc [rad].

    Raises
    ------
    DesignError for a shell that the table does not hold.

    Reference: cubic splines; any book on numerical analysis.
    """
    table = groove_table()
    for width_ratio, share, arc in shells:
        if not table.holds(width_ratio, share, arc):
            raise DesignError(
                "main_bearing.groove_arc_deg",
                f"must lie in the table's range (got L/D {width_ratio:g}, groove {share:g} of the "
                f"width, arc {math.degrees(arc):g}°)",
            )
    distinct = tuple(dict.fromkeys(shells))
    which = np.array([distinct.index(shell) for shell in shells]).reshape(-1, 1)
    return GrooveMap(which, np.array([shell[2] for shell in shells])[:, None], distinct)


@cache
def thinnest_tabled() -> float:
    """Return the table's largest thinness -ln(1 - ε)."""
    return float(groove_table().axes["share"][0][-1])


@lru_cache(maxsize=64)
def _mobility_tables(shell: Shell) -> tuple[Array, Array]:
    """Return the fine tables of `GrooveFactors.log` and `turn` of one shell."""
    share, slope = _fine(shell, "share")
    width_ratio, groove_share, _ = shell
    thinness, lead = _fine_axes()
    size = -np.expm1(-thinness)[:, None]
    xi, eta = (size * np.cos(lead)).ravel(), (size * np.sin(lead)).ravel()
    left = 1 - groove_share
    lands = plain_numbers(left / 2 * width_ratio, xi, eta)
    plain = plain_numbers(width_ratio, xi, eta)
    shape = (len(thinness), 1, len(lead))
    log = np.log(lands.along / left / plain.along).reshape(shape)
    turn = (lands.ahead / lands.along - plain.ahead / plain.along).reshape(shape)
    return share * log, share * turn - slope * log / 2


@lru_cache(maxsize=64)
def _fine_table(shell: Shell, name: str) -> Array:
    return _fine(shell, name)[0]


@lru_cache(maxsize=16)
def _stacked(shells: tuple[Shell, ...], names: tuple[str, ...]) -> Array:
    """Return fine tables of shells, (quantities, shells, thinness, direction, lead)."""
    if names == ("log", "turn"):
        return np.stack([_mobility_tables(shell) for shell in shells], axis=1)
    return np.stack([[_fine_table(shell, name) for shell in shells] for name in names])


def _fine(shell: Shell, name: str) -> tuple[Array, Array]:
    """Return a quantity of one shell on the fine grid, and its slope over the lead [1/rad]."""
    table = groove_table()
    width_ratio, groove_share, arc = shell
    weights = [
        CubicSpline(axis, np.eye(len(axis)))(value)
        for axis, value in (
            (np.log(table.width_ratio), math.log(width_ratio)),
            (table.groove_share, groove_share),
            (table.arc, arc),
        )
    ]
    mixed = np.einsum("i,j,k,ijkabc->abc", *weights, table.quantities[name], optimize=True)
    sign = -1 if name == "peak_angle" else 1
    for end in (0, -1):  # over the groove's middle and opposite it a place is its mirror image
        mixed[:, end] = (mixed[:, end] + sign * mixed[:, end, ::-1]) / 2
    thinness, direction, lead, lead_slope = _finer(name)
    mixed = np.einsum("yb,abc->ayc", direction, mixed, optimize=True)
    value, slope = mixed @ lead.T, mixed @ lead_slope.T
    if name == "share":
        value[0], slope[0] = _in_the_middle(value[0], arc)
    return (
        np.einsum("xa,ayc->xyc", thinness, value),
        np.einsum("xa,ayc->xyc", thinness, slope),
    )


def _in_the_middle(share: Array, arc: float) -> tuple[Array, Array]:
    """Return a journal's share in the shell's middle and its slope, (directions, leads).

    There the load's direction alone counts, so all places are fitted by one even Fourier series.
    """
    _, lead = _fine_axes()
    load = groove_directions(np.linspace(-1, 1, len(share)), arc)[:, None] - lead
    order = np.arange(MIDDLE_TERMS)
    waves = np.cos(load.reshape(-1, 1) * order)
    series = np.linalg.solve(waves.T @ waves, waves.T @ share.ravel())
    value: Array = waves @ series
    rise: Array = np.sin(load.reshape(-1, 1) * order) @ (order * series)  # over the lead
    return value.reshape(share.shape), rise.reshape(share.shape)


def _points(step: float, length: float) -> int:
    return round(length / step) + 1


@cache
def _fine_axes() -> tuple[Array, Array]:
    """Return the thinnesses and the leads [rad] of the fine tables."""
    thinness = np.arange(_points(FINE_THINNESS, thinnest_tabled())) * FINE_THINNESS
    shares = np.linspace(-1, 1, _points(FINE_LEAD, 2))
    return thinness, math.pi * np.sinh(CROWDING * shares) / math.sinh(CROWDING)


@cache
def _finer(name: str) -> tuple[Array, Array, Array, Array]:
    """Return what refines thinness, direction and lead, and the slope over the lead.

    All by cubic splines; the share has one period over the lead.
    """
    thin_axis, direction_axis, lead_axis = groove_table().axes[name]
    thinness, _ = _fine_axes()
    direction = np.linspace(-1, 1, _points(FINE_SHARE, 2))
    share = np.linspace(-1, 1, _points(FINE_LEAD, 2))
    same, ends = np.eye(len(lead_axis)), "not-a-knot"
    if name == "share":
        same[-1], ends = same[0], "periodic"  # a turn apart
    spline = CubicSpline(lead_axis, same, bc_type=ends)
    stretch = math.pi * CROWDING * np.cosh(CROWDING * share) / math.sinh(CROWDING)
    return (
        CubicSpline(thin_axis, np.eye(len(thin_axis)))(thinness),
        CubicSpline(direction_axis, np.eye(len(direction_axis)))(direction),
        spline(share),
        spline(share, 1) / stretch[:, None],
    )
