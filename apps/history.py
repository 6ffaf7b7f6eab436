"""What can be undone and redone: designs, each with its speed and the demo that was open.

A change of the same thing within a second of the last belongs to it, so that one pull at a slider
is one step.
"""

from dataclasses import dataclass

from kinematics import Design

SAME_PULL = 1.0  # [s]
MOST_STEPS = 1000


@dataclass(frozen=True, slots=True)
class Step:
    """What was shown."""

    design: Design
    speed: float  # [rad/s]
    demo: str


class History:
    """The steps before the present one, and those undone."""

    def __init__(self) -> None:
        self.past: list[Step] = []
        self.future: list[Step] = []
        self._last = ("", float("-inf"))

    def leave(self, step: Step, gesture: str, now: float) -> None:
        """Keep a step that is left for another; `gesture` names what is changed, `now` is in s."""
        same, at = self._last
        if not (gesture and gesture == same and now - at < SAME_PULL and self.past):
            self.past.append(step)
            del self.past[:-MOST_STEPS]
        self.future.clear()
        self._last = (gesture, now)

    def undo(self, present: Step) -> Step | None:
        """Return the step before the present one, None if there is none."""
        return self._turn(self.past, self.future, present)

    def redo(self, present: Step) -> Step | None:
        """Return the step that was undone last, None if there is none."""
        return self._turn(self.future, self.past, present)

    def _turn(self, taken: list[Step], kept: list[Step], present: Step) -> Step | None:
        self._last = ("", float("-inf"))
        if not taken:
            return None
        kept.append(present)
        return taken.pop()
