"""Which cylinders of a design fire: all alike, one of them not, or all unevenly."""

from dataclasses import dataclass

from kinematics.declaration import check_record, choice, number, whole
from kinematics.errors import DesignError
from kinematics.one_line import one_line

ALL_FIRE, MOTORED, NO_PRESSURE = "all_fire", "motored", "no_pressure"
HIGHEST_CYLINDER = 24  # of any layout


@dataclass(frozen=True, slots=True)
class Firing:
    """The state of combustion, part of the operating point."""

    state: str = choice(
        "Combustion",
        (ALL_FIRE, MOTORED, NO_PRESSURE),
        why="Motored: one cylinder is compressed but does not burn (misfire). Without pressure: "
        "crankcase pressure on both sides of its piston.",
        default=ALL_FIRE,
    )
    cylinder: int = whole(
        "Affected cylinder", 1, HIGHEST_CYLINDER, why="From the front.", default=1
    )
    imep_spread: float = number(
        "Spread of IMEP",
        "percent",
        0,
        20,
        slider=(0, 20, 0.5),
        why="Standard deviation from cylinder to cylinder, relative to their mean; the mean stays.",
        default=0.0,
    )
    seed: int = whole(
        "Seed of the spread", 0, 9999, why="Another number deals the spread anew.", default=1
    )

    __repr__ = one_line

    def __post_init__(self) -> None:
        check_record(self, "firing")

    @property
    def is_even(self) -> bool:
        """Whether all cylinders fire, and all alike."""
        return self.state == ALL_FIRE and self.imep_spread == 0

    @property
    def dead_cylinder(self) -> int | None:
        """The cylinder that does not fire, from 1; None where all do."""
        return None if self.state == ALL_FIRE else self.cylinder

    def fire_alike(self, cylinder: int, other: int) -> bool:
        """Return whether two cylinders, from 1, have the same gas at their own time."""
        return self.imep_spread == 0 and self.dead_cylinder not in (cylinder, other)


EVEN_FIRING = Firing()


def check_firing(firing: Firing, cylinders: int) -> None:
    """Raise DesignError unless the cylinder that does not fire is one of the engine's."""
    if firing.dead_cylinder is not None and firing.cylinder > cylinders:
        raise DesignError("firing.cylinder", f"must be 1 to {cylinders} (got {firing.cylinder})")
