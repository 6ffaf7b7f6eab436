"""How the shaft bends and twists as one message: a JSON header and rows of 32-bit floats."""

import json

import numpy as np
from numpy.typing import NDArray

from kinematics.errors import DesignError
from kinematics.solid.shaft_deflection import shaft_deflection
from kinematics.train.cycle import Cycle
from kinematics.units import shown_unit
from viz.train.scene import packed


def deflection_bytes(cycle: Cycle) -> NDArray[np.uint8]:
    """Return the sections' movement [m] and [rad] per load as a scene has it, and their twist.

    Where the design lacks what it takes, the header says what, as `missing`, and there are no rows.
    """
    try:
        found = shaft_deflection(cycle.train, cycle.speed)
    except DesignError as error:
        return packed(json.dumps({"missing": str(error)}), np.zeros(0))
    influence = found.influence.copy()
    influence[..., :-1] *= shown_unit("kN").factor
    header = {
        "place": found.place.tolist(),
        "loads": influence.shape[-1],
        "speed": cycle.speed,
        "order": [] if found.twist is None else found.twist.order.tolist(),
    }
    rows = [np.ravel(influence)]
    if found.twist is not None:
        rows += [np.ravel(found.twist.angle.real), np.ravel(found.twist.angle.imag)]
    return packed(json.dumps(header), np.concatenate(rows))
