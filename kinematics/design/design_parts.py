"""The groups of a design that strength and torsion need; each may be left out of a design.

Lengths, bounds and labels are declared as in `design`; what needs a group that is missing says so.
Defaults are common practice, no source, unless their line says otherwise.
"""

import math
from dataclasses import dataclass

from kinematics.declaration import check_record, choice, number, whole
from kinematics.errors import DesignError
from kinematics.mechanics.round_area import round_area
from kinematics.one_line import one_line
from kinematics.strength.bolted_joint import ClampedBody
from kinematics.units import in_words

# steel of rods, pins, bolts and shafts alike: EN 1993-1-1, 3.2.6, has 210 and 81 GPa, ν 0.3 and
# 7 850 kg/m³; heat-treated engineering steels lie some 2 % lower (both from memory)
STEEL_DENSITY = 7850.0  # [kg/m³]
STEEL_MODULUS = 206e9  # [Pa]
STEEL_SHEAR_MODULUS = 80e9  # [Pa]
STEEL_POISSON = STEEL_MODULUS / (2 * STEEL_SHEAR_MODULUS) - 1  # 0.2875, so that E = 2 (1 + ν) G


def _less(group: str, field: str, found: float, limit: str, most: float) -> None:
    """Raise DesignError unless one length of a group is less than another [m]."""
    if not found < most:
        raise DesignError(
            f"{group}.{field}_mm",
            f"must be less than {limit}, {in_words(most, 'mm')} (got {in_words(found, 'mm')})",
        )


@dataclass(frozen=True, slots=True)
class PistonPinSize:
    """A floating piston pin between small end and bosses."""

    outer_diameter: float = number(
        "Pin diameter", "mm", 5, 150, slider=(14, 60, 0.5), why="Stress falls as its cube."
    )
    inner_diameter: float = number(
        "Pin bore",
        "mm",
        0.5,
        140,
        slider=(6, 40, 0.5),
        why="Larger: lighter pin, more ovalisation.",
    )
    length: float = number("Pin length", "mm", 10, 400, slider=(35, 120, 0.5), why="Overall.")
    small_end_width: float = number(
        "Small-end width", "mm", 4, 200, slider=(12, 60, 0.5), why="Of the bush."
    )
    boss_gap: float = number(
        "Gap between bosses", "mm", 4, 250, slider=(14, 65, 0.5), why="The pin's span in bending."
    )

    __repr__ = one_line

    def __post_init__(self) -> None:
        check_record(self, "piston_pin")
        for field, limit, words in (
            ("inner_diameter", "outer_diameter", "the pin's diameter"),
            ("small_end_width", "boss_gap", "the gap between the bosses"),
            ("boss_gap", "length", "the pin's length"),
        ):
            _less("piston_pin", field, getattr(self, field), words, getattr(self, limit))

    @property
    def mass(self) -> float:
        """Mass of the pin, of steel [kg].

        Reference: volume of a tube times density.
        """
        return STEEL_DENSITY * round_area(self.outer_diameter, self.inner_diameter) * self.length


@dataclass(frozen=True, slots=True)
class TopRing:
    """The top piston ring, of steel or iron."""

    axial_height: float = number(
        "Top ring height", "mm", 0.5, 12, slider=(1, 3.15, 0.05), why="Sets ring mass and flutter."
    )
    radial_width: float = number(
        "Top ring width", "mm", 1, 20, slider=(2, 6, 0.05), why="The flank that pressure acts on."
    )
    density: float = number("Ring density", "kg_m3", 1000, 20000, default=7700.0)
    land_pressure: float = number(
        "Land pressure",
        "percent",
        0,
        95,
        slider=(0, 80, 1),
        why="Below the ring, share of the drop to the crankcase; 0 is optimistic (from memory).",
        default=0.25,
    )

    __repr__ = one_line

    def __post_init__(self) -> None:
        check_record(self, "top_ring")


@dataclass(frozen=True, slots=True)
class RodShank:
    """An I-section that grows straight from the small end to the big end."""

    depth: float = number(
        "Shank depth, small end", "mm", 4, 300, slider=(12, 60, 0.5), why="In the plane of motion."
    )
    big_end_depth: float = number(
        "Shank depth, big end", "mm", 4, 300, slider=(15, 80, 0.5), why="In the plane of motion."
    )
    width: float = number("Shank width", "mm", 4, 200, slider=(10, 50, 0.5), why="Along the crank.")
    flange_thickness: float = number(
        "Flange thickness", "mm", 0.5, 100, slider=(2, 16, 0.1), why="Of one flange."
    )
    web_thickness: float = number(
        "Web thickness", "mm", 0.5, 100, slider=(2, 16, 0.1), why="Between the flanges."
    )
    start: float = number(
        "Shank starts", "mm", 1, 500, slider=(10, 60, 0.5), why="From the small end's centre."
    )
    end: float = number(
        "Shank ends", "mm", 1, 1000, slider=(20, 120, 0.5), why="From the big end's centre."
    )
    eye_mass: float = number(
        "Small-end mass", "g", 0, 50000, slider=(20, 600, 5), why="Eye and bush, beyond the shank."
    )

    __repr__ = one_line

    def __post_init__(self) -> None:
        check_record(self, "rod_shank")
        depth = min(self.depth, self.big_end_depth)
        _less("rod_shank", "flange_thickness", self.flange_thickness, "half the depth", depth / 2)
        _less("rod_shank", "web_thickness", self.web_thickness, "the width", self.width)

    @property
    def section(self) -> float:
        """Area of the I-section midway along the shank [m²].

        Reference: area of an I-section, from geometry.
        """
        web = (self.depth + self.big_end_depth) / 2 - 2 * self.flange_thickness
        return 2 * self.width * self.flange_thickness + web * self.web_thickness


@dataclass(frozen=True, slots=True)
class RodMaterial:
    """The rod's steel; the factors turn a specimen's endurance into the part's."""

    tensile: float = number(
        "Rod tensile strength", "MPa", 100, 3000, slider=(600, 1500, 10), why="Of the shank."
    )
    yield_stress: float = number(
        "Rod yield strength", "MPa", 50, 2500, slider=(400, 1300, 10), why="Of the shank."
    )
    endurance: float = number(
        "Rod endurance limit",
        "MPa",
        20,
        1200,
        slider=(200, 600, 5),
        why="Of polished specimens, fully reversed.",
    )
    surface_factor: float = number(
        "Surface factor", "", 0.1, 1.2, why="As forged and shot-peened.", default=0.85
    )
    size_factor: float = number("Size factor", "", 0.1, 1, default=0.9)
    reliability_factor: float = number(
        "Reliability factor", "", 0.1, 1, why="0.897 is 90 % (Bhandari, table 5.3).", default=0.897
    )
    notch_factor: float = number(
        "Notch factor", "", 1, 5, why="Of the shank's run-out.", default=1.2
    )
    fatigue_line: str = choice(
        "Fatigue line",
        ("goodman", "gerber", "asme_elliptic"),
        why="Mean-stress correction; Goodman is the most conservative for ductile steel.",
        default="goodman",
    )
    elastic_modulus: float = number("Rod elastic modulus", "GPa", 20, 400, default=STEEL_MODULUS)
    density: float = number("Rod density", "kg_m3", 1000, 20000, default=STEEL_DENSITY)

    __repr__ = one_line

    def __post_init__(self) -> None:
        check_record(self, "rod_material")
        if self.yield_stress > self.tensile:
            raise DesignError(
                "rod_material.yield_stress_MPa",
                f"must be at most the tensile strength, {in_words(self.tensile, 'MPa')} "
                f"(got {in_words(self.yield_stress, 'MPa')})",
            )


@dataclass(frozen=True, slots=True)
class RodBolts:
    """The big end's bolts and the split that they clamp."""

    diameter: float = number(
        "Bolt diameter", "mm", 4, 60, slider=(6, 16, 0.5), why="Nominal, of the thread."
    )
    pitch: float = number("Thread pitch", "mm", 0.4, 6)
    preload: float = number(
        "Minimum bolt preload",
        "kN",
        1,
        2000,
        slider=(10, 120, 0.5),
        why="Per bolt, after embedding; used for separation and slip.",
    )
    cap_mass: float = number(
        "Cap mass", "g", 1, 100000, slider=(50, 1500, 5), why="Cap, lower shell, bolts' lower half."
    )
    count: int = whole("Bolts per rod", 2, 8, why="Half of them on either side.", default=2)
    tightening_factor: float = number(
        "Tightening factor",
        "",
        1,
        4,
        slider=(1, 2.5, 0.05),
        why="Maximum over minimum preload: 1.1 to 1.2 by stretch or angle, 1.4 to 1.6 by torque "
        "(VDI 2230, from memory).",
        default=1.4,
    )
    load_factor: float | None = number(
        "Load factor",
        "",
        0,
        0.9,
        slider=(0.02, 0.5, 0.01),
        why="Share of the load that the bolt carries; default: from dimensions.",
        default=None,
    )
    grip: float | None = number(
        "Bolt grip",
        "mm",
        2,
        500,
        slider=(15, 80, 0.5),
        why="From head to thread; default: 4.5 diameters (common practice, no source).",
        default=None,
    )
    shank_diameter: float | None = number(
        "Bolt shank diameter",
        "mm",
        2,
        60,
        slider=(5, 16, 0.1),
        why="Over the grip; default: 0.9 diameters (common practice, no source).",
        default=None,
    )
    head_diameter: float | None = number(
        "Bolt head face",
        "mm",
        4,
        120,
        slider=(8, 30, 0.5),
        why="Diameter of its bearing face; default: 1.5 diameters (common practice, no source).",
        default=None,
    )
    body_diameter: float | None = number(
        "Bolt boss diameter",
        "mm",
        4,
        300,
        slider=(10, 40, 0.5),
        why="Of cap and rod round the bolt; default: 2 diameters (common practice, no source).",
        default=None,
    )
    spacing: float | None = number(
        "Bolt spacing",
        "mm",
        10,
        900,
        why="Between bolt axes; default: 1.1 crankpin and 1.24 bolt diameters "
        "(common practice, no source).",
        default=None,
    )
    load_introduction: float = number(
        "Load introduction",
        "",
        0.05,
        1,
        slider=(0.1, 1, 0.05),
        why="1 for a load under the head, less nearer the joint (VDI 2230, from memory).",
        default=0.5,
    )
    tensile: float = number(
        "Bolt tensile strength", "MPa", 300, 3000, slider=(800, 1900, 10), default=1220e6
    )
    yield_stress: float = number(
        "Bolt yield strength", "MPa", 200, 2800, slider=(600, 1700, 10), default=1100e6
    )
    split_friction: float = number(
        "Friction at fracture face",
        "",
        0.02,
        1,
        slider=(0.1, 0.6, 0.01),
        why="No dowel in a fracture split: the clamp force carries the shear.",
        default=0.15,
    )

    __repr__ = one_line

    def __post_init__(self) -> None:
        check_record(self, "rod_bolts")
        if self.count % 2:
            raise DesignError("rod_bolts.count", f"must be an even number (got {self.count})")
        _less("rod_bolts", "pitch", self.pitch, "half the diameter", self.diameter / 2)
        if self.load_factor is None:
            body, shank = self.clamped, self.shank
            _less("rod_bolts", "shank_diameter", shank, "the hole", body.hole_diameter)
            for field, most, words in (
                ("hole_diameter", body.face_diameter, "head_diameter"),
                ("face_diameter", body.body_diameter, "body_diameter"),
            ):
                found = getattr(body, field)
                if not found < most + (1e-12 if words == "body_diameter" else 0.0):
                    raise DesignError(
                        f"rod_bolts.{words}_mm",
                        f"must be more than {in_words(found, 'mm')} (got {in_words(most, 'mm')})",
                    )

    @property
    def shank(self) -> float:
        """Diameter of the bolt over its grip [m]."""
        return self.shank_diameter or 0.9 * self.diameter

    @property
    def clamped(self) -> ClampedBody:
        """What one bolt clamps; the hole is 5 % wider than the bolt, common practice, no source."""
        return ClampedBody(
            self.grip or 4.5 * self.diameter,
            self.head_diameter or 1.5 * self.diameter,
            1.05 * self.diameter,
            self.boss,
        )

    @property
    def boss(self) -> float:
        """Diameter of cap and rod round a bolt [m]; two of the bolt's, common practice."""
        return self.body_diameter or 2.0 * self.diameter


@dataclass(frozen=True, slots=True)
class CrankThrowSize:
    """Webs, fillets, bores and the oil hole of every throw."""

    web_thickness: float = number(
        "Web thickness", "mm", 3, 300, slider=(10, 50, 0.5), why="Along the shaft."
    )
    web_width: float = number(
        "Web width",
        "mm",
        10,
        900,
        slider=(50, 200, 1),
        why="Across the throw; counts up to 2.2 pin diameters.",
    )
    pin_fillet: float = number(
        "Crankpin fillet",
        "mm",
        0.2,
        60,
        slider=(1, 8, 0.1),
        why="Radius; a larger one lowers the stress peak.",
    )
    journal_fillet: float = number(
        "Journal fillet", "mm", 0.2, 60, slider=(1, 8, 0.1), why="Its radius, at the mains."
    )
    oil_bore: float = number(
        "Oil hole", "mm", 0, 60, slider=(3, 12, 0.5), why="Its diameter on the crankpin."
    )
    oil_hole_angle: float = number(
        "Oil hole angle",
        "deg",
        -180,
        360,
        slider=(-180, 180, 1),
        why="On the crankpin, from outward, in the sense of rotation.",
        default=math.pi / 2,
    )
    oil_least_radius: float = number(
        "Drilling's minimum radius",
        "mm",
        0,
        300,
        slider=(0, 60, 0.5),
        why="Minimum distance of the drilling from the shaft axis; 0 crosses it.",
        default=0.0,
    )
    pin_bore: float = number("Crankpin bore", "mm", 0, 500, slider=(0, 60, 0.5), default=0.0)
    journal_bore: float = number("Journal bore", "mm", 0, 500, slider=(0, 60, 0.5), default=0.0)

    __repr__ = one_line

    def __post_init__(self) -> None:
        check_record(self, "crank_throw")


@dataclass(frozen=True, slots=True)
class CrankMaterialChoice:
    """The shaft's steel, how it was made and how its fillets are treated."""

    tensile: float = number(
        "Shaft tensile strength", "MPa", 300, 2000, slider=(600, 1300, 10), why="Of the core."
    )
    process: str = choice(
        "Shaft manufacture", ("grain_flow", "drop_forged", "free_forged", "rolled_cast")
    )
    treatment: str = choice(
        "Fillets", ("none", "gas_nitrided", "induction_hardened"), default="none"
    )
    surface_hardness: float = number("Surface hardness", "HV", 0, 1500, default=0.0)
    core_hardness: float = number("Core hardness", "HV", 0, 1000, default=0.0)
    case_depth: float = number("Case depth", "mm", 0, 20, default=0.0)
    shear_modulus: float = number("Shear modulus", "GPa", 10, 200, default=STEEL_SHEAR_MODULUS)
    density: float = number("Shaft density", "kg_m3", 1000, 20000, default=STEEL_DENSITY)

    __repr__ = one_line

    def __post_init__(self) -> None:
        check_record(self, "crank_material")
