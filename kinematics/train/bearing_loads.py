"""Loads on big ends and main bearings, in the frames of shell and journal.

A bearing load is the force that the journal exerts on its shell. Main bearings share the loads
of their throws by the statically determinate rule: each throw is a beam between two mains.

Source: vector mechanics; the determinate rule as in K. Maass and H. Klier, Kräfte, Momente und
deren Ausgleich in der Verbrennungskraftmaschine (from memory).
"""

from collections.abc import Callable, Iterator, Mapping

import numpy as np
from numpy.typing import NDArray

from kinematics.array import Array, ComplexArray
from kinematics.design.design import Design, Layout
from kinematics.design.design_bearings import PlainBearing
from kinematics.design.shaft_throw import counterweight_unbalance, throw_unbalance
from kinematics.errors import DesignError
from kinematics.mechanics.gas_and_inertia_loads import GasAndInertia
from kinematics.one_line import frozen_record, one_line, quantity


@frozen_record
class Turn:
    """Sine and cosine (…, n) of the angle of new axes, in the sense of rotation."""

    sin: Array
    cos: Array

    @property
    def back(self) -> "Turn":
        """The same turn the other way.

        Reference: a turn of axes, vector geometry.
        """
        return Turn(-self.sin, self.cos)


def turned(force: Array, turn: Turn) -> Array:
    """Return forces (…, 2, n) in turned axes, of the same shape.

    Reference: a turn of axes, vector geometry.
    """
    out = np.empty_like(force)
    x, y = force[..., 0, :], force[..., 1, :]
    out[..., 0, :] = x * turn.cos - y * turn.sin
    out[..., 1, :] = x * turn.sin + y * turn.cos
    return out


def turned_load(load: GasAndInertia, turn: Turn) -> GasAndInertia:
    """Return a load (…, 2, n) in turned axes.

    Reference: a turn of axes, vector geometry.
    """
    return load.mapped(lambda force: turned(force, turn))


def weighted_sums(weight: Array, force: Array) -> Array:
    """Return sums (…, m, 2, n) of forces (…, c, 2, n), each times its weight (m, c).

    Reference: a sum of vectors, by definition.
    """
    *lead, _, axes, points = force.shape
    summed: Array = weight @ force.reshape(*lead, -1, axes * points)
    return summed.reshape(*lead, -1, axes, points)


def main_bearing_loads(design: Design, turn: Turn, big_end_block: GasAndInertia) -> GasAndInertia:
    """Return the loads of all main bearings (m, 2, n) [N] in the block's frame.

    Parameters
    ----------
    turn : of the crank, (n,)
    big_end_block : [N] (c, 2, n), big-end loads in the block's frame

    Notes
    -----
    Each throw takes the rods' reactions and its own unbalance at its middle, and each
    counterweight at its web; a force at distance d from the front main of a span L loads it
    with 1 - d/L.

    Reference: Maass and Klier, Kräfte, Momente und deren Ausgleich (from memory).
    """
    layout = design.layout
    share = main_shares(layout.throws, np.full(layout.throws, 0.5), np.arange(layout.throws))
    from_cylinders = -share @ rods_on_throws(layout)
    load = big_end_block.mapped(lambda force: weighted_sums(from_cylinders, force))
    rotating = main_unbalance(design)[:, None]
    across, along = rotating.imag, rotating.real
    load.inertia[:, 0] += across * turn.cos + along * turn.sin
    load.inertia[:, 1] += along * turn.cos - across * turn.sin
    return load


def rods_on_throws(layout: Layout) -> Array:
    """Return 1 where a cylinder's rod is on a throw, else 0, (t, c)."""
    throws = np.arange(1, layout.throws + 1)
    return (throws[:, None] == np.array(layout.throw_of_cylinder)).astype(float)


def main_shares(throws: int, to_front: Array, throw: NDArray[np.intp]) -> Array:
    """Return the share (throws + 1, k) of k forces that each main bears.

    `to_front` (k,) is the share of the throw's front main, `throw` (k,) the throw's index.

    Reference: statics of a beam on two supports.
    """
    share = np.zeros((throws + 1, len(throw)))
    column = np.arange(len(throw))
    share[throw, column] = to_front
    share[throw + 1, column] = 1 - to_front
    return share


@frozen_record
class RotatingParts:
    """Throws and counterweights, each an unbalance on one throw, all of shape (parts,)."""

    unbalance: ComplexArray  # size · exp(i angle) [kg·m], the angle from throw 1 with rotation
    throw: NDArray[np.intp]  # index of its throw
    offset: Array  # from the throw's middle to the rear [m]


def rotating_parts(design: Design) -> RotatingParts:
    """Return the unbalance of each throw, at its middle, and of each counterweight, at its web.

    Reference: follows from statics of a rigid rotor.
    """
    weights = design.counterweights
    web = np.array([weight.web - 1 for weight in weights], dtype=np.intp)
    throw = np.concatenate((np.arange(design.layout.throws), web // 2))
    amount = [throw_unbalance(design)] * design.layout.throws
    amount += [counterweight_unbalance(weight, design) for weight in weights]
    from_pin = [0.0] * design.layout.throws + [weight.angle for weight in weights]
    angle = np.array(design.layout.throw_angles)[throw] + np.array(from_pin)
    of_web = np.where(web % 2, 1.0, -1.0) * design.crank.web_offset
    return RotatingParts(
        np.array(amount) * np.exp(1j * angle),
        throw,
        np.concatenate((np.zeros(design.layout.throws), of_web)),
    )


def main_unbalance(design: Design) -> ComplexArray:
    """Return each main's share of what rotates (m,) [kg·m], phases as of `RotatingParts`.

    Reference: follows from statics of a rigid rotor.
    """
    parts = rotating_parts(design)
    to_front = 0.5 - parts.offset / design.layout.throw_spacing
    share: ComplexArray = main_shares(design.layout.throws, to_front, parts.throw) @ parts.unbalance
    return share


class LoadByFrame(Mapping[str, Array]):
    """Bearing loads (…, 2, n) [N] by the name of a frame, each made when it is first asked for."""

    def __init__(self, makers: Mapping[str, Callable[[], Array]]) -> None:
        self._makers = dict(makers)
        self._made: dict[str, Array] = {}

    def __getitem__(self, frame: str) -> Array:
        if frame not in self._makers:
            raise DesignError("", f"must be one of {', '.join(self._makers)} (got {frame!r})")
        if frame not in self._made:
            self._made[frame] = self._makers[frame]()
        return self._made[frame]

    def __contains__(self, frame: object) -> bool:
        return frame in self._makers

    def __iter__(self) -> Iterator[str]:
        return iter(self._makers)

    def __len__(self) -> int:
        return len(self._makers)

    def __repr__(self) -> str:
        return f"LoadByFrame({', '.join(self._makers)}; N)"


@frozen_record
class BearingLoads:
    """Bearing loads at one speed, by frame."""

    big_ends: LoadByFrame  # [N] (c, 2, n), "block", "rod" (shell) or "crank" (journal)
    mains: LoadByFrame  # [N] (m, 2, n), "block" (shell) or "crank" (journal)

    def __repr__(self) -> str:
        return one_line(
            self,
            f"big_ends in {', '.join(self.big_ends)}",
            f"mains in {', '.join(self.mains)}",
            "N",
        )

    def big_end_load(self, frame: str) -> Array:
        """Return big-end loads (c, 2, n) [N]; frame "block", "rod" (shell) or "crank" (journal)."""
        return self.big_ends[frame]

    def main_load(self, frame: str) -> Array:
        """Return main-bearing loads (m, 2, n) [N]; frame "block" (shell) or "crank" (journal)."""
        return self.mains[frame]

    @property
    def big_end_peaks(self) -> "BearingPeaks":
        """Peaks of the big ends."""
        return bearing_peaks(self.big_end_load("rod"), self.big_end_load("crank"))

    @property
    def main_peaks(self) -> "BearingPeaks":
        """Peaks of the main bearings."""
        return bearing_peaks(self.main_load("block"), self.main_load("crank"))


@frozen_record
class BearingPeaks:
    """Size and place of each bearing's load, all of shape (bearings,).

    Angles on shell and journal count from the frame's y axis in the sense of rotation.
    """

    peak: Array  # [N]
    mean: Array  # [N], of the load's size
    index: NDArray[np.intp]  # place of the peak on the angle grid
    shell_angle: Array  # [rad], where on the shell the peak sits
    journal_angle: Array  # [rad], where on the journal the peak sits

    def __repr__(self) -> str:
        peak, mean = quantity(self.peak, "kN"), quantity(self.mean, "kN")
        return one_line(self, f"{len(self.peak)} bearings", f"peak {peak}", f"mean {mean}")

    def specific_load(self, bearing: PlainBearing) -> Array:
        """Return peak load over projected area [Pa].

        Reference: ISO 7902 (from memory).
        """
        return self.peak / bearing.projected_area


def bearing_peaks(on_shell: Array, on_journal: Array) -> BearingPeaks:
    """Return peak, mean and place of bearing loads (b, 2, n) [N] given in both frames."""
    size = np.sqrt(on_shell[:, 0] ** 2 + on_shell[:, 1] ** 2)
    index = size.argmax(axis=1)
    rows = np.arange(len(size))
    return BearingPeaks(
        peak=size[rows, index],
        mean=size.mean(axis=1),
        index=index,
        shell_angle=np.arctan2(on_shell[rows, 0, index], on_shell[rows, 1, index]),
        journal_angle=np.arctan2(on_journal[rows, 0, index], on_journal[rows, 1, index]),
    )
