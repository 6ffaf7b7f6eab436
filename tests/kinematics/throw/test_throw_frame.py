"""A frame with the sections of the solid throw has the solid throw's stiffness."""

import math
from dataclasses import astuple

import numpy as np
import pytest

from kinematics.mechanics.shaft_beam import FREEDOMS, Supports, solve_frame
from kinematics.throw.throw_frame import bar_sections, solid_sections
from kinematics.throw.throw_surface import ThrowStiffness
from kinematics.torsion.shaft_stiffness import CrankThrow
from kinematics.train.continuous_shaft import crank_frame

THROW = CrankThrow(0.06, 0.03, 0.05, 0.028, 0.02, 0.09, 0.045, journal_bore=0.02, pin_bore=0.015)
SHEAR = 80e9
TURNS = {"in_plane": 3, "across": 4, "torsion": 5}
SOLIDS = (
    ThrowStiffness(2e5, 3e5, 5e5),
    ThrowStiffness(4e6, 6e6, 3e6),  # stiffer than its journals and pin alone
)


def end_turn(solid: ThrowStiffness | None, freedom: int) -> float:
    """Turn of the rear end [rad] under 1 N·m about an axis, the front one held."""
    frame = crank_frame(THROW, np.zeros(1), SHEAR, solid)
    load = np.zeros((len(frame.node), FREEDOMS, 1))
    load[-1, freedom] = 1.0
    front = Supports(np.zeros(6, dtype=int), np.arange(6), np.full(6, math.inf))
    return float(solve_frame(frame, front, load).displacement[-1, freedom, 0])


@pytest.mark.parametrize("solid", SOLIDS)
@pytest.mark.parametrize("motion", TURNS)
def test_the_frame_has_the_stiffness_asked_for(solid: ThrowStiffness, motion: str) -> None:
    assert end_turn(solid, TURNS[motion]) == pytest.approx(1 / getattr(solid, motion), rel=1e-9)


def test_bars_keep_their_own_section_while_the_webs_can_have_the_rest() -> None:
    drawn, solid = bar_sections(THROW), solid_sections(THROW, SOLIDS[0], SHEAR)
    for bar in ("journal", "pin"):
        assert astuple(getattr(solid, bar)) == pytest.approx(astuple(getattr(drawn, bar)))
    assert solid.web.second_moment_z != drawn.web.second_moment_z
    stiff = solid_sections(THROW, SOLIDS[1], SHEAR)
    assert stiff.journal.second_moment_z > drawn.journal.second_moment_z


def test_bars_as_drawn_turn_as_bars_in_series() -> None:
    drawn, elastic = bar_sections(THROW), crank_frame(THROW, np.zeros(1), SHEAR).elastic_modulus
    soft = (0.05 / drawn.journal.second_moment_z + 0.048 / drawn.pin.second_moment_z
            + 2 * 0.045 / drawn.web.second_moment_z) / elastic  # fmt: skip
    assert end_turn(None, TURNS["in_plane"]) == pytest.approx(soft, rel=1e-9)
