"""The group `pressure` of a design: what presses on the piston."""

import math
from dataclasses import dataclass, replace

from kinematics.declaration import check_record, choice, declarations, number, text
from kinematics.errors import DesignError
from kinematics.mechanics.pressure_trace import HIGHEST_COLUMN, STRENGTH_CYCLES, PressureTrace
from kinematics.one_line import one_line

MODEL_FIELDS = (
    "intake",
    "exhaust",
    "peak",
    "peak_angle",
    "compression_exponent",
    "expansion_exponent",
)


@dataclass(frozen=True, slots=True)
class Pressure:
    """What presses on the piston, absolute: the closed-cycle model or a measured trace."""

    source: str = choice("Pressure from", ("model", "trace"))
    crankcase: float = number(
        "Crankcase", "bar", 0.1, 5, slider=(0.4, 1.5, 0.05), why="Under the piston, absolute."
    )
    intake: float | None = number(
        "Intake",
        "bar",
        0.2,
        8,
        slider=(0.3, 3.5, 0.05),
        why="In the cylinder when the intake closes, absolute.",
        default=None,
    )
    exhaust: float | None = number(
        "Exhaust",
        "bar",
        0.2,
        8,
        slider=(0.8, 3, 0.05),
        why="In the cylinder during exhaust, absolute.",
        default=None,
    )
    peak: float | None = number(
        "Peak pressure",
        "bar",
        5,
        400,
        slider=(30, 220, 1),
        why="At full load, absolute.",
        default=None,
    )
    peak_angle: float | None = number(
        "Peak angle",
        "deg",
        2,
        45,
        slider=(5, 30, 0.5),
        why="After firing TDC, at full load.",
        default=None,
    )
    compression_exponent: float | None = number(
        "Compression exponent",
        "",
        1.0,
        1.6,
        slider=(1.2, 1.4, 0.005),
        why="Polytropic.",
        default=None,
    )
    expansion_exponent: float | None = number(
        "Expansion exponent",
        "",
        1.0,
        1.6,
        slider=(1.15, 1.4, 0.005),
        why="Polytropic.",
        default=None,
    )
    burn_duration: float = number(
        "Burn duration",
        "deg",
        15,
        150,
        slider=(30, 100, 1),
        why="From 0 to 99.3 % of the heat (Wiebe).",
        default=math.radians(60),
    )
    intake_closes: float = number(
        "Intake closes",
        "deg",
        0,
        110,
        slider=(0, 90, 1),
        why="After BDC.",
        default=math.radians(45),
    )
    exhaust_opens: float = number(
        "Exhaust opens",
        "deg",
        5,
        110,
        slider=(20, 100, 1),
        why="Before BDC.",
        default=math.radians(50),
    )
    load: float = number(
        "Engine load",
        "percent",
        0,
        100,
        slider=(0, 100, 1),
        why="Heat released, as a share of full load; 0 is motored.",
        default=1.0,
    )
    load_control: str = choice(
        "Load control",
        ("throttle", "mixture"),
        why="A throttle lowers the charge with the load; a diesel lowers the fuel alone.",
        default="throttle",
    )
    file: str | None = text("Trace file", 255, default=None)
    strength_cycle: str = choice(
        "Strength loads take",
        STRENGTH_CYCLES,
        why="Of measured cycles: rod, bolts, piston pin and bending of the crankshaft; films, "
        "friction, heat, power and torsion take the mean.",
        default="mean",
    )
    trace: PressureTrace | None = None

    __repr__ = one_line

    @property
    def is_alike(self) -> bool:
        """Whether all cylinders have the same pressure where all fire."""
        return self.source == "model" or self.trace is None or self.trace.is_alike

    @property
    def has_highest_cycle(self) -> bool:
        """Whether it runs on a trace that keeps a cycle of highest peak beside the mean."""
        return self.source == "trace" and self.trace is not None and bool(self.trace.highest)

    @property
    def takes_highest_cycle(self) -> bool:
        """Whether strength loads take the cycle of highest peak."""
        return self.strength_cycle == "highest" and self.has_highest_cycle

    @property
    def for_strength(self) -> "Pressure":
        """The pressure that loads strength: this one, or that of the cycle of highest peak."""
        if not self.takes_highest_cycle:
            return self
        assert self.trace is not None
        return replace(self, strength_cycle="mean", trace=self.trace.of_highest_cycle)

    def __post_init__(self) -> None:
        check_record(self, "pressure")
        if self.source == "trace" and self.trace is None:
            raise DesignError(
                "pressure.file", 'is missing: source = "trace" needs a pressure trace'
            )
        if (
            self.strength_cycle == "highest"
            and self.source == "trace"
            and not self.has_highest_cycle
        ):
            raise DesignError(
                "pressure.strength_cycle",
                f'must be "mean" without {HIGHEST_COLUMN}: import the mean of several measured '
                "cycles to have their highest",
            )
        if self.source == "model":
            for attribute, key, declared in declarations(self):
                if attribute in MODEL_FIELDS and getattr(self, attribute) is None:
                    raise DesignError(
                        f"pressure.{key}",
                        f"is missing: the pressure model needs it; must be {declared.allowed}",
                    )
