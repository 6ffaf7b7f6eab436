"""A design of one's own by rules of thumb: seven inputs, and a rule for every other value.

Each rule is one function with the words and the source that go with its value as origin. They give
a start that can be solved, never a proof: the ladder says what holds. Bore D, stroke S, rod length
L; p is the peak pressure. The shares of a bore are common practice without a source, fitted to what
the invented demo designs have.
"""

import dataclasses
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from kinematics.declaration import Declaration
from kinematics.design.design import Counterweight, Design
from kinematics.design.design_groups import ENTRIES, RECORD_OF_GROUP
from kinematics.design.design_origin import RULE, Origins, ValueOrigin
from kinematics.design.design_parts import STEEL_DENSITY
from kinematics.design.engine_layout import LAYOUTS
from kinematics.design.new_design import Application, NewDesign
from kinematics.design.oil_viscosity import OIL_DENSITY
from kinematics.design.shaft_throw import throw_unbalance_by_size
from kinematics.mechanics.round_area import round_area
from kinematics.units import UNITS

THREADS = (  # diameter, pitch [mm]: ISO 261 fine pitches (from memory)
    (6, 0.75), (7, 0.75), (8, 1), (10, 1.25), (12, 1.25), (14, 1.5), (16, 1.5), (18, 1.5),
    (20, 1.5), (22, 1.5), (24, 2), (27, 2), (30, 2), (33, 2), (36, 3), (39, 3), (42, 3), (45, 3),
    (48, 3), (52, 3), (56, 4), (60, 4),
)  # fmt: skip
FAST = 20.0  # [m/s], mean piston speed of a competition engine
HEYWOOD = "Heywood, from memory"
FILM = 2.2e-6  # [m] that a big end's width is for
NO_SOURCE = "common practice, no source"


@dataclass(frozen=True, slots=True)
class Rule:
    """One rule of thumb: the entry that it fills, how, and in words with its source."""

    key: str
    value: Callable[[NewDesign], Any]
    words: str


RULES: dict[str, Rule] = {}


def _rule(key: str, words: str, source: str = NO_SOURCE) -> Callable[..., Callable[..., Any]]:
    def kept(value: Callable[[NewDesign], Any]) -> Callable[[NewDesign], Any]:
        RULES[key] = Rule(key, value, f"{words}; {source}")
        return value

    return kept


def _share(key: str, share: float, of: str, source: str = NO_SOURCE) -> None:
    """Add the rule that a length is a share of another, "bore" or an entry of its own rule."""
    word = of if of in ("bore", "rod length") else ENTRIES[of].declared.label.lower()

    def value(new: NewDesign) -> float:
        if of in ("bore", "rod length"):
            return share * (new.bore if of == "bore" else new.rod_length)
        return share * float(RULES[of].value(new))

    RULES[key] = Rule(key, value, f"{share:g} of the {word}; {source}")


def _fixed(key: str, shown: Any, words: str, source: str = NO_SOURCE) -> None:
    """Add the rule that a value, in its display unit, is the same for all."""
    declared = ENTRIES[key].declared
    value = declared.unit.to_si(shown) if declared.kind == "number" else shown
    RULES[key] = Rule(key, lambda _: value, f"{words}; {source}")


def _by_application(key: str, read: Callable[[Application], Any], words: str,
                    source: str = NO_SOURCE) -> None:  # fmt: skip
    RULES[key] = Rule(key, lambda new: read(new.rules), f"{words} by application; {source}")


def _of_bore(key: str, read: Callable[[Application], float], shares: str) -> None:
    """Add the rule that a length is a share of the bore, by application."""
    words = f"{shares} of the bore; {NO_SOURCE}"
    RULES[key] = Rule(key, lambda new: read(new.rules) * new.bore, words)


def _root(new: NewDesign, share: float, power: float, most: float) -> float:
    return min(share * max(new.pressure_ratio, 0.9) ** power, most) * new.bore


# --- gas ---

_by_application("cylinder.compression_ratio", lambda use: use.compression, "compression ratio")
_fixed("cylinder.pin_offset_mm", 0.0, "none")
_fixed("pressure.crankcase_bar", 1.0, "breather to the air")
_by_application(
    "pressure.peak_angle_deg",
    lambda use: use.peak_angle,
    "10 to 15° after TDC, diesel 8 to 12°",
    "from memory",
)
_by_application(
    "pressure.compression_exponent",
    lambda use: use.exponents[0],
    "1.30 to 1.37",
    "Heywood, from memory",
)
_by_application(
    "pressure.expansion_exponent",
    lambda use: use.exponents[1],
    "1.25 to 1.35",
    "Heywood, from memory",
)
_by_application("pressure.load_control", lambda use: use.control, "throttle or fuel alone")


@_rule("pressure.intake_bar", "so that compression ends at peak pressure over 2.35 (competition), "
       "2.7 (road), 1.5 (boat)")  # fmt: skip
def _intake(new: NewDesign) -> float:
    return new.peak / new.rules.charge / new.rules.compression ** new.rules.exponents[0]


@_rule("pressure.exhaust_bar", "0.9 of intake, at least 1.1 bar")
def _exhaust(new: NewDesign) -> float:
    return max(1.1e5, 0.9 * _intake(new))


# --- pin, ring, piston ---


@_rule("piston_pin.outer_diameter_mm", "0.28 of the bore at 84 bar, with the root of peak pressure")
def _pin(new: NewDesign) -> float:
    return _root(new, 0.28, 0.5, 0.42)


_share("piston_pin.inner_diameter_mm", 0.45, "piston_pin.outer_diameter_mm")
_of_bore("piston_pin.length_mm", lambda use: use.pin[0], "0.68 (competition), 0.7 (road), "
         "0.82 (boat)")  # fmt: skip
_of_bore("piston_pin.small_end_width_mm", lambda use: use.pin[1], "0.27 (competition), 0.28 "
         "(road), 0.34 (boat)")  # fmt: skip
_of_bore("piston_pin.boss_gap_mm", lambda use: use.pin[2], "0.29 (competition), 0.3 (road), "
         "0.36 (boat)")  # fmt: skip
_share("top_ring.axial_height_mm", 0.014, "bore")
_share("top_ring.radial_width_mm", 0.037, "bore")


@_rule("piston.assembly_mass_g", "0.29 (competition), 0.42 (road), 0.80 g/cm³ (boat) of bore³, and "
       "the pin", "piston index 0.4 to 0.7 g/cm³ with pin, petrol; from memory")  # fmt: skip
def _piston(new: NewDesign) -> float:
    pin = round_area(_pin(new), 0.45 * _pin(new)) * new.rules.pin[0] * new.bore * STEEL_DENSITY
    return new.rules.piston_index * new.bore**3 + pin


# --- rod ---


def _rod_scale(new: NewDesign) -> float:
    return math.sqrt(max(new.pressure_ratio, 0.9))


@_rule("rod_shank.depth_mm", "0.27 of the bore at 84 bar, with peak pressure to 0.35")
def _depth(new: NewDesign) -> float:
    return _root(new, 0.27, 0.35, 0.4)


_share("rod_shank.big_end_depth_mm", 1.4, "rod_shank.depth_mm")
_share("rod_shank.width_mm", 0.75, "rod_shank.depth_mm")
_share("rod_shank.flange_thickness_mm", 0.2, "rod_shank.depth_mm")
_share("rod_shank.web_thickness_mm", 0.2, "rod_shank.depth_mm")
_share("rod_shank.start_mm", 0.12, "rod length")
_share("rod_shank.end_mm", 0.27, "rod length")


def _end_mass(new: NewDesign, grams_per_area: float) -> float:
    """Return the mass of a rod's end: so many g/cm² of bore area in competition at 84 bar."""
    return 10 * grams_per_area * round_area(new.bore) * new.rules.rod_index * _rod_scale(new)


@_rule("rod_shank.eye_mass_g", "1.2 g/cm² of bore area; 1.5 times on the road, 2.6 in a boat; with "
       "the root of peak pressure")  # fmt: skip
def _eye(new: NewDesign) -> float:
    return _end_mass(new, 1.2)


@_rule("rod_bolts.cap_mass_g", "2.0 g/cm² of bore area; scaled as the small end")
def _cap(new: NewDesign) -> float:
    return _end_mass(new, 2.0)


@_rule("rod.mass_g", "shank by its section, small end, cap, and 1.8 g/cm² of bore area",
       "rods 10 to 20 g/cm², petrol (Kolchin and Demidov, from memory)")  # fmt: skip
def _rod(new: NewDesign) -> float:
    depth = _depth(new)
    flange, middle = 0.2 * depth, 1.2 * depth
    section = 2 * 0.75 * depth * flange + (middle - 2 * flange) * 0.2 * depth
    shank = STEEL_DENSITY * section * 0.61 * new.rod_length
    return shank + _eye(new) + _cap(new) + _end_mass(new, 1.8)


_share("rod.cg_from_big_end_mm", 0.275, "rod length", "Kolchin and Demidov, from memory")


@_rule("rod.inertia_about_cg_kg_mm2", "0.92 of two masses at the ends: 0.183 of mass and length²")
def _inertia(new: NewDesign) -> float:
    return 0.92 * 0.275 * 0.725 * _rod(new) * new.rod_length**2


_by_application("rod_material.tensile_MPa", lambda use: use.metal[0], "heat-treated steel")
_by_application("rod_material.yield_stress_MPa", lambda use: use.metal[1], "heat-treated steel")
_by_application(
    "rod_material.endurance_MPa", lambda use: use.metal[2], "0.35 to 0.45 of tensile strength"
)


def _cap_pull(new: NewDesign) -> float:
    """Return the rod's pull on its cap at the red line, TDC [N].

    Reference: inertia of masses on a slider-crank at TDC, two-mass rod.
    """
    radius, speed = new.stroke / 2, new.rules.red_line * new.rated_speed
    up = (_piston(new) + 0.275 * _rod(new)) * (1 + radius / new.rod_length)
    return (up + 0.725 * _rod(new) - _cap(new)) * radius * speed**2


def _thread(new: NewDesign) -> tuple[float, float]:
    """Return diameter and pitch [m] of the smallest bolt whose preload is enough."""
    least = 0.085 * new.bore
    for diameter, pitch in THREADS:
        size = diameter * 1e-3, pitch * 1e-3
        if size[0] >= least and 2 * _preload_of(size, new) >= 2.4 * _cap_pull(new):
            return size
    return THREADS[-1][0] * 1e-3, THREADS[-1][1] * 1e-3


def _preload_of(size: tuple[float, float], new: NewDesign) -> float:
    return 0.6 * new.rules.bolt_yield * round_area(size[0] - 0.9382 * size[1])


@_rule("rod_bolts.diameter_mm", "of ISO 261, preload of two bolts 2.4 times the pull on the cap, "
       "at least 0.085 of the bore")  # fmt: skip
def _bolt(new: NewDesign) -> float:
    return _thread(new)[0]


@_rule("rod_bolts.pitch_mm", "fine pitch", "ISO 261, from memory")
def _pitch(new: NewDesign) -> float:
    return _thread(new)[1]


@_rule("rod_bolts.preload_kN", "0.6 of yield on the stress area of ISO 898-1", "from memory")
def _preload(new: NewDesign) -> float:
    return _preload_of(_thread(new), new)


_fixed("rod_bolts.tightening_factor", 1.2, "1.1 to 1.2 by stretch", "VDI 2230, from memory")
_by_application("rod_bolts.yield_stress_MPa", lambda use: use.bolt_yield, "bolt grade")
_by_application("rod_bolts.tensile_MPa", lambda use: 1.13 * use.bolt_yield, "yield over 0.885")

# --- shaft and bearings ---


@_rule("big_end.diameter_mm", "0.58 of the bore at 84 bar, with peak pressure to 0.35")
def _crankpin(new: NewDesign) -> float:
    return _root(new, 0.58, 0.35, 0.8)


def _big_end_force(new: NewDesign) -> float:
    """Return the force of the gas at peak pressure, or the pull at rated speed if more [N]."""
    pull = _cap_pull(new) / new.rules.red_line**2
    return max(new.peak * round_area(new.bore), pull)


def _film_width(new: NewDesign) -> float:
    """Return the width [m] at which the film is `FILM` by the short bearing's law.

    Reference: W = η U L³ / (4 h²) near full eccentricity, DuBois and Ocvirk, NACA Report 1157
    (from memory).
    """
    slide = new.rated_speed * _crankpin(new) / 2
    return math.cbrt(4 * FILM**2 * _big_end_force(new) / (new.rules.film_viscosity * slide))


def _loaded_width(new: NewDesign) -> float:
    by_load = _big_end_force(new) / (new.rules.specific * _crankpin(new))
    return max(new.rules.big_end * new.bore, by_load)


@_rule("big_end.width_mm", "load W on 36, 28, 34 MPa (competition, road, boat), 0.25 to 0.32 "
       "bores, film √(ηUL³/4W) of 2.2 µm, η 1.8, 1.4, 4 mPa·s",
       "Neale A11; NACA 1157, from memory")  # fmt: skip
def _big_end_width(new: NewDesign) -> float:
    return max(_loaded_width(new), _film_width(new))


_share("big_end.radial_clearance_um", 0.0008, "big_end.diameter_mm")
_share("main_bearing.diameter_mm", 1.18, "big_end.diameter_mm")


@_rule("main_bearing.width_mm", "as the big end's by load alone; 1.2 of it in a flat engine, "
       "whose neighbouring throws load a main together")  # fmt: skip
def _main_width(new: NewDesign) -> float:
    return (1.2 if LAYOUTS[new.layout].is_flat else 1.0) * _loaded_width(new)


_share("main_bearing.radial_clearance_um", 0.0006, "main_bearing.diameter_mm")


@_rule("crank_throw.web_thickness_mm", "0.23 of the bore, in a boat 0.28")
def _web(new: NewDesign) -> float:
    return new.rules.web * new.bore


_share("crank_throw.web_width_mm", 1.5, "main_bearing.diameter_mm")
_share("crank_throw.pin_fillet_mm", 0.06, "big_end.diameter_mm")
_share("crank_throw.journal_fillet_mm", 0.05, "main_bearing.diameter_mm")
_share("crank_throw.oil_bore_mm", 0.12, "big_end.diameter_mm")
_fixed("crank_throw.oil_hole_angle_deg", 30.0, "ahead of the pin's top: clear of the gas load at "
       "TDC and of inertia's from inside")  # fmt: skip


@_rule("crank.web_offset_mm", "half of big-end width, 0.5 % of the bore for its side clearance, "
       "web and two pin fillets")  # fmt: skip
def _web_offset(new: NewDesign) -> float:
    return (_big_end_width(new) + _web(new) + 0.005 * new.bore + 2 * 0.06 * _crankpin(new)) / 2


@_rule("layout.throw_spacing_mm", "web to web as bearings, webs and fillets need, and 1.5 % of the "
       "bore; in line at least 1.1 bores, of two banks 0.6")  # fmt: skip
def _spacing(new: NewDesign) -> float:
    main = _main_width(new) + _web(new) + 0.015 * new.bore + 2 * 0.05 * 1.18 * _crankpin(new)
    least = 1.1 if LAYOUTS[new.layout].in_line else 0.6
    return max(2 * _web_offset(new) + main, least * new.bore)


_fixed("crank_material.tensile_MPa", 950.0, "quenched and tempered forging")
_fixed("crank_material.process", "drop_forged", "as most shafts of this size")
_fixed("crank_material.treatment", "gas_nitrided", "fillets hardened")
_fixed("crank_material.surface_hardness_HV", 650.0, "600 HV or more, gas nitrided",
       "IACS UR M53")  # fmt: skip
_fixed("crank_material.core_hardness_HV", 310.0, "of some 950 MPa")
_fixed("crank_material.case_depth_mm", 0.35, "0.3 to 0.5 mm")
_share("shaft.flange_diameter_mm", 1.4, "main_bearing.diameter_mm")
_share("shaft.flange_thickness_mm", 0.17, "bore")
_share("shaft.web_main_end_mm", 1.22, "main_bearing.diameter_mm")
_share("shaft.web_pin_end_mm", 1.15, "big_end.diameter_mm")

# --- torsion, oil, allowables ---

_share("torsion.nose_diameter_mm", 0.6, "main_bearing.diameter_mm")
_share("torsion.nose_length_mm", 0.52, "bore")
_share("torsion.flange_length_mm", 0.3, "bore")


@_rule("torsion.hub_inertia_kg_mm2", "700 kg/m³ of bore⁵")
def _hub(new: NewDesign) -> float:
    return 700 * new.bore**5


@_rule("torsion.flywheel_inertia_kg_mm2", "17 (competition), 48 (road), 200 t/m³ (boat) of bore⁵ "
       "for six cylinders, with fewer as the square")  # fmt: skip
def _flywheel(new: NewDesign) -> float:
    cylinders = len(LAYOUTS[new.layout].throw_angles)
    return new.rules.flywheel * new.bore**5 * (6 / cylinders) ** 2


@_rule("torsion.damper", "viscous from three throws on")
def _damper(new: NewDesign) -> str:
    return "viscous" if len(LAYOUTS[new.layout].throw_angles) >= 3 else "none"


@_rule("torsion.damper_inertia_kg_mm2", "4 times the hub, in a boat 9 times")
def _damper_ring(new: NewDesign) -> float | None:
    return new.rules.damper * _hub(new) if _damper(new) != "none" else None


@_rule("torsion.idle_speed_rpm", "0.13 of the rated speed, in a boat 0.25; at least 1300 "
       "(competition), 800 (road), 700 rpm (boat), at most half the rated speed")  # fmt: skip
def _idle(new: NewDesign) -> float:
    share, least = new.rules.idle, new.rules.slowest_idle
    return min(max(share * new.rated_speed, least), new.rated_speed / 2)


_fixed("torsion.idle_load_percent", 20.0, "15 to 25 % of full load")
_by_application("oil.grade", lambda use: use.grade, "usual grade")
_by_application("oil.inlet_temperature_degC", lambda use: use.inlet, "gallery temperature")
_fixed("oil.viscosity_mPa_s", 8.0, "6 to 12 mPa·s hot; the heat balance replaces it")


@_rule("oil.supply_pressure_bar", "6 bar; 0.7 bar per 1000 rpm, or 1.5 times what turning takes in "
       "the drilling to the axis, if more; at most 12")  # fmt: skip
def _supply(new: NewDesign) -> float:
    by_speed = 0.7e5 * new.rated_speed / UNITS["rpm"].to_si(1000)
    taken = OIL_DENSITY / 2 * (1.18 * _crankpin(new) / 2 * new.rated_speed) ** 2
    return min(max(6e5, by_speed, 1.5 * taken), 12e5)


@_rule("limits.full_load_from_rpm", "0.7 of the rated speed in a boat, whose propeller takes "
       "torque as the square of speed")  # fmt: skip
def _full_load_from(new: NewDesign) -> float | None:
    lowest = new.rules.full_load_from
    return None if lowest is None else lowest * new.rated_speed


@_rule("limits.red_line_rpm", "1.06 (competition), 1.08 (road), 1.1 (boat) of the rated speed")
def _red_line(new: NewDesign) -> float:
    return new.rules.red_line * new.rated_speed


# --- designs ---

COUNTERWEIGHT_WORDS = (
    "half of what rotates at a throw, on each web, opposite the pin; common practice, no source"
)
LAYOUT_WORDS = "even firing of the layout; common practice, no source"


def design_by_rules(new: NewDesign, name: str = "New design") -> Design:
    """Return a design with all groups, each value that was not asked for by a rule of thumb.

    Raises DesignError where the rules give what a design cannot have.

    Reference: the rules' own, in the origin of each value.

    >>> new = NewDesign("in-line six, 120°", "road", 0.082, 0.094, 0.160, 607.0, 68e5)
    >>> design = design_by_rules(new)
    >>> design
    Design('New design': 6 cylinders, 4-stroke, bore 82 mm, stroke 94 mm, rated speed
    5796.42 rpm)
    >>> design.origins["piston_pin.outer_diameter_mm"].word
    'rule of thumb'
    """
    chosen = LAYOUTS[new.layout]
    given: dict[str, dict[str, Any]] = {
        "layout": {
            "strokes_per_cycle": 4,
            "throw_angles": tuple(map(math.radians, chosen.throw_angles)),
            "throw_of_cylinder": tuple(range(1, len(chosen.throw_angles) + 1)),
            "bank_angle": tuple(map(math.radians, chosen.bank_angles)),
            "firing_order": chosen.firing_order,
            "rated_speed": new.rated_speed,
        },
        "cylinder": {"bore": new.bore, "stroke": new.stroke, "rod_length": new.rod_length},
        "pressure": {"source": "model", "peak": new.peak},
    }
    groups: dict[str, Any] = {
        group: made_by_rules(group, new, given.get(group, {})) for group in RECORD_OF_GROUP
        if group != "firing"
    }  # fmt: skip
    design = Design(**groups, name=name)
    design = dataclasses.replace(design, counterweights=_counterweights(design))
    design = with_rule_origins(design, RULES)
    origins = dict(design.origins)
    for key in ("throw_angles_deg", "throw_of_cylinder", "bank_angle_deg", "firing_order"):
        origins[f"layout.{key}"] = ValueOrigin(RULE, LAYOUT_WORDS)
    for key in ("web", "unbalance_kg_mm"):
        origins[f"counterweight.{key}"] = ValueOrigin(RULE, COUNTERWEIGHT_WORDS)
    return dataclasses.replace(design, origins=Origins(origins))


def made_by_rules(group: str, new: NewDesign, given: Mapping[str, Any]) -> Any:
    """Return a group's record: what is given, and its rules' values in rounded display units."""
    values = dict(given)
    for rule in RULES.values():
        entry = ENTRIES[rule.key]
        if entry.group == group:
            values[entry.attribute] = _rounded(rule.value(new), entry.declared)
    return RECORD_OF_GROUP[group](**values)


def _rounded(value: Any, declared: Declaration) -> Any:
    """Return a value with three digits in its display unit, as a drawing would have it."""
    if declared.kind != "number" or value is None:
        return value
    return declared.unit.to_si(float(f"{declared.unit.from_si(value):.3g}"))


def with_rule_origins(design: Design, rules: Mapping[str, Rule]) -> Design:
    """Return a design whose values by rules say so."""
    origins = dict(design.origins)
    for key, rule in rules.items():
        if ENTRIES[key].value(design) is not None:
            origins[key] = ValueOrigin(RULE, rule.words)
    return dataclasses.replace(design, origins=Origins(origins))


def _counterweights(design: Design) -> tuple[Counterweight, ...]:
    rotating = design.rod.mass * (1 - design.rod.cg_from_big_end / design.cylinder.rod_length)
    throw = throw_unbalance_by_size(design) + rotating * design.cylinder.crank_radius
    unbalance = UNITS["kg_mm"].to_si(float(f"{UNITS['kg_mm'].from_si(throw / 2):.3g}"))
    return tuple(Counterweight(web, unbalance) for web in range(1, 2 * design.layout.throws + 1))
