"""Cylinder, piston and rod of a design, all values in SI."""

from dataclasses import dataclass

from kinematics.declaration import check_record, number
from kinematics.errors import DesignError
from kinematics.mechanics.round_area import round_area
from kinematics.one_line import one_line
from kinematics.units import in_words


@dataclass(frozen=True, slots=True)
class Cylinder:
    """Dimensions of every cylinder."""

    bore: float = number(
        "Bore", "mm", 20, 600, slider=(60, 160, 0.5), why="Gas force grows with its square."
    )
    stroke: float = number(
        "Stroke",
        "mm",
        20,
        900,
        slider=(50, 180, 0.5),
        why="Twice the crank radius; inertia grows with it.",
    )
    rod_length: float = number(
        "Rod length",
        "mm",
        30,
        2000,
        slider=(90, 360, 0.5),
        why="Between pin centres; a longer rod lowers side thrust and the second order.",
    )
    pin_offset: float = number(
        "Pin offset",
        "mm",
        -30,
        30,
        slider=(-3, 3, 0.1),
        why="Of the piston pin, positive toward the major thrust side; reduces piston slap.",
    )
    compression_ratio: float = number(
        "Compression ratio",
        "",
        4,
        30,
        slider=(7, 22, 0.1),
        why="Volume at BDC over volume at TDC. Peak pressure stays as given; the heat follows.",
    )
    deck_height: float | None = number(
        "Deck height",
        "mm",
        30,
        3500,
        why="From the shaft's axis to the block's top face.",
        default=None,
    )
    gasket_thickness: float | None = number(
        "Gasket thickness", "mm", 0, 10, why="Of the head gasket, clamped.", default=None
    )
    valve_clearance: float | None = number(
        "Valve to piston",
        "mm",
        -50,
        100,
        why="Minimum clearance of valves and piston near TDC, drawn or measured.",
        default=None,
    )

    __repr__ = one_line

    def __post_init__(self) -> None:
        check_record(self, "cylinder")
        reach = self.rod_length - self.stroke / 2 - abs(self.pin_offset)
        if reach <= 0.02 * self.rod_length:
            shortest = (self.stroke / 2 + abs(self.pin_offset)) / 0.98
            raise DesignError(
                "cylinder.rod_length_mm",
                f"must be more than {in_words(shortest, 'mm', 4)}, crank radius plus pin offset "
                f"and 2 %, for the crank to turn (got {in_words(self.rod_length, 'mm')})",
            )

    @property
    def crank_radius(self) -> float:
        """Half the stroke [m] (with a pin offset the true stroke is a little longer)."""
        return self.stroke / 2

    @property
    def rod_ratio(self) -> float:
        """Rod length over crank radius."""
        return self.rod_length / self.crank_radius

    @property
    def piston_area(self) -> float:
        """Area of the bore [m²]."""
        return round_area(self.bore)


@dataclass(frozen=True, slots=True)
class Piston:
    """Everything that moves with the piston."""

    assembly_mass: float = number(
        "Piston assembly",
        "g",
        10,
        100000,
        slider=(200, 4000, 5),
        why="Piston, pin, rings and circlips; the rod stops it twice per turn.",
    )
    compression_height: float | None = number(
        "Compression height",
        "mm",
        5,
        500,
        why="From pin axis to crown; default: 0.37 of the bore, diesels 0.5 "
        "(common practice, no source).",
        default=None,
    )
    skirt_length: float | None = number(
        "Skirt below pin",
        "mm",
        0,
        500,
        why="From pin axis to the skirt's lower edge; default: 0.22 of the bore, diesels 0.28 "
        "(common practice, no source).",
        default=None,
    )
    mass_at_bore: float | None = number(
        "Bore of the piston weighed",
        "mm",
        20,
        600,
        why="Where the mass is of a piston for another bore; default: this one.",
        default=None,
    )

    __repr__ = one_line

    def __post_init__(self) -> None:
        check_record(self, "piston")


@dataclass(frozen=True, slots=True)
class Rod:
    """The connecting rod as a rigid body."""

    mass: float = number(
        "Rod mass", "g", 10, 200000, slider=(250, 5000, 5), why="With cap, bolts, shells and bush."
    )
    cg_from_big_end: float = number(
        "Rod centre of gravity",
        "mm",
        0,
        1500,
        slider=(15, 120, 0.5),
        why="From the big-end centre; the nearer, the smaller the rod's reciprocating share.",
    )
    inertia_about_cg: float = number(
        "Rod inertia",
        "kg_mm2",
        0.01,
        1e8,
        slider=(500, 60000, 50),
        why="About the centre of gravity; gives the correction couple.",
    )
    mass_at_length: float | None = number(
        "Length of the rod weighed",
        "mm",
        30,
        2000,
        why="Where the mass is of a rod of another length; default: this one.",
        default=None,
    )

    __repr__ = one_line

    def __post_init__(self) -> None:
        check_record(self, "rod")
