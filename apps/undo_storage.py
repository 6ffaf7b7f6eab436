"""Steps as a browser's tab keeps them: each says what its text changes in the one nearer by.

The nearest step's text is told against the design that is shown. A text is put together when the
step is returned to, so that a long history costs nothing before.
"""

from typing import Any

LONGEST_DEMO = 200


class StoredStep:
    """What was shown once: a design's text, its speed [rpm] and the demo that was open."""

    def __init__(self, stored: dict[str, Any], nearer: "StoredStep | str") -> None:
        self.rpm = stored["rpm"]
        self.demo: str = stored["demo"]
        self._change = (stored["head"], stored["tail"], stored["put"])
        self._nearer: StoredStep | str = nearer
        self._text: str | None = None

    @property
    def text(self) -> str:
        """The design as TOML text."""
        if self._text is None:
            nearer = self._nearer if isinstance(self._nearer, str) else self._nearer.text
            self._text = _applied(*self._change, nearer)
            self._nearer = ""  # no longer needed, and need not be held
        return self._text


def stored_steps(stored: Any, shown: str) -> list[StoredStep]:
    """Return a tab's steps, the nearest last; `shown` is the text of the design that is shown.

    What is not of the form is let go, with all that is told against it.
    """
    steps: list[StoredStep] = []
    nearer: StoredStep | str = shown
    for step in reversed(stored if isinstance(stored, list) else []):
        if not _is_step(step):
            break
        nearer = StoredStep(step, nearer)
        steps.append(nearer)
    return steps[::-1]


def _applied(head: int, tail: int, put: list[str], near: str) -> str:
    """Return the first lines of a text, others, and its last lines."""
    lines = near.split("\n")
    return "\n".join([*lines[:head], *put, *lines[max(len(lines) - tail, 0) :]])


def _is_step(step: Any) -> bool:
    if not isinstance(step, dict):
        return False
    put, demo = step.get("put"), step.get("demo")
    counts = all(type(step.get(key)) is int and step[key] >= 0 for key in ("head", "tail"))
    texts = isinstance(put, list) and all(isinstance(line, str) for line in put)
    return (
        counts and texts and isinstance(demo, str) and len(demo) <= LONGEST_DEMO and "rpm" in step
    )
