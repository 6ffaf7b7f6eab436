"""What one page holds: a design, a speed, the cycle of both, a pinned reference, a problem."""

from dataclasses import replace
from pathlib import Path
from typing import Any

import param

from apps.controls import SPEED, changed
from kinematics import Cycle, Design, DesignError, design_text, parse_design, solve_cycle
from kinematics.cycle import checked_speed
from kinematics.design_field import group_field
from kinematics.design_file import clean_text, decoded, load_design
from kinematics.pressure_trace import MOST_BYTES, read_trace
from kinematics.units import UNITS


class AppState(param.Parameterized):
    """The state of one page. Every change makes a new cycle, or a problem and nothing else."""

    cycle = param.ClassSelector(class_=Cycle, doc="the design that is shown, solved")
    reference = param.ClassSelector(class_=Cycle, default=None, allow_None=True)
    problem = param.Tuple(default=("", ""), doc="key of the field at fault, and what is wrong")
    message = param.Tuple(default=("", False), doc="what the top bar says, and whether it is bad")
    demo = param.String(default="", doc="name of the demo design that is open, or empty")

    def __init__(self, design: Design, **params: Any) -> None:
        super().__init__(cycle=_solved(design, design.layout.rated_speed), **params)

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
                self._show(self.design, checked_speed(value))
            else:
                self._show(changed(self.design, key, value), self.cycle.speed)
        except DesignError as error:
            self.problem = (key, _beside(key, error, self.design))

    def open_design(self, design: Design, *, demo: str = "", speed: float | None = None) -> None:
        """Show another design, at its rated speed if none is given [rad/s].

        Raises DesignError if it cannot be solved.
        """
        cycle = _solved(design, design.layout.rated_speed if speed is None else speed)
        notes = " ".join(cycle.train.warnings)
        self.param.update(cycle=cycle, problem=("", ""), message=(notes, False), demo=demo)

    def open_design_text(self, text: str, name: str) -> None:
        """Show the design in a TOML text, or say in the message what is wrong with it."""
        try:
            self.open_design(parse_design(text))
        except DesignError as error:
            self._refuse(name, error)

    def restore(self, text: str, speed_rpm: Any, *, demo: str = "", pinned: Any = None) -> None:
        """Go on with what a browser tab kept, or say why not: design, speed, pinned reference.

        `demo` names the demo design that was open; `pinned` holds text and rpm, or is None.
        """
        try:
            self.open_design(parse_design(text), demo=demo, speed=checked_speed(speed_rpm))
        except DesignError as error:
            self._refuse("The design kept in this tab", error)
        if isinstance(pinned, dict):
            self._restore_pinned(str(pinned.get("text")), pinned.get("rpm"))

    def _restore_pinned(self, text: str, speed_rpm: Any) -> None:
        try:
            self.reference = _solved(parse_design(text), checked_speed(speed_rpm))
        except DesignError as error:
            self._refuse("The pinned design kept in this tab", error)

    def draft(self) -> dict[str, Any]:
        """Return what `restore` goes on with, for a browser tab to keep."""
        pinned = None if self.reference is None else _kept(self.reference)
        return {**_kept(self.cycle), "demo": self.demo, "pinned": pinned}

    def open_demo(self, name: str, path: Path) -> None:
        """Show a demo design."""
        self.open_design(load_design(path), demo=name)

    def open_trace_text(self, text: str, name: str) -> None:
        """Run the present design on a pressure trace in CSV, or say what is wrong with it."""
        try:
            content = decoded(text, "pressure.file", MOST_BYTES)
            trace = read_trace(content, cycle_angle=self.design.layout.cycle_angle)
            shown_name = clean_text(Path(name).name, 255) or "trace.csv"
            pressure = replace(self.design.pressure, source="trace", file=shown_name, trace=trace)
            cycle = _solved(replace(self.design, pressure=pressure), self.cycle.speed)
        except DesignError as error:
            self._refuse(name, error)
            return
        notes = " ".join((f"Runs on the trace {shown_name}.", *cycle.train.warnings))
        self.param.update(cycle=cycle, problem=("", ""), message=(notes, False))

    @property
    def may_use_model(self) -> bool:
        """Whether the design runs on a trace and has what the pressure model needs."""
        pressure = self.design.pressure
        return pressure.source == "trace" and pressure.peak is not None

    def use_model(self) -> None:
        """Go back from the trace to the pressure model."""
        try:
            pressure = replace(self.design.pressure, source="model", trace=None, file=None)
            self._show(replace(self.design, pressure=pressure), self.cycle.speed)
        except DesignError as error:
            self._refuse("The pressure model", error)

    def pin(self) -> None:
        """Keep the present design and speed as the reference."""
        self.reference = self.cycle

    def unpin(self) -> None:
        """Drop the reference."""
        self.reference = None

    def _show(self, design: Design, speed: float) -> None:
        self.param.update(cycle=_solved(design, speed), problem=("", ""), message=("", False))

    def _refuse(self, name: str, error: DesignError) -> None:
        shown_name = clean_text(Path(name).name, 60)
        self.message = (f"{shown_name} was not opened. {error} Nothing was changed.", True)


def shown_rpm(cycle: Cycle) -> float:
    """Return the speed of a cycle [rpm]."""
    return UNITS["rpm"].from_si(cycle.speed)


def _kept(cycle: Cycle) -> dict[str, Any]:
    return {"text": design_text(cycle.design), "rpm": shown_rpm(cycle)}


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
