"""A scene read back as the browser reads it is the cycle it was made of."""

import json
import math

import numpy as np
import pytest

from assets_demo import demo_paths
from kinematics import load_design, solve_cycle
from viz.train.scene import scene_bytes

SPEED_RPM = 3000


def decoded(cycle):
    message = scene_bytes(cycle).tobytes()
    length = int(np.frombuffer(message[:4], "<u4")[0])
    header = json.loads(message[4 : 4 + length])
    return header, np.frombuffer(message[4 + length :], "<f4")


def part(header, floats, name, which, index, component=None):
    row = header["rows"][name]
    owner, behind = header["like"][index] if row["perCylinder"] else (index, 0)
    line = owner if component is None else owner * row["shape"][-1] + component
    n = header["points"]
    size = n * math.prod(row["shape"])

    def course(place):
        start = row[which] + place * size + line * n
        return np.roll(floats[start : start + n], behind)

    if which == "inertia" or row.get("courses", 1) == 1:
        return course(0)
    shares = courses_counting(header)
    return sum(share * course(place) for place, share in enumerate(shares))


def courses_counting(header):
    """What each gas course counts at the scene's speed: hat functions on the rows' speeds."""
    speeds = header["gasSpeeds"]
    return [np.interp(header["speed"], speeds, hat) for hat in np.eye(len(speeds))]


@pytest.fixture(params=list(demo_paths()))
def cycle(request):
    return solve_cycle(load_design(demo_paths()[request.param]), SPEED_RPM)


def test_rows_make_the_cycles_loads_at_its_speed(cycle):
    header, floats = decoded(cycle)
    squared = header["speed"] ** 2
    for cylinder in range(header["cylinders"]):
        both = part(header, floats, "rod_force", "gas", cylinder) + squared * part(
            header, floats, "rod_force", "inertia", cylinder
        )
        expected = cycle.forces.rod_force[cylinder] / 1e3
        assert both == pytest.approx(expected, abs=2e-6 * np.abs(expected).max())
        for component in (0, 1):
            both = part(header, floats, "big_end_crank", "gas", cylinder, component)
            both = both + squared * part(
                header, floats, "big_end_crank", "inertia", cylinder, component
            )
            expected = cycle.bearings.big_end_load("crank")[cylinder] / 1e3
            assert both == pytest.approx(expected[component], abs=4e-6 * np.abs(expected).max())


def test_mains_and_moments_are_the_cycles(cycle):
    header, floats = decoded(cycle)
    squared = header["speed"] ** 2
    for name, expected in (
        ("main_block", cycle.bearings.main_load("block") / 1e3),
        ("free_moment", cycle.balance.free_moment[:, None, :]),
    ):
        for index in range(len(expected)):
            for component in range(expected.shape[1]):
                where = component if expected.shape[1] > 1 else None
                both = part(header, floats, name, "gas", index, where)
                both = both + squared * part(header, floats, name, "inertia", index, where)
                scale = np.abs(expected).max()
                assert both == pytest.approx(expected[index, component], abs=4e-6 * scale)


def test_orders_in_the_header_are_the_cycles(cycle):
    header, _ = decoded(cycle)
    orders = header["orders"]
    assert orders["orders"] == pytest.approx(cycle.balance.orders)
    inertia = np.array(orders["force"]["inertia"]) @ (1, 1j)
    expected = cycle.balance.force_orders
    scale = np.abs(cycle.train.masses.piston * cycle.motion.acceleration).max()
    assert header["speed"] ** 2 * inertia == pytest.approx(expected, abs=1e-12 * scale)


def test_orders_of_the_rolling_moment_blend_the_rows(cycle):
    header, _ = decoded(cycle)
    moment = header["orders"]["moment"]
    gas = np.array(moment["gas"]) @ (1, 1j)
    found = np.tensordot(courses_counting(header), gas, 1)
    found = found + header["speed"] ** 2 * (np.array(moment["inertia"]) @ (1, 1j))
    expected = cycle.balance.moment_orders
    assert found == pytest.approx(expected, abs=1e-9 * np.abs(expected).max())


def test_an_even_six_sends_one_cylinder_only():
    header, _ = decoded(solve_cycle(load_design(next(iter(demo_paths().values()))), SPEED_RPM))
    assert [owner for owner, _ in header["like"]] == [0] * 6
    assert header["rows"]["rod_force"]["shape"] == [1]
