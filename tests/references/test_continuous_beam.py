"""Continuous beams on rigid supports: reactions and support moments of equal spans.

Coefficients of K.-J. Schneider, Bautabellen für Ingenieure, tables of continuous beams with
equal spans (from memory): M = coefficient · F l or q l², reaction = coefficient · F or q l. The
same by the three-moment equation: S. Timoshenko, Strength of Materials, Part I, chapter on
statically indeterminate beams (from memory).
"""

import math
from collections.abc import Sequence

import numpy as np
import pytest

from kinematics.mechanics.shaft_beam import Frame, Section, Supports, member_stiffness, solve_frame

SPAN, LOAD, LINE_LOAD = 0.4, 700.0, 900.0
SLENDER = Section(1e-3, 2e-7, 2e-7, 4e-7, math.inf, math.inf)  # bends without shear

MIDDLE = [  # loaded spans, reactions over F, support moments over F l
    ((1, 1), (0.3125, 1.375, 0.3125), (-0.1875,)),
    ((1, 0), (0.406, 0.688, -0.094), (-0.094,)),
    ((1, 1, 1), (0.350, 1.150, 1.150, 0.350), (-0.150, -0.150)),
    ((1, 0, 1), (0.425, 0.575, 0.575, 0.425), (-0.075, -0.075)),
    ((0, 1, 0), (-0.075, 0.575, 0.575, -0.075), (-0.075, -0.075)),
    ((1, 1, 1, 1), (0.339, 1.214, 0.893, 1.214, 0.339), (-0.161, -0.107, -0.161)),
]
EVEN = [  # all spans, reactions over q l, support moments over q l²
    (2, (0.375, 1.250, 0.375), (-0.125,)),
    (3, (0.400, 1.100, 1.100, 0.400), (-0.100, -0.100)),
    (4, (0.393, 1.143, 0.929, 1.143, 0.393), (-0.107, -0.071, -0.107)),
]
PRINTED = 5.1e-4  # half of the last digit


def beam(spans: Sequence[float], axis: int) -> tuple[Frame, Supports]:
    """A beam along z with a node at supports and in the middle of spans; it bends along an axis."""
    ends = np.concatenate(([0.0], np.cumsum(spans)))
    place = np.sort(np.concatenate((ends, (ends[1:] + ends[:-1]) / 2)))
    node = np.zeros((len(place), 3))
    node[:, 2] = place
    start = np.arange(len(place) - 1)
    frame = Frame(
        node,
        np.stack((start, start + 1), axis=-1),
        np.tile((1.0, 0.4, 0.0), (len(start), 1)),
        (SLENDER,) * len(start),
        210e9,
        80e9,
    )
    main = 2 * np.arange(len(spans) + 1)
    other = np.full(len(main), 1 - axis)
    supports = Supports(
        np.concatenate((main, main, [0, 0])),
        np.concatenate((np.full(len(main), axis), other, [2, 5])),
        np.full(2 * len(main) + 2, math.inf),
    )
    return frame, supports


def solved(spans: Sequence[float], axis: int, load: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Reactions against the load, and moments over the inner supports, sagging positive."""
    frame, supports = beam(spans, axis)
    result = solve_frame(frame, supports, load[..., None])
    shift = result.displacement[..., 0]
    ends = np.concatenate((shift[:-1], shift[1:]), axis=1)
    of_members = np.einsum("eij,ej->ei", member_stiffness(frame), ends)
    about, sign = (4, 1.0) if axis == 0 else (3, -1.0)
    moment = sign * of_members[2::2, about]  # at the fronts of spans 2, 3, …
    return -result.reaction[: len(spans) + 1, 0], moment


def midspan_loads(spans: Sequence[float], axis: int, factors: Sequence[float]) -> np.ndarray:
    load = np.zeros((2 * len(spans) + 1, 6))
    load[1::2, axis] = LOAD * np.array(factors)
    return load


@pytest.mark.parametrize("axis", [0, 1])
@pytest.mark.parametrize(("loaded", "reactions", "moments"), MIDDLE)
def test_equal_spans_loaded_in_their_middles(
    axis: int, loaded: tuple[int, ...], reactions: tuple[float, ...], moments: tuple[float, ...]
) -> None:
    spans = [SPAN] * len(loaded)
    reaction, moment = solved(spans, axis, midspan_loads(spans, axis, loaded))
    np.testing.assert_allclose(reaction / LOAD, reactions, atol=PRINTED)
    np.testing.assert_allclose(moment / (LOAD * SPAN), moments, atol=PRINTED)


@pytest.mark.parametrize(("spans", "reactions", "moments"), EVEN)
def test_equal_spans_evenly_loaded(
    spans: int, reactions: tuple[float, ...], moments: tuple[float, ...]
) -> None:
    """The line load as forces and couples on the nodes, which is exact without shear."""
    frame, supports = beam([SPAN] * spans, 1)
    part = SPAN / 2
    load = np.zeros((2 * spans + 1, 6, 1))
    load[:, 1] = LINE_LOAD * part
    load[[0, -1], 1] /= 2
    couple = LINE_LOAD * part**2 / 12
    load[0, 3], load[-1, 3] = -couple, couple  # dy/dz is minus the turn about x
    result = solve_frame(frame, supports, load)
    reaction = -result.reaction[: spans + 1, 0]
    np.testing.assert_allclose(reaction / (LINE_LOAD * SPAN), reactions, atol=PRINTED)
    place = SPAN * np.arange(1, spans)  # moments by statics, from the reactions found
    arm = np.maximum(place[:, None] - SPAN * np.arange(spans + 1), 0.0)
    moment = arm @ reaction - LINE_LOAD * place**2 / 2
    np.testing.assert_allclose(moment / (LINE_LOAD * SPAN**2), moments, atol=PRINTED)


def three_moments(spans: np.ndarray, force: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Support moments and reactions under forces in the spans' middles.

    M_(i-1) l_i + 2 M_i (l_i + l_(i+1)) + M_(i+1) l_(i+1) = -3/8 (F_i l_i² + F_(i+1) l_(i+1)²).
    """
    inner = len(spans) - 1
    matrix = np.diag(2 * (spans[:-1] + spans[1:]))
    matrix += np.diag(spans[1:-1], 1) + np.diag(spans[1:-1], -1)
    right = -3 / 8 * (force[:-1] * spans[:-1] ** 2 + force[1:] * spans[1:] ** 2)
    moment = np.concatenate(([0.0], np.linalg.solve(matrix, right), [0.0]))
    slope = np.diff(moment) / spans
    reaction = np.zeros(inner + 2)
    reaction[:-1] += force / 2 + slope
    reaction[1:] += force / 2 - slope
    return moment[1:-1], reaction


@pytest.mark.parametrize("axis", [0, 1])
@pytest.mark.parametrize("count", [2, 3, 6, 8])
def test_the_three_moment_equation(axis: int, count: int) -> None:
    random = np.random.default_rng(count)
    spans, factors = random.uniform(0.2, 0.9, count), random.normal(size=count)
    reaction, moment = solved(list(spans), axis, midspan_loads(list(spans), axis, factors))
    expected_moment, expected = three_moments(spans, LOAD * factors)
    np.testing.assert_allclose(reaction, expected, atol=1e-7)
    np.testing.assert_allclose(moment, expected_moment, atol=1e-7)
