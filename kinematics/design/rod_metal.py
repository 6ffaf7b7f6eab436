"""What the rod is made of where a design does not say: steel."""

from kinematics.design.design import Design
from kinematics.design.design_parts import STEEL_DENSITY, STEEL_MODULUS


def rod_density(design: Design) -> float:
    """Return the density of the rod's material, else of steel [kg/m³].

    Reference: as of the material's record.
    """
    return STEEL_DENSITY if design.rod_material is None else design.rod_material.density


def rod_modulus(design: Design) -> float:
    """Return the elastic modulus of the rod's material, else of steel [Pa].

    Reference: as of the material's record.
    """
    return STEEL_MODULUS if design.rod_material is None else design.rod_material.elastic_modulus
