"""A throw's stiffness by finite elements for one throw: two meshes, and what lies beyond them."""

from kinematics.one_line import frozen_record
from kinematics.throw.throw_shape import ThrowShape
from kinematics.throw.throw_solid import Fineness, Solver, end_stiffness
from kinematics.throw.throw_surface import ThrowStiffness

SOLID_MOTIONS = ("free_in_plane", "across", "free_torsion")  # of `EndStiffness`, as `MOTIONS`
COARSE, FINE = Fineness(side=0.3), Fineness(side=0.225)


@frozen_record
class ThrowSolution:
    """A throw's stiffness for endless fineness, by the two meshes [N·m/rad]."""

    stiffness: ThrowStiffness
    mesh_error: float  # largest share by which the finer mesh's differs from it


def solve_throw(
    shape: ThrowShape, elastic_modulus: float, *, solve: Solver | None = None
) -> ThrowSolution:
    """Return a throw's stiffness by finite elements; `elastic_modulus` [Pa].

    Sharp corners let the error fall about as the elements' sides do, so that the two meshes give
    the value for endless fineness.

    Reference: Richardson, Philosophical Transactions A 210 (1911) (from memory); measured of
    meshes four times as fine.
    """
    one = shape.over_radius()
    coarse, fine = (end_stiffness(one, mesh, solve=solve) for mesh in (COARSE, FINE))
    scale = elastic_modulus * shape.crank_radius**3
    beyond = FINE.side / (COARSE.side - FINE.side)
    found, missed = [], []
    for name in SOLID_MOTIONS:
        at_coarse, at_fine = getattr(coarse, name), getattr(fine, name)
        found.append(at_fine - beyond * (at_coarse - at_fine))
        missed.append(float(abs(at_fine / found[-1] - 1)))
    return ThrowSolution(ThrowStiffness(*(float(scale * value) for value in found)), max(missed))
