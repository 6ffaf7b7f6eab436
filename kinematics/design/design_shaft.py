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
    web_chamfer_depth: float = number(
        "Chamfer depth",
        "mm",
        0,
        500,
        slider=(0, 60, 0.5),
        why="From the crankpin end toward the axis, on the web's face at the main; 0: none.",
        default=0.0,
    )
    web_chamfer_angle: float = number(
        "Chamfer angle",
        "deg",
        10,
        80,
        slider=(20, 70, 1),
        why="Between the chamfer and the web's face; a smaller one cuts a longer, thinner wedge.",
        default=0.7853981633974483,
    )
    web_pocket_diameter: float = number(
        "Pocket diameter",
        "mm",
        0,
        500,
        slider=(0, 80, 0.5),
        why="Round pocket in the web's face at the main; 0: none.",
        default=0.0,
    )
    web_pocket_depth: float = number(
        "Pocket depth",
        "mm",
        0,
        300,
        slider=(0, 30, 0.5),
        why="From the web's face at the main along the shaft, flat-bottomed.",
        default=0.0,
    )
    web_pocket_offset: float = number(
        "Pocket offset",
        "mm",
        -500,
        500,
        slider=(-20, 20, 0.5),
        why="Of its middle from the crankpin's axis, away from the shaft's; 0: behind the pin.",
        default=0.0,
    )
    web_relief: float = number(
        "Even web lightening",
        "percent",
        0,
        60,
        slider=(0, 40, 0.5),
        why="Further share removed evenly, from older files; chamfer and pocket have a place.",
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
