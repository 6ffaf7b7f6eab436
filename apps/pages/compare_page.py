"""The comparison page: two designs side by side, what they differ in, and what comes of it.

Results and curves have two views: each design at its rated speed, and both at the tab's speed.
"""

import json
from functools import cache
from typing import Any

import numpy as np
from param.parameterized import batch_call_watchers

from apps.components.compare_view import CompareTables, CompareView
from apps.controls.controls import SPEED
from apps.file_stem import file_stem
from apps.page_registry import COMPARE
from apps.pages.design_page import DesignPage
from apps.pages.page_template import PageTemplate
from apps.state import AppState
from assets_demo import demo_paths
from kinematics import Cycle, Design, DesignError, load_design, parse_design, solve_cycle
from kinematics.design.design_file import clean_text
from kinematics.train.cycle import checked_speed
from kinematics.units import UNITS
from viz.compare.comparison import Comparison, compared
from viz.compare.comparison_plots import MAIN_PLOTS, compared_pictures
from viz.compare.comparison_table import comparison_csv, comparison_message
from viz.placed import placed
from viz.train.scene import scene_bytes

RPM = UNITS["rpm"]

EXAMPLE = ("Touring six", "Short rod six")


class ComparePage(DesignPage):
    """Design A, which is the reference, beside design B, which is the tab's own."""

    entry = COMPARE

    def __init__(self, state: AppState) -> None:
        super().__init__(state)
        self.pictures = list(placed(compared_pictures).values())
        self.view = CompareView(
            self.handle_message,
            demos=list(demo_paths()),
            feeds=[picture.feed for picture in self.pictures],
            first=list(MAIN_PLOTS),
            sizing_mode="stretch_width",
        )
        self.tables = CompareTables(self.handle_message, sizing_mode="stretch_both")
        self._comparison: Comparison | None = None
        self.show()
        state.param.watch(lambda *_: self.show(), ["cycle", "reference"])

    def template(self) -> PageTemplate:
        """Return the page with everything in its place."""
        return PageTemplate(
            "compare/compare",
            {"bar": self.bar, "view": self.view, "tables": self.tables},
            self.pictures,
            plots=self.pictures,
            first=MAIN_PLOTS,
        )

    def handle_message(self, message: dict[str, Any]) -> None:
        """Do what the browser asks for; what is refused changes nothing and is said."""
        kind, side = message.get("kind"), message.get("side")
        if kind == "swap":
            self.swap()
        elif kind == "example":
            self.show_example()
        elif kind == "table" and self._comparison is not None:
            self.bar.offer_file(self._file_name(), comparison_csv(self._comparison))
        elif kind == "speed":
            try:
                _ = checked_speed(message["rpm"])
                self.state.change(SPEED, message["rpm"])
            except DesignError as error:
                self._refuse("The speed of both", error)
        elif side in ("a", "b"):
            try:
                self._change(side, message)
            except DesignError as error:
                self._refuse(str(message.get("name")), error)

    def show_example(self) -> None:
        """Show the touring six against the same with short rods."""
        before, after = (demo(name) for name in EXAMPLE)
        with batch_call_watchers(self.state):
            self._give("b", after)
            self._give("a", before)

    def swap(self) -> None:
        """Let A and B change places; the speed of both stays."""
        a, b = self.state.reference, self.state.cycle
        if a is not None:
            with batch_call_watchers(self.state):
                self.state.reference = _solved(b.design, a.speed)
                self.state.open_design(a.design, demo=demo_of(a.design), speed=b.speed)

    def show(self) -> None:
        """Show what both designs are and, if there are two, how they differ."""
        a, b = self.state.reference, self.state.cycle
        self.view.param.update(
            sides=json.dumps({"a": _side(a), "b": _side(b), "rpm": self.state.speed_rpm}),
            reference_blob=np.zeros(0, np.uint8) if a is None else scene_bytes(a),
            blob=scene_bytes(b),
        )
        speed = self.state.speed_rpm
        self._comparison = None if a is None else compared(a.design, b.design, speed)
        self.tables.tables = (
            json.dumps(comparison_message(self._comparison)) if self._comparison else ""
        )

    def _change(self, side: str, message: dict[str, Any]) -> None:
        """Give a side another design; raises DesignError where it cannot have it."""
        kind, name = message.get("kind"), str(message.get("name"))[:200]
        if kind == "demo" and name in demo_paths():
            self._give(side, demo(name))
        elif kind == "open" and isinstance(message.get("text"), str):
            self._give(side, parse_design(message["text"]))

    def _give(self, side: str, design: Design) -> None:
        """Show a design as A or B, at its rated speed."""
        if side == "b":
            self.state.open_design(design, demo=demo_of(design))
            return
        cycle = _solved(design, design.layout.rated_speed)
        notes = " ".join(cycle.train.warnings)
        self.state.param.update(reference=cycle, message=(notes, False))

    def _refuse(self, what: str, error: DesignError) -> None:
        words = f"{clean_text(what, 60)} was not accepted. {error} Nothing was changed."
        self.state.message = (words, True)

    def _file_name(self) -> str:
        assert self._comparison is not None
        names = (self._comparison.a.name, self._comparison.b.name)
        return f"{'-and-'.join(file_stem(name) for name in names)}.csv"


@cache
def demo(name: str) -> Design:
    """Return a demo design."""
    return load_design(demo_paths()[name])


def demo_of(design: Design) -> str:
    """Return the name of the demo design that a design is, empty where it is none."""
    return next((name for name in demo_paths() if demo(name) == design), "")


def _solved(design: Design, speed: float) -> Cycle:
    """Return the cycle of a design at a speed [rad/s], refused where it has no pressure."""
    cycle = solve_cycle(design, RPM.from_si(speed))
    _ = cycle.train.pressure
    return cycle


def _side(cycle: Cycle | None) -> dict[str, Any] | None:
    if cycle is None:
        return None
    design = cycle.design
    return {
        "name": design.name,
        "note": design.note,
        "demo": demo_of(design),
        "rated": RPM.from_si(design.layout.rated_speed),
    }
