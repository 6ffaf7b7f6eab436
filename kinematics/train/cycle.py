"""A design solved over one cycle: first the rigid train, once a design; then at any speed."""

import math
from dataclasses import replace
from functools import cached_property, lru_cache

import numpy as np

from kinematics.array import Array
from kinematics.design.design import Design
from kinematics.errors import DesignError
from kinematics.mechanics.firing_order import firing_angles
from kinematics.mechanics.gas_and_inertia_loads import (
    BySpeed,
    CylinderLoads,
    GasAndInertia,
    MovingMasses,
    cylinder_loads,
)
from kinematics.mechanics.pressure_trace import compression_warnings, trace_warnings
from kinematics.mechanics.rod_mass import two_mass_rod
from kinematics.mechanics.slider_crank import PistonMotion, Pose, SliderCrank, pose, posed_motion
from kinematics.one_line import frozen_record, one_line, quantity
from kinematics.train.balance import Balance, FreeLoads, balance_at, free_loads
from kinematics.train.bearing_loads import (
    BearingLoads,
    LoadByFrame,
    Turn,
    main_bearing_loads,
    turned,
    turned_load,
)
from kinematics.train.continuous_shaft import ContinuousShaft, continuous_main_loads
from kinematics.train.cylinder_pressure import (
    cylinder_pressure,
    cylinder_volume,
    slider_crank,
    volume_at,
)
from kinematics.train.firing_state import pressure_as_fired
from kinematics.train.gas_check import gas_check, gas_doubts
from kinematics.units import UNITS

POINTS = 720
SPEED_LIMITS_RPM = (1.0, 30000.0)
ROD_MODELS = ("exact", "two_mass")


@frozen_record
class Forces:
    """Forces and torques at one speed, (c, n) but for `crank_torque` (n,)."""

    cylinder_pressure: Array  # [Pa] absolute
    gas_force: Array  # [N]
    inertia_force: Array  # [N], reciprocating: piston and the rod's small-end share
    rod_force: Array  # [N] at the small end
    side_thrust: Array  # [N]
    cylinder_torque: Array  # [N·m]
    crank_torque: Array  # [N·m]

    def __repr__(self) -> str:
        return one_line(
            self,
            f"cylinder_pressure {self.rod_force.shape} {quantity(self.cylinder_pressure, 'bar')}",
            f"rod_force {quantity(self.rod_force, 'kN')}",
            f"side_thrust {quantity(self.side_thrust, 'kN')}",
            f"crank_torque {quantity(self.crank_torque, 'Nm')}",
        )


_GAS = ("layout", "cylinder", "pressure", "full_load", "firing")
# the groups of a design that subjects of a train follow from
_FOLLOWS_FROM = (
    (_GAS[:2], ("crank", "pose", "motion")),
    (_GAS, ("pressure",)),
    (
        (*_GAS, "piston", "rod"),
        ("masses", "loads", "big_end_block", "big_end_rod", "big_end_crank", "crank_torque"),
    ),
)


class RigidTrain:
    """What does not depend on speed: motion at 1 rad/s, and every load as gas and inertia.

    Each subject is computed when it is first asked for. `rod_model` "two_mass" leaves out the
    rod's correction couple. Cylinders `misfiring`, from 1, are motored whatever the design's state.
    """

    def __repr__(self) -> str:
        name = self.design.name[:60]
        return f"RigidTrain({name!r}, {self.points} angles, rod model {self.rod_model})"

    def __init__(
        self,
        design: Design,
        *,
        points: int = POINTS,
        rod_model: str = "exact",
        misfiring: tuple[int, ...] = (),
    ) -> None:
        if rod_model not in ROD_MODELS:
            raise DesignError("", f"must be one of {', '.join(ROD_MODELS)} (got {rod_model!r})")
        self.design = design
        self.rod_model = rod_model
        self.misfiring = misfiring
        self.points = points
        step = design.layout.cycle_angle / points
        self.crank_angle: Array = np.arange(points) * step
        bank = (np.array(design.layout.bank_angle) - design.layout.bank_angle[0])[:, None]
        self._to_block = Turn(np.sin(bank), np.cos(bank)).back
        self._to_throw_1 = Turn(np.sin(self.crank_angle), np.cos(self.crank_angle))
        self.own_angle: Array = self.crank_angle - np.array(firing_angles(design.layout))[:, None]

    def changed(self, design: Design) -> "RigidTrain":
        """Return the train of another design; what follows from groups both share is kept."""
        new = RigidTrain(
            design, points=self.points, rod_model=self.rod_model, misfiring=self.misfiring
        )
        for groups, names in _FOLLOWS_FROM:
            if all(getattr(design, group) is getattr(self.design, group) for group in groups):
                for name in names:
                    new.__dict__[name] = getattr(self, name)
        return new

    @cached_property
    def for_strength(self) -> "RigidTrain":
        """The train on the measured cycle that strength loads take; itself where it is on that."""
        pressure = self.design.pressure.for_strength
        if pressure is self.design.pressure:
            return self
        return self.changed(replace(self.design, pressure=pressure))

    @cached_property
    def crank(self) -> SliderCrank:
        """The slider-crank of every cylinder.

        Reference: plane geometry of the slider-crank, as of `pose`.
        """
        return slider_crank(self.design.cylinder)

    @cached_property
    def masses(self) -> MovingMasses:
        """Masses of piston and rod, the rod's inertia as the rod model has it.

        Reference: two-mass split as in Khurmi and Gupta, Theory of Machines, 14th ed., chapter
        15 (public worked solutions).
        """
        piston, rod, length = self.design.piston, self.design.rod, self.design.cylinder.rod_length
        inertia = rod.inertia_about_cg
        if self.rod_model == "two_mass":
            split = two_mass_rod(rod.mass, rod.cg_from_big_end, inertia, length)
            inertia -= split.correction_inertia
        return MovingMasses(piston.assembly_mass, rod.mass, rod.cg_from_big_end, inertia)

    @cached_property
    def pose(self) -> Pose:
        """Where crank and rod of each cylinder stand, (c, n).

        Reference: plane geometry of the slider-crank, as of `pose`.
        """
        return pose(self.crank, self.own_angle)

    @cached_property
    def motion(self) -> PistonMotion:
        """Motion at 1 rad/s, (c, n).

        Reference: plane geometry of the slider-crank, as of `pose`.
        """
        return posed_motion(self.crank, self.pose)

    @cached_property
    def pressure(self) -> BySpeed:
        """Absolute cylinder pressure [Pa], its courses (c, n).

        Reference: as of `cylinder_pressure`.
        """
        volume = volume_at(self.design.cylinder, self.motion.displacement)
        after_tdc = self.own_angle - self.crank.top_dead_centre
        widening = self.design.cylinder.piston_area * self.motion.velocity
        return pressure_as_fired(self.design, after_tdc, volume, widening, self.misfiring)

    @cached_property
    def assessed_cylinder(self) -> int:
        """Index of the cylinder whose pressure is highest: the first one where all fire alike.

        Criteria of one piston, rod or big end are those of this cylinder.
        """
        if self.design.cylinders_alike:
            return 0
        return int(self.pressure.courses.max(axis=(0, 2)).argmax())

    @cached_property
    def loads(self) -> CylinderLoads:
        """Forces of each cylinder, (c, n).

        Reference: pressure times piston area and the rod's rigid-body kinetics, as of
        `cylinder_loads`.
        """
        cylinder, pressure = self.design.cylinder, self.design.pressure
        gas = self.pressure.mapped(
            lambda course: cylinder.piston_area * (course - pressure.crankcase)
        )
        return cylinder_loads(self.crank, self.masses, self.pose, self.motion, gas)

    @cached_property
    def crank_torque(self) -> GasAndInertia:
        """Torque of all cylinders [N·m], (n,).

        Reference: a sum over the cylinders, by definition.
        """
        return self.loads.cylinder_torque.mapped(lambda torque: torque.sum(axis=-2))

    @cached_property
    def big_end_block(self) -> GasAndInertia:
        """Big-end loads in the block's frame [N], (c, 2, n).

        Reference: a turn of axes, vector geometry.
        """
        return turned_load(self.loads.crankpin_force, self._to_block)

    @cached_property
    def big_end_rod(self) -> GasAndInertia:
        """Big-end loads on the shell, in the rod's frame [N], (c, 2, n).

        Reference: a turn of axes, vector geometry.
        """
        return turned_load(
            self.loads.crankpin_force, Turn(self.pose.sin_rod, self.pose.cos_rod).back
        )

    @cached_property
    def big_end_crank(self) -> GasAndInertia:
        """Big-end loads on the journal, in the throw's frame [N], (c, 2, n).

        Reference: a turn of axes, vector geometry.
        """
        return turned_load(
            self.loads.crankpin_force, Turn(self.pose.sin_crank, self.pose.cos_crank)
        )

    @cached_property
    def determinate_main_block(self) -> GasAndInertia:
        """Main-bearing loads of the determinate shaft [N], (m, 2, n).

        Reference: Maass and Klier (from memory), as of `main_bearing_loads`.
        """
        return main_bearing_loads(self.design, self._to_throw_1, self.big_end_block)

    @cached_property
    def continuous_shaft(self) -> ContinuousShaft:
        """The continuous shaft on its mains; DesignError where its dimensions are missing.

        Reference: as of `continuous_main_loads`.
        """
        return continuous_main_loads(self.design, self.crank_angle, self.big_end_block)

    @cached_property
    def main_block(self) -> GasAndInertia:
        """Main-bearing loads on the shells [N], (m, 2, n), by the rule that the design names.

        Reference: as of `main_bearing_loads` or `continuous_main_loads`.
        """
        if self.design.continuous:
            return self.continuous_shaft.main_block
        return self.determinate_main_block

    @cached_property
    def main_crank(self) -> GasAndInertia:
        """Main-bearing loads on the journals, in throw 1's frame [N], (m, 2, n).

        Reference: a turn of axes, vector geometry.
        """
        return turned_load(self.main_block, self._to_throw_1)

    @cached_property
    def free(self) -> FreeLoads:
        """Free forces and moments.

        Reference: as of `free_loads`.
        """
        on_block = turned(self.loads.inertia_on_block, self._to_block)
        return free_loads(self.design, self._to_throw_1, on_block, self.loads)

    @cached_property
    def swept_volume(self) -> float:
        """Swept volume of one cylinder [m³].

        Reference: area times stroke, by definition.
        """
        return self.design.cylinder.piston_area * self.crank.stroke

    @cached_property
    def warnings(self) -> tuple[str, ...]:
        """What looks odd in this design but still runs, a sentence each."""
        pressure, cycle = self.design.pressure, self.design.layout.cycle_angle
        if pressure.source != "trace" or pressure.trace is None:
            return self._gas_doubts
        ignored = ("The full-load curve is ignored: the pressure is a trace.",)
        after = np.radians(np.arange(-100.0, -39.0))
        volume = cylinder_volume(self.design.cylinder, after)
        compression = compression_warnings(
            pressure.trace, volume, cylinder_pressure(self.design, after, volume)
        )
        doubts = trace_warnings(pressure.trace, cycle) + compression
        return doubts + ignored if self.design.full_load else doubts

    @property
    def _gas_doubts(self) -> tuple[str, ...]:
        """What is not usual about the gas at rated speed, where the design is at full load."""
        check = gas_check(Cycle(self, self.design.layout.rated_speed))
        if check is None or self.design.pressure.load < 1:
            return ()
        return gas_doubts(check, "rated speed")


class Cycle:
    """A design at one speed; each subject is computed when it is first asked for and kept.

    >>> from kinematics import load_demo, solve_cycle
    >>> cycle = solve_cycle(load_demo("hill_climb_six"), 8500)
    >>> cycle
    Cycle('Hill-climb six' at 8500 rpm, 720 angles)
    >>> cycle.bearings.mains["block"].shape
    (7, 2, 720)
    >>> print(f"{cycle.mean_torque:.1f} N·m, {cycle.indicated_power / 1e3:.1f} kW")
    315.6 N·m, 280.9 kW
    """

    def __repr__(self) -> str:
        speed = quantity(self.speed, "rpm", 6)
        return f"Cycle({self.design.name[:60]!r} at {speed}, {len(self.crank_angle)} angles)"

    def __init__(self, train: RigidTrain, speed: float, design: Design | None = None) -> None:
        self.train = train
        self.design = design or train.design  # equal, but for origins and the like
        self.speed = speed  # [rad/s]
        self.crank_angle = train.crank_angle  # [rad] (n,)

    @cached_property
    def motion(self) -> PistonMotion:
        """Motion of pistons and rods, (c, n).

        Reference: follows from gas + speed² · inertia.
        """
        return self.train.motion.at(self.speed)

    @cached_property
    def forces(self) -> Forces:
        """Forces and torques.

        Reference: follows from gas + speed² · inertia.
        """
        loads, speed = self.train.loads, self.speed
        return Forces(
            cylinder_pressure=self.train.pressure.at(speed),
            gas_force=loads.gas_force.at(speed),
            inertia_force=speed**2 * loads.reciprocating_inertia,
            rod_force=loads.rod_force.at(speed),
            side_thrust=loads.side_thrust.at(speed),
            cylinder_torque=loads.cylinder_torque.at(speed),
            crank_torque=self.train.crank_torque.at(speed),
        )

    @cached_property
    def bearings(self) -> BearingLoads:
        """Loads on big ends and mains.

        Reference: follows from gas + speed² · inertia.
        """
        train, speed = self.train, self.speed
        return BearingLoads(
            big_ends=LoadByFrame(
                {
                    "block": lambda: train.big_end_block.at(speed),
                    "rod": lambda: train.big_end_rod.at(speed),
                    "crank": lambda: train.big_end_crank.at(speed),
                }
            ),
            mains=LoadByFrame(
                {
                    "block": lambda: train.main_block.at(speed),
                    "crank": lambda: train.main_crank.at(speed),
                }
            ),
        )

    @cached_property
    def balance(self) -> Balance:
        """Free forces and moments with their orders.

        Reference: follows from gas + speed² · inertia.
        """
        turns = self.design.layout.strokes_per_cycle // 2
        return balance_at(self.train.free, self.speed, turns)

    @cached_property
    def cylinder_work(self) -> Array:
        """Work of the gas on each piston over a cycle [J], (c,).

        The sum over the grid of (p - crankcase) dV/dφ, which for a periodic signal is the
        trapezium rule; the crankcase pressure itself does no net work.

        Reference: work of the gas, ∮ p dV, by definition.
        """
        step = self.design.layout.cycle_angle / self.train.points
        velocity = self.train.motion.velocity
        work: Array = (self.forces.gas_force * velocity).sum(axis=-1) * step
        return work

    @property
    def indicated_work(self) -> float:
        """Work of the gas on one piston over a cycle [J]; where they differ, their mean.

        Reference: work of the gas, ∮ p dV, by definition.
        """
        work = self.cylinder_work
        return float(work[0] if self.design.cylinders_alike else work.mean())

    @property
    def indicated_mean_pressure(self) -> float:
        """Indicated work over swept volume [Pa], net of gas exchange.

        Reference: work over swept volume, by definition.
        """
        return self.indicated_work / self.train.swept_volume

    @property
    def mean_torque(self) -> float:
        """Mean indicated torque [N·m].

        Reference: mean over the cycle, by definition.
        """
        return float(self.forces.crank_torque.mean())

    @property
    def indicated_power(self) -> float:
        """Mean torque times speed [W].

        Reference: torque times speed, by definition.
        """
        return self.mean_torque * self.speed


@lru_cache(maxsize=32)
def rigid_train(design: Design, rod_model: str = "exact") -> RigidTrain:
    """Return the speed-independent part of a design, kept for the designs used last.

    Parameters
    ----------
    rod_model : as of `solve_cycle`

    Returns
    -------
    Loads as gas [N] and inertia [N at 1 rad/s], (c, 2, n) and (m, 2, n).

    >>> from kinematics import load_demo, rigid_train
    >>> train = rigid_train(load_demo("hill_climb_six"))
    >>> train
    RigidTrain('Hill-climb six', 720 angles, rod model exact)
    >>> train.big_end_rod.at(890.0).shape
    (6, 2, 720)
    """
    return RigidTrain(design, rod_model=rod_model)


def solve_cycle(design: Design, speed_rpm: float, *, rod_model: str = "exact") -> Cycle:
    """Return the cycle of a design at a steady crank speed [rpm].

    Parameters
    ----------
    speed_rpm : steady crank speed [rpm]
    rod_model : "exact", or "two_mass" without the rod's remaining inertia

    Returns
    -------
    The cycle, SI: n crank angles [rad]; rod forces (c, n), big-end loads (c, 2, n) and main loads
    (m, 2, n) [N] of c cylinders and m mains.

    Raises DesignError where the speed is out of range or the pressure cannot be made.

    >>> from kinematics import load_demo, solve_cycle
    >>> cycle = solve_cycle(load_demo("hill_climb_six"), 8500)
    >>> print(f"{cycle.forces.rod_force.min() / 1e3:.2f} kN")
    -13.29 kN
    """
    return Cycle(rigid_train(design, rod_model), checked_speed(speed_rpm), design)


def checked_speed(speed_rpm: float) -> float:
    """Return a crank speed [rad/s] from [rpm]; raises DesignError where it is out of range."""
    low, high = SPEED_LIMITS_RPM
    if isinstance(speed_rpm, bool) or not isinstance(
        speed_rpm, (int, float, np.integer, np.floating)
    ):
        raise DesignError("speed_rpm", f"must be a number, {low:g} to {high:g} rpm")
    if not (low <= speed_rpm <= high and math.isfinite(speed_rpm)):
        raise DesignError("speed_rpm", f"must be {low:g} to {high:g} rpm (got {speed_rpm:g} rpm)")
    return UNITS["rpm"].to_si(float(speed_rpm))
