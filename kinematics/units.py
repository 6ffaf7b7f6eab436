"""Units at the three doors (design file, screen, export); inside everything is SI.

A design file is always in the units of `UNITS`. Screens and exports are in the system that
`using_units` chooses: `shown_unit` gives the unit there. US factors: B. N. Taylor and A. Thompson,
Guide for the Use of the International System of Units, NIST Special Publication 811, 2008,
appendix B (from memory); they follow from the inch, the pound and standard gravity, all exact.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass

from kinematics.array import Array


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit that a door may show.

    `key` is the suffix of a field's name in the design file, `symbol` what people read,
    and SI = (shown + `offset`) * `factor`.
    """

    quantity: str
    key: str
    symbol: str
    factor: float
    offset: float = 0.0

    def to_si(self, shown: float) -> float:
        """Return the SI value of a shown value.

        Reference: NIST Special Publication 811, 2008, appendix B (from memory).
        """
        return (shown + self.offset) * self.factor

    def from_si(self, value: float) -> float:
        """Return a value [SI] in this unit, rounded to 12 digits so that no round trip drifts.

        Reference: NIST Special Publication 811, 2008, appendix B (from memory).
        """
        return float(f"{value / self.factor - self.offset:.12g}")

    def array_from_si(self, values: Array) -> Array:
        """Return an array [SI] in this unit, of the same shape.

        Reference: NIST Special Publication 811, 2008, appendix B (from memory).
        """
        return values / self.factor - self.offset


_PI = 3.141592653589793

UNITS = {
    unit.key: unit
    for unit in (
        Unit("number", "", "", 1.0),
        Unit("share", "percent", "%", 0.01),
        Unit("length", "mm", "mm", 1e-3),
        Unit("small length", "um", "µm", 1e-6),
        Unit("mass", "g", "g", 1e-3),
        Unit("large mass", "kg", "kg", 1.0),
        Unit("static moment", "kg_mm", "kg·mm", 1e-3),
        Unit("small static moment", "g_mm", "g·mm", 1e-6),
        Unit("moment of inertia", "kg_mm2", "kg·mm²", 1e-6),
        Unit("angle", "deg", "°", _PI / 180),
        Unit("rotational speed", "rpm", "rpm", _PI / 30),
        Unit("gas pressure", "bar", "bar", 1e5),
        Unit("stress", "MPa", "MPa", 1e6),
        Unit("modulus", "GPa", "GPa", 1e9),
        Unit("density", "kg_m3", "kg/m³", 1.0),
        Unit("hardness", "HV", "HV", 1.0),
        Unit("load per width", "N_mm", "N/mm", 1e3),
        Unit("stiffness", "kN_um", "kN/µm", 1e9),
        Unit("torsional stiffness", "kNm_rad", "kN·m/rad", 1e3),
        Unit("torsional damping", "Nms_rad", "N·m·s/rad", 1.0),
        Unit("force", "kN", "kN", 1e3),
        Unit("small force", "N", "N", 1.0),
        Unit("torque", "Nm", "N·m", 1.0),
        Unit("speed", "m_s", "m/s", 1.0),
        Unit("acceleration", "m_s2", "m/s²", 1.0),
        Unit("large acceleration", "km_s2", "km/s²", 1e3),
        Unit("angular velocity", "rad_s", "rad/s", 1.0),
        Unit("angular acceleration", "rad_s2", "rad/s²", 1.0),
        Unit("power", "kW", "kW", 1e3),
        Unit("work", "J", "J", 1.0),
        Unit("viscosity", "mPa_s", "mPa·s", 1e-3),
        Unit("kinematic viscosity", "mm2_s", "mm²/s", 1e-6),
        Unit("flow", "l_min", "l/min", 1e-3 / 60),
        Unit("power loss", "W", "W", 1.0),
        Unit("heat flux", "kW_m2", "kW/m²", 1e3),
        Unit("temperature", "degC", "°C", 1.0, 273.15),
    )
}

SI_SYMBOLS = {  # of a quantity by its key in UNITS
    "mm": "m", "um": "m", "g": "kg", "kg": "kg", "kg_mm": "kg·m", "g_mm": "kg·m",
    "kg_mm2": "kg·m²", "bar": "Pa", "MPa": "Pa", "GPa": "Pa", "N_mm": "N/m", "kN_um": "N/m",
    "kNm_rad": "N·m/rad", "Nms_rad": "N·m·s/rad", "kN": "N", "N": "N", "Nm": "N·m",
    "m_s": "m/s", "m_s2": "m/s²",
    "km_s2": "m/s²", "kW": "W", "W": "W", "kW_m2": "W/m²", "J": "J", "mPa_s": "Pa·s",
    "mm2_s": "m²/s",
    "l_min": "m³/s", "degC": "K",
}  # fmt: skip
_INCH, _POUND = 0.0254, 0.45359237
_FOOT, _OUNCE = 12 * _INCH, _POUND / 16
_POUND_FORCE = _POUND * 9.80665
_PSI = _POUND_FORCE / _INCH**2

_US_UNITS = {
    "mm": Unit("length", "in", "in", _INCH),
    "um": Unit("small length", "uin", "µin", 1e-6 * _INCH),
    "g": Unit("mass", "oz", "oz", _OUNCE),
    "kg": Unit("large mass", "lb", "lb", _POUND),
    "kg_mm": Unit("static moment", "oz_in", "oz·in", _OUNCE * _INCH),
    "g_mm": Unit("small static moment", "oz_in", "oz·in", _OUNCE * _INCH),
    "kg_mm2": Unit("moment of inertia", "lb_in2", "lb·in²", _POUND * _INCH**2),
    "bar": Unit("gas pressure", "psi", "psi", _PSI),
    "MPa": Unit("stress", "ksi", "ksi", 1e3 * _PSI),
    "GPa": Unit("modulus", "Mpsi", "Mpsi", 1e6 * _PSI),
    "kg_m3": Unit("density", "lb_in3", "lb/in³", _POUND / _INCH**3),
    "N_mm": Unit("load per width", "lbf_in", "lbf/in", _POUND_FORCE / _INCH),
    "kN_um": Unit("stiffness", "klbf_mil", "klbf/mil", 1e6 * _POUND_FORCE / _INCH),
    "kNm_rad": Unit("torsional stiffness", "lbfft_rad", "lbf·ft/rad", _POUND_FORCE * _FOOT),
    "Nms_rad": Unit("torsional damping", "lbffts_rad", "lbf·ft·s/rad", _POUND_FORCE * _FOOT),
    "kN": Unit("force", "lbf", "lbf", _POUND_FORCE),
    "N": Unit("small force", "lbf", "lbf", _POUND_FORCE),
    "Nm": Unit("torque", "lbfft", "lbf·ft", _POUND_FORCE * _FOOT),
    "m_s": Unit("speed", "ft_min", "ft/min", _FOOT / 60),
    "m_s2": Unit("acceleration", "ft_s2", "ft/s²", _FOOT),
    "km_s2": Unit("large acceleration", "kft_s2", "kft/s²", 1e3 * _FOOT),
    "kW": Unit("power", "hp", "hp", 550 * _POUND_FORCE * _FOOT),
    "J": Unit("work", "ftlbf", "ft·lbf", _POUND_FORCE * _FOOT),
    "mPa_s": Unit("viscosity", "ureyn", "µreyn", 1e-6 * _PSI),
    "mm2_s": Unit("kinematic viscosity", "cSt", "cSt", 1e-6),
    "l_min": Unit("flow", "gpm", "gpm", 231 * _INCH**3 / 60),
    "W": Unit("power loss", "hp", "hp", 550 * _POUND_FORCE * _FOOT),
    "kW_m2": Unit("heat flux", "Btu_hft2", "Btu/(h·ft²)", 1055.05585262 / 3600 / _FOOT**2),
    "degC": Unit("temperature", "degF", "°F", 5 / 9, 459.67),
}
SYSTEMS = {"si": UNITS, "us": UNITS | _US_UNITS}
_system: ContextVar[str] = ContextVar("system of units", default="si")


@contextmanager
def using_units(system: str) -> Iterator[None]:
    """Let all that is shown within be in a system of units, a key of `SYSTEMS`."""
    token = _system.set(system if system in SYSTEMS else "si")
    try:
        yield
    finally:
        _system.reset(token)


def shown_system() -> str:
    """Return the system of units that is chosen, a key of `SYSTEMS`."""
    return _system.get()


def in_words(value: float, key: str, digits: int = 6) -> str:
    """Return a value [SI] with its unit, as shown now, with that many significant digits."""
    unit = shown_unit(key)
    return f"{unit.from_si(value):.{digits}g} {unit.symbol}".rstrip()


def shown_unit(key: str) -> Unit:
    """Return the unit in which a quantity is shown now, by its key in `UNITS`."""
    return SYSTEMS[_system.get()][key]


def shown_units() -> dict[str, dict[str, object]]:
    """Return symbol and SI value of one of every unit that is shown now, by key in `UNITS`."""
    units = SYSTEMS[_system.get()]
    return {key: {"symbol": unit.symbol, "si": unit.factor} for key, unit in units.items()}


def key_of(symbol: str) -> str | None:
    """Return the key of the unit of `UNITS` with a symbol, None if there is none."""
    return next((key for key, unit in UNITS.items() if unit.symbol == symbol), None)


def as_shown(value: float, key: str) -> float:
    """Return a value in the unit of `UNITS` as it is shown now."""
    unit, own = shown_unit(key), UNITS[key]
    return value if unit is own else unit.from_si(own.to_si(value))


def from_shown(value: float, key: str) -> float:
    """Return a value that was shown or typed in the unit of `UNITS`."""
    unit, own = shown_unit(key), UNITS[key]
    return value if unit is own else own.from_si(unit.to_si(value))
