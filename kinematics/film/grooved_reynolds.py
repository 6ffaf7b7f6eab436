"""The film of a shell with an oil groove part of the way round: Reynolds' equation.

The groove lies in the middle of the shell's width, over an arc of its own; it is open, so its
pressure is that of the supply, which counts as ambient beside the film's. Groups, condition of
rupture and angles are those of `reynolds_film`; angles count from the eccentricity, and `direction`
is the eccentricity's own angle from the groove's middle, positive ahead.

The cells end at the groove's edges. The equations of the filled cells are solved by a banded
Cholesky factor, the ring of angles folded so that neighbours stay near.

Source: B. J. Hamrock, S. R. Schmid and B. O. Jacobson, Fundamentals of Fluid Film Lubrication,
2nd ed., 2004 (equation and condition, from memory); the active set is Howard's policy iteration.
"""

import math

import numpy as np
from numpy.typing import NDArray
from scipy.linalg.lapack import dpbsv  # type: ignore[import-untyped]

from kinematics.array import Array
from kinematics.errors import DesignError
from kinematics.film.reynolds_film import Filled, clustered_angles
from kinematics.one_line import frozen_record

_STEPS = 200


@frozen_record
class GroovedShell:
    """A shell with a groove in the middle of its width."""

    width_ratio: float  # L/D of the whole shell
    groove_share: float  # groove's width over the shell's
    arc: float  # of the groove [rad]

    def __post_init__(self) -> None:
        """Refuse what is no such shell."""
        if not 0 < self.width_ratio < math.inf:
            raise DesignError("width_ratio", f"must be above 0 (got {self.width_ratio:g})")
        if not 0 < self.groove_share < 1:
            raise DesignError("groove_share", f"must be between 0 and 1 (got {self.groove_share})")
        if not 0 < self.arc < 2 * math.pi:
            raise DesignError("arc", f"must be between 0 and 2π (got {self.arc:g})")


@frozen_record
class GroovedFilm:
    """A solved film, in the groups of `reynolds_film`."""

    velocity: Array  # along the eccentricity and ahead of it, of size 1 (2,)
    pressure: Array  # at the cells' middles (angle, width)
    filled: Filled  # where the film is filled (angle, width)
    force: Array  # of the journal on its shell, along the eccentricity and ahead of it (2,)
    mobility: Array  # along the load and ahead of it (2,)
    load_angle: float  # of the load from the eccentricity [rad], positive ahead
    peak_over_mean: float  # highest pressure over W/(L D)
    peak_angle: float  # its place [rad], from the eccentricity
    side_flow: float  # out of both sides, over R L c times the velocity


class GroovedGrid:
    """The cells of a grooved shell about a journal at one place, for any velocity.

    Parameters
    ----------
    eccentricity : ratio, 0 to below 1
    direction : of the eccentricity from the groove's middle [rad]
    cells : round the bearing, over the groove's half width and over one land
    """

    def __init__(
        self,
        shell: GroovedShell,
        eccentricity: float,
        direction: float,
        cells: tuple[int, int, int] = (96, 3, 7),
    ) -> None:
        if not 0 <= eccentricity < 1:
            raise DesignError("eccentricity", f"must be 0 to below 1 (got {eccentricity:g})")
        around, inner, outer = cells
        self.shell = shell
        self._widths(eccentricity, inner, outer)
        self._angles(eccentricity, direction, around - around % 2)
        self._fold()
        self._flows(eccentricity)

    def solve(self, velocity: Array, start: Filled | None = None) -> GroovedFilm:
        """Return the film under a velocity (2,), of whose size nothing depends.

        `start` guesses where the film is filled; it saves steps alone.

        Raises
        ------
        DesignError where the steps find no end.

        Reference: as of the module.
        """
        unit = velocity / np.hypot(*velocity)
        squeezed = 12 * np.outer(self.normal @ unit, self.width_steps)[self._order].ravel()
        filled = squeezed > 0 if start is None else start[self._order].ravel()
        filled = filled & self._open
        for _ in range(_STEPS):
            pressure = self._pressure(squeezed, filled)
            better = np.where(filled, pressure > 0, self._gains(squeezed, pressure)) & self._open
            if (better == filled).all():
                break
            filled = better
        else:
            raise DesignError("cells", f"no film in {_STEPS} steps; use coarser cells")
        return self._film(unit, pressure, filled)

    def _widths(self, eccentricity: float, inner: int, outer: int) -> None:
        """Make the faces over half the width; a land's cells shrink toward both its edges."""
        ratio, edge = self.shell.width_ratio, self.shell.width_ratio * self.shell.groove_share
        half = (ratio - edge) / 2
        strength = math.asinh(half / math.sqrt(2 * (1 - eccentricity)))
        share = np.linspace(-1, 1, 2 * outer + 1)
        place = 1 - np.sinh(strength * (1 - np.abs(share))) / math.sinh(strength)
        land = edge + half * (1 + np.sign(share) * place)
        both = np.concatenate((np.linspace(0, edge, 2 * inner + 1)[:-1], land))
        self.width_faces, self.width = both[::2], both[1::2]
        self.width_steps = np.diff(self.width_faces)
        self.grooved_cells = inner

    def _angles(self, eccentricity: float, direction: float, around: int) -> None:
        """Make the faces round the shell, two of them at the groove's ends; dense where thin."""
        slope = math.sqrt((1 + eccentricity) / (1 - eccentricity))

        def place(angle: float) -> float:  # of an angle in the count of cells, over 2
            turned = math.remainder(angle, 2 * math.pi)
            crowded = 2 * math.atan2(slope * math.sin(turned / 2), math.cos(turned / 2))
            return (turned + crowded) / (2 * math.pi) % 2

        begin, end = (place(sign * self.shell.arc / 2 - direction) for sign in (-1, 1))
        length = (end - begin) % 2
        within = min(max(round(around * length / 2), 2), around - 2)
        counts = np.concatenate(
            (
                begin + length * np.linspace(0, 1, 2 * within + 1)[:-1],
                begin + length + (2 - length) * np.linspace(0, 1, 2 * (around - within) + 1),
            )
        )
        turns = np.round(counts / 2)
        angles = clustered_angles(np.clip(counts - 2 * turns, -1, 1), eccentricity)
        angles = angles + 2 * math.pi * turns
        self.angle_faces, self.angle = angles[::2], angles[1::2]
        self.in_groove = np.arange(around) < within
        faces = self.angle_faces
        self.normal = np.stack((np.diff(np.sin(faces)), -np.diff(np.cos(faces))), axis=1)

    def _fold(self) -> None:
        """Set the order of the angles: from both ends of the ring by turns."""
        count = len(self.angle)
        self._order: NDArray[np.intp] = np.empty(count, dtype=np.intp)
        self._order[::2] = np.arange(count // 2)
        self._order[1::2] = np.arange(count - 1, count // 2 - 1, -1)

    def _flows(self, eccentricity: float) -> None:
        """Make the flows for a unit of pressure, H³ times breadth over distance, and the matrix."""
        dead = self.in_groove[:, None] & (np.arange(len(self.width)) < self.grooved_cells)
        faces, middles = self.angle_faces, self.angle
        following = np.append(middles[1:], middles[0] + 2 * math.pi)
        after = np.roll(dead, -1, axis=0)
        ahead = _per_distance(
            np.outer((1 - eccentricity * np.cos(faces[1:])) ** 3, self.width_steps),
            np.where(dead, 0, (faces[1:] - middles)[:, None])
            + np.where(after, 0, (following - faces[1:])[:, None]),
        )
        beyond = np.append(self.width[1:] - self.width_faces[1:-1], 0.0)
        outer = np.concatenate((dead[:, 1:], np.zeros_like(dead[:, :1])), axis=1)
        breadth = (1 - eccentricity * np.cos(middles)) ** 3 * np.diff(faces)
        outward = _per_distance(
            np.outer(breadth, np.ones_like(self.width)),
            np.where(dead, 0, self.width_faces[1:] - self.width) + np.where(outer, 0, beyond),
        )
        self.outward = outward[:, -1]
        total = ahead + np.roll(ahead, 1, axis=0) + outward
        total[:, 1:] += outward[:, :-1]
        self._open = ~dead[self._order].ravel()
        joined_out = outward * ~(dead | outer)
        joined_out[:, -1] = 0.0  # to the ambient
        self._assemble(np.where(dead, 1.0, total), ahead * ~(dead | after), joined_out)

    def _assemble(self, total: Array, ahead: Array, outward: Array) -> None:
        """Put the flows in the lower bands of the matrix, angles in the folded order."""
        count, over = total.shape
        self._deep = 2 * over
        self._matrix = np.zeros((2 * over + 1, count * over))
        self._matrix[0] = total[self._order].ravel()
        self._matrix[1] = -outward[self._order].ravel()
        place = np.empty(count, dtype=np.intp)
        place[self._order] = np.arange(count)
        for here in range(count):
            one, other = sorted((place[here], place[(here + 1) % count]))
            self._matrix[(other - one) * over, one * over : (one + 1) * over] = -ahead[here]

    def _pressure(self, squeezed: Array, filled: Filled) -> Array:
        """Return the pressure with the equation where filled and 0 elsewhere."""
        over, deep = self._deep // 2, self._deep
        bands = np.zeros_like(self._matrix)
        bands[0] = np.where(filled, self._matrix[0], 1.0)
        for step in (1, over, deep):
            bands[step, :-step] = self._matrix[step, :-step] * (filled[:-step] & filled[step:])
        _, pressure, failed = dpbsv(bands, np.where(filled, squeezed, 0.0), lower=1, overwrite_ab=1)
        if failed:
            raise DesignError("cells", "the film's equations cannot be solved on these cells")
        return pressure

    def _gains(self, squeezed: Array, pressure: Array) -> Filled:
        """Return where a cell of no pressure would be pressed."""
        lack = self._matrix[0] * pressure - squeezed
        for step in (1, self._deep // 2, self._deep):
            band = self._matrix[step, :-step]
            lack[:-step] += band * pressure[step:]
            lack[step:] += band * pressure[:-step]
        return lack < 0

    def _film(self, unit: Array, folded: Array, filled: Filled) -> GroovedFilm:
        shape = (len(self.angle), len(self.width))
        pressure, full = np.empty(shape), np.empty(shape, dtype=bool)
        pressure[self._order], full[self._order] = folded.reshape(shape), filled.reshape(shape)
        force = 2 * (pressure @ self.width_steps) @ self.normal
        size = float(np.hypot(*force))
        straight = force / size
        ahead = float(straight[0] * unit[1] - straight[1] * unit[0])
        scale = 4 * self.shell.width_ratio
        peak, place = self._peak(pressure)
        return GroovedFilm(
            velocity=unit,
            pressure=pressure,
            filled=full,
            force=force,
            mobility=scale / size * np.array([float(straight @ unit), ahead]),
            load_angle=math.atan2(force[1], force[0]),
            peak_over_mean=peak * scale / size,
            peak_angle=place,
            side_flow=float(self.outward @ pressure[:, -1]) / (12 * self.shell.width_ratio),
        )

    def _peak(self, pressure: Array) -> tuple[float, float]:
        """Return the highest pressure and its angle [rad], by parabolas through neighbours."""
        row, column = np.unravel_index(int(pressure.argmax()), pressure.shape)
        near = (np.arange(row - 1, row + 2)) % len(self.angle)
        offset = np.remainder(self.angle[near] - self.angle[row] + math.pi, 2 * math.pi) - math.pi
        height, place = _top(offset, pressure[near, column])
        columns = np.clip(np.arange(column - 1, column + 2), 0, len(self.width) - 1)
        values, widths = pressure[row, columns], self.width[columns]
        if column == 0:
            widths = np.array([-widths[1], widths[1], widths[2]])
        elif column == len(self.width) - 1:
            values, widths = np.append(values[:2], 0.0), np.append(widths[:2], self.width_faces[-1])
        over, _ = _top(widths - widths[1], values)
        return height + max(over - values[1], 0.0), float(self.angle[row]) + place


def _per_distance(flow: Array, distance: Array) -> Array:
    """Return flow over distance, 0 between two cells of the groove."""
    return np.divide(flow, distance, out=np.zeros_like(flow), where=distance > 0)


def _top(offset: Array, values: Array) -> tuple[float, float]:
    """Return the height and place of the parabola's top through three points."""
    (a, _, c), (low, middle, high) = offset, values
    left, right = (low - middle) / a, (high - middle) / c
    bend = (right - left) / (c - a)
    slope = left - bend * a
    if bend >= 0:
        return float(middle), 0.0
    place = float(np.clip(-slope / (2 * bend), a, c))
    return float(middle + slope * place + bend * place**2), place
