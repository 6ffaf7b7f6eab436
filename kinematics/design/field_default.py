"""What is used where a design leaves a field out, for those that have a default to be shown."""

from kinematics.design.allowables import in_force
from kinematics.design.design import Design
from kinematics.design.oil_viscosity import high_shear_viscosity


def default_in_force(design: Design, group: str, attribute: str) -> float | None:
    """Return what stands for a field that a design leaves out [SI]; None where nothing does."""
    if group == "limits":
        return in_force(design.limits, attribute, design.layout.rated_speed)
    if (group, attribute) == ("oil", "high_shear_viscosity") and design.oil is not None:
        return high_shear_viscosity(design.oil)
    if (group, attribute) == ("main_bearing", "groove_width") and design.main_bearing is not None:
        return design.main_bearing.groove
    return None
