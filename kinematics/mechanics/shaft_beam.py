"""A shaft as a frame of straight members in space: bars that stretch, twist, bend and shear.

Each node has six freedoms: three shifts [m], then three turns [rad], about x, y and z. Turns and
moments go by the rule of the cross product written in components, whichever hand the axes have:
a slope is dx/dz = turn about y, dy/dz = - turn about x.

Source: Przemieniecki, Theory of Matrix Structural Analysis, chapter 5, the beam element with
shear (from memory); Cowper, The shear coefficient in Timoshenko's beam theory, Journal of Applied
Mechanics 33 (1966) (from memory).
"""

import math
from dataclasses import dataclass, fields
from operator import attrgetter

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import LinAlgError, cho_factor, cho_solve  # type: ignore[import-untyped]

from kinematics.array import Array
from kinematics.errors import DesignError
from kinematics.mechanics.round_area import round_area
from kinematics.one_line import frozen_record

FREEDOMS = 6  # of a node
ROUNDING = 1e-13  # a pivot of this share of its diagonal is 0
_BENDING_Y = (1, 5, 7, 11)  # shift along a member's y and turn about its z, at both ends
_BENDING_Z = (2, 4, 8, 10)
_STRETCH, _TWIST = (0, 6), (3, 9)


@dataclass(frozen=True, slots=True)
class Section:
    """A member's section in its own axes: x along it, y and z across it."""

    area: float  # [m²]
    second_moment_y: float  # [m⁴] about y: it resists bending along z
    second_moment_z: float  # [m⁴] about z: it resists bending along y
    torsion_constant: float  # [m⁴]
    shear_area_y: float  # [m²] for shear along y, infinite where none is counted
    shear_area_z: float  # [m²]


_NUMBERS = attrgetter(*(number.name for number in fields(Section)))


@frozen_record
class Frame:
    """Straight members between nodes.

    `across` (e, 3) is a direction for each member's y; its part along the member is left out.
    """

    node: Array  # [m] (k, 3)
    ends: NDArray[np.intp]  # (e, 2), the nodes that each member joins
    across: Array  # (e, 3)
    section: tuple[Section, ...]  # (e,)
    elastic_modulus: float  # [Pa]
    shear_modulus: float  # [Pa]


@frozen_record
class Supports:
    """Freedoms that are held, each by a spring or, with a stiffness of infinity, rigidly."""

    node: NDArray[np.intp]  # (s,)
    freedom: NDArray[np.intp]  # (s,) of the node, 0 to 5
    stiffness: Array  # (s,) [N/m] or [N·m/rad]


@frozen_record
class DeflectedFrame:
    """A frame under c loads."""

    displacement: Array  # (k, 6, c) [m] and [rad]
    reaction: Array  # (s, c) [N] or [N·m], of the supports on the frame


def round_section(diameter: float, bore: float = 0.0, *, poisson: float) -> Section:
    """Return the section of a round bar [m], whole or hollow.

    With m = d/D the shear area is A times 6 (1 + ν) (1 + m²)² / ((7 + 6ν) (1 + m²)² +
    (20 + 12ν) m²), after Cowper.

    Reference: area and second moments of a ring, from geometry; shear area after Cowper, Journal
    of Applied Mechanics 33, 1966 (from memory).
    """
    area = round_area(diameter, bore)
    second = math.pi / 64 * (diameter**4 - bore**4)
    hollow = (bore / diameter) ** 2
    share = (1 + hollow) ** 2
    shear = area * 6 * (1 + poisson) * share
    shear /= (7 + 6 * poisson) * share + (20 + 12 * poisson) * hollow
    return Section(area, second, second, 2 * second, shear, shear)


def rectangle_section(along_y: float, along_z: float) -> Section:
    """Return the section of a rectangle [m]; its shear area is 5/6 of the whole.

    The torsion constant is a b³ (1/3 - 0.21 b/a (1 - b⁴ / 12a⁴)), a the longer side.

    Reference: Young and Budynas, Roark's Formulas for Stress and Strain, 7th ed., table 10.1, the
    torsion constant (from memory); 5/6 by the energy of a parabola of shear stress.
    """
    area = along_y * along_z
    b, a = sorted((along_y, along_z))
    torsion = a * b**3 * (1 / 3 - 0.21 * b / a * (1 - (b / a) ** 4 / 12))
    of_y, of_z = area * along_z**2 / 12, area * along_y**2 / 12
    return Section(area, of_y, of_z, torsion, area * 5 / 6, area * 5 / 6)


def member_axes(frame: Frame) -> tuple[Array, Array]:
    """Return each member's length [m] (e,) and its axes x, y, z as rows (e, 3, 3).

    Raises DesignError where a member has no length, or `across` lies along it.

    Reference: follows from vector geometry.
    """
    line = frame.node[frame.ends[:, 1]] - frame.node[frame.ends[:, 0]]
    length = np.linalg.norm(line, axis=1)
    if not np.all(length > 0):
        raise DesignError("", f"member {int(length.argmin())} of the frame has no length")
    x = line / length[:, None]
    y = frame.across - (frame.across * x).sum(axis=1, keepdims=True) * x
    size = np.linalg.norm(y, axis=1)
    if not np.all(size > 0):
        raise DesignError("", f"member {int(size.argmin())} of the frame has no direction across")
    y = y / size[:, None]
    return length, np.stack((x, y, np.cross(x, y)), axis=1)


def member_stiffness(frame: Frame) -> Array:
    """Return the stiffness of each member (e, 12, 12) in the frame's axes.

    It gives the forces and moments on both ends from both ends' shifts and turns; shear adds
    Φ = 12 E I / (G A_s L²).

    Reference: Przemieniecki, Theory of Matrix Structural Analysis, chapter 5 (from memory).
    """
    length, axes = member_axes(frame)
    area, of_y, of_z, torsion, shear_y, shear_z = np.array(
        [_NUMBERS(section) for section in frame.section]
    ).T
    elastic, shear = frame.elastic_modulus, frame.shear_modulus
    own = np.zeros((len(length), 2 * FREEDOMS, 2 * FREEDOMS))
    _place(own, _STRETCH, _spring(elastic * area / length))
    _place(own, _TWIST, _spring(shear * torsion / length))
    _place(own, _BENDING_Y, _bending(elastic * of_z, shear * shear_y, length))
    turned_down = np.array([1.0, -1.0, 1.0, -1.0])  # a turn about y lowers what lies along z
    bending_z = _bending(elastic * of_y, shear * shear_z, length)
    _place(own, _BENDING_Z, bending_z * np.outer(turned_down, turned_down))
    turn = np.zeros_like(own)
    for first in range(0, 2 * FREEDOMS, 3):
        turn[:, first : first + 3, first : first + 3] = axes
    stiffness: Array = turn.transpose(0, 2, 1) @ own @ turn
    return stiffness


def solve_frame(
    frame: Frame, supports: Supports, load: Array, settled: Array | None = None
) -> DeflectedFrame:
    """Return shifts, turns and reactions under loads (k, 6, c) [N] and [N·m] on the nodes.

    The stiffness is factorised once, by Cholesky's method, for all loads; freedoms held rigidly
    are left out of it: they stay where they are, or where `settled` (s, c) [m] or [rad] puts
    them under each load.

    Raises
    ------
    DesignError
        Where the supports leave the frame, or a part of it, free to move.

    Reference: Przemieniecki, Theory of Matrix Structural Analysis, chapter 5 (from memory).
    """
    stiffness = _frame_stiffness(frame)
    held = FREEDOMS * supports.node + supports.freedom
    rigid = np.isinf(supports.stiffness)
    spring = np.where(rigid, 0.0, supports.stiffness)
    np.add.at(stiffness, (held, held), spring)
    free = np.setdiff1d(np.arange(len(stiffness)), held[rigid])
    force = load.reshape(len(stiffness), -1)
    shift = np.zeros_like(force)
    if settled is not None:
        shift[held[rigid]] = settled[rigid]
    driven = force[free] - stiffness[np.ix_(free, held[rigid])] @ shift[held[rigid]]
    shift[free] = cho_solve(_factor(stiffness[np.ix_(free, free)]), driven)
    left = stiffness[held] @ shift - force[held]
    reaction = np.where(rigid[:, None], left, -spring[:, None] * shift[held])
    return DeflectedFrame(shift.reshape(load.shape), reaction)


def _factor(stiffness: Array) -> tuple[Array, bool]:
    """Return Cholesky's factor; raise DesignError where there is none but for rounding."""
    try:
        factor, lower = cho_factor(stiffness, lower=True)
        loose = bool(np.any(factor.diagonal() ** 2 < ROUNDING * stiffness.diagonal()))
    except LinAlgError:
        loose = True
    if loose:
        raise DesignError("", "the supports leave the shaft, or a part of it, free to move")
    return factor, lower


def _frame_stiffness(frame: Frame) -> Array:
    """Return the stiffness of all freedoms, a node's six together, (6k, 6k)."""
    total = np.zeros((FREEDOMS * len(frame.node),) * 2)
    place = (FREEDOMS * frame.ends[:, :, None] + np.arange(FREEDOMS)).reshape(len(frame.ends), -1)
    np.add.at(total, (place[:, :, None], place[:, None, :]), member_stiffness(frame))
    return total


def _place(stiffness: Array, freedoms: tuple[int, ...], part: Array) -> None:
    """Write a part (e, f, f) into the rows and columns of its freedoms."""
    stiffness[:, np.array(freedoms)[:, None], np.array(freedoms)] = part


def _spring(stiffness: Array) -> Array:
    """Return springs (e,) between two freedoms as (e, 2, 2)."""
    both: Array = stiffness[:, None, None] * np.array([[1.0, -1.0], [-1.0, 1.0]])
    return both


def _bending(flexural: Array, shear: Array, length: Array) -> Array:
    """Return bending with shear in one plane (e, 4, 4) from E I, G A_s and L, all (e,).

    The sum of an S-shape, which alone has shear, and of an even curve: factored out of the
    textbook's matrix.
    """
    phi = 12 * flexural / (shear * length**2)
    ones, zeros = np.ones_like(length), np.zeros_like(length)
    s_shape = np.array([2 * ones, length, -2 * ones, length])
    curve = np.array([zeros, ones, zeros, -ones])
    of_s_shape = 3 * flexural / (length**3 * (1 + phi)) * s_shape[:, None] * s_shape
    of_curve = flexural / length * curve[:, None] * curve
    return np.moveaxis(of_s_shape + of_curve, -1, 0)
