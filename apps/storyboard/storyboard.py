"""A storyboard: scenes as steps in an order.

What a step shows is checked as the step is made, from a file as on the page.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass, field, fields, replace
from typing import Any, NoReturn

from apps.page_registry import (
    BEARINGS,
    COMPARE,
    CRANK_TRAIN,
    LIMITS,
    REVIEW,
    SHAFT,
    STEP_PAGES,
    page_labelled,
)
from kinematics import DesignError
from kinematics.declaration import shown
from kinematics.design.design import MOST_CYLINDERS
from kinematics.design.design_file import clean_text
from kinematics.train.cycle import SPEED_LIMITS_RPM

MOST_STEPS = 60
LONGEST_TITLE = 120
LONGEST_NOTE = 600
PICTURES = {  # title, and the page that it is of
    "train": ("Crank train", CRANK_TRAIN.label),
    "rod_force": ("Rod force", CRANK_TRAIN.label),
    "side_thrust": ("Side thrust", CRANK_TRAIN.label),
    "acceleration": ("Piston acceleration", CRANK_TRAIN.label),
    "crank_torque": ("Crank torque", CRANK_TRAIN.label),
    "cylinder_pressure": ("Cylinder pressure", CRANK_TRAIN.label),
    "speed_pressure": ("Peak pressure and IMEP over speed", CRANK_TRAIN.label),
    "speed_torque": ("Torque over speed", CRANK_TRAIN.label),
    "speed_power": ("Power over speed", CRANK_TRAIN.label),
    "free_force": ("Free force", CRANK_TRAIN.label),
    "free_moment": ("Free moment", CRANK_TRAIN.label),
    "big_end": ("Big-end load, polar", CRANK_TRAIN.label),
    "main_bearings": ("Main-bearing loads, polar", CRANK_TRAIN.label),
    "force_orders": ("Free force by order", CRANK_TRAIN.label),
    "moment_orders": ("Free moment by order", CRANK_TRAIN.label),
    "journal": ("Journal in its clearance", BEARINGS.label),
    "load": ("Load on the shell", BEARINGS.label),
    "films": ("Table of films", BEARINGS.label),
    "shaft_mains": ("Peak load of every main", SHAFT.label),
    "shaft_moment": ("Internal bending moment", SHAFT.label),
    "shaft_front": ("Trade-off: inertia against main load", SHAFT.label),
    "scatter_sizes": ("Residual unbalance at the example tolerances", SHAFT.label),
    "scatter_shares": ("What scatters most at the example tolerances", SHAFT.label),
    "limit": ("Limit against speed", LIMITS.label),
    "limit_own": ("How a limit comes about", LIMITS.label),
    "ladder": ("Ladder", LIMITS.label),
    "margins": ("Table of margins", LIMITS.label),
    "changes": ("Largest changes against the reference", COMPARE.label),
    "inputs": ("Inputs that differ from the reference", COMPARE.label),
    "review": ("Review card", REVIEW.label),
    "variants": ("Table of variants", REVIEW.label),
}
TABLES = ("films", "margins", "changes", "inputs", "review", "variants")  # pictures that are tables
STEP_LABELS = tuple(page.label for page in STEP_PAGES)
PANE = r"[a-z-]{0,30}"  # what a pane of a page is called
FORCES = {"gas": "Gas", "inertia": "Inertia", "rod": "Rod", "side": "Side thrust", "mains": "Mains"}
Check = Callable[[str, Any], None]


def fail(key: str, value: Any, allowed: str) -> NoReturn:
    """Raise DesignError that says what was found and what is allowed."""
    raise DesignError(key, f"must be {allowed} (got {shown(value)})")


def _text(longest: int) -> Check:
    def check(key: str, value: Any) -> None:
        if not isinstance(value, str) or len(value) > longest:
            fail(key, value, f"text of at most {longest} characters")

    return check


def number(low: float, high: float, *, kind: type = float) -> Check:
    """Return a check for a number, or a whole one, between two bounds."""
    word = "a whole number" if kind is int else "a number"

    def check(key: str, value: Any) -> None:
        wanted = int if kind is int else (int, float)
        good = isinstance(value, wanted) and not isinstance(value, bool)
        if not good or not low <= value <= high:
            fail(key, value, f"{word} from {low:g} to {high:g}")

    return check


def one_of(choices: tuple[str, ...]) -> Check:
    """Return a check for one of a few words."""

    def check(key: str, value: Any) -> None:
        if not isinstance(value, str) or value not in choices:
            fail(key, value, "one of " + ", ".join(choices))

    return check


def _some_of(choices: tuple[str, ...]) -> Check:
    def check(key: str, value: Any) -> None:
        good = isinstance(value, tuple) and len(set(map(str, value))) == len(value)
        if not good or not all(isinstance(entry, str) and entry in choices for entry in value):
            fail(key, value, "a list of some of " + ", ".join(choices))

    return check


def _like(pattern: str, allowed: str) -> Check:
    def check(key: str, value: Any) -> None:
        if not isinstance(value, str) or not re.fullmatch(pattern, value):
            fail(key, value, allowed)

    return check


def _flag(key: str, value: Any) -> None:
    if not isinstance(value, bool):
        fail(key, value, "true or false")


def _checked(check: Check, **options: Any) -> Any:
    return field(metadata={"check": check}, **options)


@dataclass(frozen=True, slots=True)
class Setting:
    """A design as TOML text, and the speed [rpm] at which it is shown."""

    design: str
    rpm: float

    def __post_init__(self) -> None:
        number(*SPEED_LIMITS_RPM)("rpm", self.rpm)


@dataclass(frozen=True, slots=True)
class NamedSetting:
    """A variant of a step's design: its name, and the design at its speed."""

    name: str
    setting: Setting

    def __post_init__(self) -> None:
        _text(LONGEST_TITLE)("name", self.name)


@dataclass(frozen=True, slots=True)
class Step:
    """A scene: what is shown of a design, and perhaps of a reference, and what is said of it."""

    now: Setting
    reference: Setting | None = None
    title: str = _checked(_text(LONGEST_TITLE), default="")
    note: str = _checked(_text(LONGEST_NOTE), default="")
    picture: str = _checked(one_of(tuple(PICTURES)), default="train")
    cylinder: int = _checked(number(1, MOST_CYLINDERS, kind=int), default=1)
    bearing: str = _checked(
        _like(r"(big_end|main)_\d{1,2}", "a bearing such as big_end_1 or main_2"),
        default="big_end_1",
    )
    rung: str = _checked(_like(r"\w{1,60}", "a limit's key"), default="rod_fatigue")
    angle_deg: float = _checked(number(0, 720), default=0.0)
    moving: bool = _checked(_flag, default=False)
    forces: tuple[str, ...] = _checked(_some_of(tuple(FORCES)), default=("gas", "inertia"))
    headline: str = _checked(
        _like(r"(main|film|limit)\.\w{1,60}", "a number such as main.indicated_power"),
        default="main.indicated_power",
    )
    came_from: str = _checked(one_of(("", *STEP_LABELS)), default="")
    pane: str = _checked(_like(PANE, "the name of a pane, or nothing"), default="")
    speaker: str = _checked(_text(LONGEST_NOTE), default="")
    variants: tuple[NamedSetting, ...] = ()

    def __post_init__(self) -> None:
        for declared in fields(self):
            if "check" in declared.metadata:
                declared.metadata["check"](declared.name, getattr(self, declared.name))

    @property
    def page(self) -> str:
        """The page that the picture is of."""
        return PICTURES[self.picture][1]

    @property
    def whence(self) -> str:
        """The page that the step was kept on, else the one that its picture is of."""
        return self.came_from or self.page


SHOWN = tuple(declared.name for declared in fields(Step) if "check" in declared.metadata)
LATER = ("came_from", "pane", "speaker")  # came after the first files; a file may lack them


@dataclass(frozen=True, slots=True)
class Storyboard:
    """Steps in the order in which they are presented."""

    steps: tuple[Step, ...] = ()

    def __post_init__(self) -> None:
        if len(self.steps) > MOST_STEPS:
            raise DesignError(
                "steps", f"must have at most {MOST_STEPS} steps (got {len(self.steps)})"
            )

    def added(self, step: Step, at: int) -> "Storyboard":
        """Return the storyboard with a step put in before a place."""
        return Storyboard((*self.steps[:at], step, *self.steps[at:]))

    def without(self, at: int) -> "Storyboard":
        """Return the storyboard without a step."""
        return Storyboard(self.steps[:at] + self.steps[at + 1 :])

    def with_step(self, at: int, step: Step) -> "Storyboard":
        """Return the storyboard with a step in place of another."""
        return Storyboard((*self.steps[:at], step, *self.steps[at + 1 :]))

    def moved(self, at: int, by: int) -> "Storyboard":
        """Return the storyboard with a step moved, as far as there is room."""
        to = min(max(at + by, 0), len(self.steps) - 1)
        return self.without(at).added(self.steps[at], to)


def changed_step(step: Step, key: str, value: Any) -> Step:
    """Return a step with another value of one thing shown; raises DesignError if not allowed."""
    if key not in SHOWN:
        fail(key, key, ", ".join(SHOWN))
    return replace(step, **{key: taken(key, value)})


def taken(key: str, value: Any) -> Any:
    """Return a value of JSON as a step holds it: text on one line, tuples, labels of today."""
    if key in ("title", "note", "speaker") and isinstance(value, str):
        longest = LONGEST_TITLE if key == "title" else LONGEST_NOTE
        return clean_text(value, 2 * longest)
    if key == "came_from" and isinstance(value, str):
        page = page_labelled(value)
        return value if page is None else page.label
    return tuple(value) if key == "forces" and isinstance(value, list) else value
