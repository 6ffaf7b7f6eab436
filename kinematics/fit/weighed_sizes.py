"""Which sizes the masses of a design are of, kept while sizes change and masses do not."""

import dataclasses

from kinematics.design.design import Design


def with_weighed_sizes(before: Design, after: Design) -> Design:
    """Return a changed design that says which bore and rod length its masses are of.

    A mass that did not change is of the size that it was of before; one that changed is of the
    size as it is now.

    Reference: by definition.
    """
    bore = _weighed(
        (before.piston.assembly_mass, after.piston.assembly_mass),
        after.piston.mass_at_bore or before.cylinder.bore,
        after.cylinder.bore,
    )
    length = _weighed(
        (before.rod.mass, after.rod.mass),
        after.rod.mass_at_length or before.cylinder.rod_length,
        after.cylinder.rod_length,
    )
    if (bore, length) == (after.piston.mass_at_bore, after.rod.mass_at_length):
        return after
    return dataclasses.replace(
        after,
        piston=dataclasses.replace(after.piston, mass_at_bore=bore),
        rod=dataclasses.replace(after.rod, mass_at_length=length),
    )


def _weighed(masses: tuple[float, float], weighed: float, now: float) -> float | None:
    """Return the size [m] that a mass is of, None where it is the size as it is now."""
    was, has = masses
    return None if was != has or weighed == now else weighed
