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
        "Web width at main journal",
        "mm",
        10,
        900,
        slider=(40, 200, 1),
        why="Width of the web's round end about the shaft's axis.",
        default=None,
    )
    web_pin_end: float | None = number(
        "Web width at crankpin",
        "mm",
        10,
        900,
        slider=(40, 200, 1),
        why="Width of the web's round end about the pin; metal here adds most unbalance.",
        default=None,
    )
    web_relief: float = number(
        "Web lightening",
        "percent",
        0,
        60,
        slider=(0, 40, 0.5),
        why="Share of a flat web removed by chamfers and pockets, evenly.",
        default=0.0,
    )
    counterweight_half_angle: float = number(
        "Counterweight half angle",
        "deg",
        20,
        90,
        slider=(30, 90, 1),
        why="From centre line to flank; a wide one needs less radius.",
        default=1.0471975511965976,
    )
    counterweight_radius: float | None = number(
        "Counterweight radius",
        "mm",
        10,
        1000,
        slider=(50, 200, 0.5),
        why="Maximum that clears block and pistons; default: clear of the pistons.",
        default=None,
    )

    __repr__ = one_line

    def __post_init__(self) -> None:
        check_record(self, "shaft")
