"""The charts of torsion: Campbell diagram, response by order, modes, Holzer, dampers, idle."""

import dataclasses
import math

import numpy as np

from kinematics.design.design import Design
from kinematics.limits.speed_limits import Ladder, Rung
from kinematics.shaft.torsion_train import (
    HIGHEST_ORDER,
    TorsionalChain,
    critical_speed_table,
    modes,
    order_amplitudes,
    torsional_chain,
    torsional_strain,
    vibratory_stress,
)
from kinematics.torsion.cyclic_irregularity import energy_fluctuation, speed_over_cycle
from kinematics.torsion.torsion_modes import holzer
from kinematics.train.cycle import RigidTrain
from kinematics.units import UNITS
from viz.chart import Chart, Label, Line, Mark
from viz.limits.rung_chart import angle_chart, bar_chart
from viz.number_words import as_drawn, axis, format_number, with_unit
from viz.speed_words import rpm_text

RPM = UNITS["rpm"]
SHOWN_ORDERS = 4  # orders named in the response plot, the largest first
RING_SHARE = 0.15  # of the first mode's inertia, where the design gives no damper's ring
LOOSE = 1.0  # [Hz], below which a mode only turns


def campbell_diagram(ladder: Ladder, rung: Rung) -> Chart:
    """Return natural frequencies over speed, the orders' rays, and the critical speeds."""
    chain = rung.parts.chain
    end = RPM.from_si(1.2 * ladder.red_line)
    found = modes(chain).angular_frequency / (2 * math.pi)
    flexible = found[found > LOOSE][:2]
    first, last = float(flexible[0]), float(flexible[min(1, len(flexible) - 1)])
    high = 1.3 * last if last < 2 * first else 1.6 * first
    lines, labels, marks = [], [], []
    for n, frequency in enumerate(flexible, 1):
        if frequency < high:
            lines.append(Line("main", [0, end], [float(frequency)] * 2))
            words = f"mode {n}: {format_number(float(frequency), 3)} Hz"
            labels.append(Label("main", 0.01 * end, float(frequency), words))
    majors = ladder.design.layout.cylinders / chain.turns
    for half in range(1, 2 * HIGHEST_ORDER + 1):
        order = half / 2
        is_major = order % majors == 0
        if chain.turns == 1 and half % 2:
            continue
        reach = order * end / 60
        x = end if reach <= high else 60 * high / order
        ray = ([0, x], [0, order * x / 60])
        lines.append(Line("inertia" if is_major else "ring", *ray, f"order {order:g}"))
        if is_major or order in (4.5, 7.5):
            place = 0.92 * min(x, end)
            labels.append(Label("inertia" if is_major else "faint", place, order * place / 60,
                                f"{order:g}", "right"))  # fmt: skip
    rated = RPM.from_si(ladder.rated)
    lines.append(Line("faint", [rated, rated], [0, high], "rated"))
    labels.append(Label("faint", rated, 0.0, "rated", "right"))
    table = critical_speed_table(chain, ladder.low, 1.2 * ladder.red_line)
    for critical in table:
        frequency = critical.order * critical.speed / (2 * math.pi)
        if frequency < high and critical.phasor_sum > 0.2 * ladder.design.layout.throws:
            marks.append(Mark("allowed", RPM.from_si(critical.speed), frequency))
    return Chart(
        "Campbell diagram, major orders emphasised",
        "crank speed, rpm", "frequency, Hz", (0, end), (0, high), tuple(lines), tuple(labels),
        tuple(marks),
    )  # fmt: skip


def order_response(ladder: Ladder, rung: Rung) -> Chart:
    """Return the torsional amplitude at the free end by order over speed, the strongest named."""
    speeds = np.geomspace(ladder.low, 1.2 * ladder.red_line, 160)
    strain = torsional_strain(rung.parts.train, rung.parts.chain, speeds)
    twist = np.degrees(order_amplitudes(strain.response, rung.parts.chain))
    orders = strain.response.order
    strongest = np.argsort(-twist.max(axis=0))[:SHOWN_ORDERS]
    shown = RPM.array_from_si(speeds)
    together = np.degrees(strain.free_end)
    allowed = math.degrees(_allowed(ladder, "free_end_angle"))
    high = 1.2 * max(float(together.max()), 0.5 * allowed)
    high = min(high, 2.2 * allowed)
    lines = [Line("main", shown, np.where(together < high, together, np.nan))]
    labels = [Label("main", float(shown[60]), min(1.15 * float(together[60]), 0.95 * high),
                    "all orders", "right")]  # fmt: skip
    for place, k in enumerate(strongest):
        role = ("inertia", "second", "mean", "gas")[place]
        lines.append(Line(role, shown, np.where(twist[:, k] < high, twist[:, k], np.nan)))
        i = int(twist[:, k].argmax())
        labels.append(Label(role, float(shown[i]), min(float(twist[i, k]), 0.95 * high),
                            f"order {orders[k]:g}", "right" if i > 140 else "center"))  # fmt: skip
    rated, end = RPM.from_si(ladder.rated), float(shown[-1])
    lines += [Line("faint", [rated, rated], [0, high])]
    if allowed < high:
        lines.append(Line("allowed", [0, end], [allowed, allowed]))
        labels.append(Label("allowed", 0.02 * end, allowed, "allowed"))
    return Chart(
        "Torsional amplitude at free end, by order", "crank speed, rpm",
        "amplitude (half peak-to-peak), °", (0, end), (0, high), tuple(lines), tuple(labels),
    )  # fmt: skip


def spans(ladder: Ladder, rung: Rung) -> Chart:
    """Return the vibratory stress of every span of the shaft, from the hub to the flywheel."""
    strain = rung.parts.strain(np.array([rung.at]))
    stress = as_drawn(vibratory_stress(strain, rung.parts.design)[0], "MPa")
    return bar_chart(
        f"Vibratory stress of every span at {rpm_text(rung.at)}", axis("stress", "MPa"),
        f"span: 1 from the hub, {len(stress)} to the flywheel", stress,
        as_drawn(_allowed(ladder, "shaft_stress"), "MPa"),
    )  # fmt: skip


def mode_shapes(_ladder: Ladder, rung: Rung) -> Chart:
    """Return the shapes of the first two modes of the shaft without its damper."""
    chain = bare_chain(rung.parts.design)
    found = modes(chain)
    places = np.arange(1, len(chain.system.inertias) + 1)
    lines, labels = [Line("ring", [0.5, len(places) + 0.5], [0, 0])], []
    low, high = -0.2, 1.2
    for n, (role, k) in enumerate((("main", 1), ("second", 2))[: len(places) - 1], 1):
        shape = found.shape[k]
        lines.append(Line(role, places, shape, f"mode {n}"))
        low, high = min(low, 1.15 * float(shape.min())), max(high, 1.15 * float(shape.max()))
        hertz = format_number(float(found.angular_frequency[k]) / (2 * math.pi), 3)
        at = (min(3, len(places) - 1), -2)[n - 1]
        labels.append(Label(role, float(places[at]), float(shape[at]), f"mode {n}, {hertz} Hz",
                            "left" if n == 1 else "right"))  # fmt: skip
    throws = rung.parts.design.layout.throws
    return Chart(
        "Mode shapes without damper",
        f"1 hub, 2 to {throws + 1} throws, {throws + 2} flywheel", "amplitude, hub = 1",
        (0.5, len(places) + 0.9), (low, high), tuple(lines), tuple(labels),
        tuple(Mark("main", float(x), float(y)) for x, y in enumerate(found.shape[1], 1)),
        x_ticks=tuple(range(1, len(places) + 1)),
    )  # fmt: skip


def holzer_residual(_ladder: Ladder, rung: Rung) -> Chart:
    """Return Holzer's residual over the trial frequency, which is zero at the modes."""
    chain = bare_chain(rung.parts.design)
    natural = modes(chain).angular_frequency[1:3] / (2 * math.pi)
    end = 1.15 * float(natural[1])
    trial = np.linspace(0.01, 1, 300) * end * 2 * math.pi
    share = holzer(chain.system, trial).residual / (trial**2 * sum(chain.system.inertias))
    shown = np.where(np.abs(share) < 1.6, share, np.nan)
    labels = [
        Label("mean", float(hertz), 0.05, f"{format_number(float(hertz), 4)} Hz", "center")
        for hertz in natural
    ]
    labels.append(Label("main", 0.04 * end, 1.05, "1: rigid-body rotation"))
    return Chart(
        "Holzer residual torque without damper",
        "trial frequency, Hz", "residual / (ω²·ΣJ)", (0, end), (-1.6, 1.6),
        (Line("ring", [0, end], [0, 0]),
         Line("main", trial / (2 * math.pi), shown, "residual")),
        tuple(labels), tuple(Mark("mean", float(hertz), 0.0) for hertz in natural),
    )  # fmt: skip


def dampers(ladder: Ladder, rung: Rung) -> Chart:
    """Return the vibratory stress without damper, with optimum viscous and tuned dampers."""
    design = rung.parts.design
    ring = damper_ring(design)
    speeds = np.geomspace(ladder.low, 1.2 * ladder.red_line, 120)
    shown, end = RPM.array_from_si(speeds), RPM.from_si(float(speeds[-1]))
    curves = []
    for role, name, kind in (
        ("gas", "no damper", "none"), ("main", "viscous", "viscous"), ("second", "tuned", "tuned"),
    ):  # fmt: skip
        train = RigidTrain(_with_damper(design, kind, ring))
        strain = torsional_strain(train, torsional_chain(train), speeds)
        stress = as_drawn(vibratory_stress(strain, train.design).max(axis=-1), "MPa")
        curves.append((role, name, stress))
    allowed = as_drawn(_allowed(ladder, "shaft_stress"), "MPa")
    high = 1.1 * max(1.4 * allowed, min(max(float(c.max()) for _, _, c in curves), 3 * allowed))
    lines = [Line(role, shown, np.where(c < high, c, np.nan)) for role, _, c in curves]
    labels = []
    for place, (role, name, stress) in enumerate(curves):
        i = (int(stress.argmax()), 60, 95)[place]
        labels.append(Label(role, float(shown[i]), min(float(stress[i]), 0.85 * high), name,
                            "right" if shown[i] > 0.8 * end else "left"))  # fmt: skip
    rated = RPM.from_si(ladder.rated)
    lines += [Line("faint", [rated, rated], [0, high]), Line("allowed", [0, end], [allowed] * 2)]
    labels += [Label("faint", rated, 0.0, "rated", "right"),
               Label("allowed", 0.02 * end, allowed, "allowed")]  # fmt: skip
    return Chart(
        f"Optimum viscous and rubber dampers, ring {with_unit(ring, 'kg_mm2')}",
        "crank speed, rpm", axis("vibratory stress", "MPa"), (0, end), (0, high), tuple(lines),
        tuple(labels),
    )  # fmt: skip


def idle_speed_over_cycle(_ladder: Ladder, rung: Rung) -> Chart:
    """Return the crank's speed over a cycle at idle."""
    torque = rung.parts.idle_torque.at(rung.at)
    swing = energy_fluctuation(torque, rung.parts.design.layout.cycle_angle)
    inertia = sum(rung.parts.chain.system.inertias)
    turning = RPM.array_from_si(speed_over_cycle(swing, inertia=inertia, speed=rung.at))
    mean, half = RPM.from_si(rung.at), rung.allowed.value / 2
    chart = angle_chart(
        rung, "Crank speed over the cycle, rigid shaft", "crank speed, rpm",
        [("main", "crank speed", turning)],
        [("allowed", mean * (1 + half)), ("", mean * (1 - half))],
    )  # fmt: skip
    room = 1.3 * max(float(np.abs(turning - mean).max()), half * mean)
    return dataclasses.replace(chart, y_range=(mean - room, mean + room))


def bare_chain(design: Design) -> TorsionalChain:
    """Return the chain of a design without its damper."""
    return torsional_chain(RigidTrain(_with_damper(design, "none", 0.0)))


def damper_ring(design: Design) -> float:
    """Return the inertia of the damper's ring [kg·m²], a share of the first mode's if none."""
    given: float | None = design.needed("torsion", "the damper").damper_inertia
    if given is not None:
        return given
    return RING_SHARE * float(modes(bare_chain(design)).effective_inertia[1])


def _with_damper(design: Design, kind: str, ring: float) -> Design:
    """Return a design with an optimum damper of a kind, or with none."""
    torsion = dataclasses.replace(
        design.needed("torsion", "the damper"),
        damper=kind,
        damper_inertia=ring if kind != "none" else None,
        damper_stiffness=None,
        damper_damping=None,
    )
    return dataclasses.replace(design, torsion=torsion)


def _allowed(ladder: Ladder, key: str) -> float:
    """Return the allowable [SI] of another rung of torsion."""
    rung = ladder.rung(key)
    return rung.allowed.value if rung is not None else 0.0
