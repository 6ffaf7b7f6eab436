"""Units at the three doors (design file, screen, export); inside everything is SI."""

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
        """Return the SI value of a shown value."""
        return (shown + self.offset) * self.factor

    def from_si(self, value: float) -> float:
        """Return a value [SI] in this unit, rounded to 12 digits so that no round trip drifts."""
        return float(f"{value / self.factor - self.offset:.12g}")

    def array_from_si(self, values: Array) -> Array:
        """Return an array [SI] in this unit, of the same shape."""
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
        Unit("static moment", "kg_mm", "kg·mm", 1e-3),
        Unit("moment of inertia", "kg_mm2", "kg·mm²", 1e-6),
        Unit("angle", "deg", "°", _PI / 180),
        Unit("rotational speed", "rpm", "rpm", _PI / 30),
        Unit("gas pressure", "bar", "bar", 1e5),
        Unit("stress", "MPa", "MPa", 1e6),
        Unit("modulus", "GPa", "GPa", 1e9),
        Unit("density", "kg_m3", "kg/m³", 1.0),
        Unit("hardness", "HV", "HV", 1.0),
        Unit("load per width", "N_mm", "N/mm", 1e3),
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
        Unit("temperature", "degC", "°C", 1.0, 273.15),
    )
}
