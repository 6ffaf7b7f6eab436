"""A crank-train design: a tree of frozen records, checked as it is made, all values in SI.

Units, bounds and labels are declared in display units, once, where the field is defined; the
file reader, the sliders and the messages read them there.
"""

import math
from dataclasses import dataclass, field
from typing import Any

from kinematics.declaration import check_record, choice, number, text, whole
from kinematics.design.allowables import NONE_GIVEN, Limits
from kinematics.design.design_bearings import BigEnd, MainBearing, Oil
from kinematics.design.design_firing import EVEN_FIRING, Firing, check_firing
from kinematics.design.design_fit import check_fit, is_sized_six
from kinematics.design.design_full_load import FullLoadRow, check_full_load
from kinematics.design.design_mechanism import Cylinder, Piston, Rod
from kinematics.design.design_origin import NO_ORIGINS, Origins, check_date
from kinematics.design.design_parts import (
    CrankMaterialChoice,
    CrankThrowSize,
    PistonPinSize,
    RodBolts,
    RodMaterial,
    RodShank,
    TopRing,
)
from kinematics.design.design_pressure import Pressure
from kinematics.design.design_shaft import ShaftSize
from kinematics.design.design_torsion import Torsion
from kinematics.design.own_criterion import OwnCriterion, check_criteria
from kinematics.errors import DesignError
from kinematics.mechanics.firing_order import firing_angles
from kinematics.one_line import one_line, quantity

LONGEST_NAME = 120
LONGEST_NOTE = 2000
LONGEST_REVISION, LONGEST_AUTHOR, LONGEST_DATE = 40, 80, 10
MOST_CYLINDERS = 24


@dataclass(frozen=True, slots=True)
class Layout:
    """Throws, cylinders and firing order; cylinder 1 and throw 1 are at the front."""

    strokes_per_cycle: int = whole("Strokes per cycle", 2, 4)
    throw_angles: tuple[float, ...] = number(
        "Throw angles", "deg", -360, 720, many=True, why="From throw 1, in the sense of rotation."
    )
    throw_of_cylinder: tuple[int, ...] = whole(
        "Throw of each cylinder", 1, MOST_CYLINDERS, many=True
    )
    bank_angle: tuple[float, ...] = number(
        "Bank angles", "deg", -360, 360, many=True, why="Of each cylinder, positive to the right."
    )
    throw_spacing: float = number(
        "Throw spacing", "mm", 20, 1500, slider=(70, 200, 0.5), why="Lever arm of the moments."
    )
    firing_order: tuple[int, ...] = whole("Firing order", 1, MOST_CYLINDERS, many=True)
    rated_speed: float = number(
        "Rated speed", "rpm", 30, 25000, slider=(500, 12000, 50), why="Speed of rated power."
    )

    __repr__ = one_line

    def __post_init__(self) -> None:
        check_record(self, "layout")
        self._check_counts()
        firing_angles(self)

    def _check_counts(self) -> None:
        cylinders, throws = len(self.throw_of_cylinder), len(self.throw_angles)
        if self.strokes_per_cycle == 3:
            raise DesignError("layout.strokes_per_cycle", "must be 2 or 4 (got 3)")
        if not 1 <= cylinders <= MOST_CYLINDERS:
            raise DesignError(
                "layout.throw_of_cylinder",
                f"must name 1 to {MOST_CYLINDERS} cylinders (got {cylinders})",
            )
        if not 1 <= throws <= MOST_CYLINDERS or self.throw_angles[0] != 0:
            raise DesignError(
                "layout.throw_angles_deg",
                f"must be 1 to {MOST_CYLINDERS} angles that start with 0 (got {throws} angles)",
            )
        if len(self.bank_angle) != cylinders:
            raise DesignError(
                "layout.bank_angle_deg",
                f"must have one value per cylinder, {cylinders} (got {len(self.bank_angle)})",
            )
        if set(self.throw_of_cylinder) != set(range(1, throws + 1)):
            raise DesignError(
                "layout.throw_of_cylinder",
                f"must use each of the throws 1 to {throws} and no other "
                f"(got {list(self.throw_of_cylinder)})",
            )

    @property
    def cycle_angle(self) -> float:
        """Crank angle of one cycle [rad]: two turns for a four-stroke, one for a two-stroke."""
        return math.pi * self.strokes_per_cycle

    @property
    def cylinders(self) -> int:
        """Number of cylinders."""
        return len(self.throw_of_cylinder)

    @property
    def throws(self) -> int:
        """Number of throws; there is one main bearing more."""
        return len(self.throw_angles)


DETERMINATE, CONTINUOUS = "cut_at_mains", "continuous"


@dataclass(frozen=True, slots=True)
class Crank:
    """Where the webs stand, what each throw weighs off centre, and how the mains share loads."""

    web_offset: float = number(
        "Web offset",
        "mm",
        1,
        700,
        slider=(12, 60, 0.5),
        why="From the throw's centre to each of its two webs.",
    )
    throw_unbalance: float | None = number(
        "Throw unbalance",
        "kg_mm",
        0,
        1e6,
        slider=(0, 150, 0.5),
        why="Crankpin and webs of one throw, toward the pin; default: from geometry.",
        default=None,
    )
    main_loads: str | None = choice(
        "Main loads",
        (DETERMINATE, CONTINUOUS),
        why="Determinate: throws simply supported. Continuous: one shaft on elastic mains; "
        "default: continuous for a shaft of six throws with its sizes given.",
        default=None,
    )
    main_stiffness: float | None = number(
        "Main-bearing support stiffness",
        "kN_um",
        1e-3,
        1e3,
        slider=(0.1, 5, 0.05),
        why="Film and housing of one main; default: maximum load over radial clearance.",
        default=None,
    )
    case_radius: float | None = number(
        "Crankcase radius",
        "mm",
        20,
        3000,
        why="From the shaft's axis to the nearest wall that rods and counterweights pass.",
        default=None,
    )

    __repr__ = one_line

    def __post_init__(self) -> None:
        check_record(self, "crank")


@dataclass(frozen=True, slots=True)
class Counterweight:
    """A counterweight on one web; webs are numbered from the front, two a throw."""

    web: int = whole("Web", 1, 2 * MOST_CYLINDERS)
    unbalance: float | None = number(
        "Unbalance", "kg_mm", 0, 1e6, slider=(0, 100, 0.25), default=None
    )
    angle: float = number("Angle from own pin", "deg", -360, 360, default=math.pi)
    outer_radius: float | None = number("Outer radius", "mm", 1, 1000, default=None)
    half_angle: float | None = number("Half angle", "deg", 5, 90, default=None)

    __repr__ = one_line

    def __post_init__(self) -> None:
        check_record(self, "counterweight")
        if self.unbalance is None and None in (self.outer_radius, self.half_angle):
            raise DesignError(
                "counterweight.unbalance_kg_mm",
                "is missing: give it, or outer_radius_mm and half_angle_deg",
            )


@dataclass(frozen=True, slots=True)
class Design:
    """A whole crank train; a value: comparable, hashable, replaced rather than changed.

    Where its values are known from, its revision, author and date are no physics: designs that
    differ in these alone are equal, and what is computed of one holds for the other.

    >>> from kinematics import load_demo
    >>> design = load_demo("hill_climb_six")
    >>> design
    Design('Hill-climb six': 6 cylinders, 4-stroke, bore 88 mm, stroke 78 mm, rated speed
    8500 rpm)
    >>> design.cylinder.rod_ratio.__round__(3)
    3.795
    """

    layout: Layout
    cylinder: Cylinder
    piston: Piston
    rod: Rod
    crank: Crank
    pressure: Pressure
    counterweights: tuple[Counterweight, ...] = ()
    full_load: tuple[FullLoadRow, ...] = ()
    criteria: tuple[OwnCriterion, ...] = ()
    firing: Firing = EVEN_FIRING
    big_end: BigEnd | None = None
    main_bearing: MainBearing | None = None
    oil: Oil | None = None
    piston_pin: PistonPinSize | None = None
    top_ring: TopRing | None = None
    rod_shank: RodShank | None = None
    rod_material: RodMaterial | None = None
    rod_bolts: RodBolts | None = None
    crank_throw: CrankThrowSize | None = None
    crank_material: CrankMaterialChoice | None = None
    shaft: ShaftSize | None = None
    torsion: Torsion | None = None
    limits: Limits = NONE_GIVEN
    name: str = text("Name", LONGEST_NAME, default="Unnamed design")
    note: str = text("Note", LONGEST_NOTE, default="")
    revision: str = text("Revision", LONGEST_REVISION, default="", compare=False)
    author: str = text("Author", LONGEST_AUTHOR, default="", compare=False)
    date: str = text("Date", LONGEST_DATE, default="", compare=False)
    origins: Origins = field(default=NO_ORIGINS, compare=False)

    def __repr__(self) -> str:
        size, layout = self.cylinder, self.layout
        return (
            f"Design({self.name[:60]!r}: {layout.cylinders} cylinders, "
            f"{layout.strokes_per_cycle}-stroke, "
            f"bore {quantity(size.bore, 'mm')}, stroke {quantity(size.stroke, 'mm')}, "
            f"rated speed {quantity(layout.rated_speed, 'rpm')})"
        )

    def __post_init__(self) -> None:
        check_record(self, "")
        check_date(self.date)
        check_full_load(self.full_load)
        check_criteria(self.criteria)
        check_firing(self.firing, self.layout.cylinders)
        check_fit(self)

    @property
    def cylinders_alike(self) -> bool:
        """Whether all cylinders fire, and have the same gas at their own time."""
        return self.firing.is_even and self.pressure.is_alike

    def fire_alike(self, cylinder: int, other: int) -> bool:
        """Return whether two cylinders, from 1, have the same gas at their own time."""
        if not self.firing.fire_alike(cylinder, other):
            return False
        trace = None if self.pressure.is_alike else self.pressure.trace
        return trace is None or all(
            courses[cylinder - 1] == courses[other - 1]
            for courses in (trace.courses, trace.highest)
            if courses
        )

    @property
    def papers(self) -> tuple[Origins, str, str, str]:
        """What is compared by nothing else: origins, revision, author and date."""
        return self.origins, self.revision, self.author, self.date

    @property
    def continuous(self) -> bool:
        """Whether mains share loads through the shaft: as given, else for six throws with sizes."""
        given = self.crank.main_loads
        return is_sized_six(self) if given is None else given == CONTINUOUS

    def needed(self, group: str, purpose: str) -> Any:
        """Return an optional group; raise DesignError saying what is missing for which purpose."""
        found = getattr(self, group)
        if found is None:
            raise DesignError(group, f"is missing in the design: {purpose} needs it")
        return found
