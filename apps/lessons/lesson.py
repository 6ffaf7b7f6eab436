"""A lesson as its file has it: what it starts from, asks, lets try and explains."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from apps.lessons.lesson_setting import Setting
from kinematics import Design
from kinematics.expression import Expression

START = "start"  # the engine that a lesson starts from, in a step's view


@dataclass(frozen=True, slots=True)
class OwnNumber:
    """A number that the lesson makes of others."""

    label: str
    unit: str
    digits: int
    of: Expression


@dataclass(frozen=True, slots=True)
class Curve:
    """A lesson's own plot: over a control, the crank angle, the running speed, or by order."""

    over: str
    of: tuple[str, ...]
    start: float = 0.0
    end: float = 0.0
    points: int = 25
    low: float | None = None
    high: float | None = None
    y_label: str = ""


@dataclass(frozen=True, slots=True)
class Option:
    """A choice, right if its rule holds for the lesson's first design; said when it is chosen."""

    text: str
    right_if: Expression
    feedback: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Amount:
    """A number to be given in a unit, right within a tolerance; and what is said of others."""

    of: Expression
    unit: str
    tolerance: float  # in that unit
    too_high: tuple[str, ...] = ()
    too_low: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class StepView:
    """What a step shows beside its text: engine, plot, cylinder, angle, motion, forces, marks.

    None and empty leave what is there. `engine` is the name of one of the lesson's other designs,
    or `START`; `angle` is in degrees; `marks` are names of `viz.lessons.engine_marks`.
    """

    engine: str = ""
    plot: str = ""
    cylinder: int | None = None  # from 1
    angle: float | None = None
    playing: bool | None = None
    forces: tuple[str, ...] | None = None
    marks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Asked:
    """What a student is asked: to choose (options), to give an amount, or else to draw.

    `because` is the reason, said after. `judge` are the features of a drawing that matter, the most
    important first.
    """

    text: tuple[str, ...]
    because: tuple[str, ...]
    options: tuple[Option, ...] = ()
    hints: tuple[tuple[str, ...], ...] = ()
    judge: tuple[str, ...] = ()
    amount: Amount | None = None
    view: StepView = field(default_factory=StepView)

    @property
    def is_drawn(self) -> bool:
        """Whether the answer is a drawn curve."""
        return not self.options and self.amount is None


@dataclass(frozen=True, slots=True)
class Goal:
    """What the experiment is to bring about, and the rule that holds when it has."""

    text: tuple[str, ...]
    reached_if: Expression


@dataclass(frozen=True, slots=True)
class Lesson:
    """A lesson as its file has it; texts are paragraphs, with {live:NAME} in them."""

    key: str
    title: str
    question: tuple[str, ...]
    start: Setting
    others: Mapping[str, Setting]
    numbers: Mapping[str, OwnNumber]
    curve: Curve | None
    second: Curve | None  # a plot more, for the experiment
    predict: Asked
    todo: tuple[str, ...]
    sliders: tuple[str, ...]
    plot: str
    shown: tuple[str, ...]
    why: tuple[str, ...]
    formula: str
    source: str
    checks: tuple[Asked, ...]
    goal: Goal | None
    ranges: Mapping[str, tuple[float, float, float]]  # of sliders: ends and step
    try_view: StepView
    why_view: StepView
    design: Design  # the one that it starts from, before its changes
