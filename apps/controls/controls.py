"""Which fields the controls show, and the few that stand for more than one field of a design."""

import dataclasses
import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from apps.controls.slider_range import KEPT_UNITS, Slider, SliderRanges, nice_below
from kinematics import Design, DesignError, with_value
from kinematics.declaration import Declaration
from kinematics.design.design import CONTINUOUS, DETERMINATE, Counterweight
from kinematics.design.design_field import find_field
from kinematics.design.design_fit import CONTINUOUS_NEEDS
from kinematics.design.design_full_load import MOST_ROWS
from kinematics.design.field_default import default_in_force
from kinematics.design.oil_viscosity import GRADES, grade_number, oil_viscosity
from kinematics.design.shaft_throw import counterweight_unbalance, throw_unbalance_by_size
from kinematics.fit.weighed_sizes import with_weighed_sizes
from kinematics.train.cycle import SPEED_LIMITS_RPM, rigid_train
from kinematics.units import UNITS, as_shown, from_shown, shown_unit
from viz.film.film_model_words import MODEL_NAMES, OIL_UNDER_PRESSURE
from viz.firing_words import STATE_LABELS
from viz.train.gas_numbers import full_load_picture

SPEED = "speed_rpm"
UNRANGED = ("oil.hot_grade",)  # whose slider goes through grades


@dataclass(frozen=True, slots=True)
class Derived:
    """A control that reads a value from a design and makes a design of a value."""

    label: str
    unit: str  # a key of UNITS, in which slider, read and write are
    slider: tuple[float, float, float]
    why: str
    read: Callable[[Design], float | None]  # None where the design has no such thing
    write: Callable[[Design, float], Design]
    ticked: bool = False  # a box to tick, 1 or 0, in place of a number


def _rod_over(length: Callable[[Design], float]) -> Callable[[Design, float], Design]:
    def write(design: Design, ratio: float) -> Design:
        return with_value(design, "cylinder.rod_length_mm", ratio * length(design) * 1e3)

    return write


def _largest_counterweight(design: Design) -> float:
    weights = (counterweight_unbalance(weight, design) for weight in design.counterweights)
    return max(weights, default=0.0) * 1e3


def _hot_grade(design: Design) -> float | None:
    number = None if design.oil is None else grade_number(design.oil.grade)
    return None if number is None else float(number)


def _with_hot_grade(design: Design, number: float) -> Design:
    """Change the oil's second number, or its only one; viscosities given are dropped."""
    assert design.oil is not None  # there is no such control without an oil
    nearest = min(GRADES, key=lambda known: abs(known - number))
    kept = design.oil.grade.rpartition("-")
    grade = f"{kept[0]}-{nearest}" if kept[1] else f"SAE {nearest}"
    oil = dataclasses.replace(
        design.oil, grade=grade, viscosity_40=None, viscosity_100=None, high_shear_viscosity=None
    )
    return dataclasses.replace(design, oil=oil)


NEXT_TO_NOTHING = 1e-6  # [kg·mm]; as good as none, and yet it keeps the proportions


def _scaled_counterweights(design: Design, largest: float) -> Design:
    """Scale all counterweights so that the largest has a value [kg·mm]; none become one a web."""
    before = _largest_counterweight(design)
    largest = max(largest, NEXT_TO_NOTHING)
    unbalance = UNITS["kg_mm"].to_si(largest)
    weights = design.counterweights
    if before == 0:
        webs = range(1, 2 * design.layout.throws + 1)
        weights = weights or tuple(Counterweight(web, 0.0, math.pi) for web in webs)
        weights = tuple(dataclasses.replace(weight, unbalance=unbalance) for weight in weights)
    else:
        weights = tuple(
            dataclasses.replace(
                weight,
                unbalance=counterweight_unbalance(weight, design) * largest / before,
                outer_radius=None,
            )
            for weight in weights
        )
    return dataclasses.replace(design, counterweights=weights)


CONTINUOUS_SHAFT = "mains.continuous"
FROM_GEOMETRY = "throw.from_geometry"


def _is_continuous(design: Design) -> float | None:
    if any(getattr(design, group) is None for group in CONTINUOUS_NEEDS):
        return None
    return float(design.continuous)


def _with_continuous(design: Design, ticked: float) -> Design:
    if ticked not in (0, 1):
        raise DesignError(CONTINUOUS_SHAFT, f"must be 1, ticked, or 0, not ticked (got {ticked:g})")
    return with_value(design, "crank.main_loads", CONTINUOUS if ticked else DETERMINATE)


def _main_stiffness(design: Design) -> float | None:
    """Return the stiffness of a main [kN/µm] that counts: as given, else that of its film."""
    if not design.continuous:
        return None
    return UNITS["kN_um"].from_si(float(rigid_train(design).continuous_shaft.stiffness[0]))


def _is_from_geometry(design: Design) -> float | None:
    try:
        throw_unbalance_by_size(design)
    except DesignError:
        return None
    return float(design.crank.throw_unbalance is None)


def _with_geometry(design: Design, ticked: float) -> Design:
    if ticked not in (0, 1):
        raise DesignError(FROM_GEOMETRY, f"must be 1, ticked, or 0, not ticked (got {ticked:g})")
    unbalance = None if ticked else throw_unbalance_by_size(design)
    crank = dataclasses.replace(design.crank, throw_unbalance=unbalance)
    return dataclasses.replace(design, crank=crank)


DERIVED = {
    FROM_GEOMETRY: Derived(
        "Throw unbalance from geometry",
        "",
        (0, 1, 1),
        "Ticked, loads and counterweights follow chamfer and pocket. Unticked, the unbalance "
        "stays as given.",
        _is_from_geometry,
        _with_geometry,
        ticked=True,
    ),
    CONTINUOUS_SHAFT: Derived(
        "Continuous shaft",
        "",
        (0, 1, 1),
        "Statically indeterminate: mains share loads through the shaft. Unticked, it is "
        "determinate: simply supported throws. Films, misalignment, fillets and main loads follow.",
        _is_continuous,
        _with_continuous,
        ticked=True,
    ),
    "mains.stiffness": Derived(
        "Main-bearing support stiffness",
        "kN_um",
        (0.1, 5.0, 0.05),
        "Film and housing together; default: maximum main load over radial clearance.",
        _main_stiffness,
        lambda design, value: with_value(design, "crank.main_stiffness_kN_um", value),
    ),
    "rod.over_radius": Derived(
        "Rod-to-crank ratio l/r",
        "",
        (2.5, 6.0, 0.01),
        "Rod length over crank radius; sets second order and side thrust.",
        lambda design: design.cylinder.rod_ratio,
        _rod_over(lambda design: design.cylinder.crank_radius),
    ),
    "rod.over_stroke": Derived(
        "Rod/stroke ratio l/s",
        "",
        (1.25, 3.0, 0.005),
        "Rod length over stroke; half of l/r.",
        lambda design: design.cylinder.rod_ratio / 2,
        _rod_over(lambda design: design.cylinder.stroke),
    ),
    "counterweight": Derived(
        "Maximum counterweight",
        "kg_mm",
        (0.0, 100.0, 0.25),
        "On one web; the others scale in proportion. Without any: one on every web.",
        _largest_counterweight,
        _scaled_counterweights,
    ),
    "oil.hot_grade": Derived(
        "SAE grade, hot",
        "",
        (10.0, 60.0, 10.0),
        "Second number of the grade, or its only one: viscosity when hot.",
        _hot_grade,
        _with_hot_grade,
    ),
}

FULLER_LABELS = {  # where several parts have a field of that name
    "big_end.diameter_mm": "Big-end diameter",
    "big_end.width_mm": "Big-end width",
    "main_bearing.diameter_mm": "Main diameter",
    "main_bearing.width_mm": "Main width",
    "oil.viscosity_mPa_s": "Effective viscosity",
    "rod_shank.web_thickness_mm": "Shank web thickness",
}
CHOICE_LABELS = {
    "oil.film_model": MODEL_NAMES,
    "oil.under_pressure": OIL_UNDER_PRESSURE,
    "firing.state": STATE_LABELS,
}  # of the choices, in their order
CURVE = "Full-load curve"
PRESSURE = "Cylinder pressure"
OPERATING_POINT = "Operating point"
FIRING_KEYS = (
    "firing.state",
    "firing.cylinder",
    "firing.imep_spread_percent",
    "firing.seed",
)
FIRING_CYLINDER, FIRING_SEED = FIRING_KEYS[1], FIRING_KEYS[3]
SHOWN_SEEDS = 20  # on the slider; the box takes any
_ROW_KEYS = ("speed_rpm", "peak_percent", "intake_percent", "load_percent")
CURVE_KEYS = tuple(f"full_load.{row}.{key}" for row in range(1, MOST_ROWS + 1) for key in _ROW_KEYS)
CURVE_NOTE = (
    "Peak pressure, intake and heat at some speeds, relative to the group Cylinder pressure. "
    "Linear in speed between rows, constant beyond the ends. Add rows in the design file: "
    "[[full_load]]."
)
GAS_NOTE = (
    "Peak pressure stays as given, and the heat released follows: lower compression or a later "
    "peak means more heat here, not a better engine."
)
NOTES = {PRESSURE: GAS_NOTE, CURVE: CURVE_NOTE}
Groups = tuple[tuple[str, bool, tuple[str, ...]], ...]  # title, whether open, keys of fields
GROUPS: Groups = (
    (OPERATING_POINT, True, (SPEED, "pressure.load_percent", *FIRING_KEYS)),
    (
        "Cylinder and rod",
        True,
        (
            "cylinder.stroke_mm",
            "rod.over_stroke",
            "rod.over_radius",
            "cylinder.rod_length_mm",
            "cylinder.bore_mm",
            "cylinder.pin_offset_mm",
            "cylinder.compression_ratio",
        ),
    ),
    (
        "Masses",
        True,
        (
            "piston.assembly_mass_g",
            "rod.mass_g",
            "counterweight",
            "crank.throw_unbalance_kg_mm",
            "rod.cg_from_big_end_mm",
            "rod.inertia_about_cg_kg_mm2",
        ),
    ),
    (
        PRESSURE,
        False,
        (
            "pressure.peak_bar",
            "pressure.peak_angle_deg",
            "pressure.burn_duration_deg",
            "pressure.intake_bar",
            "pressure.exhaust_bar",
            "pressure.crankcase_bar",
            "pressure.compression_exponent",
            "pressure.expansion_exponent",
        ),
    ),
    (CURVE, False, CURVE_KEYS),
    (
        "Shaft and bearings",
        False,
        (
            "layout.throw_spacing_mm",
            "crank.web_offset_mm",
            "big_end.diameter_mm",
            "big_end.width_mm",
            "main_bearing.diameter_mm",
            "main_bearing.width_mm",
            "layout.rated_speed_rpm",
        ),
    ),
)


def control_groups(
    design: Design, groups: Groups, ranges: SliderRanges | None = None
) -> list[dict[str, Any]]:
    """Return the groups of controls for a design; what it has not is left out.

    Sliders go about the design's values if `ranges` are given, else they have their declared ends.
    """
    shown = [
        {
            "title": title,
            "open": is_open,
            "note": NOTES.get(title, "") if design.pressure.source == "model" else "",
            "warning": _gas_warning(design) if title == PRESSURE else "",
            "curve": full_load_picture(design) if title == CURVE else None,
            "controls": [
                control for key in keys if (control := _control(design, key, ranges)) is not None
            ],
        }
        for title, is_open, keys in groups
    ]
    return [group for group in shown if group["controls"]]


def _gas_warning(design: Design) -> str:
    """Return what is unusual about the gas; empty where the pressure is a trace."""
    if design.pressure.source == "trace":
        return ""
    return " ".join(rigid_train(design).warnings)


def control_values(design: Design, speed_rpm: float, groups: Groups) -> dict[str, float]:
    """Return the shown value of every control by key."""
    values = {SPEED: speed_rpm}
    for _, _, keys in groups:
        for key in keys:
            value = _shown(design, key)
            if value is not None:
                values[key] = value
    return values


def changed(design: Design, key: str, value: float) -> Design:
    """Return the design with a control set to a value; raises DesignError if not allowed."""
    return with_weighed_sizes(design, _with_control(design, key, value))


def _with_control(design: Design, key: str, value: float) -> Design:
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not math.isfinite(value):
        raise DesignError(key, f"must be a number, {_allowed(design, key)}".rstrip(", "))
    if key not in DERIVED:
        declared = _declared(design, key)
        if declared is not None and declared.kind == "number":
            value = from_shown(value, declared.unit.key)
        if declared is not None and declared.kind == "choice":
            return with_value(design, key, _chosen(key, value, declared))
        if declared is not None and declared.kind == "whole" and float(value).is_integer():
            value = int(value)
        return with_value(design, key, value)
    derived = DERIVED[key]
    value = from_shown(value, derived.unit)
    if not 0 <= value <= 1e6:
        raise DesignError(key, f"must be 0 to 1e6, {_allowed(design, key)} (got {value:g})")
    return derived.write(design, value)


def _chosen(key: str, place: float, declared: Declaration) -> str:
    """Return the choice at a place of the declared ones, from 0."""
    places = range(len(declared.choices))
    if place not in places:
        raise DesignError(key, f"must be 0 to {places[-1]}, a place in the list (got {place:g})")
    return declared.choices[int(place)]


def speed_slider(design: Design) -> tuple[float, float, float]:
    """Return the speed slider's ends and step [rpm]: a fifth of the rated speed to a third over."""
    rated = UNITS["rpm"].from_si(design.layout.rated_speed)
    step = 10.0 if rated < 4000 else 50.0
    high = min(math.ceil(rated * 4 / 3 / 100) * 100.0, SPEED_LIMITS_RPM[1])
    return max(math.floor(rated / 5 / 100) * 100.0, 100.0), high, step


def _declared(design: Design, key: str) -> Declaration | None:
    found = find_field(design, key)
    return found[2] if found else None


def _allowed(design: Design, key: str) -> str:
    if key in DERIVED:
        unit = DERIVED[key].unit
        low, high, _ = shown_slider(DERIVED[key].slider, unit)
        return f"usual range {low:g} to {high:g} {shown_unit(unit).symbol}".rstrip()
    declared = _declared(design, key)
    return declared.allowed if declared else ""


def _shown(design: Design, key: str) -> float | None:
    if key in DERIVED:
        value = DERIVED[key].read(design)
        return None if value is None else as_shown(value, DERIVED[key].unit)
    found = find_field(design, key)
    if found is None:
        return None
    record, attribute, declared = found
    value = getattr(record, attribute)
    if declared.kind == "choice":
        return float(declared.choices.index(value))
    if value is None:
        value = default_in_force(design, key.partition(".")[0], attribute)
    return None if value is None else declared.shown_unit.from_si(value)


def _ranged(
    key: str, unit: str, slider: Slider | None, value: float | None, ranges: SliderRanges | None
) -> Slider | None:
    """Return a slider about a value in its own unit, or as declared."""
    if ranges is None or slider is None or value is None or unit in KEPT_UNITS or key in UNRANGED:
        return slider
    return ranges.of(key, slider, value)


def _control(design: Design, key: str, ranges: SliderRanges | None) -> dict[str, Any] | None:
    if key == SPEED:
        low, high, step = speed_slider(design)
        why = "Inertia grows with its square; gas follows the full-load curve, if any."
        return _described(key, "Speed", "rpm", (low, high, step), why)
    if key in DERIVED:
        derived = DERIVED[key]
        value = derived.read(design)
        if value is None:
            return None
        slider = _ranged(key, derived.unit, derived.slider, value, ranges)
        return _described(
            key, derived.label, derived.unit, slider, derived.why, ticked=derived.ticked
        )
    declared = _declared(design, key)
    if declared is None or _shown(design, key) is None or _does_nothing(design, key):
        return None
    if key in (FIRING_CYLINDER, FIRING_SEED):
        last = design.layout.cylinders if key == FIRING_CYLINDER else SHOWN_SEEDS
        return _described(key, declared.label, "", (1.0, float(last), 1.0), declared.explanation)
    heated = design.oil is not None and oil_viscosity(design.oil) is not None
    if key == "oil.viscosity_mPa_s" and heated:
        return None  # the heat balance finds it
    if declared.kind == "choice":
        choices = CHOICE_LABELS.get(key, declared.choices)
        return _described(key, declared.label, "", None, declared.explanation, choices=choices)
    why = f"{declared.explanation} Allowed: {declared.allowed}.".strip()
    label = FULLER_LABELS.get(key, declared.label)
    if key.startswith("full_load."):
        label = f"Row {key.split('.')[1]}, {label.lower()}"
    shown = _shown(design, key)
    value = None if shown is None else from_shown(shown, declared.unit.key)
    slider = _ranged(key, declared.unit.key, declared.slider, value, ranges)
    return _described(key, label, declared.unit.key, slider, why)


def _does_nothing(design: Design, key: str) -> bool:
    """Return whether a field changes nothing in the state that the design is in."""
    if key == FIRING_CYLINDER:
        return design.firing.dead_cylinder is None or design.layout.cylinders == 1
    if key == FIRING_SEED:
        return design.firing.imep_spread == 0
    return _of_the_model_only(design, key)


def _of_the_model_only(design: Design, key: str) -> bool:
    """Return whether a field does nothing because the design runs on a trace."""
    model_only = key.startswith(("pressure.", "full_load."))
    own = model_only and key != "pressure.crankcase_bar"
    return own and design.pressure.source == "trace"


def _described(
    key: str,
    label: str,
    unit: str,
    slider: tuple[float, float, float] | None,
    why: str,
    *,
    ticked: bool = False,
    choices: tuple[str, ...] = (),
) -> dict[str, Any]:
    ends = None if slider is None else shown_slider(slider, unit)
    symbol = shown_unit(unit).symbol
    return {
        "key": key,
        "label": label,
        "unit": symbol,
        "slider": ends,
        "why": why,
        "ticked": ticked,
        "choices": list(choices),
    }


def shown_slider(slider: tuple[float, float, float], unit: str) -> tuple[float, float, float]:
    """Return a slider's ends and step as shown: whole steps of 1, 2 or 5, within the ends.

    `unit` is the key in `UNITS` of the unit that the slider is given in.
    """
    if shown_unit(unit) is UNITS[unit]:
        return slider
    low, high = (as_shown(end, unit) for end in slider[:2])
    step = nice_below(slider[2] * UNITS[unit].factor / shown_unit(unit).factor)
    ends = math.ceil(low / step - 1e-9) * step, math.floor(high / step + 1e-9) * step
    return float(f"{ends[0]:.9g}"), float(f"{ends[1]:.9g}"), step
