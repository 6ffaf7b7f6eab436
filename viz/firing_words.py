"""Which cylinders fire, in words: what every page and report says where not all fire alike."""

from kinematics.design.design import Design
from kinematics.design.design_firing import MOTORED
from viz.number_words import short_with_unit

STATE_LABELS = ("all cylinders fire", "one cylinder motored (misfire)", "one without pressure")


def firing_words(design: Design) -> str:
    """Return the state of combustion as a sentence without a full stop; empty if all fire alike."""
    firing, found = design.firing, []
    if firing.dead_cylinder is not None:
        how = "motored (misfire)" if firing.state == MOTORED else "without pressure"
        found.append(f"cylinder {firing.dead_cylinder} {how}")
    if firing.imep_spread > 0:
        spread = short_with_unit(firing.imep_spread, "percent", 3)
        found.append(f"IMEP spread {spread}, seed {firing.seed}")
    return f"Not all cylinders fire alike: {'; '.join(found)}" if found else ""
