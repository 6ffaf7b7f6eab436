"""Sections of a throw's bars and webs that give a frame the stiffness of the solid throw.

A frame of bars and webs counts no stiffness where they meet and none by overlap of journal and
pin. Webs are given what the solid leaves them: of its flexibility under a moment alike along the
throw, journals and pin have their own as round bars, the webs the rest. Where that rest is too
small a share, journals and pin are stiffened too.

Source: flexibilities of bars in series, Timoshenko, Strength of Materials, part I (from memory).
"""

from dataclasses import dataclass, replace

from kinematics.mechanics.shaft_beam import Section, rectangle_section, round_section
from kinematics.throw.throw_solid import POISSON
from kinematics.throw.throw_surface import ThrowStiffness
from kinematics.torsion.shaft_stiffness import CrankThrow

LEAST_WEB_SHARE = 0.03  # of a throw's flexibility, so that no web is all but rigid


@dataclass(frozen=True, slots=True)
class ThrowSections:
    """Sections of a throw: journal's and pin's y points outward, a web's along the shaft."""

    journal: Section
    pin: Section
    web: Section


def bar_sections(throw: CrankThrow) -> ThrowSections:
    """Return round bars and rectangular webs, as drawn.

    Reference: sections of `shaft_beam`.
    """
    return ThrowSections(
        round_section(throw.journal_diameter, throw.journal_bore, poisson=POISSON),
        round_section(throw.pin_diameter, throw.pin_bore, poisson=POISSON),
        rectangle_section(throw.web_thickness, throw.web_width),
    )


def solid_sections(
    throw: CrankThrow, stiffness: ThrowStiffness, shear_modulus: float
) -> ThrowSections:
    """Return sections by which a throw's frame has a stiffness; `shear_modulus` [Pa].

    Reference: flexibilities in series, Timoshenko, Strength of Materials, part I (from memory).
    """
    bars, radius = bar_sections(throw), throw.crank_radius
    elastic = 2 * (1 + POISSON) * shear_modulus
    journal, pin = (end + throw.web_thickness for end in (throw.journal_length, throw.pin_length))
    bending = (journal / bars.journal.second_moment_y + pin / bars.pin.second_moment_y) / elastic
    twist = journal / bars.journal.torsion_constant + pin / bars.pin.torsion_constant
    in_plane, across, torsion = (
        _shared(1 / whole, own)
        for whole, own in (
            (stiffness.in_plane, bending),
            (stiffness.across, bending),
            (stiffness.torsion, twist / shear_modulus),
        )
    )

    def stiffened(bar: Section) -> Section:
        return replace(
            bar,
            second_moment_z=bar.second_moment_z * in_plane.bars,
            second_moment_y=bar.second_moment_y * across.bars,
            torsion_constant=bar.torsion_constant * torsion.bars,
        )

    web = replace(
        bars.web,
        second_moment_z=2 * radius / (elastic * in_plane.webs),
        torsion_constant=2 * radius / (shear_modulus * across.webs),
        second_moment_y=2 * radius / (elastic * torsion.webs),
    )
    return ThrowSections(stiffened(bars.journal), stiffened(bars.pin), web)


@dataclass(frozen=True, slots=True)
class _Shared:
    bars: float  # how many times stiffer than round bars
    webs: float  # flexibility [rad/(N·m)] of both


def _shared(whole: float, bars: float) -> _Shared:
    """Share a throw's flexibility between its bars, that have one as drawn, and its webs."""
    webs = max(whole - bars, LEAST_WEB_SHARE * whole)
    return _Shared(bars / (whole - webs), webs)
