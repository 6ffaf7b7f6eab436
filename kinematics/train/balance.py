"""Free forces and moments about the middle of the crank, in time and by order.

They act on the block. Pitching = Σ z Fy, yawing = Σ z Fx with z from the middle of the crank to
the rear; rolling is the reaction to torque and to the rods' angular momentum, positive in the
sense of rotation, gas and piston mass acting in the middle of the bore. With a pin offset it holds
the couple that the piston puts on its bore, offset times gas and piston inertia force.

Source: Den Hartog, Mechanical Vibrations, chapter 5; the sums over phasors as in Bevan, The
Theory of Machines, chapter 14 (both from memory).
"""

import numpy as np

from kinematics.array import Array, ComplexArray
from kinematics.design.design import Design
from kinematics.mechanics.firing_order import upright_angles
from kinematics.mechanics.gas_and_inertia_loads import CylinderLoads, GasAndInertia, MovingMasses
from kinematics.mechanics.slider_crank import SliderCrank, acceleration_harmonics
from kinematics.one_line import frozen_record, one_line, quantity
from kinematics.train.bearing_loads import Turn, rotating_parts

HIGHEST_ORDER = 8


@frozen_record
class FreeLoads:
    """Free force (2, n) [N] and moment (3, n) [N·m] as gas + speed² · inertia."""

    force: GasAndInertia
    moment: GasAndInertia


@frozen_record
class Balance:
    """Free forces and moments at one speed, in time and by order.

    `free_force` (2, n) [N] is (x, y); `free_moment` (3, n) [N·m] is (pitching, yawing, rolling);
    `orders` (k,) counts per turn, from 0.5 (four-stroke) or 1 to 8; the amplitudes are c of
    Re(c exp(i order φ)), of shape (2, k) [N] and (3, k) [N·m].
    """

    free_force: Array
    free_moment: Array
    orders: Array
    force_orders: ComplexArray
    moment_orders: ComplexArray

    def __repr__(self) -> str:
        return one_line(
            self,
            f"free_force {self.free_force.shape} {quantity(self.free_force, 'N')}",
            f"free_moment {self.free_moment.shape} {quantity(self.free_moment, 'Nm')}",
            f"orders {self.orders[0]:g} to {self.orders[-1]:g}",
        )


@frozen_record
class Ellipse:
    """A vector (x, y) of one order as two counter-rotating phasors, sizes of any shape."""

    forward: Array  # turning with the crank
    backward: Array  # turning against it

    @property
    def largest(self) -> Array:
        """Long half axis.

        Reference: sum and difference of two counter-turning phasors, by definition.
        """
        return self.forward + self.backward

    @property
    def smallest(self) -> Array:
        """Short half axis.

        Reference: sum and difference of two counter-turning phasors, by definition.
        """
        return np.abs(self.forward - self.backward)


def throw_positions(design: Design) -> Array:
    """Return each throw's axial place (throws,) [m] from the middle of the crank to the rear."""
    throws = design.layout.throws
    return (np.arange(throws) - (throws - 1) / 2) * design.layout.throw_spacing


def web_positions(design: Design) -> Array:
    """Return each web's axial place (2 · throws,) [m] from the middle of the crank to the rear."""
    sides = np.array([-1.0, 1.0]) * design.crank.web_offset
    return (throw_positions(design)[:, None] + sides).ravel()


def cylinder_positions(design: Design) -> Array:
    """Return each cylinder's axial place (c,) [m]: that of its throw."""
    return throw_positions(design)[np.array(design.layout.throw_of_cylinder) - 1]


def rotating_phasors(design: Design) -> tuple[ComplexArray, Array]:
    """Return unbalances of throws and counterweights as size·exp(i angle) [kg·m], and z [m].

    Angles count from throw 1 in the sense of rotation; both arrays are (parts,).

    Reference: follows from statics of a rigid rotor.
    """
    parts = rotating_parts(design)
    return parts.unbalance, throw_positions(design)[parts.throw] + parts.offset


def free_loads(design: Design, turn: Turn, inertia_block: Array, loads: CylinderLoads) -> FreeLoads:
    """Return free forces and moments from the inertia of every part.

    Parameters
    ----------
    turn : of the crank, (n,)
    inertia_block : [N] (c, 2, n), each cylinder's piston and rod at 1 rad/s, block's frame
    loads : for the torque that the block reacts

    Reference: Den Hartog, Mechanical Vibrations, chapter 5 (from memory).
    """
    amount, z = rotating_phasors(design)
    force = inertia_block.sum(axis=0) + _whirling(amount.sum(), turn)
    tilt = np.tensordot(cylinder_positions(design), inertia_block, axes=1)
    tilt += _whirling((z * amount).sum(), turn)
    roll = -(loads.cylinder_torque.inertia + loads.rod_spin_torque).sum(axis=0)

    def rolling(torque: Array) -> Array:
        summed = torque.sum(axis=-2)
        nothing = np.zeros_like(summed)
        return np.stack((nothing, nothing, -summed), axis=-2)

    return FreeLoads(
        force=GasAndInertia.steady(np.zeros_like(force), force),
        moment=GasAndInertia(
            loads.cylinder_torque.gas.mapped(rolling), np.stack((tilt[1], tilt[0], roll))
        ),
    )


def _whirling(phasor: complex, turn: Turn) -> Array:
    """Return a vector (x, y), (2, n), that turns with the crank; its phase counts from y."""
    size, lead = phasor.real, phasor.imag
    return np.stack((size * turn.sin + lead * turn.cos, size * turn.cos - lead * turn.sin))


def order_amplitudes(signal: Array, turns: int) -> ComplexArray:
    """Return amplitudes c of Re(c exp(i order φ)) of a signal (…, n) over a cycle of `turns`.

    The last axis becomes the orders 1/turns, 2/turns … 8.

    Reference: Fourier series; any book on vibration.
    """
    transform = np.fft.rfft(signal, axis=-1) * (2 / signal.shape[-1])
    return transform[..., 1 : HIGHEST_ORDER * turns + 1]


def balance_at(loads: FreeLoads, speed: float, turns: int) -> Balance:
    """Return free forces and moments at a speed [rad/s], with their orders over `turns` a cycle.

    Reference: as of `free_loads`.
    """
    force, moment = loads.force.at(speed), loads.moment.at(speed)
    return Balance(
        free_force=force,
        free_moment=moment,
        orders=np.arange(1, HIGHEST_ORDER * turns + 1) / turns,
        force_orders=order_amplitudes(force, turns),
        moment_orders=order_amplitudes(moment, turns),
    )


@frozen_record
class InertiaPhasors:
    """Free inertia force and moment at 1 rad/s by whole orders 1 … 8, from sums over phasors.

    `force` is (x, y), `moment` (pitching, yawing), each (2, 8).
    """

    force: ComplexArray
    moment: ComplexArray


def inertia_phasors(
    design: Design, train: SliderCrank, masses: MovingMasses, *, rotating: bool = True
) -> InertiaPhasors:
    """Return free inertia forces by order without any time signal, for any layout.

    Each cylinder's reciprocating mass gives an order k along its own axis with the phase k times
    its dead centre; what rotates gives order 1. `rotating` off leaves the latter out.

    References
    ----------
    Bevan, The Theory of Machines, chapter 14 (from memory).
    """
    upright = np.array(upright_angles(design.layout))
    bank = np.array(design.layout.bank_angle) - design.layout.bank_angle[0]
    order = np.arange(1, HIGHEST_ORDER + 1)
    small_end = masses.rod * masses.rod_cg_from_big_end / train.rod_length
    unit_force = (masses.piston + small_end) * train.crank_radius
    single = unit_force * acceleration_harmonics(train, HIGHEST_ORDER)[1:]
    cylinder = single * np.exp(-1j * order * upright[:, None])
    z = cylinder_positions(design)
    force = np.stack((np.sin(bank) @ cylinder, np.cos(bank) @ cylinder))
    moment = np.stack(((np.cos(bank) * z) @ cylinder, (np.sin(bank) * z) @ cylinder))
    if rotating:
        amount, places = rotating_phasors(design)
        pins = (masses.rod - small_end) * train.crank_radius * np.exp(1j * (bank - upright))
        whirl = amount.sum() + pins.sum()
        rock = (amount * places).sum() + (pins * z).sum()
        force[:, 0] += (-1j * whirl, whirl)
        moment[:, 0] += (rock, -1j * rock)
    return InertiaPhasors(force, moment)


def ellipse(x: ComplexArray, y: ComplexArray) -> Ellipse:
    """Return the ellipse that a vector (x, y) of one order draws, as two rotating phasors.

    Forward is the sense of rotation, from y to x.

    References
    ----------
    Den Hartog, Mechanical Vibrations, section 1.3 (from memory).
    """
    return Ellipse(np.abs(y + 1j * x) / 2, np.abs(y - 1j * x) / 2)
