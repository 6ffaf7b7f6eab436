"""The criteria of a design's own on the limits page: listed, checked as they are typed, saved."""

import dataclasses
from collections.abc import Callable
from typing import Any

from apps.components.own_criteria_form import OwnCriteriaForm
from apps.controls.own_criteria_form import (
    criteria_asked_for,
    listed_criteria,
    listed_names,
    listed_units,
    preview,
)
from apps.state import AppState
from kinematics import DesignError
from kinematics.design.own_criterion import MOST_CRITERIA


class OwnCriteria:
    """Answers the form; `on_saved` is called with the key of a criterion that was saved."""

    def __init__(self, state: AppState, on_saved: Callable[[str], None]) -> None:
        self._state, self._on_saved = state, on_saved
        self.form = OwnCriteriaForm(
            self.handle_message, names=listed_names(), units=listed_units(), most=MOST_CRITERIA,
            rows=listed_criteria(state.design), sizing_mode="stretch_width",
        )  # fmt: skip
        state.param.watch(lambda *_: self._show(), ["cycle"])

    def handle_message(self, message: dict[str, Any]) -> None:
        """Do what the form asks for; what is wrong stands beside its field."""
        if message["kind"] == "remove":
            self._remove(message["index"])
            return
        design = self._state.design
        asked = criteria_asked_for(design, message["form"])
        problems, words = asked.problems, "" if asked.own is None else preview(design, asked.own)
        if message["kind"] == "save" and asked.own is not None:
            try:
                self._state.use_design(dataclasses.replace(design, criteria=asked.criteria))
            except DesignError as error:
                problems = {"": str(error)}
            else:
                self._on_saved(asked.own.key)
        saved = message["kind"] == "save" and not problems
        self.form.answer(message["serial"], problems, words, saved=saved)

    def _remove(self, index: int) -> None:
        rows = self._state.design.criteria
        if 0 <= index < len(rows):
            left = (*rows[:index], *rows[index + 1 :])
            self._state.use_design(dataclasses.replace(self._state.design, criteria=left))

    def _show(self) -> None:
        self.form.rows = listed_criteria(self._state.design)
