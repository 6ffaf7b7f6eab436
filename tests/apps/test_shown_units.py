"""The US customary system: its factors, that it covers every quantity, and that nothing drifts."""

import dataclasses
import threading

import pytest

from apps.controls.controls import changed, control_values
from apps.controls.film_controls import GROUPS as FILM_GROUPS
from apps.controls.limit_controls import GROUPS as WHAT_IF
from assets_demo import demo_paths
from kinematics import DesignError, load_design, parse_design
from kinematics.declaration import declarations
from kinematics.design.design_file import design_text
from kinematics.units import (
    SI_SYMBOLS,
    SYSTEMS,
    UNITS,
    as_shown,
    from_shown,
    in_words,
    shown_system,
    shown_unit,
    using_units,
)

HILL = load_design(demo_paths()["Hill climb six"])
ALIKE = {"", "percent", "deg", "rpm", "HV", "rad_s", "rad_s2"}  # the same in both systems

# B. N. Taylor and A. Thompson, Guide for the Use of the International System of Units, NIST
# Special Publication 811, 2008, appendix B.8: factors as printed, to 7 digits (from memory)
PRINTED = {
    "mm": ("in", 2.54e-2), "um": ("µin", 2.54e-8), "g": ("oz", 2.834952e-2),
    "kN": ("lbf", 4.448222), "bar": ("psi", 6.894757e3),
    "MPa": ("ksi", 6.894757e6), "N_mm": ("lbf/in", 1.751268e2),
    "Nm": ("lbf·ft", 1.355818), "m_s": ("ft/min", 5.08e-3), "m_s2": ("ft/s²", 3.048e-1),
    "kW": ("hp", 7.456999e2), "J": ("ft·lbf", 1.355818), "kg_m3": ("lb/in³", 2.767990e4),
    "kg_mm2": ("lb·in²", 2.926397e-4), "kg_mm": ("oz·in", 7.200778e-4),
    "l_min": ("gpm", 6.309020e-5), "mPa_s": ("µreyn", 6.894757e-3), "mm2_s": ("cSt", 1e-6),
}  # fmt: skip


@pytest.mark.parametrize("key", PRINTED)
def test_factors_are_those_printed(key):
    symbol, factor = PRINTED[key]
    with using_units("us"):
        assert shown_unit(key).symbol == symbol
        assert shown_unit(key).factor == pytest.approx(factor, rel=4e-7)


def test_temperatures():
    with using_units("us"):
        assert shown_unit("degC").from_si(373.15) == pytest.approx(212, abs=1e-9)
        assert shown_unit("degC").from_si(273.15) == pytest.approx(32, abs=1e-9)


def test_every_quantity_has_a_us_unit_of_its_own_or_is_alike():
    for key, unit in SYSTEMS["us"].items():
        assert unit.quantity == UNITS[key].quantity
        assert (unit is UNITS[key]) == (key in ALIKE), key
        assert key in SI_SYMBOLS or key in ALIKE or key == "kg_m3", key


def test_the_choice_holds_within_and_in_this_thread_only():
    seen = []
    with using_units("us"):
        thread = threading.Thread(target=lambda: seen.append(shown_system()))
        thread.start()
        thread.join()
        with using_units("nonsense"):
            assert shown_system() == "si"
        assert shown_system() == "us"
    assert (shown_system(), seen) == ("si", ["si"])


@pytest.mark.parametrize("key", [key for key in SYSTEMS["us"] if key not in ALIKE])
def test_values_come_back(key):
    with using_units("us"):
        for value in (0.0123, 1.0, 987.6):
            assert from_shown(as_shown(value, key), key) == pytest.approx(value, rel=1e-11)


def test_a_hundred_toggles_with_every_control_set_anew_do_not_move_the_design():
    design, groups = HILL, FILM_GROUPS + WHAT_IF
    for toggle in range(100):
        with using_units(("us", "si")[toggle % 2]):
            values = control_values(design, 8000.0, groups)
            for key in ("cylinder.stroke_mm", "piston.assembly_mass_g", "pressure.peak_bar",
                        "counterweight", "big_end.radial_clearance_um",
                        "oil.inlet_temperature_degC", "rod_bolts.preload_kN"):  # fmt: skip
                design = changed(design, key, values[key])
    before, after = (control_values(one, 8000.0, groups) for one in (HILL, design))
    assert after == pytest.approx(before, rel=1e-11)


def test_the_file_is_the_same_in_both_systems():
    with using_units("us"):
        text = design_text(HILL)
        again = parse_design(text)
    assert text == design_text(HILL)
    assert again == HILL


def test_messages_are_in_the_unit_shown_and_what_they_allow_is_allowed():
    with using_units("us"):
        with pytest.raises(DesignError, match=r"must be .* in \(got 39\.3701 in\)$"):
            changed(HILL, "cylinder.bore_mm", 39.3701)
        with pytest.raises(DesignError, match=r"must be less than .* in, the bore \(got .* in\)"):
            changed(HILL, "piston_pin.length_mm", 3.9)


def _declared():
    for field in dataclasses.fields(HILL):
        record = getattr(HILL, field.name)
        if dataclasses.is_dataclass(record):
            for _, key, declared in declarations(record):
                if declared.kind == "number" and declared.unit.key not in ALIKE:
                    yield f"{field.name}.{key}", declared


@pytest.mark.parametrize(("key", "declared"), list(_declared()), ids=lambda one: str(one)[:40])
def test_the_ends_that_are_read_are_allowed(key, declared):
    """What a message allows in US units can be typed in and is not refused for its size."""
    with using_units("us"):
        words = declared.allowed.split()
        for end in (float(words[0]), float(words[2])):
            back = from_shown(end, declared.unit.key)
            assert declared.low - 1e-9 * abs(declared.low) <= back
            assert back <= declared.high + 1e-9 * abs(declared.high)


def test_a_file_is_judged_in_its_own_units():
    text = design_text(HILL).replace("bore_mm = 88", "bore_mm = 880")
    with using_units("us"), pytest.raises(DesignError, match=r"must be .* mm \(got 880 mm\)"):
        parse_design(text)


def test_in_words():
    assert in_words(0.0254, "mm") == "25.4 mm"
    with using_units("us"):
        assert in_words(0.0254, "mm") == "1 in"
        assert in_words(0.5, "") == "0.5"
