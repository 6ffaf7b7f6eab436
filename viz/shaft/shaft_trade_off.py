"""The charts of the trade-off: counterweights' inertia and internal moment against main load."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from kinematics.array import Array
from kinematics.shaft.counterweight_choice import Choice
from viz.chart import Chart, Label, Line, Mark
from viz.number_words import as_drawn, axis, with_unit

BESIDE = 0.01  # of the axes: a present design nearer the selected point has no label of its own
MEASURE_WORDS = {"peak": "maximum peak main load", "mean": "maximum mean main load"}
UNITS_OF = {"inertia": "kg_mm2", "inside": "Nm"}
LINE_NAMES = {"inertia": "minimum inertia", "inside": "internal bending moment"}
OPPOSITE = "opposite the pins"


@dataclass(frozen=True, slots=True)
class Front:
    """Choices of minimum inertia, the lowest load first, beside the present design's.

    `straight` is the front of those opposite their pins, beside one of those with offset angles.
    Without choices the present design stands alone.
    """

    choices: Sequence[Choice]
    present: Choice
    selected: int  # place among the choices, -1 for none
    measure: str
    speed: float  # [rad/s]
    straight: Sequence[Choice] = ()
    moment_bound: float = math.inf  # [N·m]


def front_chart(front: Front) -> Chart:
    """Return the minimum inertia of the counterweights for every main load, the present marked."""
    title = f"Counterweights of minimum inertia at {with_unit(front.speed, 'rpm', 4)}"
    return _chart(front, "inertia", title, axis("counterweights' inertia", "kg_mm2"))


def front_moment_chart(front: Front) -> Chart:
    """Return the internal bending moment of the same counterweights, the bound drawn."""
    title = f"Their internal bending moment at {with_unit(front.speed, 'rpm', 4)}"
    return _chart(front, "inside", title, axis("internal bending moment", "Nm"))


def _chart(front: Front, of: str, title: str, y_label: str) -> Chart:
    """Return one number of the choices over their main load."""
    load, value = _drawn(front.choices, of)
    beside, above = _drawn(front.straight, of)
    at, height = _drawn((front.present,), of)
    now = float(at[0]), float(height[0])
    left, right = min([*load, *beside, now[0]]), max([*load, *beside, now[0]])
    room = max(0.12 * (right - left), 0.1 * right)
    most = [*value, *above, now[1], 1e-9]
    lines = [Line("main", load, value, LINE_NAMES[of])] if front.choices else []
    labels = []
    bounded = of == "inside" and math.isfinite(front.moment_bound)
    if front.straight:
        lines.append(Line("reference", beside, above, OPPOSITE))
    if front.straight and not bounded:  # both fronts lie on the bound: one label is enough
        i = min(2, len(front.straight) - 1)
        labels.append(Label("reference", float(beside[i]), float(above[i]), OPPOSITE))
    if bounded:
        bound = float(as_drawn(front.moment_bound, "Nm"))
        most.append(bound)
        lines.append(Line("allowed", [left - room, right + room], [bound, bound], "maximum"))
        words = f"maximum {with_unit(front.moment_bound, 'Nm')}"
        labels.append(Label("allowed", float(left - room), 1.1 * bound, words))
    top = 1.25 * max(most)
    spans = (float(right - left + 2 * room), float(top))
    marks = [Mark("main", float(x), float(y)) for x, y in zip(load, value, strict=True)]
    marks.append(Mark("mean", *now))
    if 0 <= front.selected < len(front.choices):
        place = float(load[front.selected]), float(value[front.selected])
        marks.append(Mark("inertia", *place))
    else:
        place = None
    side = "right" if now[0] > (left + right) / 2 else "left"
    return Chart(
        title, axis(MEASURE_WORDS[front.measure], "kN"), y_label,
        (float(left - room), float(right + room)), (-0.04 * top, top), tuple(lines),
        (*labels, *_named(front.selected, place, now, spans, side)), tuple(marks),
    )  # fmt: skip


def _named(
    selected: int, place: tuple[float, float] | None, now: tuple[float, float],
    spans: tuple[float, float], side: str,
) -> list[Label]:  # fmt: skip
    """Return the labels of the present design and the selected point, one where both are near."""
    present = Label("mean", *now, "present", side)
    if place is None:
        return [present]
    words = f"selected: {selected + 1}"
    near = math.hypot(*((a - b) / span for a, b, span in zip(now, place, spans, strict=True)))
    if near < BESIDE:
        return [Label("inertia", *place, f"{words}, present", "left")]
    return [present, Label("inertia", *place, words, "left")]


def _drawn(choices: Sequence[Choice], of: str) -> tuple[Array, Array]:
    """Return the choices' loads, and one of their numbers, in the units drawn."""
    load = as_drawn(np.array([choice.load for choice in choices]), "kN")
    return load, as_drawn(np.array([getattr(choice, of) for choice in choices]), UNITS_OF[of])
