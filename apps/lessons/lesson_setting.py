"""The designs that a lesson starts from and compares with: a demo design, with changes."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any

from apps.controls.controls import changed, control_values
from assets_demo import demo_paths
from kinematics import Cycle, Design, DesignError, load_design, solve_cycle, with_value
from kinematics.units import UNITS, using_units


@dataclass(frozen=True, slots=True)
class Setting:
    """A design that a lesson starts from or compares with: which, how fast, what is changed.

    Without `design` it is the one that is shown; `change` sets fields by key, `add` adds to them.
    """

    design: str | None = None
    speed_rpm: float | None = None
    change: Mapping[str, Any] = field(default_factory=dict)
    add: Mapping[str, float] = field(default_factory=dict)

    @using_units("si")  # a lesson file's own units
    def of(self, shown: Design) -> Design:
        """Return this setting's design, where `shown` is on the page.

        Raises DesignError that names the key where a change is not allowed.
        """
        design = demo_design(self.design) if self.design else shown
        for key, value in self.change.items():
            design = _set(design, key, value)
        for key, value in self.add.items():
            design = changed(design, key, control_value(design, key) + value)
        return design

    def cycle(self, shown: Design, speed_rpm: float) -> Cycle:
        """Return the cycle of this setting's design, at its own speed or that given."""
        speed = self.speed_rpm
        if speed is None and self.design:
            speed = UNITS["rpm"].from_si(demo_design(self.design).layout.rated_speed)
        return solve_cycle(self.of(shown), speed_rpm if speed is None else speed)


def control_value(design: Design, key: str) -> float:
    """Return the value that a control shows; raises DesignError where the design has it not."""
    values = control_values(design, 0.0, (("", True, (key,)),))
    if values.get(key) is None:
        raise DesignError(key[:80], "there is no such field in this design")
    return values[key]


def _set(design: Design, key: str, value: Any) -> Design:
    if isinstance(value, list):
        return with_value(design, key, tuple(value))
    return with_value(design, key, value) if isinstance(value, str) else changed(design, key, value)


@cache
def demo_design(stem: str) -> Design:
    """Return a demo design by the name of its file without ending."""
    return load_design(demo_files()[stem])


@cache
def demo_files() -> dict[str, Path]:
    """Return the demo designs' files by their names without ending."""
    return {path.stem: path for path in demo_paths().values()}
