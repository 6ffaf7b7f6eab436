"""One rung of a design alone, without what the other rungs of its ladder cost."""

from kinematics import Design
from kinematics.limits.speed_limits import (
    HIGHEST_OVER_RATED,
    LOWEST_OVER_RATED,
    SUBJECTS,
    Rung,
    assessed,
)
from kinematics.train.cycle import rigid_train


def lone_rung(design: Design, key: str) -> Rung:
    """The rung of a criterion as the ladder has it, which `test_speed_limits` holds."""
    subject, criterion = next(
        (subject, one) for subject, criteria in SUBJECTS for one in criteria if one.key == key
    )
    rated = design.layout.rated_speed
    idle = design.torsion.idle_speed if design.torsion else LOWEST_OVER_RATED * rated
    between = (min(idle, 0.9 * rated), HIGHEST_OVER_RATED * rated)
    at = idle if criterion.at_idle else rated
    found = assessed(criterion, subject(rigid_train(design)), between, at)
    assert isinstance(found, Rung), key
    return found
