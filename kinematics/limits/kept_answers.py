"""What the parts of a design answered lately: several criteria ask at the same speeds."""

from collections.abc import Callable
from typing import Any

from kinematics.array import Array

KEPT = 32  # that of a grid, which all ask for, outlasts those of the meetings between


class KeptAnswers:
    """Answers by name and speeds (s,) [rad/s]; those not asked for longest go first."""

    def __init__(self) -> None:
        self._answers: dict[tuple[str, bytes], Any] = {}

    def of(self, what: str, speed: Array, make: Callable[[Array], Any]) -> Any:
        """Return what was made lately for these speeds, or make it."""
        key = (what, speed.tobytes())
        made = self._answers.pop(key) if key in self._answers else make(speed)
        while len(self._answers) >= KEPT:
            del self._answers[next(iter(self._answers))]
        self._answers[key] = made
        return made

    def array(self, what: str, speed: Array, make: Callable[[Array], Array]) -> Array:
        """Return `of` where it is an array."""
        made: Array = self.of(what, speed, make)
        return made
