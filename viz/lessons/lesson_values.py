"""The quantities that a lesson may name: what each is, its unit, and how it is had of a cycle."""

from collections.abc import Callable
from functools import lru_cache

import numpy as np

from kinematics.array import Array
from kinematics.film.bearing_wear import heaviest_angle, upper_share
from kinematics.mechanics.slider_crank import acceleration_harmonics
from kinematics.shaft.torsion_train import modes as chain_modes
from kinematics.shaft.torsion_train import torsional_chain, torsional_strain
from kinematics.torsion.torsion_modes import critical_speeds
from kinematics.torsion.torsion_response import phase_vectors, phasor_sums
from kinematics.train.balance import ellipse
from kinematics.train.cycle import Cycle, RigidTrain
from kinematics.train.dead_centre import dwell, rod_force_at_tdc, unloading_speed
from kinematics.units import UNITS
from viz.lessons.live_value import LiveValue
from viz.lessons.strength_values import STRENGTH
from viz.limits.torsion_charts import bare_chain
from viz.train.main_number import MainNumber
from viz.train.main_numbers import main_numbers

DWELL_SHARE = 0.05  # of the stroke, within which the piston counts as dwelling
TORQUE_ORDERS = tuple(half / 2 for half in range(1, 17))  # of a four-stroke
FREE_ORDERS = (1, 2, 4, 6)


# the main numbers by name: label, unit; their values are those of viz.train.main_numbers
_MAIN = {
    "mean_piston_speed": ("Mean piston speed", "m/s"),
    "peak_acceleration": ("Peak piston acceleration", "km/s²"),
    "indicated_power": ("Indicated power", "kW"),
    "mean_torque": ("Mean torque", "N·m"),
    "rod_compression": ("Rod compression (small end), maximum", "kN"),
    "rod_tension": ("Rod tension (small end), maximum", "kN"),
    "side_thrust": ("Side thrust, maximum", "kN"),
    "big_end_load": ("Big-end load, peak", "kN"),
    "main_load": ("Main load, peak", "kN"),
    "indicated_mean_pressure": ("Indicated mean effective pressure (IMEP)", "bar"),
    "peak_pressure": ("Peak cylinder pressure", "bar"),
    "big_end_specific_load": ("Big-end specific load", "MPa"),
    "main_specific_load": ("Main specific load", "MPa"),
    "free_force": ("Maximum free force", "N"),
    "rod_ratio": ("Rod-to-crank ratio l/r", ""),
    "rod_over_stroke": ("Rod/stroke ratio l/s", ""),
}


@lru_cache(maxsize=8)
def _numbers(cycle: Cycle) -> dict[str, MainNumber]:
    return {number.key: number for number in main_numbers(cycle)}


def _main_number(key: str) -> Callable[[Cycle], float]:
    return lambda cycle: _numbers(cycle)[key].value


def _si(unit: str, of: Callable[[Cycle], float]) -> Callable[[Cycle], float]:
    return lambda cycle: UNITS[unit].from_si(float(of(cycle)))


def _dwell(place: str) -> Callable[[Cycle], float]:
    return _si("deg", lambda cycle: getattr(dwell(cycle.train.crank, DWELL_SHARE), place))


def _second_order_share(cycle: Cycle) -> float:
    first, second = np.abs(acceleration_harmonics(cycle.train.crank, 2)[1:])
    return 100 * float(second / first)


def _acceleration(turn: float) -> Callable[[Cycle], float]:
    """Return the size of cylinder 1's acceleration so many half turns after firing TDC."""

    def of(cycle: Cycle) -> float:
        train = cycle.train
        at = round(turn * np.pi / train.crank_angle[1]) % train.points
        return abs(float(cycle.motion.acceleration[0, at]))

    return _si("km_s2", of)


def _tdc_force(which: int, part: str) -> Callable[[Cycle], float]:
    def of(cycle: Cycle) -> float:
        force = rod_force_at_tdc(cycle.train)[which]
        gas, inertia = float(force.gas.at(cycle.speed)), cycle.speed**2 * float(force.inertia)
        return {"gas": gas, "inertia": inertia, "both": gas + inertia}[part]

    return _si("kN", of)


def _free_force(order: float) -> Callable[[Cycle], float]:
    """Return the long half axis of an order of the free force [N], 0 where only rounding is."""

    def of(cycle: Cycle) -> float:
        balance = cycle.balance
        at = int(np.argmin(np.abs(balance.orders - order)))
        size = float(ellipse(*balance.force_orders[:, at]).largest)
        train = cycle.train
        whole = train.masses.piston * train.crank.crank_radius * cycle.speed**2
        return size if size > 1e-6 * whole else 0.0

    return of


def free_forces(cycle: Cycle) -> Array:
    """Return the free forces [N] at `FREE_ORDERS`."""
    return np.array([_free_force(order)(cycle) for order in FREE_ORDERS])


def _thrust(side: int) -> Callable[[Cycle], float]:
    """Return the size of the peak side thrust on a side: 1 the major thrust side, -1 the minor."""
    return _si("kN", lambda cycle: max(float((side * cycle.forces.side_thrust).max()), 0.0))


def _pin_load(cycle: Cycle) -> Array:
    return cycle.bearings.big_end_load("crank")[0]


def _shell_load(cycle: Cycle) -> Array:
    return cycle.bearings.big_end_load("rod")[0]


def _main_mean(cycle: Cycle) -> float:
    load = cycle.bearings.main_load("block")
    return float(np.hypot(load[:, 0], load[:, 1]).mean(axis=-1).max())


@lru_cache(maxsize=4)
def _bare_modes(train: RigidTrain) -> tuple[Array, Array]:
    """Return critical speeds of the first mode [rpm] and its phase-vector sums, by `TORQUE_ORDERS`.

    Of the shaft without its damper; the swing of the free end is 1.
    """
    chain = bare_chain(train.design)
    modes, order = chain_modes(chain), np.array(TORQUE_ORDERS)
    speed = UNITS["rpm"].array_from_si(critical_speeds(modes, order)[1])
    phases = phase_vectors(order, np.array(chain.firing_angles))
    shape = modes.shape[1, list(chain.places)] / modes.shape[1, chain.hub]
    return speed, np.abs(phasor_sums(phases, shape))


def torque_sums(cycle: Cycle) -> Array:
    """Return the first mode's phase-vector sums at `TORQUE_ORDERS`; free end 1, no damper."""
    return _bare_modes(cycle.train)[1]


def _of_order(which: int, place: int) -> Callable[[Cycle], float]:
    return lambda cycle: float(_bare_modes(cycle.train)[which][place])


def _twist(cycle: Cycle) -> float:
    chain = torsional_chain(cycle.train)
    return float(torsional_strain(cycle.train, chain, np.array([cycle.speed])).free_end[0])


def _by_order() -> dict[str, LiveValue]:
    named = {}
    for place, order in enumerate(TORQUE_ORDERS):
        key = f"{order:g}".replace(".", "_")
        named[f"torque_sum_{key}"] = LiveValue(
            f"Phase-vector sum, order {order:g}", "", 3, _of_order(1, place)
        )
        named[f"critical_{key}"] = LiveValue(
            f"Critical speed, order {order:g}", "rpm", 3, _of_order(0, place)
        )
    return named


LIVE: dict[str, LiveValue] = {
    **STRENGTH,
    **{key: LiveValue(*words, 3, _main_number(key)) for key, words in _MAIN.items()},
    "speed": LiveValue("Crank speed", "rpm", 4, _si("rpm", lambda cycle: cycle.speed)),
    "dwell_tdc": LiveValue("Dwell at TDC", "°", 3, _dwell("top")),
    "dwell_bdc": LiveValue("Dwell at BDC", "°", 3, _dwell("bottom")),
    "second_order_share": LiveValue("Second order over first", "%", 3, _second_order_share),
    "tdc_acceleration": LiveValue("Acceleration at TDC", "km/s²", 3, _acceleration(0)),
    "bdc_acceleration": LiveValue("Acceleration at BDC", "km/s²", 3, _acceleration(1)),
    "major_thrust": LiveValue("Peak thrust, major side", "kN", 3, _thrust(1)),
    "minor_thrust": LiveValue("Peak thrust, minor side", "kN", 3, _thrust(-1)),
    "unloading_speed": LiveValue(
        "Speed that unloads the rod", "rpm", 3,
        _si("rpm", lambda cycle: unloading_speed(cycle.train)),
    ),
    "tdc_gas_push": LiveValue("Gas force at firing TDC", "kN", 3, _tdc_force(0, "gas")),
    "tdc_inertia_force": LiveValue("Inertia at firing TDC", "kN", 3, _tdc_force(0, "inertia")),
    "tdc_rod_force": LiveValue("Rod force at firing TDC", "kN", 3, _tdc_force(0, "both")),
    "exchange_rod_force": LiveValue(
        "Rod force at gas-exchange TDC", "kN", 3, _tdc_force(1, "both")
    ),
    **{
        f"free_force_{order}": LiveValue(
            f"Free force, order {order}", "N", 3, _free_force(order)
        )
        for order in FREE_ORDERS
    },
    "pin_outer_share": LiveValue(
        "Load on the pin's outer half", "%", 3, lambda cycle: 100 * upper_share(_pin_load(cycle))
    ),
    "shell_rod_share": LiveValue(
        "Load on the shell's rod half", "%", 3, lambda cycle: 100 * upper_share(_shell_load(cycle))
    ),
    "pin_heaviest_angle": LiveValue(
        "Most-loaded pin angle, from outward", "°", 3,
        _si("deg", lambda cycle: heaviest_angle(_pin_load(cycle))),
    ),
    "main_mean_load": LiveValue("Main load, mean", "kN", 3, _si("kN", _main_mean)),
    "free_end_twist": LiveValue("Torsional amplitude at free end", "°", 3, _si("deg", _twist)),
    **_by_order(),
}  # fmt: skip
