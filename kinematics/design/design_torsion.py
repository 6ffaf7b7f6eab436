"""The group `torsion` of a design: what turns and twists besides the throws."""

import math
from dataclasses import dataclass

from kinematics.declaration import check_record, choice, number
from kinematics.errors import DesignError
from kinematics.one_line import one_line


@dataclass(frozen=True, slots=True)
class Torsion:
    """What turns and twists besides the throws, from the front pulley to the flywheel."""

    hub_inertia: float = number(
        "Front hub inertia", "kg_mm2", 10, 1e9, slider=(500, 30000, 100), why="Pulley and hub."
    )
    nose_diameter: float = number("Nose diameter", "mm", 5, 500)
    nose_length: float = number("Nose length", "mm", 1, 1000, why="From hub to the first main.")
    flange_length: float = number(
        "Flange length", "mm", 1, 1000, why="From the last main to the flywheel."
    )
    flywheel_inertia: float = number(
        "Flywheel inertia",
        "kg_mm2",
        100,
        1e10,
        slider=(20000, 500000, 1000),
        why="With clutch; reduces cyclic irregularity.",
    )
    throw_inertia: float | None = number(
        "Throw inertia",
        "kg_mm2",
        10,
        1e9,
        why="Of one throw of the bare shaft; default: from dimensions.",
        default=None,
    )
    throw_formula: str = choice(
        "Throw stiffness by",
        ("finite_elements", "ker_wilson", "carter", "zimanenko"),
        default="finite_elements",
    )
    shaft_damping: float = number(
        "Shaft damping",
        "percent",
        0.1,
        20,
        slider=(0.5, 8, 0.1),
        why="Share of critical damping of the first mode, without the damper (from memory).",
        default=0.02,
    )
    damper: str = choice("Damper", ("none", "viscous", "tuned"), default="none")
    damper_inertia: float | None = number(
        "Damper ring inertia", "kg_mm2", 10, 1e9, slider=(500, 50000, 100), default=None
    )
    damper_stiffness: float | None = number(
        "Damper stiffness", "kNm_rad", 0.01, 1e6, why="Default: optimum.", default=None
    )
    damper_damping: float | None = number(
        "Damper damping", "Nms_rad", 0.001, 1e6, why="Default: optimum.", default=None
    )
    damper_diameter: float | None = number(
        "Damper outer diameter",
        "mm",
        20,
        2000,
        slider=(60, 300, 1),
        why="Of its surface that gives off heat; default: a steel ring of its inertia.",
        default=None,
    )
    damper_width: float | None = number(
        "Damper width",
        "mm",
        2,
        500,
        slider=(8, 80, 1),
        why="Of the same surface; default: 0.15 of its diameter (common practice, no source).",
        default=None,
    )
    idle_speed: float = number(
        "Idle speed", "rpm", 20, 5000, slider=(400, 2000, 10), default=800 * math.pi / 30
    )
    idle_load: float = number(
        "Idle load", "percent", 0, 100, slider=(0, 50, 1), why="Against full load.", default=0.1
    )

    __repr__ = one_line

    def __post_init__(self) -> None:
        check_record(self, "torsion")
        if self.damper != "none" and self.damper_inertia is None:
            raise DesignError(
                "torsion.damper_inertia_kg_mm2", f"is missing: a {self.damper} damper needs it"
            )
