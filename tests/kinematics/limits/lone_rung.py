"""One rung of a design alone, without what the other rungs of its ladder cost."""

from kinematics import Design
from kinematics.limits.named_results import SUBJECTS
from kinematics.limits.speed_limits import Rung, assessed, speeds_looked_at
from kinematics.train.cycle import rigid_train


def lone_rung(design: Design, key: str) -> Rung:
    """The rung of a criterion as the ladder has it, which `test_speed_limits` holds."""
    subject, criterion = next(
        (subject, one) for subject, criteria in SUBJECTS for one in criteria if one.key == key
    )
    idle, *ends = speeds_looked_at(design)
    at = idle if criterion.at_idle else design.layout.rated_speed
    found = assessed(criterion, subject(rigid_train(design)), tuple(ends), at)
    assert isinstance(found, Rung), key
    return found
