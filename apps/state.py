"""What one page holds: a design, a speed, the cycle of both, a reference, a problem."""

import time
from collections.abc import Callable, Iterable
from dataclasses import replace
from pathlib import Path
from typing import Any, cast

import param

from apps.controls.controls import SPEED, changed
from apps.controls.sheet_edit import Edit, edited
from apps.history import History, Opening, Step
from apps.undo_storage import StoredStep, stored_steps
from apps.variants import question_text, read_variants
from kinematics import Cycle, Design, DesignError, design_text, parse_design, solve_cycle
from kinematics.design.design_field import group_field
from kinematics.design.design_file import clean_text, load_design
from kinematics.design.design_firing import EVEN_FIRING
from kinematics.design.design_groups import without_stale_origins
from kinematics.mechanics.pressure_trace import PressureTrace
from kinematics.train.cycle import checked_speed
from kinematics.train.trace_check import with_trace
from kinematics.units import UNITS

Shown = tuple[Cycle, str]  # and the demo that is open


class AppState(param.Parameterized):
    """The state of one page. Every change makes a new cycle, or a problem and nothing else."""

    cycle = param.ClassSelector(  # given at construction, and never None
        class_=Cycle, default=cast(Cycle, None), doc="the design that is shown, solved"
    )
    reference = param.ClassSelector(class_=Cycle, default=None, allow_None=True)
    problem = param.Tuple(default=("", ""), doc="key of the field at fault, and what is wrong")
    message = param.Tuple(default=("", False), doc="what the top bar says, and whether it is bad")
    demo = param.String(default="", doc="name of the demo design that is open, or empty")
    question = param.String(default="", doc="what the review is about, in the reviewer's words")
    variants = param.List(default=[], doc="`Variant`s kept beside this design")
    may_undo = param.Boolean(default=False)
    may_redo = param.Boolean(default=False)

    def __init__(self, design: Design, **params: Any) -> None:
        self._history = History()
        cycle = _solved(design, design.layout.rated_speed)
        super().__init__(cycle=cycle, **params)  # type: ignore[no-untyped-call]  # untyped in param
        self.param["cycle"].allow_None = False

    @property
    def design(self) -> Design:
        """The design that is shown."""
        return self.cycle.design

    @property
    def speed_rpm(self) -> float:
        """The speed that is shown [rpm]."""
        return shown_rpm(self.cycle)

    def change(self, key: str, value: Any) -> None:
        """Set one control; a value that is not allowed becomes a problem beside it."""
        try:
            if key == SPEED:
                self._show(self.design, checked_speed(value), key)
            else:
                self._show(changed(self.design, key, value), self.cycle.speed, key)
        except DesignError as error:
            self.problem = (key, _beside(key, error, self.design))

    def open_design(self, design: Design, *, demo: str = "", speed: float | None = None) -> None:
        """Show another design, at its rated speed if none is given [rad/s].

        Raises DesignError if it cannot be solved.
        """
        cycle = _solved(design, design.layout.rated_speed if speed is None else speed)
        self._go(cycle, demo, " ".join(cycle.train.warnings))

    def open_design_text(self, text: str, name: str) -> None:
        """Show the design in a TOML text, or say in the message what is wrong with it."""
        try:
            self.open_design(parse_design(text))
        except DesignError as error:
            self._refuse(name, error)

    def restore(
        self,
        text: str,
        speed_rpm: Any,
        *,
        demo: str = "",
        reference: Any = None,
        place: str = "stored in this tab",
        steps: Any = None,
    ) -> None:
        """Go on with what a browser tab or a link holds, or say why not.

        `demo` names the demo design that was open; `reference` holds text and rpm of the reference,
        or is None; `place` says where all this is from; `steps` holds past and future for
        `stored_steps`, in place of what could be undone and redone before, or is None.
        """
        try:
            self.open_design(parse_design(text), demo=demo, speed=checked_speed(speed_rpm))
        except DesignError as error:
            self._refuse(f"The design {place}", error)
        if isinstance(reference, dict):
            self._restore_reference(str(reference.get("text")), reference.get("rpm"), place)
        if steps is not None:
            stored = steps if isinstance(steps, dict) else {}
            stacks = (stored_steps(stored.get(name), text) for name in ("past", "future"))
            self._history = History(*stacks)
        self._show_history()

    def _restore_reference(self, text: str, speed_rpm: Any, place: str) -> None:
        try:
            self.reference = _solved(parse_design(text), checked_speed(speed_rpm))
        except DesignError as error:
            self._refuse(f"The reference design {place}", error)

    def restore_review(self, stored: dict[str, Any]) -> None:
        """Go on with the question and the variants that a browser tab holds; a bad one is named."""
        variants, wrong = read_variants(
            stored.get("variants"),
            lambda text, speed_rpm: _solved(parse_design(text), checked_speed(speed_rpm)),
        )
        self.param.update(question=question_text(stored.get("question")), variants=variants)
        if wrong:
            self.message = (wrong, True)

    def undo(self) -> None:
        """Show what was shown before the last change."""
        self._return_by(self._history.undo)

    def redo(self) -> None:
        """Show what was undone last."""
        self._return_by(self._history.redo)

    def draft(self) -> dict[str, Any]:
        """Return what `restore` goes on with, for a browser tab to keep."""
        reference = None if self.reference is None else _stored(self.reference)
        return {
            **_stored(self.cycle),
            "demo": self.demo,
            "reference": reference,
            "question": self.question,
            "variants": [variant.stored() for variant in self.variants],
        }

    def steps_change(self) -> dict[str, Any]:
        """Return what changed in the steps since this was last asked for, for a tab to keep."""
        changes = {"past": self._history.past.changes(), "future": self._history.future.changes()}
        return {
            name: {
                "removed": change.removed,
                "count": change.count,
                "new": [
                    _stored_design(step.design, step.speed) | {"demo": step.demo}
                    for step in change.new
                ],
            }
            for name, change in changes.items()
        }

    def open_demo(self, name: str, path: Path) -> None:
        """Show a demo design."""
        self.open_design(load_design(path), demo=name)

    def use_trace(self, trace: PressureTrace, file: str, strength_cycle: str = "mean") -> None:
        """Run the present design on a measured trace, as one step; `file` says where from.

        `strength_cycle` is as of `with_trace`.

        Raises DesignError if it cannot be solved.
        """
        design = without_stale_origins(
            with_trace(self.design, trace, file, strength_cycle), self.design
        )
        cycle = _solved(design, self.cycle.speed)
        self._go(cycle, self.demo, " ".join(cycle.train.warnings))

    @property
    def may_use_model(self) -> bool:
        """Whether the design runs on a trace and has what the pressure model needs."""
        pressure = self.design.pressure
        return pressure.source == "trace" and pressure.peak is not None

    def use_model(self) -> None:
        """Go back from the trace to the pressure model."""
        try:
            pressure = replace(
                self.design.pressure, source="model", trace=None, file=None, strength_cycle="mean"
            )
            self._show(replace(self.design, pressure=pressure), self.cycle.speed)
        except DesignError as error:
            self._refuse("The pressure model", error)

    def fire_all(self) -> None:
        """Let all cylinders fire alike."""
        self.use_design(replace(self.design, firing=EVEN_FIRING))

    def use_design(self, design: Design) -> None:
        """Show a changed design at the present speed, as one step that can be undone."""
        self._show(design, self.cycle.speed)

    def edit(self, edits: Iterable[Edit]) -> list[tuple[Edit, str]]:
        """Change cells of the data sheet as one step; return those refused with their reason."""
        before = self.design
        design, refused = edited(before, edits)
        if (design, design.papers) != (before, before.papers):
            self._go(_solved(design, self.cycle.speed), self.demo)
        return [(edit, _beside(edit.key, error, design)) for edit, error in refused]

    def set_reference(self) -> None:
        """Keep the present design and speed as the reference."""
        self.reference = self.cycle

    def clear_reference(self) -> None:
        """Drop the reference."""
        self.reference = None

    def _show(self, design: Design, speed: float, gesture: str = "") -> None:
        design = without_stale_origins(design, self.design)
        self._go(_solved(design, speed), self.demo, gesture=gesture)

    def _go(self, cycle: Cycle, demo: str, words: str = "", *, gesture: str = "") -> None:
        """Show a cycle, and keep the one that is left for undoing."""
        left = self._step()
        shown = (cycle.design, cycle.design.papers, cycle.speed, demo)
        if shown != (left.design, left.design.papers, left.speed, left.demo):
            self._history.leave(left, gesture, time.monotonic())
        self._put(cycle, demo, words)

    def _put(self, cycle: Cycle, demo: str, words: str) -> None:
        self.param.update(
            cycle=cycle,
            demo=demo,
            problem=("", ""),
            message=(words, False),
        )
        self._show_history()

    def _show_history(self) -> None:
        self.param.update(may_undo=bool(self._history.past), may_redo=bool(self._history.future))

    def _step(self) -> Step:
        return Step(self.design, self.cycle.speed, self.demo)

    def _return_by(self, turn: Callable[[Step, Opening[Shown]], Shown | None]) -> None:
        """Show the step that a turn of the history leads to; pass over what cannot be read."""
        words = ""

        def opened(step: Step | StoredStep) -> Shown | None:
            nonlocal words
            try:
                return _opened(step)
            except DesignError as error:
                words = f"A step stored in this tab was skipped. {error}"
            return None

        found = turn(self._step(), opened)
        if found is not None:
            self._put(*found, words)
        elif words:
            self.message = (words, True)
            self._show_history()

    def _refuse(self, name: str, error: DesignError) -> None:
        shown_name = clean_text(Path(name).name, 60)
        self.message = (f"{shown_name} was not opened. {error} Nothing was changed.", True)


def shown_rpm(cycle: Cycle) -> float:
    """Return the speed of a cycle [rpm]."""
    return UNITS["rpm"].from_si(cycle.speed)


def _stored(cycle: Cycle) -> dict[str, Any]:
    return _stored_design(cycle.design, cycle.speed)


def _stored_design(design: Design, speed: float) -> dict[str, Any]:
    return {"text": design_text(design), "rpm": UNITS["rpm"].from_si(speed)}


def _opened(step: Step | StoredStep) -> Shown:
    """Return the cycle of a step, and its demo; raises DesignError if it cannot be had."""
    if isinstance(step, Step):
        return _solved(step.design, step.speed), step.demo
    return _solved(parse_design(step.text), checked_speed(step.rpm)), step.demo


def _solved(design: Design, speed: float) -> Cycle:
    """Return a cycle whose pressure is known to be solvable."""
    cycle = solve_cycle(design, UNITS["rpm"].from_si(speed))
    _ = cycle.train.pressure
    return cycle


def _beside(key: str, error: DesignError, design: Design) -> str:
    """Return a message as it stands beside a control: with the field's name if it is another."""
    if error.field in ("", key):
        return error.message
    try:
        label = group_field(design, error.field)[2].label
    except DesignError:
        label = error.field
    return f"{label}: {error.message}"
