"""The main numbers of a cycle, each one step from its formula with the values put in."""

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from kinematics.array import Array, ComplexArray
from kinematics.design.design_bearings import PlainBearing
from kinematics.mechanics.slider_crank import mean_piston_speed
from kinematics.train.balance import ellipse
from kinematics.train.cycle import Cycle
from kinematics.train.gas_check import gas_check
from viz.number_words import format_short, operand, short_with_unit
from viz.train.gas_numbers import (
    FUEL_WORDS,
    efficiency_expression,
    pressure_expression,
    temperature_expression,
    usual_words,
)
from viz.train.main_number import Definition, MainNumber

ALIKE = 1e-9  # relative; peaks closer than this count as one
_HEYWOOD = "J. B. Heywood, Internal Combustion Engine Fundamentals, 1988"
_MERIAM = "J. L. Meriam and L. G. Kraige, Engineering Mechanics: Dynamics"
_KHURMI = "R. S. Khurmi and J. K. Gupta, Theory of Machines, 14th ed., chapter 15"


def main_numbers(cycle: Cycle) -> tuple[MainNumber, ...]:
    """Return the main numbers of a cycle, the most wanted first."""
    rod_compression, rod_tension = _rod_forces(cycle)
    big_end, big_end_pressure = _big_end(cycle)
    main, main_pressure = _main_bearing(cycle)
    return (
        _mean_piston_speed(cycle), _peak_acceleration(cycle), _power(cycle), _mean_torque(cycle),
        rod_compression, rod_tension, _side_thrust(cycle), big_end, main, _mean_pressure(cycle),
        *_spread(cycle), _peak_pressure(cycle), *_gas(cycle), big_end_pressure, main_pressure,
        *_free_loads(cycle), *_proportions(cycle),
    )  # fmt: skip


@dataclass(frozen=True, slots=True)
class Instant:
    """One cylinder at one place of the angle grid."""

    cycle: Cycle
    row: int
    column: int

    @property
    def place(self) -> str:
        """Cylinder and crank angle in words."""
        return f"cylinder {self.row + 1}, {self.degrees}"

    @property
    def degrees(self) -> str:
        """Crank angle in words."""
        return f"{format_short(math.degrees(self.cycle.crank_angle[self.column]), 4)}°"

    def of(self, values: Array) -> float:
        """Return the value here of an array (c, n)."""
        return float(values[self.row, self.column])

    @property
    def crank_angle(self) -> str:
        """Angle from this cylinder's own firing TDC, put in."""
        angle = self.of(self.cycle.train.own_angle) % self.cycle.design.layout.cycle_angle
        return f"{operand(math.degrees(angle))}°"

    @property
    def rod_angle(self) -> str:
        """Rod angle, put in."""
        return f"{operand(math.degrees(self.of(self.cycle.train.motion.rod_angle)))}°"


def _peak(cycle: Cycle, values: Array) -> Instant:
    """Return the first place (row, column) of (rows, n) whose value is as good as the largest."""
    in_row = values.max(axis=1)
    largest = float(in_row.max())
    enough = largest - ALIKE * abs(largest)
    row = int(np.argmax(in_row >= enough))
    return Instant(cycle, row, int(np.argmax(values[row] >= enough)))


MEAN_PISTON_SPEED = Definition(
    "mean_piston_speed", "Mean piston speed", "m_s", "c_m",
    "c_m = 2·s·n\ns stroke, n crank speed in turns per second",
    "Two strokes per turn. With a pin offset the true stroke, just over twice the crank radius.",
    f"{_HEYWOOD}, equation 2.9 (from memory)")  # fmt: skip
PEAK_ACCELERATION = Definition(
    "peak_acceleration", "Peak piston acceleration", "km_s2", "a",
    "a = r·ω²·(cos φ − sin φ·tan ψ + (r/l)·cos² φ/cos³ ψ)\n"
    "r crank radius, l rod length, φ crank angle, ψ rod angle, sin ψ = (r·sin φ + offset)/l",
    "Of the piston, positive toward the crank; exact law, no truncated series. The same in every "
    "cylinder; shown where cylinder 1 first has it.",
    f"{_MERIAM}, sample problems 5/9 and 5/15 (from memory), with a pin offset")  # fmt: skip
ROD_RATIO = Definition(
    "rod_ratio", "Rod-to-crank ratio l/r", "", "l/r",
    "l/r = l/(s/2)\nl rod length, s stroke",
    "Between pin centres; its inverse λ = r/l sets the second order.",
    f"{_KHURMI} (public worked solutions, print not seen)", digits=4)  # fmt: skip
ROD_OVER_STROKE = Definition(
    "rod_over_stroke", "Rod/stroke ratio l/s", "", "l/s",
    "l/s = l/s\nl rod length, s stroke",
    "Half the rod-to-crank ratio l/r.",
    "common practice, no source", digits=4)  # fmt: skip
DEAD_CENTRE = Definition(
    "firing_dead_centre", "True firing TDC", "deg", "φ_TDC",
    "φ_TDC = −asin(e/(l + r))\ne pin offset, l rod length, r crank radius",
    "Where crank and rod stand in line, from the angle at which the throw points along the "
    "cylinder; positive with rotation. Offset positive toward the major thrust side.",
    "R. L. Norton, Design of Machinery, offset slider-crank (from memory)")  # fmt: skip


def _mean_piston_speed(cycle: Cycle) -> MainNumber:
    crank, speed = cycle.train.crank, cycle.speed
    turns = speed / (2 * math.pi)
    return MEAN_PISTON_SPEED.number(
        mean_piston_speed(crank, speed), f"2·{operand(crank.stroke)}·{operand(turns)}"
    )


def _peak_acceleration(cycle: Cycle) -> MainNumber:
    acceleration = cycle.motion.acceleration
    at = _peak(cycle, np.abs(acceleration[:1]))
    crank, phi, psi = cycle.train.crank, at.crank_angle, at.rod_angle
    r, l = operand(crank.crank_radius), operand(crank.rod_length)
    law = f"cos({phi}) − sin({phi})·tan({psi}) + ({r}/{l})·cos({phi})²/cos({psi})³"
    return PEAK_ACCELERATION.number(
        at.of(acceleration), f"{r}·{operand(cycle.speed)}²·({law})", at.place
    )


def _proportions(cycle: Cycle) -> Iterator[MainNumber]:
    cylinder, crank = cycle.design.cylinder, cycle.train.crank
    length, stroke = operand(cylinder.rod_length), operand(cylinder.stroke)
    yield ROD_OVER_STROKE.number(cylinder.rod_length / cylinder.stroke, f"{length}/{stroke}")
    yield ROD_RATIO.number(cylinder.rod_ratio, f"{length}/({stroke}/2)")
    if crank.pin_offset != 0:
        reach = f"({length} + {operand(crank.crank_radius)})"
        yield DEAD_CENTRE.number(
            crank.top_dead_centre, f"−asin({operand(crank.pin_offset)}/{reach})"
        )


_WORK = f"{_HEYWOOD}, sections 2.3 to 2.7 (from memory)"

MEAN_PRESSURE = Definition(
    "indicated_mean_pressure", "Indicated mean effective pressure (IMEP)", "bar", "p_mi",
    "p_mi = W_i/V_h\nW_i work of the gas on one piston over a cycle, V_h swept volume of one",
    "Net: includes gas exchange, excludes friction.",
    _WORK)  # fmt: skip
MEAN_PRESSURE_SPREAD = Definition(
    "indicated_mean_pressure_spread", "Spread of IMEP over cylinders", "percent", "s_p",
    "s_p = √(Σ(W_k − W_i)²/(z − 1))/W_i\nW_k work of the gas on the piston of cylinder k, W_i "
    "their mean, z cylinders",
    "Standard deviation over the mean, where not all cylinders have the same gas.",
    f"Standard deviation of a sample; {_WORK}")  # fmt: skip
MEAN_TORQUE = Definition(
    "mean_torque", "Mean torque", "Nm", "M",
    "M = z·W_i/Φ\nz cylinders, W_i work of the gas on one piston over a cycle, "
    "Φ angle of a cycle: 4π for a four-stroke, 2π for a two-stroke",
    "Indicated, before friction; positive in the sense of rotation. Inertia adds nothing to the "
    "mean at a steady speed.",
    _WORK)  # fmt: skip
POWER = Definition(
    "indicated_power", "Indicated power", "kW", "P",
    "P = M·ω\nM mean torque, ω crank speed in radians per second",
    "Indicated, before friction.",
    _WORK)  # fmt: skip
MODEL_PEAK = Definition(
    "peak_pressure", "Peak cylinder pressure", "bar", "p_max",
    "p_max = p_c + x·(p_e − p_c)\np_c compression alone, p_e expansion with all heat released, "
    "x share of the heat released",
    "Absolute, maximum on the angle grid. p_c = p_i·(V_i/V)^n_c from the pressure and volume "
    "at intake closing; x = 1 − exp(−5·y³), y the progress of burning. Without load p_e and p_c "
    "are one. Between two rows of the full-load curve it is the sum of their shares.",
    "L. Eriksson and I. Andersson, SAE 2002-01-0371 (from memory); "
    f"{_HEYWOOD}, section 9.2 (from memory)")  # fmt: skip
READ_PEAK = Definition(
    "peak_pressure", "Peak cylinder pressure", "bar", "p_max",
    "p_max = p_k + F_gas/A\np_k crankcase pressure, F_gas gas force, A piston area",
    "Absolute, maximum on the angle grid; a trace is interpolated linearly.",
    "common practice, no source")  # fmt: skip
MEAN_CYCLE_PEAK = replace(READ_PEAK, label="Peak cylinder pressure, mean cycle")

EFFICIENCY = Definition(
    "indicated_efficiency", "Indicated efficiency", "percent", "η_i",
    "η_i = W_i/(x·m·H/L),  m = p_i·V_i/(R·T_i)\nW_i work of the gas on one piston over a cycle, "
    "x heat released against full load, m trapped mass at full load, p_i, V_i, T_i when the "
    "intake closes, H heating value, L air per fuel",
    FUEL_WORDS,
    f"{_HEYWOOD}, sections 2.8 to 2.10 and table D.4 (from memory)")  # fmt: skip
GAS_TEMPERATURE = Definition(
    "peak_gas_temperature", "Peak gas temperature", "degC", "T",
    "T = T_i·p·V/(p_i·V_i)\np, V where their product is largest, p_i, V_i, T_i when the intake "
    "closes",
    "Mean over the cylinder, valves shut, mass and gas constant as when the intake closes. "
    + FUEL_WORDS,
    "Ideal gas of constant mass; the constants from memory")  # fmt: skip


def _gas(cycle: Cycle) -> tuple[MainNumber, MainNumber]:
    check = gas_check(cycle)
    if check is None:
        lacking = "pressure model: a trace has no fuel data"
        return EFFICIENCY.missing(lacking), GAS_TEMPERATURE.missing(lacking)
    fuel, kelvin = check.fuel, check.peak_temperature
    if not check.fuel_heat > 0:
        efficiency = EFFICIENCY.missing("engine load: it is motored")
    else:
        usual = usual_words(check.efficiency, fuel.efficiency, 100.0, "%")
        efficiency = EFFICIENCY.number(check.efficiency, efficiency_expression(check), usual)
    usual = usual_words(kelvin, fuel.temperature, 1.0, "K")
    return efficiency, GAS_TEMPERATURE.number(kelvin, temperature_expression(check), usual)


def _mean_pressure(cycle: Cycle) -> MainNumber:
    expression = f"{operand(cycle.indicated_work)}/{operand(cycle.train.swept_volume)}"
    return MEAN_PRESSURE.number(cycle.indicated_mean_pressure, expression)


def _spread(cycle: Cycle) -> Iterator[MainNumber]:
    work, mean = cycle.cylinder_work, cycle.indicated_work
    if cycle.design.cylinders_alike or len(work) < 2 or mean <= 0:
        return
    squares = " + ".join(f"{operand(abs(float(one - mean)))}²" for one in work)
    expression = f"√(({squares})/{len(work) - 1})/{operand(mean)}"
    low, high = int(work.argmin()), int(work.argmax())
    least, most = (
        short_with_unit(float(work[k]) / cycle.train.swept_volume, "bar", 3) for k in (low, high)
    )
    place = f"cylinder {low + 1} {least} to cylinder {high + 1} {most}"
    yield MEAN_PRESSURE_SPREAD.number(float(work.std(ddof=1)) / mean, expression, place)


def _mean_torque(cycle: Cycle) -> MainNumber:
    layout, work = cycle.design.layout, operand(cycle.indicated_work)
    expression = f"{layout.cylinders}·{work}/({layout.strokes_per_cycle}·π)"
    return MEAN_TORQUE.number(cycle.mean_torque, expression)


def _power(cycle: Cycle) -> MainNumber:
    expression = f"{operand(cycle.mean_torque)}·{operand(cycle.speed)}"
    return POWER.number(cycle.indicated_power, expression)


def _peak_pressure(cycle: Cycle) -> MainNumber:
    at = _peak(cycle, cycle.forces.cylinder_pressure)
    highest = at.of(cycle.forces.cylinder_pressure)
    expression = pressure_expression(cycle, at.row, at.column)
    if expression is not None:
        return MODEL_PEAK.number(highest, expression, at.place)
    under, area = cycle.design.pressure.crankcase, cycle.design.cylinder.piston_area
    gas = at.of(cycle.forces.gas_force)
    substitution = f"{operand(under)} + {operand(gas)}/{operand(area)}"
    trace = cycle.design.pressure.trace
    if trace is None or not trace.highest:
        return READ_PEAK.number(highest, substitution, at.place)
    most = short_with_unit(trace.of_highest_cycle.extremes[1], "bar", 4)
    place = f"{at.place}; highest of the cycles measured {most}"
    return MEAN_CYCLE_PEAK.number(highest, substitution, place)


_ROD_TERMS = (
    "F_gas gas force, m_p piston assembly, a piston acceleration, N side thrust, ψ rod angle"
)
_ROD_SOURCE = (
    f"{_KHURMI} (public worked solutions, print not seen); {_MERIAM}, chapter 6 (from memory)"
)

ROD_COMPRESSION = Definition(
    "rod_compression", "Rod compression (small end)", "kN", "F_rod",
    f"F_rod = (F_gas − m_p·a)·cos ψ + N·sin ψ\n{_ROD_TERMS}",
    "Along the rod at the small end, positive in compression. The side thrust includes the rod's "
    "inertia across its axis.",
    _ROD_SOURCE)  # fmt: skip
ROD_TENSION = Definition(
    "rod_tension", "Rod tension (small end)", "kN", "F_t",
    f"F_t = −((F_gas − m_p·a)·cos ψ + N·sin ψ)\n{_ROD_TERMS}",
    "Along the rod at the small end, here positive in tension; negative where the rod is never "
    "pulled. Mostly at gas-exchange TDC.",
    _ROD_SOURCE)  # fmt: skip
SIDE_THRUST = Definition(
    "side_thrust", "Side thrust", "kN", "N",
    "N = (F_gas + F_osc)·tan ψ − ΔI·α/(l·cos ψ)\nF_gas gas force, F_osc reciprocating inertia "
    "force of piston and small-end share of the rod, ψ rod angle, α rod angular acceleration, "
    "l rod length, "
    "ΔI the rod's inertia less that of two masses at its pins",
    "Maximum over all cylinders; positive when the piston presses on its major thrust side.",
    _ROD_SOURCE)  # fmt: skip


def _rod_forces(cycle: Cycle) -> tuple[MainNumber, MainNumber]:
    force = cycle.forces.rod_force
    squeezed, pulled = _peak(cycle, force), _peak(cycle, -force)
    compression, tension = squeezed.of(force), -pulled.of(force)
    squeezed_at = squeezed.place if compression > 0 else "never compressed"
    pulled_at = pulled.place if tension > 0 else "never pulled"
    return (
        ROD_COMPRESSION.number(compression, _rod_force(squeezed), squeezed_at),
        ROD_TENSION.number(tension, f"−({_rod_force(pulled)})", pulled_at),
    )


def _rod_force(at: Instant) -> str:
    forces, psi = at.cycle.forces, at.rod_angle
    gas, mass = at.of(forces.gas_force), at.cycle.train.masses.piston
    lift = f"{operand(gas)} − {operand(mass)}·{operand(at.of(at.cycle.motion.acceleration))}"
    thrust = operand(at.of(forces.side_thrust), beside=gas)
    return f"({lift})·cos({psi}) + {thrust}·sin({psi})"


def _side_thrust(cycle: Cycle) -> MainNumber:
    forces, train = cycle.forces, cycle.train
    at = _peak(cycle, np.abs(forces.side_thrust))
    masses, l, psi = train.masses, train.crank.rod_length, at.rod_angle
    arm = masses.rod_cg_from_big_end
    left_out = masses.rod_inertia_about_cg - masses.rod * arm * (l - arm)
    spin = at.of(cycle.motion.rod_angular_acceleration)
    pushed = (
        f"({operand(at.of(forces.gas_force))} + {operand(at.of(forces.inertia_force))})·tan({psi})"
    )
    turned = f"{operand(left_out)}·{operand(spin)}/({operand(l)}·cos({psi}))"
    return SIDE_THRUST.number(at.of(forces.side_thrust), f"{pushed} − {turned}", at.place)


BIG_END_LOAD = Definition(
    "big_end_load", "Big-end load", "kN", "B",
    "B = √(B_x² + B_y²)\nB_x, B_y load on the shell across and along the rod",
    "The force of the crankpin on the shell, in the rod's frame: y along the rod toward the piston "
    "pin, x in the direction of motion when rod and throw stand upright.",
    f"{_MERIAM}, chapter 6 (from memory)")  # fmt: skip
MAIN_LOAD = Definition(
    "main_load", "Main load", "kN", "H",
    "H = √(H_x² + H_y²)\nH_x, H_y load on the shell across and along cylinder 1",
    "The force of the journal on the shell, in the block's frame; main bearing 1 at the free end. "
    "Each throw is a beam between its two mains, or the shaft is continuous on elastic mains, as "
    "given in the design.",
    "K. Maass and H. Klier, Kräfte, Momente und deren Ausgleich in der "
    "Verbrennungskraftmaschine, 1981 (from memory)")  # fmt: skip

_SPECIFIC = "Over the projected area; this mean is far below the peak oil film pressure."
_SPECIFIC_SOURCE = "ISO 7902-1, specific bearing load (from memory)"

BIG_END_PRESSURE = Definition(
    "big_end_specific_load", "Big-end specific load", "MPa", "p_B",
    "p_B = B/(d·b)\nB peak big-end load, d diameter, b width of the big end",
    _SPECIFIC, _SPECIFIC_SOURCE)  # fmt: skip
MAIN_PRESSURE = Definition(
    "main_specific_load", "Main specific load", "MPa", "p_H",
    "p_H = H/(d·b)\nH peak main load, d diameter, b width of the main bearing",
    _SPECIFIC, _SPECIFIC_SOURCE)  # fmt: skip


def _big_end(cycle: Cycle) -> tuple[MainNumber, MainNumber]:
    load = cycle.bearings.big_end_load("rod")
    at = _peak(cycle, np.hypot(load[:, 0], load[:, 1]))
    size, expression = _size(load, at)
    pressure = _specific(BIG_END_PRESSURE, size, cycle.design.big_end, "big-end size", at.place)
    return BIG_END_LOAD.number(size, expression, at.place), pressure


def _main_bearing(cycle: Cycle) -> tuple[MainNumber, MainNumber]:
    load = cycle.bearings.main_load("block")
    at = _peak(cycle, np.hypot(load[:, 0], load[:, 1]))
    size, expression = _size(load, at)
    place = f"main {at.row + 1}, {at.degrees}"
    pressure = _specific(MAIN_PRESSURE, size, cycle.design.main_bearing, "main-bearing size", place)
    return MAIN_LOAD.number(size, expression, place), pressure


def _size(load: Array, at: Instant) -> tuple[float, str]:
    x, y = (float(part) for part in load[at.row, :, at.column])
    size = math.hypot(x, y)
    return size, f"√({operand(x, beside=size)}² + {operand(y, beside=size)}²)"


def _specific(
    definition: Definition, load: float, bearing: PlainBearing | None, what: str, place: str
) -> MainNumber:
    if bearing is None:
        return definition.missing(what)
    expression = f"{operand(load)}/({operand(bearing.diameter)}·{operand(bearing.bearing_width)})"
    return definition.number(load / bearing.projected_area, expression, place)


_PHASORS = "the phasors of order k that turn with the crank and against it"
_BALANCE_SOURCE = (
    "J. P. Den Hartog, Mechanical Vibrations, section 1.3 and chapter 5; T. Bevan, The Theory of "
    "Machines, chapter 14 (both from memory)"
)

FREE_FORCE = Definition(
    "free_force", "Maximum free force", "N", "F_k",
    f"F_k = F_forward + F_backward\n{_PHASORS}",
    "On the block, in the plane across the crank; the long half axis of the ellipse that this "
    "order draws. Maximum of all orders to 8.",
    _BALANCE_SOURCE)  # fmt: skip
FREE_MOMENT = Definition(
    "free_moment", "Maximum free moment", "Nm", "M_k",
    f"M_k = M_forward + M_backward\n{_PHASORS}",
    "Pitching and yawing moment on the block about the middle of the crank; the long half axis of "
    "the ellipse that this order draws. Maximum of all orders to 8.",
    _BALANCE_SOURCE)  # fmt: skip
ROLLING_MOMENT = Definition(
    "rolling_moment", "Maximum rolling moment", "Nm", "M_k",
    "M_k = √(C² + S²)\nC cosine, S sine part of order k",
    "On the block, the reaction to torque and to the rods' angular momentum; an amplitude, the "
    "maximum of all orders to 8. Gas and piston mass act in the middle of the bore. With a pin "
    "offset the pin stands beside that line: the couple, offset times gas and piston inertia "
    "force, that the piston puts on its bore is in this moment, but not in the side thrust, which "
    "is one force at the pin's height. Left out: the offset of the pin's own mass.",
    _BALANCE_SOURCE)  # fmt: skip


def _free_loads(cycle: Cycle) -> tuple[MainNumber, MainNumber, MainNumber]:
    balance, layout = cycle.balance, cycle.design.layout
    train, speed = cycle.train, cycle.speed
    masses = train.masses.piston + train.masses.rod
    unit = masses * train.crank.crank_radius * speed**2 * layout.cylinders
    arm = layout.throws * layout.throw_spacing
    pitching, yawing, rolling = balance.moment_orders
    x, y = balance.force_orders
    return (
        _ellipse(FREE_FORCE, balance.orders, x, y, unit),
        _ellipse(FREE_MOMENT, balance.orders, yawing, pitching, unit * arm),
        _rolling(balance.orders, rolling),
    )


def _ellipse(
    definition: Definition, orders: Array, x: ComplexArray, y: ComplexArray, unit: float
) -> MainNumber:
    """Return the largest order of a vector (x, y), zero where rounding is all that is left."""
    drawn = ellipse(x, y)
    place = int(drawn.largest.argmax())
    if drawn.largest[place] <= ALIKE * unit:
        return definition.number(0.0, "0 + 0", "none up to order 8")
    forward, backward = float(drawn.forward[place]), float(drawn.backward[place])
    size = forward + backward
    expression = f"{operand(forward, beside=size)} + {operand(backward, beside=size)}"
    return definition.number(size, expression, f"order {orders[place]:g}")


def _rolling(orders: Array, rolling: ComplexArray) -> MainNumber:
    place = int(np.abs(rolling).argmax())
    size, part = float(abs(rolling[place])), rolling[place]
    cosine, sine = operand(part.real, beside=size), operand(-part.imag, beside=size)
    return ROLLING_MOMENT.number(size, f"√({cosine}² + {sine}²)", f"order {orders[place]:g}")
