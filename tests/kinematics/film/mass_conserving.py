"""A steady film that conserves mass where it is ruptured, solved apart from the program's own.

Full cells have a pressure, others a filled share ϑ that the journal carries on:

    ∂/∂φ (H³ ∂P/∂φ) + ∂/∂Z (H³ ∂P/∂Z) = 6 ∂(ϑ H)/∂φ,   P ≥ 0, ϑ ≤ 1, P (1 - ϑ) = 0,

φ from the thinnest film in the sense of rotation, lengths in radii, P = p c²/(μ ω R²), flow over
R² c ω. H. G. Elrod, A cavitation algorithm, ASME J. Lubr. Tech. 103, 1981 (from memory); cells
change sides until none wants to.
"""

import math

import numpy as np
from scipy.sparse import csr_matrix
from scipy.sparse.linalg import spsolve

CELLS = (120, 16)  # round the bearing, over half its width
STEPS = 60


def groove(extent: float, wide: int) -> np.ndarray:
    """Cells of a groove at the widest gap: a share of the width, so many cells long."""
    cells = np.zeros(CELLS, bool)
    around = (np.arange(wide) - wide // 2) % CELLS[0]
    cells[around, : round(extent * CELLS[1])] = True
    return cells


class MassConservingFilm:
    """Load and side flow of a steady bearing that is fed at a pressure in some cells."""

    def __init__(self, size: float, width_ratio: float, fed: np.ndarray, supply: float) -> None:
        around, over = CELLS
        self._step, self._breadth = 2 * math.pi / around, width_ratio / over
        faces = np.arange(around + 1) * self._step - math.pi
        self._ahead = self._even((1 - size * np.cos(faces[1:])) ** 3 * self._breadth / self._step)
        middle = 1 - size * np.cos(faces[:-1] + self._step / 2)
        self._out = self._even(middle**3 * self._step / self._breadth)
        self._out[:, -1] *= 2
        self._carried = self._even(6 * (1 - size * np.cos(faces[1:])) * self._breadth)
        self._fed, self._supply = fed, supply
        self.pressure = self._solved()
        over_width = 2 * self._breadth * self.pressure.sum(axis=1)
        normal = np.stack((np.diff(np.sin(faces)), -np.diff(np.cos(faces))))
        self.load = float(np.hypot(*(normal @ over_width)))
        self.side_flow = 2 * float((self._out[:, -1] * self.pressure[:, -1]).sum()) / 12

    @staticmethod
    def _even(around: np.ndarray) -> np.ndarray:
        return np.repeat(around[:, None], CELLS[1], axis=1)

    def _solved(self) -> np.ndarray:
        full = np.ones(CELLS, bool)
        for _ in range(STEPS):
            found = self._linear(full)
            wanted = np.where(full, found >= 0, found > 1) | self._fed
            if (wanted == full).all():
                return np.where(full, found, 0.0)
            full = wanted
        raise AssertionError("cells keep changing sides")

    def _linear(self, full: np.ndarray) -> np.ndarray:
        """Pressures of full cells and filled shares of the others."""
        number = np.arange(full.size).reshape(CELLS)
        rows, columns, values = [], [], []
        known = np.zeros(full.size)

        def add(row, column, value, by_pressure):
            row, column, value = row.ravel(), column.ravel(), value.ravel()
            free = ~self._fed.ravel()[row]
            unknown = free & (full.ravel()[column] == by_pressure)
            if not by_pressure:  # full cells carry a share of 1
                one = free & full.ravel()[column]
                np.subtract.at(known, row[one], value[one])
            rows.append(row[unknown])
            columns.append(column[unknown])
            values.append(value[unknown])

        following = np.roll(number, -1, axis=0)
        for here, there, flow in (
            (number, following, self._ahead),
            (number[:, :-1], number[:, 1:], self._out[:, :-1]),
        ):
            for row, column, sign in (
                (here, here, 1), (here, there, -1), (there, there, 1), (there, here, -1),
            ):  # fmt: skip
                add(row, column, sign * flow, True)
        add(number[:, -1], number[:, -1], self._out[:, -1], True)
        add(number, number, self._carried, False)
        add(following, number, -self._carried, False)
        fed = number[self._fed]
        rows.append(fed)
        columns.append(fed)
        values.append(np.ones(len(fed)))
        known[fed] = self._supply
        entries = (np.concatenate(values), (np.concatenate(rows), np.concatenate(columns)))
        return spsolve(csr_matrix(entries, shape=(full.size,) * 2), known).reshape(CELLS)


def pressure_flow(size: float, width_ratio: float, fed: np.ndarray) -> float:
    """What a supply pressure of 1 presses through a bearing that stands still."""
    large = 1e7  # beside which the journal carries nothing
    return MassConservingFilm(size, width_ratio, fed, large).side_flow / large
