"""Stress concentration of a solid-forged crank throw at both fillets and at the oil bore.

Each factor is a constant times fitted functions of ratios to the crankpin's diameter. They were
fitted to measurements on larger shafts, those of ships' engines: for a car's crankshaft they are
indicative only. Rolled and undercut fillets and semi-built shafts lie outside them.

Source: IACS Unified Requirement M53, Calculations for I.C. Engine Crankshafts, as adopted in
Korean Register, Rules for the Classification of Steel Ships, 2025, Part 5, Annex 5-3 (read in a
public reprint). The symbols in brackets are those of M53.
"""

import math
from dataclasses import dataclass, fields

from kinematics.errors import DesignError
from kinematics.one_line import one_line

Parts = tuple[tuple[str, float], ...]

LEAST_OVERLAP = -0.5  # a smaller overlap ratio counts as this in f(s, w) and f(r, s)
VALIDITY = {
    "web thickness": (0.2, 0.8),
    "web width": (1.1, 2.2),
    "crankpin fillet": (0.03, 0.13),
    "journal fillet": (0.03, 0.13),
    "crankpin's inner bore": (0.0, 0.8),
    "journal's inner bore": (0.0, 0.8),
    "oil bore": (0.0, 0.2),
}
MOST_OVERLAP = 0.5


@dataclass(frozen=True, slots=True)
class ThrowSection:
    """Dimensions of one crank throw [m]; bores and recesses may be 0.

    Raises
    ------
    DesignError
        For a dimension that is not finite or not positive, or a bore as wide as its shaft.
    """

    pin_diameter: float  # (D)
    journal_diameter: float  # (D_G)
    crank_radius: float  # (E)
    web_thickness: float  # (W), along the shaft
    web_width: float  # (B)
    pin_fillet: float  # (R_H), radius
    journal_fillet: float  # (R_G), radius
    oil_bore: float = 0.0  # (D_O), diameter where the drilling leaves the crankpin
    pin_bore: float = 0.0  # (D_BH), diameter of a hollow crankpin's bore
    journal_bore: float = 0.0  # (D_BG), diameter of a hollow journal's bore
    pin_recess: float = 0.0  # (T_H), depth of the fillet's recess into the web
    journal_recess: float = 0.0  # (T_G)

    __repr__ = one_line

    def __post_init__(self) -> None:
        for field in fields(self):
            value = getattr(self, field.name)
            optional = field.name.endswith(("_bore", "_recess"))
            if not math.isfinite(value) or value < 0 or (value == 0 and not optional):
                rule = "must not be negative" if optional else "must be above 0 m"
                raise DesignError(field.name, f"{rule} (got {value:g} m)")
        for part in ("pin", "journal"):
            bore, diameter = getattr(self, f"{part}_bore"), getattr(self, f"{part}_diameter")
            if bore >= diameter:
                raise DesignError(
                    f"{part}_bore", f"must be less than {diameter:g} m (got {bore:g} m)"
                )

    @property
    def overlap(self) -> float:
        """Overlap of crankpin and journal (S) [m], negative where they pass each other.

        Reference: IACS Unified Requirement M53 (read in a public reprint).
        """
        return (self.pin_diameter + self.journal_diameter) / 2 - self.crank_radius

    @property
    def ratios(self) -> dict[str, float]:
        """Ratios to the crankpin's diameter whose range `VALIDITY` gives, in its words.

        Reference: IACS Unified Requirement M53 (read in a public reprint).
        """
        return {
            "web thickness": self.web_thickness / self.pin_diameter,
            "web width": self.web_width / self.pin_diameter,
            "crankpin fillet": self.pin_fillet / self.pin_diameter,
            "journal fillet": self.journal_fillet / self.pin_diameter,
            "crankpin's inner bore": self.pin_bore / self.pin_diameter,
            "journal's inner bore": self.journal_bore / self.pin_diameter,
            "oil bore": self.oil_bore / self.pin_diameter,
        }


@dataclass(frozen=True, slots=True)
class Factor:
    """A stress concentration factor as a constant times named parts."""

    constant: float
    parts: Parts

    @property
    def value(self) -> float:
        """The factor itself [1].

        Reference: a product of its parts, by definition.
        """
        return self.constant * math.prod(value for _, value in self.parts)


@dataclass(frozen=True, slots=True)
class StressConcentration:
    """The factors of one throw [1], each on the nominal stress named."""

    pin_bending: float  # (α_B), on bending of the web
    pin_torsion: float  # (α_T), on torsion of the crankpin
    journal_bending: float  # (β_B), on bending of the web
    journal_shear: float  # (β_Q), on shear of the web
    journal_torsion: float  # (β_T), on torsion of the journal
    bore_bending: float  # (γ_B), on bending of the crankpin
    bore_torsion: float  # (γ_T), on torsion of the crankpin

    __repr__ = one_line


def stress_concentration(section: ThrowSection) -> StressConcentration:
    """Return all stress concentration factors [1] of a throw, within `outside_validity` or not.

    Reference: IACS Unified Requirement M53 (read in a public reprint).
    """
    return StressConcentration(
        pin_bending=pin_bending_factor(section).value,
        pin_torsion=pin_torsion_factor(section).value,
        journal_bending=journal_bending_factor(section).value,
        journal_shear=journal_shear_factor(section).value,
        journal_torsion=journal_torsion_factor(section).value,
        bore_bending=bore_bending_factor(section),
        bore_torsion=bore_torsion_factor(section),
    )


def outside_validity(section: ThrowSection) -> list[str]:
    """Return in words each ratio to the crankpin's diameter that lies outside the fitted range.

    Reference: IACS Unified Requirement M53 (read in a public reprint).
    """
    found = []
    overlap = section.overlap / section.pin_diameter
    if overlap > MOST_OVERLAP:
        found.append(f"overlap is {overlap:.3g} crankpin diameters, fitted up to {MOST_OVERLAP:g}")
    if overlap < LEAST_OVERLAP:
        found.append(
            f"overlap is {overlap:.3g} crankpin diameters, {LEAST_OVERLAP:g} is put in its place"
        )
    for name, ratio in section.ratios.items():
        least, most = VALIDITY[name]
        if not _between(least, ratio, most):
            found.append(
                f"{name} is {ratio:.3g} crankpin diameters, fitted from {least:g} to {most:g}"
            )
    return found


def pin_bending_factor(section: ThrowSection) -> Factor:
    """Return the factor of the crankpin fillet in bending (α_B), part by part.

    Reference: IACS Unified Requirement M53 (read in a public reprint).
    """
    s, w, b = _overlap_width(section)
    journal_bore = section.journal_bore / section.pin_diameter
    pin_bore = section.pin_bore / section.pin_diameter
    overlap = (
        _polynomial(w, -4.1883, 29.2004, -77.5925, 91.9454, -40.0416)
        + (1 - s) * _polynomial(w, 9.5440, -58.3480, 159.3415, -192.5846, 85.2916)
        + (1 - s) ** 2 * _polynomial(w, -3.8399, 25.0444, -70.5571, 87.0328, -39.1832)
    )
    parts = (
        ("overlap and web thickness", overlap),
        ("web thickness", 2.1790 * w**0.7171),
        ("web width", _polynomial(b, 0.6840, -0.0077, 0.1473)),
        ("fillet", 0.2081 * (section.pin_fillet / section.pin_diameter) ** -0.5231),
        ("journal's bore", _polynomial(journal_bore, 0.9993, 0.27, -1.0211, 0.5306)),
        ("crankpin's bore", _polynomial(pin_bore, 0.9978, 0.3145, -1.5241, 2.4147)),
        ("recess", _recess(section)),
    )
    return Factor(2.6914, parts)


def pin_torsion_factor(section: ThrowSection) -> Factor:
    """Return the factor of the crankpin fillet in torsion (α_T), part by part.

    Reference: IACS Unified Requirement M53 (read in a public reprint).
    """
    return _torsion_factor(section, section.pin_fillet / section.pin_diameter)


def journal_torsion_factor(section: ThrowSection) -> Factor:
    """Return the factor of the journal fillet in torsion (β_T), part by part.

    The same formula as α_T with the fillet's ratio to the journal's own diameter.

    Reference: IACS Unified Requirement M53 (read in a public reprint).
    """
    return _torsion_factor(section, section.journal_fillet / section.journal_diameter)


def _torsion_factor(section: ThrowSection, fillet: float) -> Factor:
    """Return α_T or β_T.

    The coefficient 0.857 of b³ is (from memory); the public reprint reads 0.85, which
    makes the factor 2 to 4 % larger.
    """
    s, w, b = _overlap_width(section)
    parts = (
        ("fillet and overlap", fillet ** (-0.322 + 0.1015 * (1 - s))),
        ("web width", _polynomial(b, 7.8955, -10.654, 5.3482, -0.857)),
        ("web thickness", w**-0.145),
    )
    return Factor(0.8, parts)


def journal_bending_factor(section: ThrowSection) -> Factor:
    """Return the factor of the journal fillet in bending (β_B), part by part.

    The coefficient 1.527 of w² is as read; 1.5276 (from memory) lowers the factor by 1e-4 of it.

    Reference: IACS Unified Requirement M53 (read in a public reprint).
    """
    s, w, b = _overlap_width(section)
    journal_bore = section.journal_bore / section.pin_diameter
    pin_bore = section.pin_bore / section.pin_diameter
    overlap = (
        _polynomial(w, -1.7625, 2.9821, -1.527)
        + (1 - s) * _polynomial(w, 5.1169, -5.8089, 3.1391)
        + (1 - s) ** 2 * _polynomial(w, -2.1567, 2.3297, -1.2952)
    )
    parts = (
        ("overlap and web thickness", overlap),
        ("web thickness", 2.2422 * w**0.7548),
        ("web width", _polynomial(b, 0.5616, 0.1197, 0.1176)),
        ("fillet", 0.1908 * (section.journal_fillet / section.pin_diameter) ** -0.5568),
        ("journal's bore", _polynomial(journal_bore, 1.0012, -0.6441, 1.2265)),
        ("crankpin's bore", _polynomial(pin_bore, 1.0022, -0.1903, 0.0073)),
        ("recess", _recess(section)),
    )
    return Factor(2.7146, parts)


def journal_shear_factor(section: ThrowSection) -> Factor:
    """Return the factor of the journal fillet in shear (β_Q), part by part.

    Reference: IACS Unified Requirement M53 (read in a public reprint).
    """
    _, w, b = _overlap_width(section)
    apart = 1 - section.overlap / section.pin_diameter
    pin_bore = section.pin_bore / section.pin_diameter
    parts = (
        ("overlap", _polynomial(apart, 0.4368, 2.1630, -1.5212)),
        ("web thickness", w / (0.0637 + 0.9369 * w)),
        ("web width", b - 0.5),
        ("fillet", 0.5331 * (section.journal_fillet / section.pin_diameter) ** -0.2038),
        ("crankpin's bore", _polynomial(pin_bore, 0.9937, -1.1949, 1.7373)),
        ("recess", _recess(section)),
    )
    return Factor(3.0128, parts)


def bore_bending_factor(section: ThrowSection) -> float:
    """Return the factor of the crankpin's oil bore in bending (γ_B) [1].

    Reference: IACS Unified Requirement M53 (read in a public reprint).
    """
    return _polynomial(section.oil_bore / section.pin_diameter, 3.0, -5.88, 34.6)


def bore_torsion_factor(section: ThrowSection) -> float:
    """Return the factor of the crankpin's oil bore in torsion (γ_T) [1].

    Reference: IACS Unified Requirement M53 (read in a public reprint).
    """
    return _polynomial(section.oil_bore / section.pin_diameter, 4.0, -6.0, 30.0)


def _overlap_width(section: ThrowSection) -> tuple[float, float, float]:
    """Return the ratios s (not below its least), w and b."""
    d = section.pin_diameter
    s = max(section.overlap / d, LEAST_OVERLAP)
    return s, section.web_thickness / d, section.web_width / d


def _recess(section: ThrowSection) -> float:
    """Return f(recess), not below 1."""
    depth = (section.pin_recess + section.journal_recess) / section.pin_diameter
    return max(1.0, 1 + depth * (1.8 + 3.2 * section.overlap / section.pin_diameter))


def _polynomial(x: float, *coefficients: float) -> float:
    """Return the polynomial with these coefficients, that of x⁰ first."""
    value = 0.0
    for coefficient in reversed(coefficients):
        value = value * x + coefficient
    return value


def _between(least: float, ratio: float, most: float) -> bool:
    """Tell whether a ratio lies in its range, ends included up to rounding."""
    slack = 1e-9
    return least - slack <= ratio <= most + slack
