"""A storyboard's step as it is presented: its cycles, films, limits and headline number."""

from dataclasses import asdict, dataclass
from functools import lru_cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

from apps.controls.example_tolerances import example_study
from apps.shown_numbers import reference_words, shown_number
from apps.storyboard.storyboard import FORCES, PICTURES, TABLES, Setting, Step
from apps.variants import LETTERS
from kinematics import Cycle, Design, DesignError, parse_design, solve_cycle
from kinematics.limits.named_results import SUBJECTS
from kinematics.limits.own_criteria import OWN_PART
from kinematics.limits.speed_limits import Rung, speed_limits
from kinematics.units import shown_system
from viz.chart import Chart
from viz.film.film_numbers import film_numbers
from viz.film.film_scene import film_bytes
from viz.film.shown_films import ShownBearing, ShownFilms
from viz.firing_words import firing_words
from viz.limits.limit_board import ladder_message, limit_text, margin_text
from viz.limits.rung_marks import DAGGER, band_range, left_out_briefly
from viz.number_words import MISSING
from viz.review.variant_table import Column
from viz.speed_words import rpm_text
from viz.storyboard.storyboard_plots import FIGURES, SCATTER, storyboard_chart
from viz.storyboard.storyboard_tables import (
    StageTable,
    changes_table,
    films_table,
    inputs_table,
    margins_table,
    review_table,
    variants_table,
)
from viz.train.main_number import MainNumber
from viz.train.main_numbers import main_numbers
from viz.train.scene import scene_bytes

FILM_PICTURES = ("journal", "load")
MOST_RUNGS = 14  # of a ladder that are read from the back of a room
RUNGS = {
    criterion.key: f"{criterion.part}: {criterion.label}"
    for _, criteria in SUBJECTS
    for criterion in criteria
}  # by key, in words
COMPARED = {"inputs": inputs_table, "changes": changes_table, "review": review_table}
NOTHING: NDArray[np.uint8] = np.zeros(0, np.uint8)


@dataclass(frozen=True, slots=True)
class StepScene:
    """What a step shows; the reference cycle is None where there is none."""

    step: Step
    now: Cycle
    reference: Cycle | None

    @property
    def blobs(self) -> tuple[NDArray[np.uint8], NDArray[np.uint8]]:
        """Scene or films of both cycles, as the picture needs them."""
        if self.step.picture in (*TABLES, *FIGURES, "ladder"):
            return NOTHING, NOTHING
        if self.step.picture not in FILM_PICTURES:
            packed = scene_bytes
            return packed(self.now), NOTHING if self.reference is None else packed(self.reference)
        if self.bearing is None:
            return NOTHING, NOTHING
        return _film_blob(self.step.now), _film_blob(self.step.reference)

    @property
    def bearing(self) -> ShownBearing | None:
        """The bearing that is selected; None without films."""
        return _bearing(self.step.now, self.step.bearing)

    @property
    def rungs(self) -> tuple[Rung | None, Rung | None]:
        """The rung that is selected, of both designs."""
        found = [
            None if cycle is None else speed_limits(cycle.design).rung(self.step.rung)
            for cycle in (self.now, self.reference)
        ]
        return found[0], found[1]

    @property
    def table(self) -> StageTable | None:
        """The step's table; None where its picture is none, or it cannot be had."""
        picture, shown = self.step.picture, films(self.step.now)[0]
        if picture == "margins":
            return margins_table(speed_limits(self.now.design))
        if picture == "films":
            return None if shown is None else films_table(shown)
        if picture == "variants":
            return variants_table(self.columns)
        if picture not in COMPARED or self.reference is None:
            return None
        return COMPARED[picture](self.reference, self.now)

    @property
    def chart(self) -> dict[str, Chart]:
        """The step's chart by the name of its figure; empty where its picture is none."""
        found = self._chart_or_why[0]
        return {} if found is None else {FIGURES[self.step.picture]: found}

    @property
    def _chart_or_why(self) -> tuple[Chart | None, str]:
        """The step's chart, or why there is none; neither where its picture is no chart."""
        picture = self.step.picture
        if picture not in FIGURES:
            return None, ""
        try:
            study = example_study(self.now.design) if picture in SCATTER else None
            return storyboard_chart(picture, self.step.rung, self.now, self.reference, study), ""
        except DesignError as error:
            return None, str(error)

    @property
    def columns(self) -> list[Column]:
        """The reference, the design and its variants, as a table has them."""
        found = [] if self.reference is None else [
            Column("A", self.reference.design.name, "reference", self.reference)
        ]  # fmt: skip
        found.append(Column("B", self.now.design.name, "present", self.now))
        return found + [
            Column(letter, own.name, "", solved(own.setting))
            for letter, own in zip(LETTERS, self.step.variants, strict=False)
        ]

    @property
    def ladder(self) -> dict[str, Any] | None:
        """The ladder's first rungs as its view draws them; None where the step shows none."""
        if self.step.picture != "ladder":
            return None
        before = None if self.reference is None else speed_limits(self.reference.design)
        words = reference_words(self.reference)
        message = ladder_message(
            speed_limits(self.now.design), before, words, with_misfires=False, with_bands=False
        )
        rungs = message["rungs"]
        shown = {"rungs": rungs[:MOST_RUNGS], "more": max(len(rungs) - MOST_RUNGS, 0)}
        return message | shown | {"name": self.now.design.name}

    @property
    def problem(self) -> str:
        """Why the picture cannot be had, or empty."""
        if self.step.picture in COMPARED:
            return "" if self.reference else "This step has no reference to compare with."
        if self.step.picture == "films":
            return _no_films(films(self.step.now)[1])
        if why := self._chart_or_why[1]:
            return f"{PICTURES[self.step.picture][0]}: not to be had. {why}"
        name = limit_names(self.now.design).get(self.step.rung, "This limit")
        if self.step.picture in ("limit", "limit_own") and self.rungs[0] is None:
            return f"{name} is not assessed for this design."
        if self.step.picture == "limit_own" and not self.chart:
            return f"{name} has no chart of its own to show here."
        if self.step.picture not in FILM_PICTURES or self.bearing is not None:
            return ""
        why = _no_films(films(self.step.now)[1])
        return why or f"This design has no {bearing_words(self.step.bearing)}."

    @property
    def headline(self) -> dict[str, Any] | None:
        """The headline number, and how it differs from the reference; None if there is none."""
        kind, _, key = self.step.headline.partition(".")
        number = _number(self.step.now, kind, key, self.step.bearing)
        if number is None:
            return None
        if isinstance(number, dict):
            return number
        reference = self.step.reference
        before = None if reference is None else _number(reference, kind, key, self.step.bearing)
        told = shown_number(number, before if isinstance(before, MainNumber) else None, True)
        if kind == "film" and self.bearing is not None:
            told["label"] = film_label(self.bearing, number)
        kept = ("label", "text", "unit", "place", "reference", "difference")
        return {name: told[name] for name in kept}


@lru_cache(maxsize=32)
def solved(setting: Setting) -> Cycle:
    """Return the cycle of a setting, kept for the last ones; raises DesignError."""
    cycle = solve_cycle(parse_design(setting.design), setting.rpm)
    _ = cycle.train.pressure
    return cycle


@lru_cache(maxsize=32)
def films(setting: Setting) -> tuple[ShownFilms | None, str]:
    """Return the films of a setting, kept for the last ones, or None and why there are none."""
    try:
        return ShownFilms(solved(setting)), ""
    except DesignError as error:
        return None, str(error)


def step_scene(step: Step) -> StepScene:
    """Return what a step shows; raises DesignError where its designs cannot be solved."""
    return StepScene(
        step, solved(step.now), None if step.reference is None else solved(step.reference)
    )


def _no_films(why: str) -> str:
    return f"No films: {why}" if why else ""


def bearing_words(key: str) -> str:
    """Return a bearing's key in words."""
    kind, _, place = key.rpartition("_")
    return f"{kind.replace('_', ' ')} {place}"


def step_message(scene: StepScene) -> dict[str, Any]:
    """Return what the stage draws and says of a step."""
    step = scene.step
    return {
        "title": step.title,
        "note": step.note,
        "speaker": step.speaker,
        "table": _table_message(scene),
        "ladder": scene.ladder,
        "picture": step.picture,
        "problem": scene.problem,
        "cylinder": min(step.cylinder, scene.now.design.layout.cylinders) - 1,
        "bearing": step.bearing,
        "angle": step.angle_deg,
        "moving": step.moving,
        "forces": {key: key in step.forces for key in FORCES},
        "headline": scene.headline,
        "reference": reference_words(scene.reference),
        "firing": firing_words(scene.now.design),
    }


def _table_message(scene: StepScene) -> dict[str, Any] | None:
    table = scene.table
    return None if table is None else asdict(table)


def headline_choices(scene: StepScene) -> list[tuple[str, str]]:
    """Return (key, label) of all numbers that may be a step's headline."""
    chosen = [(f"main.{number.key}", number.label) for number in main_numbers(scene.now)]
    if scene.bearing is not None:
        numbers = _film_numbers(scene.step.now, scene.step.bearing)
        chosen += [(f"film.{number.key}", film_label(scene.bearing, number)) for number in numbers]
    names = limit_names(scene.now.design)
    return chosen + [(f"limit.{key}", f"{words}, limit speed") for key, words in names.items()]


def limit_names(design: Design) -> dict[str, str]:
    """Return part and label of every criterion by its key, those of the design's own last."""
    return RUNGS | {own.key: f"{OWN_PART}: {own.name}" for own in design.criteria}


def film_label(bearing: ShownBearing, number: MainNumber) -> str:
    """Return a film number's label with the bearing it is of."""
    return f"{bearing.title}: {number.label[0].lower()}{number.label[1:]}"


def _film_blob(setting: Setting | None) -> NDArray[np.uint8]:
    shown = None if setting is None else films(setting)[0]
    return NOTHING if shown is None else film_bytes(shown)


def _bearing(setting: Setting, key: str) -> ShownBearing | None:
    shown = films(setting)[0]
    return None if shown is None else shown.bearing(key)


def _film_numbers(setting: Setting, bearing: str) -> tuple[MainNumber, ...]:
    return _cached_film_numbers(setting, bearing, shown_system())


@lru_cache(maxsize=64)
def _cached_film_numbers(setting: Setting, bearing: str, _system: str) -> tuple[MainNumber, ...]:
    found = _bearing(setting, bearing)
    return () if found is None else film_numbers(found)


def _number(
    setting: Setting, kind: str, key: str, bearing: str
) -> MainNumber | dict[str, Any] | None:
    """Return a number of a setting by its kind and key; a limit is told in its own words."""
    if kind == "limit":
        return _limit(solved(setting), key)
    found = main_numbers(solved(setting)) if kind == "main" else _film_numbers(setting, bearing)
    return next((number for number in found if number.key == key), None)


def _limit(cycle: Cycle, key: str) -> dict[str, Any] | None:
    """Return a limit speed as a headline: a number if it is one, else words."""
    ladder = speed_limits(cycle.design)
    rung = ladder.rung(key)
    if rung is None:
        return None
    margin = margin_text(ladder, rung)
    words = limit_text(ladder, rung)
    others = band_range(rung)
    finite = 0 < rung.limit < float("inf")
    return {
        "label": f"{limit_names(cycle.design)[key]}, limit speed",
        "text": rpm_text(rung.limit) if finite else words,
        "unit": "",
        "place": "; ".join(
            filter(
                None,
                (
                    "" if margin == MISSING else f"{margin} on the rated speed",
                    f"{others} by other models" if others else "",
                    *(f"{DAGGER} {words}" for words in left_out_briefly(rung)),
                ),
            )
        ),
        "reference": None,
        "difference": None,
    }
