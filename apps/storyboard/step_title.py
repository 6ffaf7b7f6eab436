"""What a new step is called: its page, and what differs from the step before."""

import math
from dataclasses import replace

from apps.storyboard.storyboard import LONGEST_TITLE, PICTURES, Step
from kinematics import parse_design
from kinematics.design.design_file import clean_text
from kinematics.units import UNITS
from viz.compare.comparison import differing_inputs
from viz.speed_words import rpm_text

MOST_NAMED = 2  # of the inputs that differ


def titled(step: Step, before: Step | None) -> Step:
    """Return a step titled by its page and what differs from the step before, if there is one."""
    found = f"{step.whence}: {_difference(step, before)}"
    return replace(step, title=clean_text(found, LONGEST_TITLE))


def _difference(step: Step, before: Step | None) -> str:
    design = parse_design(step.now.design)
    if before is None:
        return design.name
    inputs = _inputs_words(step, before)
    if inputs:
        return inputs
    if step.now.design != before.now.design:
        return design.name
    if step.now.rpm != before.now.rpm:
        return f"at {rpm_text(UNITS['rpm'].to_si(step.now.rpm))}"
    if step.picture in ("limit", "limit_own"):
        return step.rung.replace("_", " ")
    if step.picture in ("journal", "load"):
        return step.bearing.replace("_", " ")
    return PICTURES[step.picture][0]


def _inputs_words(step: Step, before: Step) -> str:
    """Return the inputs that differ, single numbers before lists and words; empty if none does."""
    old, new = (parse_design(one.now.design) for one in (before, step))
    rows = sorted(differing_inputs(old, new), key=lambda row: not math.isfinite(row.move))
    names = [f"{row.part.lower()} {row.label.lower()} {row.b.text}" for row in rows]
    more = len(names) - MOST_NAMED
    return ", ".join(names[:MOST_NAMED]) + (f" and {more} more" if more > 0 else "")
