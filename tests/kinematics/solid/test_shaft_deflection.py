"""The shaft's sections as they bend and twist: against the frame and the torsional chain."""

import dataclasses

import numpy as np
import pytest

from kinematics import load_demo, rigid_train
from kinematics.errors import DesignError
from kinematics.shaft.torsion_train import chain_response, torsional_chain
from kinematics.solid.shaft_deflection import shaft_deflection
from kinematics.train.continuous_shaft import main_nodes, pin_nodes


@pytest.fixture(scope="module")
def train():
    return rigid_train(load_demo("hill_climb_six"))


@pytest.fixture(scope="module")
def deflection(train):
    return shaft_deflection(train, train.design.layout.rated_speed)


def test_mains_and_pins_move_as_the_frames_nodes(train, deflection) -> None:
    design, moved = train.design, train.continuous_shaft.deflected.displacement
    angle, radius = np.array(design.layout.throw_angles)[:, None], design.cylinder.crank_radius
    assert deflection.influence[0::4] == pytest.approx(moved[main_nodes(design)])
    pins = deflection.influence[2::4]
    x, y = radius * np.sin(angle), radius * np.cos(angle)
    back = np.stack((pins[:, 0] - pins[:, 5] * y, pins[:, 1] + pins[:, 5] * x,
                     pins[:, 2] + pins[:, 3] * y - pins[:, 4] * x), axis=1)  # fmt: skip
    assert back == pytest.approx(moved[pin_nodes(design), :3])


def test_the_twist_is_the_chains_and_flows_through_the_mains(train, deflection) -> None:
    chain = torsional_chain(train)
    response = chain_response(train, chain, np.array([deflection.twist.speed]))
    angle = response.angle[0].T - response.angle[0].T[-1]
    pins = angle[chain.first_throw : -1]
    twist = deflection.twist.angle
    assert twist[2::4] == pytest.approx(pins)
    between = twist[4:-1:4]
    assert between == pytest.approx((pins[:-1] + pins[1:]) / 2)
    for end, pin, beyond in ((twist[0], pins[0], angle[chain.hub]), (twist[-1], pins[-1], 0.0)):
        share = ((end - pin) / (beyond - pin)).real
        assert np.ptp(share) < 1e-9
        assert 0 < share[0] < 1


def test_at_a_crawl_the_chain_twists_with_rotation_as_the_frame_does(train) -> None:
    """Both are static there but for damping; the frame is held at its rear, the chain free."""
    slow = 50.0
    found = shaft_deflection(train, slow)
    pins = train.continuous_shaft.pins.at(slow).reshape(-1, len(train.crank_angle))
    loads = np.concatenate((pins, np.full((1, pins.shape[1]), slow**2)))
    static = -found.influence[0, 5] @ loads
    waves = np.exp(1j * np.multiply.outer(found.twist.order, train.crank_angle))
    twist = (found.twist.angle[0] @ waves).real
    assert np.corrcoef(static, twist)[0, 1] > 0.9


def test_without_torsion_there_is_no_twist_of_the_chain(train) -> None:
    design = dataclasses.replace(train.design, torsion=None)
    assert shaft_deflection(rigid_train(design), 500.0).twist is None


def test_a_shaft_without_dimensions_says_what_it_lacks(train) -> None:
    design = dataclasses.replace(train.design, crank_material=None)
    with pytest.raises(DesignError):
        shaft_deflection(rigid_train(design), 500.0)
