"""How a throw's stiffness is found, in words: finite elements and their error, or why not."""

from kinematics import Design, DesignError
from kinematics.design.solid_throw import SolidThrow, solid_throw
from kinematics.throw.throw_surface import throw_surface
from viz.number_words import format_number


def surface_words() -> str:
    """Return the surface's error on throws that it was not fitted to."""
    median, worst = (format_number(100 * share, 2) for share in throw_surface().error())
    return (
        "Throw stiffness by finite elements, read from a surface: "
        f"median error {median} %, maximum {worst} % on throws it was not fitted to; "
        "fillets, counterweights and web lightening left out."
    )


def stiffness_words(solid: SolidThrow) -> str:
    """Return how stiff a throw of the continuous shaft counts, and why if not by the surface."""
    if solid.stiffness is not None:
        return surface_words()
    return f"Webs as drawn, without overlap, which is too soft: {outside_words(solid.outside)}"


def outside_words(outside: tuple[str, ...]) -> str:
    """Return why the surface does not hold for a throw."""
    return f"outside the sizes sampled by finite elements. {_capital('; '.join(outside))}."


def design_stiffness_words(design: Design) -> str:
    """Return `stiffness_words` of a design, nothing where its sizes are missing."""
    try:
        return stiffness_words(solid_throw(design))
    except DesignError:
        return ""


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]
