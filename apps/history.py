"""What can be undone and redone: designs, each with its speed and the demo that was open.

A change of the same thing within a second of the last belongs to it, so that one pull at a slider
is one step. A browser's tab keeps the steps too, and is told what changes in them.
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import TypeVar

from apps.undo_storage import StoredStep
from kinematics import Design

SAME_PULL = 1.0  # [s]
MOST_STEPS = 1000


@dataclass(frozen=True, slots=True)
class Step:
    """What was shown."""

    design: Design
    speed: float  # [rad/s]
    demo: str


Shown = TypeVar("Shown")
# what is shown of a step, None if it cannot be
Opening = Callable[[Step | StoredStep], Shown | None]


@dataclass(frozen=True, slots=True)
class StepsChange:
    """What changed in steps: how many of the last were taken away, and what was then put there."""

    removed: int
    new: tuple[Step, ...]
    count: int  # of all steps now


class Steps:
    """Steps, the next to return to last; it knows what of them was not told yet."""

    def __init__(self, steps: Iterable[StoredStep] = ()) -> None:
        self._steps: list[Step | StoredStep] = list[Step | StoredStep](steps)[-MOST_STEPS:]
        self._removed = 0
        self._new: list[Step] = []

    def __len__(self) -> int:
        return len(self._steps)

    def __iter__(self) -> Iterator[Step | StoredStep]:
        return iter(self._steps)

    def put(self, step: Step) -> None:
        """Put a step there; of too many the oldest is let go."""
        for steps in (self._steps, self._new):
            steps.append(step)
            del steps[:-MOST_STEPS]

    def take(self) -> Step | StoredStep:
        """Take the last step away."""
        if self._new:
            self._new.pop()
        else:
            self._removed += 1
        return self._steps.pop()

    def clear(self) -> None:
        """Take all steps away."""
        while self._steps:
            self.take()

    def changes(self) -> StepsChange:
        """Return what changed since this was last asked for."""
        change = StepsChange(self._removed, tuple(self._new), len(self._steps))
        self._removed, self._new = 0, []
        return change


class History:
    """The steps before the present one, and those undone."""

    def __init__(self, past: Iterable[StoredStep] = (), future: Iterable[StoredStep] = ()) -> None:
        self.past = Steps(past)
        self.future = Steps(future)
        self._last = ("", float("-inf"))

    def leave(self, step: Step, gesture: str, now: float) -> None:
        """Keep a step that is left for another; `gesture` names what is changed, `now` is in s."""
        same, at = self._last
        if not (gesture and gesture == same and now - at < SAME_PULL and self.past):
            self.past.put(step)
        self.future.clear()
        self._last = (gesture, now)

    def undo(self, present: Step, opened: Opening[Shown]) -> Shown | None:
        """Return the step before the present one, opened; None if there is none.

        A step for which `opened` returns None is passed over.
        """
        return self._turn(self.past, self.future, present, opened)

    def redo(self, present: Step, opened: Opening[Shown]) -> Shown | None:
        """Return the step that was undone last, opened as in `undo`; None if there is none."""
        return self._turn(self.future, self.past, present, opened)

    def _turn(
        self, taken: Steps, other: Steps, present: Step, opened: Opening[Shown]
    ) -> Shown | None:
        self._last = ("", float("-inf"))
        while taken:
            found = opened(taken.take())
            if found is not None:
                other.put(present)
                return found
        return None
