"""One message that holds all the browser draws: a JSON header and rows of 32-bit floats.

Every load is sent as its gas and its inertia part, so that the browser makes any speed of it; with
a full-load curve the gas of each of its rows is sent, and the browser blends them by speed.
Cylinders that fire alike do the same at their own time, so rows are sent for cylinder 1 and for
those that are not a whole number of grid steps behind one already sent, or fire otherwise.
"""

import dataclasses
import json
import math
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from kinematics.mechanics.firing_order import firing_angles, upright_angles
from kinematics.mechanics.gas_and_inertia_loads import BySpeed, GasAndInertia
from kinematics.mechanics.slider_crank import acceleration_harmonics
from kinematics.shaft.part_geometry import part_geometry
from kinematics.train.balance import order_amplitudes
from kinematics.train.cycle import Cycle, RigidTrain
from kinematics.units import shown_unit

Array = NDArray[np.floating[Any]]
FORMAT = 1


@dataclass(frozen=True, slots=True)
class Row:
    """One quantity: gas courses and inertia (…, n), either of which may be missing.

    What does not depend on speed at all is one course of gas.
    """

    name: str
    unit: str
    gas: BySpeed | None = None
    inertia: Array | None = None
    per_cylinder: bool = False

    @staticmethod
    def of(name: str, unit: str, load: GasAndInertia) -> "Row":
        """Make a row of a load."""
        return Row(name, unit, load.gas, load.inertia)


def scene_bytes(cycle: Cycle) -> NDArray[np.uint8]:
    """Return the scene of a cycle: header length, header, padding to 4 bytes, float32 rows."""
    train = cycle.train
    sent, like = _sent_cylinders(train)
    index: dict[str, Any] = {}
    blocks: list[Array] = []
    place = 0
    for row in (*_cylinder_rows(train, sent), *_engine_rows(train)):
        entry: dict[str, Any] = {
            "unit": shown_unit(row.unit).symbol,
            "perCylinder": row.per_cylinder,
        }
        courses = None if row.gas is None else row.gas.courses
        for part, values in (("gas", courses), ("inertia", row.inertia)):
            if values is not None:
                entry[part] = place
                entry["shape"] = list(values.shape[part == "gas" : -1])
                blocks.append(np.ravel(shown_unit(row.unit).array_from_si(values)))
                place += values.size
        if courses is not None and len(courses) > 1:
            entry["courses"] = len(courses)
        index[row.name] = entry
    header = json.dumps(_header(cycle) | {"rows": index, "like": like})
    return packed(header, np.concatenate(blocks))


def packed(header: str, body: Array) -> NDArray[np.uint8]:
    """Return a message: header length, JSON header, padding to 4 bytes, float32 rows."""
    head = header.encode()
    head += b" " * (-len(head) % 4)
    length = np.array([len(head)], dtype="<u4")
    rows = body.astype("<f4")
    return np.concatenate(
        (length.view(np.uint8), np.frombuffer(head, np.uint8), rows.view(np.uint8))
    )


def _sent_cylinders(train: RigidTrain) -> tuple[list[int], list[tuple[int, int]]]:
    """Return the cylinders sent, and for each cylinder (its place among them, steps behind)."""
    steps = np.array(firing_angles(train.design.layout)) / train.crank_angle[1]
    sent: list[int] = []
    like: list[tuple[int, int]] = []
    for cylinder, step in enumerate(steps):
        for place, other in enumerate(sent):
            behind = step - steps[other]
            alike = train.design.fire_alike(cylinder + 1, other + 1)
            if alike and math.isclose(behind, round(behind), abs_tol=1e-6):
                like.append((place, round(behind)))
                break
        else:
            sent.append(cylinder)
            like.append((len(sent) - 1, 0))
    return sent, like


def _cylinder_rows(train: RigidTrain, sent: list[int]) -> list[Row]:
    motion, loads = train.motion, train.loads
    first, second = _first_two_orders(train)
    rows = [
        Row("displacement", "mm", BySpeed.steady(motion.displacement)),
        Row("rod_angle", "deg", BySpeed.steady(motion.rod_angle)),
        Row("acceleration", "km_s2", None, motion.acceleration),
        Row("acceleration_first", "km_s2", None, first),
        Row("acceleration_second", "km_s2", None, second),
        Row("cylinder_pressure", "bar", train.pressure),
        Row("gas_force", "kN", loads.gas_force),
        Row("inertia_force", "kN", None, loads.reciprocating_inertia),
        Row.of("rod_force", "kN", loads.rod_force),
        Row.of("side_thrust", "kN", loads.side_thrust),
        Row.of("cylinder_torque", "Nm", loads.cylinder_torque),
        Row.of("big_end_rod", "kN", train.big_end_rod),
        Row.of("big_end_crank", "kN", train.big_end_crank),
    ]
    return [
        dataclasses.replace(
            row,
            gas=None if row.gas is None else row.gas[sent],
            inertia=None if row.inertia is None else row.inertia[sent],
            per_cylinder=True,
        )
        for row in rows
    ]


def _engine_rows(train: RigidTrain) -> list[Row]:
    return [
        Row.of("main_block", "kN", train.main_block),
        Row.of("crank_torque", "Nm", train.crank_torque),
        Row("free_force", "N", None, train.free.force.inertia),
        Row.of("free_moment", "Nm", train.free.moment),
    ]


def _first_two_orders(train: RigidTrain) -> tuple[Array, Array]:
    """Return the 1st and 2nd order parts of piston acceleration [m/s²] at 1 rad/s, (c, n)."""
    harmonics = acceleration_harmonics(train.crank, 2) * train.crank.crank_radius
    sin, cos = train.pose.sin_crank, train.pose.cos_crank
    first = harmonics[1].real * cos - harmonics[1].imag * sin
    second = harmonics[2].real * (cos * cos - sin * sin) - harmonics[2].imag * 2 * sin * cos
    return first, second


def _header(cycle: Cycle) -> dict[str, Any]:
    design, train = cycle.design, cycle.train
    layout, crank = design.layout, train.crank
    return {
        "format": FORMAT,
        "name": design.name,
        "speed": cycle.speed,
        "points": train.points,
        "cycleDegrees": math.degrees(layout.cycle_angle),
        "cylinders": layout.cylinders,
        "mains": layout.throws + 1,
        "strokes": layout.strokes_per_cycle,
        "crankRadius": crank.crank_radius,
        "rodLength": crank.rod_length,
        "pinOffset": crank.pin_offset,
        "top": crank.top,
        "trueTdcDegrees": math.degrees(crank.top_dead_centre),
        "firingDegrees": [math.degrees(angle) for angle in firing_angles(layout)],
        "uprightDegrees": [math.degrees(angle) for angle in upright_angles(layout)],
        "throwOfCylinder": layout.throw_of_cylinder,
        "throwAngles": layout.throw_angles,
        "bankAngle": [bank - layout.bank_angle[0] for bank in layout.bank_angle],
        "gasSpeeds": train.pressure.speeds.tolist(),
        "orders": _orders(train),
        "parts": _parts(design),
    }


def _orders(train: RigidTrain) -> dict[str, Any]:
    """Return amplitudes by order as [real, imaginary] of gas and inertia, per component.

    Of gas a list, one entry for each of its courses.
    """
    turns = train.design.layout.strokes_per_cycle // 2

    def pairs(signal: Array, unit: str) -> list[list[list[float]]]:
        amplitudes = order_amplitudes(signal, turns) / shown_unit(unit).factor
        return [
            [[amplitude.real, amplitude.imag] for amplitude in component]
            for component in amplitudes.tolist()
        ]

    force, moment = train.free.force, train.free.moment
    forces, moments = pairs(force.inertia, "N"), pairs(moment.inertia, "Nm")
    return {
        "orders": [(k + 1) / turns for k in range(len(forces[0]))],
        "force": {"inertia": forces},
        "moment": {
            "gas": [pairs(course, "Nm") for course in moment.gas.courses],
            "inertia": moments,
        },
    }


def _parts(design: Any) -> Any:
    return dataclasses.asdict(part_geometry(design))
