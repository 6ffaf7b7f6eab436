"""The charts of rod and big-end cap: stresses along the shank, Goodman, the bolted joint."""

import dataclasses

import numpy as np

from kinematics.array import Array
from kinematics.limits.speed_limits import Ladder, Rung
from kinematics.strength.bolted_joint import (
    BoltedJoint,
    bolt_force,
    clamp_force,
    rolled_thread_endurance,
)
from kinematics.strength.rod_strength import StressRange
from kinematics.units import UNITS
from viz.chart import Chart, Label, Line, Mark
from viz.limits.rung_chart import angle_chart, gas_inertia_total
from viz.number_words import as_drawn, axis, with_unit
from viz.speed_words import rpm_text


def rod_stress(_ladder: Ladder, rung: Rung) -> Chart:
    """Return the stress of both fibres of the governing section over the cycle."""
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


def along_shank(_ladder: Ladder, rung: Rung) -> Chart:
    """Return maximum tension and compression of every section, with and without whipping."""
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
            Label("inertia", float(x[1]), float(tension[1]), "tension, near exhaust TDC"),
            Label("gas", float(x[1]), float(compression[1]), "compression, near firing TDC"),
            Label("faint", float(x[-1]), float(axial.max(axis=1)[-1]) / 2, "without whipping",
                  "right"),
        ),
    )  # fmt: skip


def goodman(ladder: Ladder, rung: Rung) -> Chart:
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
        mean, alternating = ranges.mean[side, :, section], ranges.alternating[side, :, section]
        return as_drawn(mean, "MPa"), as_drawn(alternating, "MPa")

    def first(ranges: StressRange) -> tuple[float, float]:
        mean, alternating = course(ranges)
        return float(mean[0]), float(alternating[0])

    mean, alternating = course(parts.duty_ranges(speeds))
    alone = course(parts.ranges(speeds))
    point, speed_alone = first(parts.duty_ranges(here)), first(parts.ranges(here))
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
            Label("faint", 0.4 * end, endurance * (1 - 0.4 * end / tensile), "Goodman line"),
            Label("allowed", 0.3 * end, bound * 0.45, f"Goodman line / {factor:g}"),
            Label("main", *point, f"duty up to {rpm_text(rung.at)}"),
            Label("second", speed_alone[0], speed_alone[1] - 0.17 * high, "one speed"),
        ),
        (Mark("main", *point), Mark("second", *speed_alone)),
    )  # fmt: skip


def rod_force_chart(_ladder: Ladder, rung: Rung) -> Chart:
    """Return the rod force over the cycle against the buckling load."""
    load = rung.parts.train.loads.rod_force
    plane = "in plane" if rung.criterion.key == "buckling_in_plane" else "across"
    bound = as_drawn(rung.parts.buckling_load(plane), "kN")
    return angle_chart(
        rung, "Rod force against the buckling load", axis("rod force, compression +", "kN"),
        gas_inertia_total(load[rung.parts.train.assessed_cylinder], rung.at),
        [("buckling load", bound), ("buckling load / safety", bound / rung.allowed.value)],
    )  # fmt: skip


def joint(ladder: Ladder, rung: Rung) -> Chart:
    """Return bolt force, clamp force and load of the joint over speed, at the maximum load."""
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
        "One bolt and its joint, at the maximum load of the cycle",
        "crank speed, rpm", axis("force", "kN"), (0, end), (0, high),
        (
            Line("main", shown, bolt), Line("mean", shown, clamp),
            Line("inertia", shown, pull),
            Line("faint", [rated, rated], [0, high]), Line("faint", [red, red], [0, high]),
        ),
        (
            Label("main", float(shown[4]), float(bolt[4]), "bolt force"),
            Label("mean", float(shown[4]), float(clamp[4]) - 0.09 * high, "remaining clamp force"),
            Label("inertia", float(shown[at]), float(pull[at]), "load", "right"),
            Label("faint", rated, 0.0, "rated", "right"), Label("faint", red, 0.0, "red line"),
        ),
    )  # fmt: skip


def _joint_of(rung: Rung) -> BoltedJoint:
    """Return the joint that a rung assesses: yield at maximum preload, the rest at minimum."""
    joint: BoltedJoint = (
        rung.parts.tightest_joint if rung.criterion.key == "bolt_yield" else rung.parts.joint
    )
    return joint


def bolt_force_chart(_ladder: Ladder, rung: Rung) -> Chart:
    """Return bolt force, clamp force and load of the joint over the cycle."""
    parts, joint = rung.parts, _joint_of(rung)
    load = parts.bolt_load(np.array([rung.at]))[0]
    return angle_chart(
        rung, "One bolt and its joint", axis("force", "kN"),
        [("inertia", "load on one bolt", as_drawn(load, "kN")),
         ("mean", "remaining clamp force", as_drawn(clamp_force(joint, load), "kN")),
         ("main", "bolt force", as_drawn(bolt_force(joint, load), "kN"))],
    )  # fmt: skip


def bolt_stress(_ladder: Ladder, rung: Rung) -> Chart:
    """Return the stress of a bolt over the cycle."""
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


def slip(_ladder: Ladder, rung: Rung) -> Chart:
    """Return shear at the fracture face and friction capacity over the cycle."""
    parts, bolts = rung.parts, rung.parts.design.rod_bolts
    load = parts.split_load(np.array([rung.at]))
    clamp = clamp_force(parts.joint, load.pull[0] / bolts.count)
    held = as_drawn(bolts.count * bolts.split_friction * clamp, "kN")
    shear = as_drawn(np.abs(load.shear[0]), "kN")
    return angle_chart(
        rung, "Fracture face: shear and friction capacity", axis("force", "kN"),
        [("main", "shear", shear), ("mean", "friction capacity", held)],
    )  # fmt: skip
