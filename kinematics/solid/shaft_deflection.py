"""How the crankshaft's solids bend and twist, as turns and shifts of its sections.

Bending is that of the continuous shaft, twist the vibration of the torsional chain against the
flywheel; without torsional data the twist is that of the continuous shaft, held at its rear end.
A section at a main's or a pin's middle moves as its node of the frame does, a web's as the mean
of its two nodes, and between them a section moves by straight interpolation along the shaft.
Axes are those of throw 1, as in `continuous_shaft`: x across, y outward, z from front to rear.

Source: as of `continuous_shaft` and `torsion_train`.
"""

import numpy as np

from kinematics.array import Array, ComplexArray
from kinematics.errors import DesignError
from kinematics.one_line import frozen_record
from kinematics.shaft.torsion_train import TorsionalChain, chain_response, torsional_chain
from kinematics.train.continuous_shaft import THROW_NODES, design_frame
from kinematics.train.cycle import RigidTrain

_WEBS = ((1, 2), (4, 5))  # nodes of a throw's webs, at the shaft's axis and at the pin's
_PIN = 3


@frozen_record
class ShaftTwist:
    """Vibration of each section against the flywheel at one speed, positive with rotation."""

    speed: float  # [rad/s]
    order: Array  # (o,)
    angle: ComplexArray  # [rad] (k, o): the real part of its sum with e^(i order φ) over φ


@frozen_record
class ShaftDeflection:
    """Movement of k sections: a shift of the axis' point at the section and a turn, (k, 6).

    `influence` has it under 1 N along x and y on each pin, and under the webs' pull at 1 rad/s.
    Turns are as in `shaft_beam`: about z from x to y, so against rotation.
    """

    place: Array  # [m] (k,), along the shaft: main, web, pin, web, main …
    influence: Array  # (k, 6, 2t + 1)
    twist: ShaftTwist | None  # in place of the turn about z, where the design has torsion


def shaft_deflection(train: RigidTrain, speed: float) -> ShaftDeflection:
    """Return how a design's shaft bends and twists at a speed [rad/s].

    Raises DesignError where crank_throw, crank_material, big_end or main_bearing is missing.

    Reference: Przemieniecki, Theory of Matrix Structural Analysis (from memory), as of
    `shaft_beam`.
    """
    shaft = train.continuous_shaft
    moved = _on_axis(design_frame(train.design).node, shaft.deflected.displacement)
    return ShaftDeflection(shaft.station, _sections(moved), _twist(train, speed))


def _on_axis(node: Array, moved: Array) -> Array:
    """Return the nodes' movement (n, 6, c), shifts being those of their sections on the axis."""
    found = moved.copy()
    x, y = node[:, :1], node[:, 1:2]
    found[:, 0] += moved[:, 5] * y
    found[:, 1] -= moved[:, 5] * x
    found[:, 2] -= moved[:, 3] * y - moved[:, 4] * x
    return found


def _sections(nodes: Array) -> Array:
    """Return of the nodes' movement (6t + 1, 6, c) that of the sections (4t + 1, 6, c)."""
    throws = nodes[:-1].reshape(-1, THROW_NODES, *nodes.shape[1:])
    front, rear = (throws[:, list(pair)].mean(axis=1) for pair in _WEBS)
    found = np.stack((throws[:, 0], front, throws[:, _PIN], rear), axis=1)
    return np.concatenate((found.reshape(-1, *nodes.shape[1:]), nodes[-1:]))


def _twist(train: RigidTrain, speed: float) -> ShaftTwist | None:
    """Return the chain's vibration at each section, or None without torsional data."""
    if train.design.torsion is None:
        return None
    try:
        chain = torsional_chain(train)
    except DesignError:
        return None
    response = chain_response(train, chain, np.array([speed]))
    return ShaftTwist(speed, response.order, _at_sections(chain, response.angle[0].T))


def _at_sections(chain: TorsionalChain, angle: ComplexArray) -> ComplexArray:
    """Return of the inertias' angles (N, o) those of the sections against the flywheel.

    Half a throw's stiffness is between a pin and a main; damping in the spans is left out.
    """
    shaft = angle[chain.hub :] - angle[-1]
    half = 2 * chain.stiffness_band[chain.formula]
    spans = np.array(chain.system.stiffnesses[chain.hub :])[:, None]
    torque = spans * (shaft[:-1] - shaft[1:])
    pins = shaft[1:-1]
    mains = np.concatenate((pins + torque[:-1] / half, pins[-1:] - torque[-1:] / half))
    between = np.empty((4 * len(pins) + 1, angle.shape[1]), dtype=complex)
    between[0::4], between[2::4] = mains, pins
    between[1::2] = (between[0:-1:2] + between[2::2]) / 2
    return between
