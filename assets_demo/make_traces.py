"""Make the demonstration pressure traces anew: `python -m assets_demo.make_traces`.

All come from the pressure model of the touring six. The full-load trace has laid over it what
an indicator adds: noise, a ringing of the burning gas, and waves while the valves are open. The
file of many cycles scatters from cycle to cycle, its encoder is set late, and its pressure lacks
an offset, for the import's checks to find. The file of six cylinders has a column for each over the
engine's crank angle; they burn unlike amounts, and each transducer has a zero of its own. Numbers
are invented; seeds are fixed, so that every run writes the same bytes.
"""

from pathlib import Path

import numpy as np

from assets_demo import FOLDER
from kinematics import Design, load_design, with_value
from kinematics.array import Array
from kinematics.mechanics.firing_order import firing_angles
from kinematics.mechanics.pressure_trace import COLUMNS
from kinematics.train.cycle import Cycle, checked_speed, rigid_train
from kinematics.train.cylinder_pressure import (
    cylinder_pressure,
    cylinder_volume,
    motored_pressure,
)

SEED = 6
NOISE = 0.06  # standard deviation [bar]
RINGING = 0.9, 6.0, 12.0  # height [bar], period and decay [°]; from 4° before the peak
GAS_WAVES = 0.05, 92.0  # height [bar] and period [°] while a valve is open
GAS_EXCHANGE = 170.0, 560.0  # [°], where a valve is open
CYCLES, CYCLE_STEP = 20, 1.0  # of the file of many cycles, step [°]
LATE = 1.5  # [°] by which its encoder is late
LACKING = 0.25  # [bar] that its pressure lacks
PEAK_SCATTER = 0.06  # standard deviation of the heat released, as a share
HEAT_SHARES = 1.0, 0.97, 1.03, 0.94, 1.02, 1.04  # of the cylinders, against the model's
ZEROS_LACKING = 0.1, 0.3, 0.2, -0.1, 0.15, 0.25  # [bar] that the cylinders' pressures lack
SIX_CYCLES, SIX_STEP, SIX_LATE = 5, 1.0, 1.0  # of the file of six cylinders; step, late [°]
BRAKE_SHARE = 0.87  # of indicated torque
TORQUE_ERROR, TORQUE_WAVE = 0.003, 0.02  # standard deviation, and a tuned intake, as shares
SIX_NOISE = 0.02  # standard deviation [bar]


def model_pressure(design: Design, degrees: Array) -> Array:
    """Return the model's pressure [bar] at crank angles [°] of cylinder 1, of their shape."""
    angle = np.radians(degrees)
    return cylinder_pressure(design, angle, cylinder_volume(design.cylinder, angle)) / 1e5


def full_load_trace(design: Design) -> tuple[Array, Array]:
    """Return angles [°] by half degrees, and pressures [bar] as an indicator might see them."""
    degrees = np.arange(0.0, 720.0, 0.5)
    clean = model_pressure(design, degrees)
    noise = NOISE * np.random.RandomState(SEED).standard_normal(degrees.size)
    return degrees, clean + noise + ringing(degrees, degrees[clean.argmax()] - 4) + waves(degrees)


def motored_trace(design: Design) -> tuple[Array, Array]:
    """Return angles [°] by whole degrees, and clean pressures [bar] without burning."""
    motored = with_value(design, "pressure.load_percent", 0.0)
    motored = with_value(motored, "pressure.load_control", "mixture")
    degrees = np.arange(0.0, 720.0)
    return degrees, model_pressure(motored, degrees)


def many_cycles(design: Design, step: float = CYCLE_STEP) -> tuple[Array, Array]:
    """Return angles [°] and pressures [bar] of successive cycles of an indicator set late.

    The angle wraps at -360°; each cycle's combustion is a share larger or smaller.
    """
    degrees = np.arange(-360.0, 360.0, step)
    angle = np.radians(degrees - LATE)
    volume = cylinder_volume(design.cylinder, angle)
    fired = cylinder_pressure(design, angle, volume) / 1e5
    motored = motored_pressure(design, angle, volume) / 1e5
    draw = np.random.RandomState(SEED)
    scatter = 1 + PEAK_SCATTER * draw.standard_normal(CYCLES)[:, None]
    noise = NOISE * draw.standard_normal((CYCLES, degrees.size))
    cycles = motored + scatter * (fired - motored) + noise - LACKING
    return np.tile(degrees, CYCLES), cycles.ravel()


def many_cycles_text(cycles: tuple[Array, Array]) -> str:
    """Return them as some instruments write: semicolons, decimal commas, kPa, a head of lines."""
    head = "Test bed, touring six at full load (invented)\nangle;cylinder 1\ndeg;kPa\n"
    rows = (f"{angle:.6g};{100 * bar:.1f}" for angle, bar in zip(*cycles, strict=True))
    return head + "\n".join(rows).replace(".", ",") + "\n"


def six_cylinders(design: Design, step: float = SIX_STEP, cycles: int = SIX_CYCLES) -> Array:
    """Return engine angles [°] and the pressures [bar] of each cylinder in columns, (n, 1 + c).

    Angles are from firing TDC of cylinder 1 and start anew every cycle.
    """
    degrees = np.arange(0.0, 720.0, step)
    behind = np.degrees(firing_angles(design.layout))[:, None]
    angle = np.radians(np.mod(degrees - SIX_LATE - behind + 360, 720) - 360)
    volume = cylinder_volume(design.cylinder, angle)
    fired = cylinder_pressure(design, angle, volume) / 1e5
    motored = motored_pressure(design, angle, volume) / 1e5
    draw = np.random.RandomState(SEED)
    scatter = 1 + PEAK_SCATTER * draw.standard_normal((cycles, len(behind), 1))
    share = np.array(HEAT_SHARES)[:, None] * scatter
    noise = SIX_NOISE * draw.standard_normal((cycles, *angle.shape))
    zero = np.array(ZEROS_LACKING)[:, None]
    columns = (motored + share * (fired - motored) + noise - zero).transpose(0, 2, 1)
    return np.column_stack((np.tile(degrees, cycles), columns.reshape(-1, len(behind))))


def six_cylinders_text(rows: Array) -> str:
    """Return them as CSV text with a head of two lines."""
    count = rows.shape[1] - 1
    head = ",".join(["crank angle deg", *(f"cylinder {k} bar" for k in range(1, count + 1))])
    lines = (f"{row[0]:.6g}," + ",".join(f"{bar:.2f}" for bar in row[1:]) for row in rows)
    return "\n".join(("Test bed, touring six at full load (invented)", head, *lines)) + "\n"


def full_load_curve(design: Design) -> tuple[Array, Array]:
    """Return speeds [rpm] and brake torques [N·m] as a dynamometer might read them."""
    speed = np.arange(1500.0, 6600.0, 250.0)
    train = rigid_train(design)
    torque = [Cycle(train, checked_speed(float(rpm))).mean_torque for rpm in speed]
    error = TORQUE_ERROR * np.random.RandomState(SEED).standard_normal(speed.size)
    wave = TORQUE_WAVE * np.sin(2 * np.pi * (speed - 1500) / 3000)
    return speed, BRAKE_SHARE * np.array(torque) * (1 + wave + error)


def full_load_curve_text(curve: tuple[Array, Array]) -> str:
    """Return them as CSV text with semicolons and decimal commas."""
    head = "Dynamometer, touring six at full load (invented)\nspeed rpm;brake torque N·m\n"
    rows = (
        f"{speed:.0f};{torque:.1f}".replace(".", ",") for speed, torque in zip(*curve, strict=True)
    )
    return head + "\n".join(rows) + "\n"


def ringing(degrees: Array, start: float) -> Array:
    """Return a decaying ripple [bar] from a start [°] on."""
    height, period, decay = RINGING
    after = np.maximum(degrees - start, 0.0)
    return height * np.exp(-after / decay) * np.sin(2 * np.pi * after / period)


def waves(degrees: Array) -> Array:
    """Return the gas waves [bar] between exhaust opening and intake closing."""
    height, period = GAS_WAVES
    opened, closed = GAS_EXCHANGE
    share = np.clip((degrees - opened) / (closed - opened), 0.0, 1.0)
    return height * np.sin(np.pi * share) * np.sin(2 * np.pi * (degrees - opened) / period)


def trace_text(trace: tuple[Array, Array]) -> str:
    """Return a trace as CSV text."""
    rows = (f"{angle:.1f},{pressure:.3f}" for angle, pressure in zip(*trace, strict=True))
    return "\n".join((",".join(COLUMNS), *rows)) + "\n"


def make_traces(folder: Path = FOLDER) -> None:
    """Write the traces of one cycle, of twenty cycles, of six cylinders, and a curve over speed."""
    design = load_design(FOLDER / "touring_six.toml")
    for name, trace in (("full_load", full_load_trace), ("motored", motored_trace)):
        text = trace_text(trace(design))
        (folder / f"{name}_trace.csv").write_text(text, encoding="utf-8", newline="\n")
    text = many_cycles_text(many_cycles(design))
    (folder / "twenty_cycles.csv").write_text(text, encoding="utf-8", newline="\n")
    text = six_cylinders_text(six_cylinders(design))
    (folder / "six_cylinders.csv").write_text(text, encoding="utf-8", newline="\n")
    text = full_load_curve_text(full_load_curve(design))
    (folder / "full_load_curve.csv").write_text(text, encoding="utf-8", newline="\n")


if __name__ == "__main__":
    make_traces()
