"""The group `shaft` of a design: the outline of the webs and the shaft's ends."""

from dataclasses import dataclass

from kinematics.declaration import check_record, number
from kinematics.one_line import one_line


@dataclass(frozen=True, slots=True)
class ShaftSize:
    """What a shaft weighs beyond journals, pins and flat webs; left out, widths are the web's."""

    flange_diameter: float = number(
        "Flange diameter", "mm", 10, 1000, slider=(60, 200, 1), why="Where the flywheel is bolted."
    )
    flange_thickness: float = number(
        "Flange thickness", "mm", 1, 300, slider=(8, 40, 0.5), why="Along the shaft."
    )
    web_main_end: float | None = number(
        "Web at the main",
        "mm",
        10,
        900,
        slider=(40, 200, 1),
        why="Width of the web's round end about the shaft's axis.",
        default=None,
    )
    web_pin_end: float | None = number(
        "Web at the pin",
        "mm",
        10,
        900,
        slider=(40, 200, 1),
        why="Width of the web's round end about the pin; metal here costs most unbalance.",
        default=None,
    )
    web_relief: float = number(
        "Web relief",
        "percent",
        0,
        60,
        slider=(0, 40, 0.5),
        why="Share of a flat web that chamfers and pockets take away, evenly.",
        default=0.0,
    )
    counterweight_half_angle: float = number(
        "Counterweight half angle",
        "deg",
        20,
        90,
        slider=(30, 90, 1),
        why="From its middle to its flank; a wide one stays small in radius.",
        default=1.0471975511965976,
    )
    counterweight_radius: float | None = number(
        "Counterweight radius",
        "mm",
        10,
        1000,
        slider=(50, 200, 0.5),
        why="The largest that clears block and pistons; left out, what the pistons leave.",
        default=None,
    )

    __repr__ = one_line

    def __post_init__(self) -> None:
        check_record(self, "shaft")
