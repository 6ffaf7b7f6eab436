"""The charts of piston, top ring and piston pin, over the crank angle."""

import numpy as np

from kinematics.limits.speed_limits import Ladder, Rung
from kinematics.mechanics.gas_and_inertia_loads import GasAndInertia
from viz.chart import Chart
from viz.limits.rung_chart import angle_chart, gas_inertia_total
from viz.number_words import as_drawn, axis


def piston_speed(_ladder: Ladder, rung: Rung) -> Chart:
    """Return the piston speed over the cycle."""
    velocity = rung.at * rung.parts.train.motion.velocity[0]
    mean = as_drawn(rung.value_at, "m_s")
    return angle_chart(
        rung, "Piston speed over the cycle", axis("piston speed", "m_s"),
        [("main", "toward the crank +", as_drawn(velocity, "m_s"))],
        [("mean", mean), ("", -mean)],
    )  # fmt: skip


def acceleration(_ladder: Ladder, rung: Rung) -> Chart:
    """Return the piston acceleration over the cycle."""
    acceleration = rung.at**2 * rung.parts.train.motion.acceleration[0]
    return angle_chart(
        rung, "Piston acceleration", axis("acceleration", "km_s2"),
        [("inertia", "toward the crank +", as_drawn(acceleration, "km_s2"))],
        [("the ring may flutter", as_drawn(rung.allowed.value, "km_s2"))],
    )  # fmt: skip


def ring_forces(_ladder: Ladder, rung: Rung) -> Chart:
    """Return gas and inertia force on the top ring over the cycle."""
    parts, seat = rung.parts, rung.parts.ring_seat
    hold, lift = seat.gas.at(rung.at), -(rung.at**2) * seat.inertia
    shown = np.minimum(hold, 3 * np.abs(lift).max())
    judged = np.where(parts.valves_shut, np.minimum(hold - lift, shown.max()), np.nan)
    return angle_chart(
        rung, "Top ring: gas and inertia force", axis("force on the ring", "N"),
        [("gas", "gas, holds it down", as_drawn(shown, "N")),
         ("inertia", "inertia, lifts it", as_drawn(lift, "N")),
         ("main", "force on the seat, valves shut", as_drawn(judged, "N"))],
    )  # fmt: skip


def pin_load(_ladder: Ladder, rung: Rung) -> Chart:
    """Return the force between piston and pin over the cycle."""
    parts, train = rung.parts, rung.parts.train
    mass = parts.piston_alone
    load = GasAndInertia(train.loads.gas_force, -mass * train.motion.acceleration)[
        train.assessed_cylinder
    ]
    curves = gas_inertia_total(load, rung.at)
    return angle_chart(rung, "Force between piston and pin", axis("force", "kN"), curves)


def pin_pressure(_ladder: Ladder, rung: Rung) -> Chart:
    """Return the pressure in bosses and small end over the cycle."""
    parts, pin, speed = rung.parts, rung.parts.pin, np.array([rung.at])
    bosses = parts.boss_load(speed)[0] / (pin.outer_diameter * (pin.length - pin.boss_gap))
    small_end = parts.small_end_load(speed)[0] / (pin.outer_diameter * pin.small_end_width)
    own = rung.criterion.key == "boss_pressure"
    return angle_chart(
        rung, "Pressure on the pin", axis("pressure", "MPa"),
        [("main" if own else "second", "bosses", as_drawn(bosses, "MPa")),
         ("second" if own else "main", "small end", as_drawn(small_end, "MPa"))],
        [("allowed", as_drawn(rung.allowed.value, "MPa"))],
    )  # fmt: skip
