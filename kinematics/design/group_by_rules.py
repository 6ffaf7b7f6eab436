"""What an existing design is like among new ones, and a group that it lacks by the same rules."""

import dataclasses
import math
from typing import Any

from kinematics.design.design import Design
from kinematics.design.design_groups import ENTRIES, RECORD_OF_GROUP
from kinematics.design.engine_layout import LAYOUTS
from kinematics.design.new_design import APPLICATIONS, NewDesign
from kinematics.design.rules_of_thumb import FAST, RULES, made_by_rules, with_rule_origins
from kinematics.errors import DesignError


def like(design: Design) -> NewDesign:
    """Return what a new design would be asked for to be like another.

    Raises DesignError where it is beyond what the rules are for.
    """
    cylinder, layout = design.cylinder, design.layout
    throws = len(layout.throw_angles)
    same = [name for name, one in LAYOUTS.items() if len(one.throw_angles) == throws]
    banks = [name for name in same if LAYOUTS[name].in_line == (len(set(layout.bank_angle)) == 1)]
    fast = cylinder.stroke * layout.rated_speed / math.pi > FAST
    is_diesel = design.pressure.load_control == "mixture"
    application = "boat" if is_diesel else "competition" if fast else "road"
    trace = design.pressure.trace
    peak = design.pressure.peak if trace is None else trace.extremes[1]
    low, high = APPLICATIONS[application].peak
    return NewDesign(
        (banks or same or list(LAYOUTS))[0], application, cylinder.bore, cylinder.stroke,
        cylinder.rod_length, layout.rated_speed, min(max(peak or low, low), high),
    )  # fmt: skip


def with_group_by_rules(design: Design, group: str) -> Design:
    """Return a design with a group that it lacks, by the rules for an engine like it.

    Raises DesignError where the rules are not for it, or what they give does not fit.

    Reference: the rules' own, in the origin of each value.
    """
    if group not in RECORD_OF_GROUP or getattr(design, group) is not None:
        raise DesignError(group[:40], "is no group that this design lacks")
    made: dict[str, Any] = {group: made_by_rules(group, like(design), {})}
    rules = {key: rule for key, rule in RULES.items() if ENTRIES[key].group == group}
    return with_rule_origins(dataclasses.replace(design, **made), rules)
