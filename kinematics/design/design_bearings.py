"""The plain bearings and the oil of a design, all values in SI."""

import math
from dataclasses import dataclass

from kinematics.declaration import check_record, choice, number, text
from kinematics.errors import DesignError
from kinematics.one_line import one_line
from kinematics.units import in_words

GROOVE_OVER_WIDTH = 0.2  # where a design gives no groove width; common practice, no source
HEAT_BALANCE, GIVEN = "heat balance", "given"
EVEN, BARUS = "even", "barus"
REYNOLDS = "reynolds"
FILM_MODELS = (REYNOLDS, "finite_length", "short_bearing")


@dataclass(frozen=True, slots=True)
class PlainBearing:
    """A plain bearing's size."""

    diameter: float = number("Diameter", "mm", 5, 600, slider=(30, 140, 0.5), why="Of the journal.")
    width: float = number(
        "Width", "mm", 2, 400, slider=(12, 80, 0.5), why="Of the shell's bearing surface."
    )
    radial_clearance: float = number(
        "Radial clearance",
        "um",
        1,
        1000,
        slider=(10, 80, 1),
        why="Half the diameter difference.",
    )
    crown: float = number(
        "Crown",
        "um",
        0,
        200,
        slider=(0, 20, 0.5),
        why="Radius reduction of the barrel-shaped journal at its edges.",
        default=0.0,
    )

    @property
    def width_ratio(self) -> float:
        """Width over diameter."""
        return self.width / self.diameter

    @property
    def bearing_width(self) -> float:
        """Width that bears [m]."""
        return self.width

    @property
    def projected_area(self) -> float:
        """Bearing width times diameter [m²]."""
        return self.bearing_width * self.diameter


@dataclass(frozen=True, slots=True)
class BigEnd(PlainBearing):
    """The big-end bearings."""

    __repr__ = one_line

    def __post_init__(self) -> None:
        check_record(self, "big_end")


@dataclass(frozen=True, slots=True)
class MainBearing(PlainBearing):
    """The main bearings, with the open groove that feeds the crankpins."""

    groove_arc: float = number(
        "Groove arc",
        "deg",
        0,
        360,
        slider=(0, 360, 10),
        why="Of the oil groove in the middle of the shell's width; 0 is an oil hole, 360 splits "
        "the bearing in two.",
        default=math.pi,
    )
    groove_angle: float = number(
        "Groove middle",
        "deg",
        -180,
        180,
        slider=(-180, 180, 5),
        why="Middle of the groove's arc, from the top of the shell in the sense of rotation: 0 is "
        "the upper shell, 180 the lower.",
        default=0.0,
    )
    groove_width: float | None = number(
        "Groove width",
        "mm",
        0.5,
        100,
        slider=(1, 10, 0.5),
        why="Default: a fifth of the bearing's width.",
        default=None,
    )

    __repr__ = one_line

    def __post_init__(self) -> None:
        check_record(self, "main_bearing")
        if not self.groove < self.width:
            raise DesignError(
                "main_bearing.groove_width_mm",
                f"must be less than the bearing's width, {in_words(self.width, 'mm')} "
                f"(got {in_words(self.groove, 'mm')})",
            )

    @property
    def groove(self) -> float:
        """Width of the groove [m], a fifth of the bearing's where none is given.

        Reference: a fifth of the width: common practice, no source.
        """
        return GROOVE_OVER_WIDTH * self.width if self.groove_width is None else self.groove_width

    @property
    def bearing_width(self) -> float:
        """Width that bears [m]: a groove all round takes its own."""
        return self.width - self.groove if self.is_parted else self.width

    @property
    def is_parted(self) -> bool:
        """Whether a groove all round makes two bearings of it."""
        return self.groove_arc >= 2 * math.pi - 1e-9


@dataclass(frozen=True, slots=True)
class Oil:
    """The oil and its supply; the two kinematic viscosities come together or not at all."""

    grade: str = text("Oil grade", 40)
    inlet_temperature: float = number(
        "Oil inlet",
        "degC",
        -40,
        200,
        slider=(40, 140, 1),
        why="Where the oil enters the bearings; warmer oil is thinner.",
    )
    viscosity: float = number(
        "Effective viscosity",
        "mPa_s",
        0.5,
        2000,
        slider=(2, 40, 0.1),
        why="In the film; used where there is no heat balance.",
    )
    supply_pressure: float = number(
        "Oil supply", "bar", 0, 30, slider=(1, 10, 0.1), why="Above the crankcase's pressure."
    )
    film_viscosity: str = choice("Viscosity from", (HEAT_BALANCE, GIVEN), default=HEAT_BALANCE)
    film_model: str = choice(
        "Film model",
        FILM_MODELS,
        why="Reynolds' equation in two dimensions, a fit of it, or the short bearing.",
        default=REYNOLDS,
    )
    under_pressure: str = choice(
        "Oil under pressure",
        (EVEN, BARUS),
        why="One viscosity, or thickened at each instant by the mean pressure over the bearing.",
        default=EVEN,
    )
    viscosity_40: float | None = number(
        "Viscosity at 40 °C", "mm2_s", 2, 5000, slider=(20, 250, 1), default=None
    )
    viscosity_100: float | None = number(
        "Viscosity at 100 °C", "mm2_s", 1, 500, slider=(4, 30, 0.1), default=None
    )
    high_shear_viscosity: float | None = number(
        "High-shear viscosity (HTHS)",
        "mPa_s",
        0.5,
        30,
        slider=(1.5, 8, 0.05),
        why="At 150 °C and a million per second, as on a data sheet; default for multigrades: the "
        "minimum of SAE J300.",
        default=None,
    )

    __repr__ = one_line

    def __post_init__(self) -> None:
        check_record(self, "oil")
        if (self.viscosity_40 is None) != (self.viscosity_100 is None):
            missing = "40" if self.viscosity_40 is None else "100"
            raise DesignError(
                f"oil.viscosity_{missing}_mm2_s",
                "is missing: give both kinematic viscosities or neither",
            )
        if self.viscosity_40 is not None and not self.viscosity_40 > (self.viscosity_100 or 0):
            raise DesignError(
                "oil.viscosity_40_mm2_s",
                f"must be higher than at 100 °C (got {in_words(self.viscosity_40, 'mm2_s')})",
            )
