"""The own plots of piston, pin, rod and cap: loads and stresses over the crank angle, Goodman."""

import dataclasses
import math

import numpy as np

from kinematics.array import Array
from kinematics.limits.speed_limits import Ladder, Rung
from kinematics.mechanics.gas_and_inertia_loads import GasAndInertia
from kinematics.strength.bolted_joint import (
    BoltedJoint,
    bolt_force,
    clamp_force,
    rolled_thread_endurance,
)
from kinematics.strength.rod_strength import StressRange
from kinematics.units import UNITS
from viz.chart import Chart, Label, Line, Mark, Views
from viz.limits.limit_board import rpm_text
from viz.number_words import as_drawn, axis, with_unit

ANGLE_LABEL = "crank angle φ of cylinder 1, °"


def angle_chart(
    rung: Rung, title: str, label: str, curves: list[tuple[str, str, Array]],
    bounds: list[tuple[str, float]] | None = None,
) -> Chart:  # fmt: skip
    """Return curves (role, name, values (n,)) over the crank angle, with bounds (name, value)."""
    angle = np.degrees(rung.parts.train.crank_angle)
    end = math.degrees(rung.parts.design.layout.cycle_angle)
    values = np.concatenate([curve for _, _, curve in curves] + [np.zeros(1)])
    values = values[np.isfinite(values)]
    low, high = float(values.min()), float(values.max())
    for _, bound in bounds or []:
        if abs(bound) < 2.5 * max(abs(low), abs(high), 1e-12):
            low, high = min(low, bound), max(high, bound)
    room = 0.12 * max(high - low, 1e-9)
    lines = [Line("ring", [0, end], [0, 0])]
    lines += [Line(role, angle, values, name) for role, name, values in curves]
    labels = [_curve_label(angle, *curve, place) for place, curve in enumerate(curves)]
    for name, bound in bounds or []:
        if low - room <= bound <= high + room:
            lines.append(Line("allowed", [0, end], [bound, bound], name))
            labels.append(Label("allowed", 0.99 * end, bound, name, "right"))
    return Chart(
        f"{title} at {rpm_text(rung.at)}", ANGLE_LABEL, label, (0, end),
        (low - room if low < 0 else 0.0, high + 1.8 * room), tuple(lines), tuple(labels),
        x_ticks=tuple(range(0, round(end) + 1, 180 if end > 400 else 90)),
    )  # fmt: skip


def _curve_label(angle: Array, role: str, name: str, values: Array, place: int) -> Label:
    """Return a curve's name where it is largest in its own share of the cycle."""
    finite = np.where(np.isfinite(values), np.abs(values), -1.0)
    share = len(values) // 4
    start = place * share % (3 * share)
    window = finite[start : start + share]
    i = start + int(window.argmax()) if window.max() >= 0 else int(finite.argmax())
    align = "left" if angle[i] < 0.75 * angle[-1] else "right"
    return Label(role, float(angle[i]), float(values[i]), name, align)


def _parted(load: GasAndInertia, speed: float) -> list[tuple[str, str, Array]]:
    """Return gas, inertia and both [N] of a load (n,) as curves."""
    gas, at_speed = as_drawn(load.gas.at(speed), "kN"), as_drawn(speed**2 * load.inertia, "kN")
    return [("gas", "gas", gas), ("inertia", "inertia", at_speed), ("main", "both", gas + at_speed)]


def _piston_speed(_ladder: Ladder, rung: Rung) -> Chart:
    velocity = rung.at * rung.parts.train.motion.velocity[0]
    mean = as_drawn(rung.value_at, "m_s")
    return angle_chart(
        rung, "Piston speed over the cycle", axis("piston speed", "m_s"),
        [("main", "toward the crank +", as_drawn(velocity, "m_s"))],
        [("mean", mean), ("", -mean)],
    )  # fmt: skip


def _acceleration(_ladder: Ladder, rung: Rung) -> Chart:
    acceleration = rung.at**2 * rung.parts.train.motion.acceleration[0]
    return angle_chart(
        rung, "Piston acceleration", axis("acceleration", "km_s2"),
        [("inertia", "toward the crank +", as_drawn(acceleration, "km_s2"))],
        [("the ring may flutter", as_drawn(rung.allowed.value, "km_s2"))],
    )  # fmt: skip


def _ring(_ladder: Ladder, rung: Rung) -> Chart:
    parts, seat = rung.parts, rung.parts.ring_seat
    hold, lift = seat.gas.at(rung.at), -(rung.at**2) * seat.inertia
    shown = np.minimum(hold, 3 * np.abs(lift).max())
    judged = np.where(parts.valves_shut, np.minimum(hold - lift, shown.max()), np.nan)
    return angle_chart(
        rung, "Top ring: what holds it down and what lifts it", axis("force on the ring", "N"),
        [("gas", "gas holds", as_drawn(shown, "N")),
         ("inertia", "inertia lifts", as_drawn(lift, "N")),
         ("main", "left on the seat, valves shut", as_drawn(judged, "N"))],
    )  # fmt: skip


def _pin_load(_ladder: Ladder, rung: Rung) -> Chart:
    parts, train = rung.parts, rung.parts.train
    mass = parts.piston_alone
    load = GasAndInertia(train.loads.gas_force, -mass * train.motion.acceleration)[0]
    curves = _parted(load, rung.at)
    return angle_chart(rung, "Force between piston and pin", axis("force", "kN"), curves)


def _pin_pressure(_ladder: Ladder, rung: Rung) -> Chart:
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


def _rod_stress(_ladder: Ladder, rung: Rung) -> Chart:
    fibres = as_drawn(rung.parts.fibres(np.array([rung.at]))[:, 0], "MPa")
    section = int(np.abs(fibres).max(axis=(0, 2)).argmax())
    bound = as_drawn(rung.parts.design.rod_material.yield_stress / rung.allowed.value, "MPa")
    place = rung.parts.shank.place[section] * rung.parts.shank.rod_length
    return angle_chart(
        rung, f"Shank stress {with_unit(place, 'mm')} from the small end's centre",
        axis("stress, tension +", "MPa"),
        [("main", "left fibre", fibres[0, section]), ("second", "right fibre", fibres[1, section])],
        [("yield / safety", bound), ("− yield / safety", -bound)],
    )  # fmt: skip


def _along_shank(_ladder: Ladder, rung: Rung) -> Chart:
    """Return the largest tension and compression of every section, whipping counted and not."""
    parts, speed = rung.parts, np.array([rung.at])
    fibres = as_drawn(parts.fibres(speed)[:, 0], "MPa")
    axial = as_drawn(-parts.force.at(rung.at) / parts.shank.area[:, None], "MPa")
    x = as_drawn(parts.shank.place * parts.shank.rod_length, "mm")
    tension, compression = fibres.max(axis=(0, 2)), fibres.min(axis=(0, 2))
    high, low = (
        1.3 * max(float(tension.max()), as_drawn(1e6, "MPa")),
        1.2 * float(compression.min()),
    )
    return Chart(
        f"Stress along the shank at {rpm_text(rung.at)}, extremes of the cycle",
        axis("from the small end's centre", "mm"), axis("stress, tension +", "MPa"),
        (0.9 * float(x[0]), 1.03 * float(x[-1])), (low, high),
        (
            Line("ring", [0, 2 * float(x[-1])], [0, 0]),
            Line("inertia", x, tension), Line("gas", x, compression),
            Line("faint", x, axial.max(axis=1)), Line("faint", x, axial.min(axis=1)),
        ),
        (
            Label("inertia", float(x[1]), float(tension[1]), "tension, near TDC of the exhaust"),
            Label("gas", float(x[1]), float(compression[1]), "compression, near firing TDC"),
            Label("faint", float(x[-1]), float(axial.max(axis=1)[-1]) / 2, "without whipping",
                  "right"),
        ),
    )  # fmt: skip


def _goodman(ladder: Ladder, rung: Rung) -> Chart:
    """Return the Goodman diagram: the worst section's duty as its upper speed rises."""
    parts = rung.parts
    tensile = as_drawn(parts.design.rod_material.tensile, "MPa")
    endurance = as_drawn(parts.endurance, "MPa")
    factor = rung.allowed.value
    bound = endurance / factor
    here = np.array([rung.at])
    safety = parts.fatigue_safety(here)[:, 0]
    side, section = np.unravel_index(safety.argmin(), safety.shape)
    top = min(1.15 * max(rung.limit if rung.limit > 0 else 0, ladder.red_line), ladder.high)
    speeds = np.geomspace(parts.duty_from, top, 60)

    def course(ranges: StressRange) -> tuple[Array, Array]:
        return tuple(
            as_drawn(one[side, :, section], "MPa") for one in (ranges.mean, ranges.alternating)
        )  # type: ignore[return-value]

    mean, alternating = course(parts.duty_ranges(speeds))
    alone = course(parts.ranges(speeds))
    point = tuple(float(one[0]) for one in course(parts.duty_ranges(here)))
    speed_alone = tuple(float(one[0]) for one in course(parts.ranges(here)))
    low = 1.25 * min(float(alone[0].min()), float(mean.min()), -0.1 * tensile)
    end = max(2 * float(mean.max()), 0.5 * tensile)
    high = 1.25 * max(float(alternating.max()), endurance)
    place = parts.shank.place[section] * parts.shank.rod_length
    return Chart(
        f"Goodman diagram, {with_unit(place, 'mm')} from the small end's centre",
        axis("mean stress, tension +", "MPa"), axis("alternating stress", "MPa"),
        (low, end), (0, high),
        (
            Line("ring", [0, 0], [0, high]),
            Line("faint", [low, 0, tensile], [endurance, endurance, 0]),
            Line("allowed", [low, 0, tensile / factor], [bound, bound, 0]),
            Line("second", *alone, "cycle at one speed"),
            Line("main", mean, alternating, "duty up to a speed"),
        ),
        (
            Label("faint", 0.4 * end, endurance * (1 - 0.4 * end / tensile), "Goodman's line"),
            Label("allowed", 0.3 * end, bound * 0.45, f"the same over {factor:g}"),
            Label("main", *point, f"duty up to {rpm_text(rung.at)}"),
            Label("second", *speed_alone, "one speed"),
        ),
        (Mark("main", *point), Mark("second", *speed_alone)),
    )  # fmt: skip


def _rod_force(_ladder: Ladder, rung: Rung) -> Chart:
    load = rung.parts.train.loads.rod_force
    plane = "in plane" if rung.criterion.key == "buckling_in_plane" else "across"
    bound = as_drawn(rung.parts.buckling_load(plane), "kN")
    return angle_chart(
        rung, "Rod force against the buckling load", axis("rod force, compression +", "kN"),
        _parted(load[0], rung.at),
        [("buckling load", bound), ("over its safety", bound / rung.allowed.value)],
    )  # fmt: skip


def _joint(ladder: Ladder, rung: Rung) -> Chart:
    """Return bolt force, clamp and load of the joint against speed, at the largest pull."""
    parts, joint = rung.parts, _joint_of(rung)
    top = min(1.2 * max(min(rung.limit, ladder.high), ladder.red_line), ladder.high)
    speeds = np.linspace(0.02 * top, top, 80)
    load = parts.bolt_load(speeds).max(axis=-1)
    shown = UNITS["rpm"].array_from_si(speeds)
    bolt, clamp = as_drawn(bolt_force(joint, load), "kN"), as_drawn(clamp_force(joint, load), "kN")
    pull = as_drawn(np.maximum(load, 0), "kN")
    high = 1.15 * float(bolt.max())
    end, red = float(shown[-1]), UNITS["rpm"].from_si(ladder.red_line)
    rated = UNITS["rpm"].from_si(ladder.rated)
    at = int(0.72 * len(speeds))
    return Chart(
        "One bolt and its joint, at the cycle's largest pull",
        "crank speed, rpm", axis("force", "kN"), (0, end), (0, high),
        (
            Line("main", shown, bolt), Line("mean", shown, clamp),
            Line("inertia", shown, pull),
            Line("faint", [rated, rated], [0, high]), Line("faint", [red, red], [0, high]),
        ),
        (
            Label("main", float(shown[4]), float(bolt[4]), "bolt force"),
            Label("mean", float(shown[4]), float(clamp[4]) - 0.09 * high, "clamp left"),
            Label("inertia", float(shown[at]), float(pull[at]), "pull", "right"),
            Label("faint", rated, 0.0, "rated", "right"), Label("faint", red, 0.0, "red line"),
        ),
    )  # fmt: skip


def _joint_of(rung: Rung) -> BoltedJoint:
    """Return the joint that a rung assesses: yield at maximum preload, the rest at minimum."""
    joint: BoltedJoint = (
        rung.parts.tightest_joint if rung.criterion.key == "bolt_yield" else rung.parts.joint
    )
    return joint


def _bolt_force(_ladder: Ladder, rung: Rung) -> Chart:
    parts, joint = rung.parts, _joint_of(rung)
    load = parts.bolt_load(np.array([rung.at]))[0]
    return angle_chart(
        rung, "One bolt and its joint", axis("force", "kN"),
        [("inertia", "pull on one bolt", as_drawn(load, "kN")),
         ("mean", "clamp left", as_drawn(clamp_force(joint, load), "kN")),
         ("main", "bolt force", as_drawn(bolt_force(joint, load), "kN"))],
    )  # fmt: skip


def _bolt_stress(_ladder: Ladder, rung: Rung) -> Chart:
    parts, joint = rung.parts, rung.parts.joint
    force = bolt_force(joint, parts.bolt_load(np.array([rung.at]))[0])
    stress = as_drawn(force / joint.stress_area, "MPa")
    middle = (float(stress.max()) + float(stress.min())) / 2
    endurance = rolled_thread_endurance(parts.design.rod_bolts.diameter)
    half = as_drawn(endurance / rung.allowed.value, "MPa")
    chart = angle_chart(
        rung, "Stress of a bolt", axis("stress", "MPa"), [("main", "bolt", stress)],
        [("mean + σ_A / safety", middle + half), ("mean − σ_A / safety", middle - half)],
    )  # fmt: skip
    room = 1.6 * max(half, float(np.ptp(stress)) / 2)
    return dataclasses.replace(chart, y_range=(middle - room, middle + room))


def _slip(_ladder: Ladder, rung: Rung) -> Chart:
    parts, bolts = rung.parts, rung.parts.design.rod_bolts
    load = parts.split_load(np.array([rung.at]))
    clamp = clamp_force(parts.joint, load.pull[0] / bolts.count)
    held = as_drawn(bolts.count * bolts.split_friction * clamp, "kN")
    shear = as_drawn(np.abs(load.shear[0]), "kN")
    return angle_chart(
        rung, "Shear in the split, and what friction holds", axis("force", "kN"),
        [("main", "shear", shear), ("mean", "friction holds", held)],
    )  # fmt: skip


_CYCLE = "Over the cycle"
_PIN = ((_CYCLE, _pin_load),)
_PRESSURE = ((_CYCLE, _pin_pressure),)
_FORCE = ((_CYCLE, _rod_force),)
PART_CHARTS: dict[str, Views] = {
    "mean_piston_speed": ((_CYCLE, _piston_speed),),
    "piston_acceleration": ((_CYCLE, _acceleration),),
    "ring_lift": ((_CYCLE, _ring),),
    "pin_bending": _PIN,
    "pin_shear": _PIN,
    "pin_ovalisation": _PIN,
    "pin_hoop": _PIN,
    "boss_pressure": _PRESSURE,
    "small_end_pressure": _PRESSURE,
    "rod_yield": (("Along the shank", _along_shank), (_CYCLE, _rod_stress)),
    "rod_fatigue": (("Goodman", _goodman), ("Along the shank", _along_shank)),
    "buckling_in_plane": _FORCE,
    "buckling_across": _FORCE,
    "joint_opening": (("Against speed", _joint), (_CYCLE, _bolt_force)),
    "bolt_fatigue": ((_CYCLE, _bolt_stress),),
    "bolt_yield": (("Against speed", _joint), (_CYCLE, _bolt_force)),
    "split_slip": ((_CYCLE, _slip),),
}
