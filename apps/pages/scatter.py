"""The tolerance study on the shaft's page: its form, the last study, and its figures."""

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from apps.background_task import BackgroundTask
from apps.components.charts import ShaftCharts
from apps.components.scatter_form import ScatterForm
from apps.components.shaft_tabs import ShaftTable
from apps.controls.example_tolerances import EXAMPLE_TOLERANCES, GRADE, SAMPLES, SEED
from apps.controls.form_number import form_choice, form_number, form_whole
from apps.pages.design_page import unbroken_json
from kinematics import Design, DesignError
from kinematics.balancing.balance_quality import GRADES
from kinematics.balancing.balance_scatter import KINDS, Spread, Spreads
from kinematics.balancing.bob_weights import BOB_SHARE, needs_bob_weights
from kinematics.balancing.scatter_study import ScatterStudy, scatter_study
from kinematics.units import as_shown, shown_unit
from viz.number_words import unbroken
from viz.shaft.balancing_card import grade_choices
from viz.shaft.scatter_charts import study_messages
from viz.shaft.scatter_tables import scatter_tables
from viz.shaft.scatter_words import (
    KIND_WORDS,
    SCATTER_NOTES,
    bob_words,
    hint_words,
    scatter_formulas,
    verdict_words,
)
from viz.shaft.shaft_table import Table, table_message, tables_csv

BOBS = ("needed", "on", "off")  # as the engine needs, on the pins, none
QUICK = 20_000  # samples: more are drawn beside other work
LEAST_SAMPLES, MOST_SAMPLES, MOST_SEED = 100, 100_000, 2**31 - 1
MOST = {"g": 1.0, "g_mm": 0.1, "deg": math.radians(5)}  # [SI] of a spread, by its unit's key
LABELS = {
    "piston_mass": "Piston, pin, rings", "rod_small_end": "Rod, small end",
    "rod_big_end": "Rod, big end", "throw_moment": "Throw", "throw_angle": "Throw angle",
    "counterweight_moment": "Counterweight", "samples": "Sample size", "seed": "Seed",
    "grade": "Grade", "bob": "Bob weights", "share": "Balance factor",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Settings:
    """What the form holds, in SI."""

    spreads: Spreads
    grade: str
    bob: str
    share: float
    samples: int
    seed: int

    def study(self, design: Design) -> ScatterStudy:
        """Return the study of a design; raises DesignError where it cannot be had."""
        with_bobs = needs_bob_weights(design.layout) if self.bob == "needed" else self.bob == "on"
        return scatter_study(
            design, self.spreads, self.grade, bob_share=self.share if with_bobs else None,
            samples=self.samples, seed=self.seed,
        )  # fmt: skip


class Scatter:
    """Makes the study when the form or the design changes, and keeps the last good one shown."""

    def __init__(
        self, charts: ShaftCharts, design: Callable[[], Design], offer: Callable[[str, str], None]
    ) -> None:
        self._charts, self._design, self._offer = charts, design, offer
        self._work = BackgroundTask()
        self._tables: tuple[Table, ...] = ()
        self._typed = ""  # what is wrong with what the form holds
        first = first_fields()
        self.settings = settings_of(first)
        self.form = ScatterForm(
            self.make,
            rows=[(name, LABELS[name], shown_unit(unit).symbol)
                  for name, (_, unit) in KIND_WORDS.items()],
            fields=first, grades=grade_choices(), sizing_mode="stretch_width",
        )  # fmt: skip
        self.table = ShaftTable(self._save, of="scatter", sizing_mode="stretch_width")

    def make(self, form: dict[str, Any]) -> None:
        """Take the form's values and make the study, or say what is wrong with one of them."""
        serial = form.get("serial")
        answer = serial if type(serial) is int and 0 <= serial <= MOST_SEED else self.form.answered
        try:
            self.settings, self._typed = settings_of(form), ""
            self.show()
        except DesignError as error:
            self._typed = _words(error)
            self.form.problem = self._typed
        finally:
            self.form.answered = answer

    def show(self) -> None:
        """Make the study of the present design; a long one beside the server's other work."""
        settings, design = self.settings, self._design()
        self._work.stop()
        if settings.samples <= QUICK:
            try:
                self.shown(settings.study(design))
            except DesignError as error:
                self._refuse(error)
            return
        self.form.busy = True
        self._work.start((settings.study(design) for _ in range(1)), self.shown, self._refuse)

    def shown(self, study: ScatterStudy) -> None:
        """Show a study."""
        self._tables = scatter_tables(study)
        self._charts.param.update(**study_messages(study))
        self.table.table = unbroken_json(table_message(*self._tables, notes=SCATTER_NOTES))
        told = {
            "verdict": verdict_words(study), "hint": hint_words(study), "bob": bob_words(study),
        }  # fmt: skip
        self.form.param.update(
            study={
                **{name: unbroken(words) for name, words in told.items()},
                "formulas": [unbroken(formula) for formula in scatter_formulas(study)],
            },
            problem=self._typed, busy=False,
        )  # fmt: skip

    def _refuse(self, error: DesignError) -> None:
        """Say why there is no study; the last good one stays."""
        self.form.param.update(problem=_words(error), busy=False)

    def _save(self, form: dict[str, Any]) -> None:
        """Offer the tables as a file."""
        if form.get("kind") == "csv" and self._tables:
            self._offer("scatter", tables_csv(*self._tables))


def _words(error: DesignError) -> str:
    name = LABELS.get(error.field.removesuffix("_way"), error.field)
    return unbroken(f"{name}: {error.message}." if name else f"{error.message}.")


def first_fields() -> dict[str, Any]:
    """Return the form's first values, in the units shown."""
    sizes = {
        name: float(f"{as_shown(size, KIND_WORDS[name][1]):.2g}")
        for name, (size, _) in EXAMPLE_TOLERANCES.items()
    }
    ways = {f"{name}_way": way for name, (_, way) in EXAMPLE_TOLERANCES.items()}
    return {**sizes, **ways, "samples": SAMPLES, "seed": SEED, "grade": GRADE, "bob": "needed",
            "share": round(100 * BOB_SHARE)}  # fmt: skip


def settings_of(form: dict[str, Any]) -> Settings:
    """Return what a form sent; raises DesignError that names its field, what came, the allowed."""
    spreads = {
        name: Spread(
            form_number(form, name, unit, 0.0, MOST[unit]),
            form_choice(form, f"{name}_way", KINDS),
        )
        for name, (_, unit) in KIND_WORDS.items()
    }
    return Settings(
        Spreads(**spreads),
        form_choice(form, "grade", tuple(row.name for row in GRADES)),
        form_choice(form, "bob", BOBS),
        form_number(form, "share", "percent", 0.0, 1.0),
        form_whole(form, "samples", LEAST_SAMPLES, MOST_SAMPLES),
        form_whole(form, "seed", 0, MOST_SEED),
    )
