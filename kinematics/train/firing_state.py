"""What each cylinder's gas does when not all fire alike: a misfire, no pressure, uneven work.

Source: follows from the definition of each state; combustion and compression as of
`cylinder_pressure`.
"""

import numpy as np

from kinematics.array import Array
from kinematics.design.design import Design
from kinematics.design.design_firing import NO_PRESSURE, Firing
from kinematics.mechanics.gas_and_inertia_loads import BySpeed
from kinematics.train.full_load import pressure_by_speed

NO_HEAT = 1e-9  # of the work, below which there is no combustion to share out


def imep_shares(firing: Firing, cylinders: int) -> Array:
    """Return each cylinder's IMEP over the mean of all, (c,).

    Normal deviates of the seed, shifted and scaled so that mean and standard deviation (that of a
    sample) are exactly those given; a single cylinder has no spread.

    Reference: mean and standard deviation, by definition.
    """
    if cylinders < 2 or firing.imep_spread == 0:
        return np.ones(cylinders)
    deviate = np.random.default_rng(firing.seed).standard_normal(cylinders)
    deviate -= deviate.mean()
    return 1 + firing.imep_spread * deviate / deviate.std(ddof=1)


def pressure_as_fired(
    design: Design,
    after_tdc: Array,
    volume: Array,
    widening: Array,
    misfiring: tuple[int, ...] = (),
) -> BySpeed:
    """Return absolute pressure [Pa] of all cylinders over the cycle, its courses (c, n).

    Parameters
    ----------
    after_tdc : from true firing TDC [rad], (c, n)
    volume : over the pistons there [m³], (c, n)
    widening : its change with the crank angle [m³/rad], (c, n)
    misfiring : cylinders, from 1, that are motored whatever the design's state

    Raises
    ------
    DesignError where the pressure cannot be made.

    Reference: follows from the definition of each state; a cylinder's combustion is scaled so that
    its IMEP has its share.
    """
    fired, firing = pressure_by_speed(design, after_tdc, volume), design.firing
    if firing.is_even and not misfiring:
        return fired
    motored = pressure_by_speed(design, after_tdc, volume, burning=False).courses
    courses = _shared_out(fired.courses, motored, widening, imep_shares(firing, len(volume)))
    dead = firing.dead_cylinder
    if dead is not None:
        lost = design.pressure.crankcase if firing.state == NO_PRESSURE else motored[:, dead - 1]
        courses[:, dead - 1] = lost
    rows = np.array(misfiring, dtype=int) - 1
    courses[:, rows] = motored[:, rows]
    return BySpeed(courses, fired.speeds)


def _shared_out(fired: Array, motored: Array, widening: Array, shares: Array) -> Array:
    """Return courses (k, c, n) whose combustion gives each cylinder its share of the IMEP."""
    if np.all(shares == 1):
        return fired.copy()
    work = (fired * widening).sum(axis=-1)
    burnt = work - (motored * widening).sum(axis=-1)
    more = (shares - 1) * work
    heat = np.divide(more, burnt, out=np.zeros_like(work), where=burnt > NO_HEAT * np.abs(work))
    shared: Array = fired + heat[..., None] * (fired - motored)
    return shared
