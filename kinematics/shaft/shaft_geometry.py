"""What a crankshaft weighs, where, and what it costs in inertia: a sum of named bodies.

Every body is a cylinder, a web less its chamfer and pocket, or a ring sector of one thickness,
with mass ρV, static moment and polar moment about the shaft's axis. An oil drilling is a body of
negative mass; where it crosses a bore it counts a little too much.

Source: elementary mechanics; webs as of `web_parts`.
"""

import cmath
import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from kinematics.array import Array, ComplexArray
from kinematics.design.design import Design
from kinematics.design.shaft_throw import PURPOSE, shaft_density, shaft_throw, web_parts
from kinematics.mechanics.part_shapes import CounterweightShape, OilDrilling, PartGeometry
from kinematics.mechanics.rod_mass import two_mass_rod
from kinematics.mechanics.round_area import round_area
from kinematics.mechanics.web_lightening import WebSolid
from kinematics.mechanics.web_outline import PlaneArea, ring_sector
from kinematics.one_line import one_line, quantity
from kinematics.shaft.part_geometry import part_geometry
from kinematics.torsion.shaft_stiffness import running_gear_inertia

KINDS = (
    "nose", "main journal", "crankpin", "web", "counterweight", "oil drilling", "flange",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Body:
    """A piece of the shaft; `throw` is from 1, 0 for what belongs to none."""

    name: str
    kind: str
    throw: int
    z: float  # of its centre of gravity, from the middle of the shaft to the rear [m]
    length: float  # along the shaft [m]
    mass: float  # [kg]
    moment: complex  # static moment · exp(i angle) [kg·m], the angle from throw 1 with rotation
    inertia: float  # polar, about the shaft's axis [kg·m²]

    def __repr__(self) -> str:
        mass, inertia = quantity(self.mass, "g"), quantity(self.inertia, "kg_mm2")
        return one_line(self, self.name, f"mass {mass}", f"inertia {inertia}")


@dataclass(frozen=True, slots=True)
class Shaft:
    """A crankshaft as its bodies, from the front.

    >>> from kinematics import load_demo, shaft_geometry
    >>> shaft = shaft_geometry(load_demo("hill_climb_six"))
    >>> shaft.of_kind("flange")[0]
    Body(flange, mass 566.3 g, inertia 464.4 kg·mm²)
    """

    bodies: tuple[Body, ...]

    def __repr__(self) -> str:
        mass, inertia = quantity(self.mass, "kg"), quantity(self.inertia, "kg_mm2")
        return one_line(self, f"{len(self.bodies)} bodies", f"mass {mass}", f"inertia {inertia}")

    @property
    def mass(self) -> float:
        """Mass [kg].

        Reference: a sum over the bodies, by definition.
        """
        return sum(body.mass for body in self.bodies)

    @property
    def inertia(self) -> float:
        """Polar inertia about the shaft's axis [kg·m²].

        Reference: a sum over the bodies, by definition.
        """
        return sum(body.inertia for body in self.bodies)

    @property
    def centre(self) -> float:
        """Place of the centre of gravity along the shaft [m], from its middle to the rear.

        Reference: a sum over the bodies, by definition.
        """
        return sum(body.mass * body.z for body in self.bodies) / self.mass

    @property
    def moment(self) -> complex:
        """Static moment of the whole shaft [kg·m], without bob weights.

        Reference: a sum over the bodies, by definition.
        """
        return sum(body.moment for body in self.bodies)

    def of_kind(self, kind: str) -> tuple[Body, ...]:
        """Return the bodies of one of `KINDS`."""
        return tuple(body for body in self.bodies if body.kind == kind)

    def throw_moments(self, throws: int) -> ComplexArray:
        """Return the static moment of each throw with its counterweights [kg·m], (t,).

        Reference: a sum over the bodies, by definition.
        """
        found = np.zeros(throws, complex)
        for body in self.bodies:
            if body.throw:
                found[body.throw - 1] += body.moment
        return found

    def throw_inertias(self, throws: int) -> Array:
        """Return the inertia of each throw with half the mains on both sides [kg·m²], (t,).

        The outer halves of the end mains count with their throws too.

        Reference: a sum over the bodies, by definition.
        """
        found = np.zeros(throws)
        journals = [body.inertia for body in self.of_kind("main journal")]
        for throw in range(throws):
            found[throw] = (journals[throw] + journals[throw + 1]) / 2
        for body in self.bodies:
            if body.throw:
                found[body.throw - 1] += body.inertia
        return found


def shaft_geometry(design: Design, purpose: str = PURPOSE) -> Shaft:
    """Return the shaft of a design; raises DesignError where dimensions are missing.

    Parameters
    ----------
    purpose : what the shaft is needed for, in the words of an error

    Returns
    -------
    Its bodies: masses [kg], moments [kg·m], inertias about the main axis [kg·m²].

    Reference: elementary mechanics.

    >>> from kinematics import load_demo, shaft_geometry
    >>> shaft_geometry(load_demo("hill_climb_six"))
    Shaft(45 bodies, mass 23.12 kg, inertia 33070 kg·mm²)
    """
    throw, density = shaft_throw(design, purpose), shaft_density(design, purpose)
    parts = part_geometry(design)
    bodies = [*_ends(design, parts, density)]
    for i, z in enumerate(parts.main_journal.z):
        bodies.append(
            _cylinder(f"main {i + 1}", "main journal", 0, z, throw.journal_length,
                      (throw.journal_diameter, throw.journal_bore), density)
        )  # fmt: skip
    web = web_parts(design).left
    for t, (z, angle) in enumerate(((shape.z, shape.angle) for shape in parts.throws), 1):
        bodies.append(
            _cylinder(f"crankpin {t}", "crankpin", t, z, throw.pin_length,
                      (throw.pin_diameter, throw.pin_bore), density,
                      offset=throw.crank_radius, angle=angle)
        )  # fmt: skip
        for side in (0, 1):
            number = 2 * t - 1 + side
            inward = (throw.web_thickness / 2 - web.middle) * (-1 if side else 1)
            bodies.append(_web(number, parts.web.z[number - 1] + inward, throw.web_thickness,
                               web * density, angle))  # fmt: skip
    for weight in parts.counterweights:
        bodies.append(_counterweight(weight, parts, density))
    bodies += _drillings(design, parts, density)
    return Shaft(tuple(sorted(bodies, key=lambda body: (body.z, KINDS.index(body.kind)))))


def running_gear(design: Design) -> float:
    """Return the inertia that rods and pistons add to the shaft's, of all cylinders [kg·m²].

    Reference: as of `running_gear_inertia`.
    """
    rod = design.rod
    split = two_mass_rod(
        rod.mass, rod.cg_from_big_end, rod.inertia_about_cg, design.cylinder.rod_length
    )
    reciprocating = design.piston.assembly_mass + split.reciprocating
    gear = running_gear_inertia(split.rotating, reciprocating, design.cylinder.crank_radius)
    return design.layout.cylinders * gear


def _cylinder(
    name: str, kind: str, throw: int, z: float, length: float, diameters: tuple[float, float],
    density: float, *, offset: float = 0.0, angle: float = 0.0,
) -> Body:  # fmt: skip
    """Return a hollow cylinder: m = ρ(π/4)(D² − d²)l, J = m((D² + d²)/8 + e²)."""
    outer, bore = diameters
    mass = density * round_area(outer, bore) * length
    inertia = mass * ((outer**2 + bore**2) / 8 + offset**2)
    return Body(name, kind, throw, z, length, mass, cmath.rect(mass * offset, angle), inertia)


def _web(number: int, z: float, thickness: float, heavy: WebSolid, angle: float) -> Body:
    """Return a web whose pin stands at an angle; `heavy` is its solid times density."""
    moment = cmath.rect(heavy.first, angle)
    return Body(f"web {number}", "web", (number + 1) // 2, z, thickness, heavy.volume, moment,
                heavy.polar)  # fmt: skip


def _plate(
    name: str, kind: str, throw: int, z: float, thickness: float, area: PlaneArea, density: float,
    angle: float,
) -> Body:  # fmt: skip
    """Return a body of one thickness whose outline counts toward an angle."""
    heavy = density * thickness
    moment = heavy * area.first * cmath.exp(1j * angle)
    return Body(name, kind, throw, z, thickness, heavy * area.area, moment, heavy * area.polar)


def _counterweight(weight: CounterweightShape, parts: PartGeometry, density: float) -> Body:
    sector = ring_sector(weight.inner_radius, weight.outer_radius, weight.half_angle)
    away = parts.throws[weight.throw - 1].angle + weight.angle + math.pi
    return _plate(f"counterweight {weight.web}", "counterweight", weight.throw, weight.z,
                  weight.thickness, sector, density, away)  # fmt: skip


def _drillings(design: Design, parts: PartGeometry, density: float) -> Iterator[Body]:
    bore = design.needed("crank_throw", "the oil drillings").oil_bore
    for drilling in parts.oil_drillings if bore > 0 else ():
        yield _drilling(drilling, bore, parts.throws[drilling.throw - 1].angle, density)


def _drilling(drilling: OilDrilling, bore: float, angle: float, density: float) -> Body:
    """Return a thin straight hole in the throw's plane as a body of negative mass."""
    low, high = drilling.from_height, drilling.to_height
    length = math.hypot(drilling.to_z - drilling.from_z, high - low)
    mass = -density * round_area(bore) * length
    moment = mass * (low + high) / 2 * cmath.exp(1j * angle)
    inertia = mass * (low**2 + low * high + high**2) / 3
    name, z = f"oil drilling {drilling.throw}", (drilling.from_z + drilling.to_z) / 2
    return Body(
        name,
        "oil drilling",
        drilling.throw,
        z,
        drilling.to_z - drilling.from_z,
        mass,
        moment,
        inertia,
    )


def _ends(design: Design, parts: PartGeometry, density: float) -> Iterator[Body]:
    for name, end in (("nose", parts.nose), ("flange", parts.flange)):
        yield _cylinder(name, name, 0, end.z + end.length / 2, end.length, (end.diameter, 0.0),
                        density)  # fmt: skip
