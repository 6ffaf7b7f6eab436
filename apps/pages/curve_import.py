"""The import of a full-load curve: a file, how it is taken, and its use as the design's rows."""

from dataclasses import replace
from typing import Any

from apps.components.charts import TrainCharts
from apps.components.import_form import CurveForm
from apps.controls.form_number import form_choice, form_number
from apps.pages.file_import import FileImport, form_roles
from apps.state import AppState
from kinematics import Cycle, Design, DesignError
from kinematics.mechanics.speed_curve import (
    BASES,
    FEWEST_POINTS,
    LOWEST_EFFICIENCY,
    VALUE_UNITS,
    CurveSettings,
    proposed_curve,
    speed_curve,
)
from kinematics.mechanics.trace_file import TraceTable
from kinematics.train.cycle import RigidTrain
from kinematics.train.measured_full_load import engine_size, measured_full_load
from kinematics.units import shown_unit
from viz.number_words import unbroken
from viz.train.curve_words import curve_chart, curve_doubts, curve_note, curve_words
from viz.train.trace_words import effect_table

IGNORED, SPEED, VALUE = 0, -1, 1  # what a column may be
ROLES = [(IGNORED, "ignored"), (SPEED, "speed, rpm"), (VALUE, "measured value")]


class CurveImport(FileImport):
    """Reads a file for the form, fits the design's rows to it, and gives the design its curve."""

    fewest_rows = FEWEST_POINTS
    form_fields = ("file", "columns", "separator", "decimal", "unit", "basis", "efficiency")

    def __init__(self, state: AppState, charts: TrainCharts) -> None:
        super().__init__(state)
        self._charts = charts
        self._taken: Design | None = None
        self.form = CurveForm(self.handle, sizing_mode="stretch_width")

    def _propose(self, table: TraceTable) -> None:
        self._take(table, proposed_curve(table))

    def _take_fields(self, table: TraceTable, form: dict[str, Any]) -> None:
        self._take(table, _settings(form))

    def _forget(self) -> None:
        self._taken = None

    def _take(self, table: TraceTable, settings: CurveSettings) -> None:
        """Show a table under settings; what can be shown of it is, even where it cannot be used."""
        self._table, self._taken = table, None
        shown = self._preview(table, settings)
        self._shown = shown
        now = self._state.cycle
        size = engine_size(now.design)
        measured = measured_full_load(now.design, speed_curve(table, settings, size))
        design = replace(now.design, full_load=measured.rows)
        trial = Cycle(RigidTrain(design), now.speed)
        self._charts.draw(curve_torque=curve_chart(now.design, trial.train, measured, size))
        doubts = (*curve_doubts(design, measured), *trial.train.warnings)
        self._shown = shown | {
            "note": unbroken(curve_note(settings, measured)),
            "words": unbroken(curve_words(measured)),
            "warnings": [unbroken(words) for words in doubts],
            "effects": effect_table({"now": now, "with this curve": trial}),
            "ready": True,
        }
        self._taken = design

    def _use(self) -> None:
        """Give the design the rows that are shown."""
        if self._taken is None:
            raise DesignError("file", "must be a file that can be used")
        self._state.use_design(self._taken)

    def _preview(self, table: TraceTable, settings: CurveSettings) -> dict[str, Any]:
        roles = [IGNORED] * len(table.is_number)
        roles[settings.speed_column], roles[settings.value_column] = SPEED, VALUE
        return self._rows_shown(table, ROLES) | {
            "fields": {
                "separator": table.dialect.separator, "decimal": table.dialect.decimal,
                "roles": roles, "unit": settings.unit, "basis": settings.basis,
                "efficiency": f"{shown_unit('percent').from_si(settings.efficiency):.5g}",
            },
        }  # fmt: skip


def _settings(form: dict[str, Any]) -> CurveSettings:
    roles = form_roles(form, "speed, the value or ignored")
    if roles.count(SPEED) != 1 or roles.count(VALUE) != 1:
        raise DesignError("columns", "must have one column of speed and one of measured values")
    return CurveSettings(
        roles.index(SPEED), roles.index(VALUE), form_choice(form, "unit", tuple(VALUE_UNITS)),
        form_choice(form, "basis", BASES),
        form_number(form, "efficiency", "percent", LOWEST_EFFICIENCY, 1.0),
    )  # fmt: skip
