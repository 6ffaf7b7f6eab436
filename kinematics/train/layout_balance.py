"""The usual layouts with six throws or fewer beside one another: what each leaves on its mounts.

Each is made of a design's own pistons, rods, crank radius and throw spacing, so that layouts
differ in nothing else. Every order is an ellipse, a phasor that turns with the crank and one that
turns against it: counterweights (bob weights on the balancing machine) take the first away, only
a shaft that turns the other way takes the second.

Source: Den Hartog, Mechanical Vibrations, chapter 5; Bosch Automotive Handbook, free forces and
moments of the usual layouts (both from memory).
"""

import dataclasses
import math
from dataclasses import dataclass

from kinematics.design.design import Design, Layout
from kinematics.mechanics.firing_order import order_of_dead_centres
from kinematics.mechanics.gas_and_inertia_loads import MovingMasses
from kinematics.mechanics.rod_mass import two_mass_rod
from kinematics.one_line import one_line, quantity
from kinematics.train.balance import InertiaPhasors, ellipse, inertia_phasors
from kinematics.train.cylinder_pressure import slider_crank

ORDERS = (1, 2)
NEGLIGIBLE_FORCE = 1e-9  # of one cylinder's force: as good as none


@dataclass(frozen=True, slots=True)
class NamedLayout:
    """A layout by name; angles in degrees, banks from cylinder 1's, pins from 1."""

    name: str
    throws: tuple[float, ...]
    banks: tuple[float, ...] = (0.0,)  # on every throw, or of each cylinder where `apart`
    apart: bool = False  # a throw for every cylinder though there are banks

    def layout(self, like: Layout) -> Layout:
        """Return it as a design's layout, with the spacing and rated speed of another."""
        throws, banks = len(self.throws), len(self.banks)
        pins = [throw for throw in range(1, throws + 1) for _ in range(1 if self.apart else banks)]
        leans = tuple(map(math.radians, self.banks if self.apart else self.banks * throws))
        angles = tuple(map(math.radians, self.throws))
        return dataclasses.replace(
            like,
            strokes_per_cycle=4,
            throw_angles=angles,
            throw_of_cylinder=tuple(pins),
            bank_angle=leans,
            firing_order=order_of_dead_centres(angles, pins, leans),
        )


LAYOUTS = (
    NamedLayout("In-line three", (0, 240, 120)),
    NamedLayout("In-line four", (0, 180, 180, 0)),
    NamedLayout("In-line five", (0, 216, 144, 72, 288)),
    NamedLayout("In-line six", (0, 240, 120, 120, 240, 0)),
    NamedLayout("V6, 90°, three throws", (0, 120, 240), (0, 90)),
    NamedLayout("V8, 90°, cross-plane", (0, 90, 270, 180), (0, 90)),
    NamedLayout("V8, 90°, flat-plane", (0, 180, 180, 0), (0, 90)),
    NamedLayout("V12, 60°", (0, 240, 120, 120, 240, 0), (0, 60)),
    NamedLayout("Flat four", (0, 180, 180, 0), (0, 180, 0, 180), apart=True),
    NamedLayout("Flat six", (0, 180, 240, 60, 120, 300), (0, 180) * 3, apart=True),
)


@dataclass(frozen=True, slots=True)
class Left:
    """What an order leaves: sizes of the phasors that turn with the crank and against it."""

    forward: float
    backward: float

    @property
    def largest(self) -> float:
        """Long half axis of the ellipse."""
        return self.forward + self.backward


@dataclass(frozen=True, slots=True)
class LayoutBalance:
    """A layout's free forces [N] and moments [N·m] of the orders 1 and 2, rotating masses apart.

    `couple` [N·m] is that of the bare throws and big ends, which counterweights must hold inside.
    """

    name: str
    cylinders: int
    throws: int
    force: tuple[Left, Left]
    moment: tuple[Left, Left]
    couple: float
    force_unit: float  # of one cylinder's reciprocating mass, m r ω²
    moment_unit: float  # the same over a throw's spacing

    def __repr__(self) -> str:
        force, moment = (max(left.largest for left in both) for both in (self.force, self.moment))
        return one_line(
            self,
            repr(self.name),
            f"largest force {quantity(force, 'N')}",
            f"moment {quantity(moment, 'Nm')}",
            f"couple {quantity(self.couple, 'Nm')}",
        )


def layout_balances(design: Design, speed: float) -> tuple[LayoutBalance, ...]:
    """Return every layout with a design's own parts at a speed [rad/s], and the design's own.

    Parameters
    ----------
    speed : [rad/s]

    Returns
    -------
    The design's own layout first; forces [N] and moments [N·m] of the orders 1 and 2.

    Reference: Bosch Automotive Handbook, free forces and moments of the usual layouts (from
    memory).

    >>> from kinematics import layout_balances, load_demo
    >>> design = load_demo("hill_climb_six")
    >>> layout_balances(design, design.layout.rated_speed)[1]
    LayoutBalance('In-line three', largest force 0 N, moment 2409 N·m, couple 5874 N·m)
    """
    own = _balance(design.layout, "This design", design, speed)
    return (
        own,
        *(_balance(layout.layout(design.layout), layout.name, design, speed) for layout in LAYOUTS),
    )


def _balance(layout: Layout, name: str, design: Design, speed: float) -> LayoutBalance:
    made = dataclasses.replace(design, layout=layout, counterweights=())
    crank, rod = slider_crank(made.cylinder), made.rod
    masses = MovingMasses(
        made.piston.assembly_mass, rod.mass, rod.cg_from_big_end, rod.inertia_about_cg
    )
    split = two_mass_rod(
        rod.mass, rod.cg_from_big_end, rod.inertia_about_cg, made.cylinder.rod_length
    )
    unit = (masses.piston + split.reciprocating) * crank.crank_radius
    pistons = inertia_phasors(made, crank, masses, rotating=False)
    everything = inertia_phasors(made, crank, masses)
    couple = everything.moment[:, 0] - pistons.moment[:, 0]
    spacing = layout.throw_spacing
    return LayoutBalance(
        name,
        layout.cylinders,
        layout.throws,
        force=_left(pistons, "force", speed, unit),
        moment=_left(pistons, "moment", speed, unit * spacing),
        couple=_size(float(abs(couple[0])) * speed**2, unit * spacing * speed**2),
        force_unit=unit * speed**2,
        moment_unit=unit * spacing * speed**2,
    )


def _left(phasors: InertiaPhasors, what: str, speed: float, unit: float) -> tuple[Left, Left]:
    first, second = getattr(phasors, what)
    x, y = (second, first) if what == "moment" else (first, second)
    drawn, scale = ellipse(x, y), speed**2
    sides = (
        Left(*(_size(float(side[k - 1]) * scale, unit * scale)
               for side in (drawn.forward, drawn.backward)))
        for k in ORDERS
    )  # fmt: skip
    first_order, second_order = sides
    return first_order, second_order


def _size(size: float, unit: float) -> float:
    return size if size > NEGLIGIBLE_FORCE * unit else 0.0
