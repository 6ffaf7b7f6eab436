"""A design's throw as an elastic solid: its shape, and its stiffness where the surface holds."""

from kinematics.design.design import Design
from kinematics.design.design_parts import STEEL_POISSON
from kinematics.design.shaft_throw import PURPOSE, shaft_throw, web_ends
from kinematics.one_line import frozen_record
from kinematics.throw.throw_shape import ThrowShape
from kinematics.throw.throw_solution import ThrowSolution, solve_throw
from kinematics.throw.throw_surface import ThrowStiffness, bar_stiffness, throw_surface


@frozen_record
class SolidThrow:
    """A throw's stiffness by finite elements; None where it lies outside what was sampled."""

    shape: ThrowShape  # [m]
    bars: ThrowStiffness  # by bars and flat webs
    stiffness: ThrowStiffness | None
    outside: tuple[str, ...]  # in words, which ratios are


def throw_shape(design: Design, purpose: str = PURPOSE) -> ThrowShape:
    """Return the shape of a design's throws; raises DesignError where groups are missing."""
    throw = shaft_throw(design, purpose)
    main, pin = web_ends(design)
    return ThrowShape(
        main_diameter=throw.journal_diameter,
        pin_diameter=throw.pin_diameter,
        web_thickness=throw.web_thickness,
        main_width=2 * main,
        pin_width=2 * pin,
        journal_length=throw.journal_length,
        pin_length=throw.pin_length,
        journal_bore=throw.journal_bore,
        pin_bore=throw.pin_bore,
        crank_radius=throw.crank_radius,
    )


def solid_throw(design: Design, purpose: str = PURPOSE) -> SolidThrow:
    """Return a throw's stiffness by the surface; raises DesignError where groups are missing.

    Reference: a response surface through finite elements, as of `throw_surface`.

    >>> from kinematics import load_demo, solid_throw
    >>> solid_throw(load_demo("hill_climb_six")).outside
    ()
    """
    shape, surface = throw_shape(design, purpose), throw_surface()
    elastic, outside = elastic_modulus(design, purpose), surface.outside(shape)
    stiffness = None if outside else surface.stiffness(shape, elastic)
    return SolidThrow(shape, bar_stiffness(shape, elastic), stiffness, outside)


def solve_design_throw(design: Design) -> ThrowSolution:
    """Return a design's throw solved for itself, in some seconds, with its mesh's error.

    Raises DesignError where groups are missing.

    Reference: finite elements, as of `throw_solid`.

    >>> from kinematics import load_demo, solve_design_throw
    >>> solution = solve_design_throw(load_demo("hill_climb_six"))
    >>> solution.mesh_error < 0.05
    True
    """
    return solve_throw(throw_shape(design), elastic_modulus(design, PURPOSE))


def elastic_modulus(design: Design, purpose: str) -> float:
    """Return E = 2 (1 + ν) G of the crank's steel [Pa]."""
    shear: float = design.needed("crank_material", purpose).shear_modulus
    return 2 * (1 + STEEL_POISSON) * shear
