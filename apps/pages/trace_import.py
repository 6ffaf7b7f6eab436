"""The import of measured pressure: a file, how it is taken, the checks, and its use."""

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from apps.components.charts import TrainCharts
from apps.components.import_form import TraceForm
from apps.controls.form_number import form_choice, form_number
from apps.pages.file_import import FileImport, form_roles
from apps.state import AppState
from kinematics import Cycle, Design, DesignError
from kinematics.design.design_firing import HIGHEST_CYLINDER
from kinematics.mechanics.firing_order import firing_angles
from kinematics.mechanics.measured_cycles import (
    EACH,
    TOGETHER,
    WHICH,
    ZEROS,
    Choice,
    MeasuredPressure,
    measured_pressure,
)
from kinematics.mechanics.pressure_trace import STRENGTH_CYCLES, PressureTrace
from kinematics.mechanics.trace_file import TraceTable
from kinematics.mechanics.trace_settings import (
    ANGLE,
    DIRECTIONS,
    IGNORED,
    MOST_OFFSET,
    PRESSURE_UNITS,
    REFERENCES,
    FiringCycle,
    TraceSettings,
    proposed_settings,
)
from kinematics.train.cycle import RigidTrain
from kinematics.train.measured_work import cylinder_cycles, pegged
from kinematics.train.trace_check import (
    TdcCheck,
    intake_offset,
    mean_check,
    shifted_trace,
    tdc_check,
    with_trace,
)
from kinematics.units import UNITS, shown_unit
from viz.number_words import unbroken
from viz.train.trace_charts import course_chart, courses_chart, log_chart, present_course
from viz.train.trace_words import (
    SMALLEST_OFFSET,
    SMALLEST_SHIFT,
    course_note,
    cycles_words,
    cylinder_table,
    doubt_words,
    effect_table,
    finding_words,
    lateness_words,
    offset_words,
    shift_words,
    stored_name,
)

FARTHEST_TDC = UNITS["deg"].to_si(1440)
FORM_FIELDS = (
    "file", "columns", "separator", "decimal", "unit", "offset", "firing_tdc", "direction",
    "reference", "cylinder", "which", "zero", "strength",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Taken:
    """What a file gives as its settings have it, with the design that would run on it."""

    measured: MeasuredPressure
    choice: Choice
    trace: PressureTrace
    file: str
    design: Design
    trial: Cycle


class TraceImport(FileImport):
    """Reads a file for the form, checks it against the design, and gives the design its trace."""

    form_fields = FORM_FIELDS

    def __init__(self, state: AppState, charts: TrainCharts) -> None:
        super().__init__(state)
        self._charts = charts
        self._taken: Taken | None = None
        self.form = TraceForm(
            self.handle, sizing_mode="stretch_width", units={"offset": shown_unit("bar").symbol}
        )

    def _propose(self, table: TraceTable) -> None:
        self._take(table, proposed_settings(table, self._cycle()), None)

    def _take_fields(self, table: TraceTable, form: dict[str, Any]) -> None:
        self._take(table, _settings(form), _choice(form))

    def _forget(self) -> None:
        self._taken = None

    def _use(self) -> None:
        """Let the design run on the trace that is shown."""
        if self._taken is None:
            raise DesignError("file", "must be a file that can be used")
        taken = self._taken
        self._state.use_trace(taken.trace, taken.file, taken.choice.strength)

    def _take(self, table: TraceTable, settings: TraceSettings, choice: Choice | None) -> None:
        """Show a table under settings; what can be shown of it is, even where it cannot be used.

        Without a choice each cylinder runs on its own course, if all are measured.
        """
        self._table = table
        self._taken = None
        self._shown = self._preview(table, settings, choice or Choice())
        measured = measured_pressure(table, settings, self._cycle())
        choice = self._possible(choice or Choice(EACH), measured)
        shown = self._preview(table, settings, choice)
        if choice.zero == "intake":
            measured = pegged(self._state.design, measured)
        self._draw_courses(measured, choice)
        trace = measured.trace(choice)
        name = stored_name(self._name, measured, choice, settings)
        design = with_trace(self._state.design, trace, name, choice.strength)
        trial = Cycle(RigidTrain(design), self._state.cycle.speed)
        taken = Taken(measured, choice, trace, name, design, trial)
        self._shown = shown | {
            "choices": self._choices(measured, choice),
            **self._findings(taken, settings),
            "ready": True,
        }
        self._taken = taken

    def _findings(self, taken: Taken, settings: TraceSettings) -> dict[str, Any]:
        """Return what the checks find and offer, and draw the logarithmic diagram."""
        design, trial, measured = taken.design, taken.trial, taken.measured
        now = self._state.cycle
        present = present_course(now)
        warnings, finding = list(trial.train.warnings), ""
        effects = {present.name: now, "this trace": trial}
        checks, refused = _tdc_checks(taken)
        warnings += refused
        check = mean_check(list(checks.values())) if checks else None
        if check is not None:
            late = shifted_trace(taken.trace, check.late, design.layout.cycle_angle)
            shifted = Cycle(RigidTrain(with_trace(design, late, taken.file)), now.speed)
            effects["shifted"] = shifted
            words = finding_words(check, len(checks)), lateness_words(check, trial, shifted)
            finding = " ".join(words).strip()
            warnings += filter(None, [doubt_words(check)])
        one = next(iter(checks), taken.choice.cylinder)
        cycles = measured.cycles(one)
        self._charts.draw(
            trace_log=log_chart(design.cylinder, cycles, present, checks.get(one),
                                f"cylinder {one}" if one > 0 else "measured")
        )  # fmt: skip
        return {
            "note": unbroken(course_note(measured, taken.choice)),
            "words": unbroken(cycles_words(measured, taken.choice)),
            "finding": unbroken(finding),
            "warnings": [unbroken(words) for words in warnings],
            "offers": _shift_offer(settings, check) + _offset_offers(settings, taken, check),
            "by_cylinder": cylinder_table(cylinder_cycles(design.cylinder, measured), checks),
            "effects": effect_table(effects),
        }

    def _possible(self, choice: Choice, measured: MeasuredPressure) -> Choice:
        """Return a choice, of all together where the cylinders that it needs are not measured.

        Strength takes the course chosen where no higher cycle is beside it.
        """
        known = {TOGETHER, *measured.by_cylinder}
        if self._all_measured(measured):
            known.add(EACH)
        if choice.cylinder not in known:
            choice = replace(choice, cylinder=TOGETHER)
        return choice if measured.has_highest_cycle(choice) else replace(choice, strength="mean")

    def _all_measured(self, measured: MeasuredPressure) -> bool:
        return 1 < len(measured.by_cylinder) == self._state.design.layout.cylinders

    def _draw_courses(self, measured: MeasuredPressure, choice: Choice) -> None:
        present = present_course(self._state.cycle)
        if choice.cylinder == EACH:
            chart = courses_chart(measured, choice.which, present)
        else:
            chart = course_chart(measured.cycles(choice.cylinder), present)
        self._charts.draw(trace_course=chart)

    def _choices(self, measured: MeasuredPressure, choice: Choice) -> dict[str, Any]:
        """Return the cylinders and the cycles that may be taken, with their words."""
        strength = [["mean", "the course chosen"]]
        if measured.has_highest_cycle(choice):
            strength.append(["highest", "cycle of highest peak"])
        return {"cylinder": self._cylinders(measured), "strength": strength}

    def _cylinders(self, measured: MeasuredPressure) -> list[list[str]]:
        numbers = list(measured.by_cylinder)
        if len(numbers) == 1:
            return [[str(TOGETHER), f"cylinder {numbers[0]}"]]
        own = [[str(EACH), "each cylinder its own"]] if self._all_measured(measured) else []
        together = [str(TOGETHER), f"all {len(numbers)} measured, together"]
        return [*own, together, *([str(k), f"cylinder {k}"] for k in numbers)]

    def _cycle(self) -> FiringCycle:
        layout = self._state.design.layout
        return FiringCycle(layout.cycle_angle, tuple(firing_angles(layout)))

    def _preview(
        self, table: TraceTable, settings: TraceSettings, choice: Choice
    ) -> dict[str, Any]:
        """Return the file's first rows and the fields as they stand."""
        numbers = range(1, self._state.design.layout.cylinders + 1)
        cylinders = [(number, f"cylinder {number}") for number in numbers]
        roles = [(IGNORED, "ignored"), (ANGLE, "crank angle"), *cylinders]
        return self._rows_shown(table, roles) | {
            "fields": {
                "separator": table.dialect.separator, "decimal": table.dialect.decimal,
                "roles": list(settings.roles), "unit": settings.unit,
                "offset": _as_typed(settings.offset, "bar"),
                "firing_tdc": _as_typed(settings.firing_tdc, "deg"),
                "direction": settings.direction, "reference": settings.reference,
                "cylinder": str(choice.cylinder), "which": choice.which, "zero": choice.zero,
                "strength": choice.strength,
            },
        }  # fmt: skip


def _settings(form: dict[str, Any]) -> TraceSettings:
    return TraceSettings(
        form_roles(form, "crank angle, ignored or a cylinder"),
        form_choice(form, "unit", tuple(PRESSURE_UNITS)),
        form_number(form, "offset", "bar", -MOST_OFFSET, MOST_OFFSET),
        form_number(form, "firing_tdc", "deg", -FARTHEST_TDC, FARTHEST_TDC),
        form_choice(form, "direction", tuple(DIRECTIONS)),
        form_choice(form, "reference", REFERENCES),
    )


def _choice(form: dict[str, Any]) -> Choice:
    cylinder = form.get("cylinder")
    allowed = [str(number) for number in range(EACH, HIGHEST_CYLINDER + 1)]
    if cylinder not in allowed:
        raise DesignError("cylinder", "must be one that is measured, each or all together")
    which, zero = form_choice(form, "which", WHICH), form_choice(form, "zero", ZEROS)
    return Choice(int(cylinder), which, zero, form_choice(form, "strength", STRENGTH_CYCLES))


def _tdc_checks(taken: Taken) -> tuple[dict[int, TdcCheck], list[str]]:
    """Return the checks of the courses chosen, by cylinder, and why others have none."""
    measured, chosen = taken.measured, taken.choice.cylinder
    checks, refused = {}, []
    for number in measured.by_cylinder if chosen == EACH else [chosen]:
        cycles = measured.cycles(number)
        try:
            checks[number] = tdc_check(taken.design, cycles.after_tdc, cycles.mean)
        except DesignError as error:
            of = f" of cylinder {number}" if number > 0 else ""
            refused.append(f"No TDC check{of}: {error.message}.")
    return checks, refused


def _shift_offer(settings: TraceSettings, check: TdcCheck | None) -> list[dict[str, str]]:
    if check is None or abs(check.late) < SMALLEST_SHIFT:
        return []
    wanted = settings.firing_tdc + DIRECTIONS[settings.direction] * check.late
    label = unbroken(shift_words(check.late))
    return [{"label": label, "field": "firing_tdc", "value": _as_typed(wanted, "deg")}]


def _offset_offers(
    settings: TraceSettings, taken: Taken, check: TdcCheck | None
) -> list[dict[str, str]]:
    """Return the offsets that may be added to all; none where each cylinder has its own zero."""
    if taken.choice.zero != "given":
        return []
    cycles = taken.measured.cycles(taken.choice.cylinder)
    intake = intake_offset(taken.design, cycles.after_tdc, cycles.mean)
    found = [
        ("compression as a polytrope", None if check is None else check.lacking),
        ("intake pressure at BDC", intake),
    ]
    return [
        {
            "label": unbroken(offset_words(offset, why)),
            "field": "offset",
            "value": _as_typed(settings.offset + offset, "bar"),
        }
        for why, offset in found
        if offset is not None
        and abs(offset) >= SMALLEST_OFFSET
        and abs(settings.offset + offset) < MOST_OFFSET
    ]


def _as_typed(value: float, key: str) -> str:
    """Return a value [SI] as its field has it, in the unit shown."""
    return f"{np.round(shown_unit(key).from_si(value), 3):.7g}"
