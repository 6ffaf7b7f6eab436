"""Norton, Design of Machinery: offset slider-crank, tables P4-2, P6-2, P7-2, row a (from memory).

The tight values are exact vector kinematics (recomputed). Norton measures the rod from the
slider's axis, so his rod angle is 180° plus ours and his offset our pin offset reversed; his
slider moves out from the crank where ours moves toward it. The strokes and the two positions of
an offset slider are closed forms (recomputed).
"""

import math

import numpy as np
import pytest

from kinematics.mechanics.slider_crank import SliderCrank, piston_motion

ROW_A = SliderCrank(crank_radius=1.4, rod_length=4.0, pin_offset=-1.0)
MOTION = piston_motion(ROW_A, np.array(math.radians(45)), speed=10.0)


@pytest.mark.parametrize(
    ("found", "printed", "digit", "exact"),
    [
        (180 - math.degrees(float(MOTION.rod_angle)), 180.14, 0.005, 180.143963),
        (ROW_A.top - float(MOTION.displacement), 4.99, 0.005, 4.989937),
        (-float(MOTION.rod_angular_velocity), -2.47, 0.005, -2.474882),
        (-float(MOTION.velocity), -9.87, 0.005, -9.874621),
        (-float(MOTION.rod_angular_acceleration), 25.0, 0.5, 24.764205),
        (-float(MOTION.acceleration), -124.0, 0.5, -123.743920),
    ],
    ids=["rod angle", "slider", "rod rate", "velocity", "rod acceleration", "acceleration"],
)
def test_row_a(found: float, printed: float, digit: float, exact: float) -> None:
    assert found == pytest.approx(printed, abs=digit)
    assert found == pytest.approx(exact, abs=1e-6)


def test_offset_stroke_and_the_longer_way() -> None:
    train = SliderCrank(crank_radius=5.0, rod_length=8.0, pin_offset=2.0)
    assert train.stroke == pytest.approx(10.60916, abs=5e-6)
    down = train.bottom_dead_centre - train.top_dead_centre
    longer = max(down, 2 * math.pi - down)
    assert math.degrees(longer) == pytest.approx(212.9604, abs=5e-5)


@pytest.mark.parametrize(("offset", "distance"), [(-52.0, 166.1347), (52.0, 114.6571)])
def test_side_of_the_offset(offset: float, distance: float) -> None:
    train = SliderCrank(crank_radius=63.0, rod_length=130.0, pin_offset=offset)
    motion = piston_motion(train, np.array(math.radians(55)))
    assert train.top - float(motion.displacement) == pytest.approx(distance, abs=5e-5)
