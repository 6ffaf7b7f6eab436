"""The same formulas as a loop over cylinders and angles with Python floats: a yardstick.

For an in-line engine on the exact rod. Every quantity of a cycle but the orders of the free loads;
pressure is taken as given, since it does not depend on speed.
"""

import math
from dataclasses import dataclass, field

import numpy as np

from kinematics import Cycle, Design
from kinematics.train.balance import rotating_phasors, throw_positions

Vector = tuple[float, float]

MOTION = (
    "displacement",
    "velocity",
    "acceleration",
    "rod_angle",
    "rod_angular_velocity",
    "rod_angular_acceleration",
)
FORCES = ("gas_force", "inertia_force", "rod_force", "side_thrust", "cylinder_torque")


def turned(force: Vector, angle: float) -> Vector:
    """Components of a vector in axes turned clockwise by an angle."""
    sin, cos = math.sin(angle), math.cos(angle)
    return force[0] * cos - force[1] * sin, force[0] * sin + force[1] * cos


@dataclass
class LoopedCycle:
    """Rows of numbers as the loop appends them; `arrays` turns them into the core's shapes."""

    cylinders: dict[str, list[list[float | Vector]]] = field(default_factory=dict)
    mains: dict[str, list[list[Vector]]] = field(default_factory=dict)
    whole: dict[str, list[float | tuple[float, ...]]] = field(default_factory=dict)

    def array(self, name: str) -> np.ndarray:
        """(c, n) or (c, 2, n) of a cylinder's quantity, (m, 2, n) of a main's, (…, n) else."""
        for table in (self.cylinders, self.mains, self.whole):
            if name in table:
                return np.moveaxis(np.array(table[name]), 0, -1)
        raise KeyError(name)


def looped_cycle(design: Design, cycle: Cycle) -> LoopedCycle:
    """Compute a cycle angle by angle; pressure and firing angles come from the solved one."""
    found = LoopedCycle()
    pressure = cycle.forces.cylinder_pressure.tolist()
    own = cycle.train.own_angle.tolist()
    phasors, places = (part.tolist() for part in rotating_phasors(design))
    throw_z = throw_positions(design).tolist()
    for row, angle in enumerate(cycle.crank_angle.tolist()):
        rows = [
            cylinder_row(design, cycle.speed, own[c][row], pressure[c][row])
            for c in range(design.layout.cylinders)
        ]
        for name in rows[0]:
            found.cylinders.setdefault(name, []).append([one[name] for one in rows])
        whirl = [
            (abs(p) * math.sin(a), abs(p) * math.cos(a))
            for p in phasors
            for a in [angle + math.atan2(p.imag, p.real)]
        ]
        add_mains(found, design, cycle.speed, angle, rows, whirl, places, throw_z)
        add_whole(found, design, cycle.speed, rows, whirl, places, throw_z)
    return found


def cylinder_row(design: Design, speed: float, angle: float, pressure: float) -> dict[str, object]:
    """Motion and loads of one cylinder at one angle."""
    cylinder, rod, piston = design.cylinder, design.rod, design.piston.assembly_mass
    r, l, e = cylinder.stroke / 2, cylinder.rod_length, cylinder.pin_offset
    sin, cos = math.sin(angle), math.cos(angle)
    psi = math.asin((r * sin + e) / l)
    s, c = math.sin(psi), math.cos(psi)
    rate = speed * r / l * cos / c
    change = (rate * rate * s - speed**2 * r / l * sin) / c
    acceleration = speed**2 * r * cos + l * (c * rate * rate + s * change)
    share = rod.cg_from_big_end / l
    cg_x = -(speed**2) * r * (1 - share) * sin
    cg_y = -(speed**2) * r * (1 - share) * cos - share * acceleration
    gas = cylinder.piston_area * (pressure - design.pressure.crankcase)
    pin_y = gas - piston * acceleration
    spin = rod.inertia_about_cg * change
    couple = spin + rod.cg_from_big_end * rod.mass * (-s * cg_y - c * cg_x)
    pin_x = -(pin_y * s - couple / l) / c
    crank_x, crank_y = pin_x + rod.mass * cg_x, pin_y + rod.mass * cg_y
    x, y = r * sin - rod.cg_from_big_end * s, r * cos + rod.cg_from_big_end * c
    return {
        "displacement": math.sqrt((l + r) ** 2 - e**2) - r * cos - l * c,
        "velocity": speed * r * sin + l * s * rate,
        "acceleration": acceleration,
        "rod_angle": psi,
        "rod_angular_velocity": rate,
        "rod_angular_acceleration": change,
        "gas_force": gas,
        "inertia_force": -(piston + rod.mass * share) * acceleration,
        "rod_force": pin_y * c - pin_x * s,
        "side_thrust": -pin_x,
        "cylinder_torque": r * (sin * crank_y - cos * crank_x),
        "block": (crank_x, crank_y),
        "rod": turned((crank_x, crank_y), -psi),
        "crank": turned((crank_x, crank_y), angle),
        "shake": (-rod.mass * cg_x, piston * acceleration - rod.mass * cg_y),
        "spin": rod.mass * (y * cg_x - x * cg_y) - spin,
    }


def add_mains(found, design, speed, angle, rows, whirl, places, throw_z) -> None:
    """Append each main's load: every force on a throw is shared by its two mains."""
    spacing = design.layout.throw_spacing
    mains = [[0.0, 0.0] for _ in range(design.layout.throws + 1)]

    def bear(throw: int, z: float, x: float, y: float) -> None:
        rear = (z - throw_z[throw]) / spacing + 0.5
        for main, share in ((throw, 1 - rear), (throw + 1, rear)):
            mains[main][0] += share * x
            mains[main][1] += share * y

    for row, pin in zip(rows, design.layout.throw_of_cylinder, strict=True):
        x, y = row["block"]
        bear(pin - 1, throw_z[pin - 1], -x, -y)
    for (x, y), z in zip(whirl, places, strict=True):
        throw = min(range(len(throw_z)), key=lambda k: abs(throw_z[k] - z))
        bear(throw, z, x * speed**2, y * speed**2)
    found.mains.setdefault("main block", []).append([tuple(one) for one in mains])
    found.mains.setdefault("main crank", []).append([turned(tuple(one), angle) for one in mains])


def add_whole(found, design, speed, rows, whirl, places, throw_z) -> None:
    """Append torque, free force and free moment of the whole engine."""
    pins = design.layout.throw_of_cylinder
    parts = [(row["shake"], throw_z[pin - 1]) for row, pin in zip(rows, pins, strict=True)]
    square = speed**2
    parts += [((x * square, y * square), z) for (x, y), z in zip(whirl, places, strict=True)]
    torque = sum(row["cylinder_torque"] for row in rows)
    force = (sum(x for (x, _), _ in parts), sum(y for (_, y), _ in parts))
    roll = -torque - sum(row["spin"] for row in rows)
    moment = (sum(z * y for (_, y), z in parts), sum(z * x for (x, _), z in parts), roll)
    found.whole.setdefault("crank_torque", []).append(torque)
    found.whole.setdefault("free_force", []).append(force)
    found.whole.setdefault("free_moment", []).append(moment)
