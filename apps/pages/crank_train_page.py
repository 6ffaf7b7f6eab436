"""The crank train's page: the moving train with its curves, bearings and numbers."""

import json
from dataclasses import dataclass
from typing import Any

import numpy as np

from apps.components.charts import TrainCharts
from apps.components.number_board import NumberBoard
from apps.components.solid_train_view import SolidTrainView
from apps.controls.controls import GROUPS
from apps.page_registry import CRANK_TRAIN
from apps.pages.curve_import import CurveImport
from apps.pages.design_page import DesignPage
from apps.pages.page_template import PageTemplate
from apps.pages.trace_import import TraceImport
from apps.shown_numbers import reference_words, shown_number
from apps.state import AppState
from kinematics import Design
from viz.placed import Placed, placed
from viz.solid.deflection_scene import deflection_bytes
from viz.solid.solid_scene import solid_bytes, solid_source
from viz.train.curve_words import curve_pictures
from viz.train.full_load_charts import OVER_SPEED, full_load_charts, full_load_pictures
from viz.train.main_number import MainNumber
from viz.train.main_numbers import main_numbers
from viz.train.scene import scene_bytes
from viz.train.trace_charts import trace_pictures
from viz.train.train_pictures import train_pictures

CURVES = ("acceleration", "rod_force", "side_thrust", "crank_torque")
PANES = (
    ("big-end", "Big end", "", ("big_end",)),
    ("mains", "Main bearings", "mains", ("main_bearings",)),
    ("pressure", "Cylinder pressure", "", ("cylinder_pressure",)),
    ("speed", "Torque and power", "", tuple(shown.name for shown in OVER_SPEED)),
    ("balance", "Free forces and moments", "four",
     ("free_force", "force_orders", "free_moment", "moment_orders")),
)  # fmt: skip
HEADLINES = (
    "mean_piston_speed", "peak_acceleration", "indicated_power", "rod_compression",
    "rod_tension", "side_thrust", "big_end_load", "main_load",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Pane:
    """One choice of the lower picture."""

    key: str
    title: str
    shape: str
    plots: tuple[Placed, ...]


class CrankTrainPage(DesignPage):
    """The moving train with its curves; builds the page once and passes on what changes."""

    entry = CRANK_TRAIN
    groups = GROUPS

    def __init__(self, state: AppState) -> None:
        super().__init__(state)
        self.pictures = placed(train_pictures)
        self.chart_pictures = placed(full_load_pictures)
        self.trace_pictures = placed(trace_pictures)
        self.curve_pictures = placed(curve_pictures)
        self.charts = TrainCharts()
        self.traces = TraceImport(state, self.charts)
        self.curves = CurveImport(state, self.charts)
        self.train = SolidTrainView(
            self._show_solids,
            feeds=[picture.feed for picture in self.pictures.values()],
            sizing_mode="stretch_both",
        )
        self._solids_of: Any = None  # what the solids that the browser has follow from
        self._deflection_of: Any = None  # the cycle of the deflection that the browser has
        self._wanted = {"shown": False, "deflected": False}
        self.numbers = NumberBoard(sizing_mode="stretch_width")
        self._reference_numbers: dict[str, MainNumber] = {}
        self._over_speed: tuple[Design | None, Design | None] = (None, None)  # what is drawn
        self.show_cycle()
        state.param.watch(lambda *_: self.show_cycle(), ["cycle"])
        state.param.watch(lambda *_: self.show_reference(), ["reference"])

    def template(self) -> PageTemplate:
        """Return the page with everything in its place."""
        figures = self.pictures | self.chart_pictures
        return PageTemplate(
            "train/train",
            {
                "bar": self.bar,
                "controls": self.controls,
                "numbers": self.numbers,
                "train": self.train,
                "charts": self.charts,
                "trace": self.traces.form,
                "curve": self.curves.form,
            },
            [*figures.values(), *self.trace_pictures.values(), *self.curve_pictures.values()],
            trace_plots=list(self.trace_pictures.values()),
            curve_plots=list(self.curve_pictures.values()),
            curves=[self.pictures[name] for name in CURVES],
            panes=[
                Pane(key, title, shape, tuple(figures[name] for name in names))
                for key, title, shape, names in PANES
            ],
        )

    def show_cycle(self) -> None:
        """Send what a new design or speed changes."""
        self.train.show_cycle(self.state.cycle)
        self._send_solids()
        self._show_numbers()
        self._show_over_speed()

    def _show_solids(self, message: dict[str, Any]) -> None:
        """Send the solids and how the shaft deflects from now on, or no longer."""
        self._wanted = message
        self._send_solids()

    def _send_solids(self) -> None:
        """Send what the browser shows in space and has not."""
        if self._wanted["deflected"] and self._deflection_of is not self.state.cycle:
            self._deflection_of = self.state.cycle
            self.train.deflection = deflection_bytes(self.state.cycle)
        if not self._wanted["shown"]:
            return
        design = self.state.design
        source = solid_source(design)
        if source != self._solids_of:
            self._solids_of = source
            self.train.solids = solid_bytes(design)

    def show_reference(self) -> None:
        """Send or take back the reference."""
        reference = self.state.reference
        self.train.reference_blob = (
            np.zeros(0, np.uint8) if reference is None else scene_bytes(reference)
        )
        self.numbers.reference = reference_words(reference)
        self._reference_numbers = (
            {} if reference is None else {number.key: number for number in main_numbers(reference)}
        )
        self._show_numbers()
        self._show_over_speed()

    def _show_over_speed(self) -> None:
        """Draw the curves over speed anew where design or reference are others."""
        reference = self.state.reference
        shown = self.state.design, None if reference is None else reference.design
        if shown != self._over_speed:
            self._over_speed = shown
            self.charts.draw(**full_load_charts(*shown))

    def _show_numbers(self) -> None:
        shown = [
            shown_number(number, self._reference_numbers.get(number.key), number.key in HEADLINES)
            for number in main_numbers(self.state.cycle)
        ]
        self.numbers.numbers = json.dumps(shown)
