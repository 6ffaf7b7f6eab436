"""The storyboard page: scenes as steps, put in order, said in words, and presented full screen."""

import json
import math
from dataclasses import replace
from typing import Any

from apps.components.charts import StoryboardCharts
from apps.components.storyboard_view import StepList, StoryboardStage
from apps.file_stem import file_stem
from apps.page_registry import STORYBOARD
from apps.pages.design_page import DesignPage
from apps.pages.page_template import PageTemplate
from apps.state import AppState
from apps.storyboard.example import example_storyboard
from apps.storyboard.scene_capture import place_of, scene_step
from apps.storyboard.step_scene import (
    NOTHING,
    StepScene,
    bearing_words,
    headline_choices,
    limit_names,
    step_message,
    step_scene,
)
from apps.storyboard.step_title import titled
from apps.storyboard.storyboard import (
    FORCES,
    LATER,
    MOST_STEPS,
    PICTURES,
    SHOWN,
    Step,
    Storyboard,
    changed_step,
)
from apps.storyboard.storyboard_file import read_storyboard, storyboard_text
from kinematics import DesignError
from kinematics.design.design_file import clean_text
from viz.film.shown_films import LIMITS
from viz.placed import placed
from viz.storyboard.storyboard_plots import storyboard_charts, storyboard_curves


class StoryboardPage(DesignPage):
    """A list of steps beside a stage that shows the selected; keeps the last good storyboard."""

    entry = STORYBOARD
    shows_fit = False

    def __init__(self, state: AppState) -> None:
        super().__init__(state)
        self.board = Storyboard()
        self.index = 0
        self._deleted: list[tuple[int, Step]] = []  # what may be put back, the last one first
        self.curves = list(placed(storyboard_curves).values())
        self.pictures = [*self.curves, *placed(storyboard_charts).values()]
        self.charts = StoryboardCharts()
        self.steps = StepList(self.handle_message, sizing_mode="stretch_both")
        self.stage = StoryboardStage(
            self.handle_message,
            feeds=[picture.feed for picture in self.curves],
            sizing_mode="stretch_both",
        )
        self._show()

    def template(self) -> PageTemplate:
        """Return the page with everything in its place."""
        return PageTemplate(
            "storyboard/storyboard",
            {"bar": self.bar, "steps": self.steps, "stage": self.stage, "charts": self.charts},
            self.pictures,
            plots=self.pictures,
        )

    @property
    def step(self) -> Step | None:
        """The step that is selected."""
        return self.board.steps[self.index] if self.board.steps else None

    def handle_message(self, message: dict[str, Any]) -> None:
        """Do what the browser asks for; what is refused changes nothing and is said."""
        kind = message.get("kind")
        try:
            if kind == "restore":
                self._open(message, "The storyboard stored in this tab")
            elif kind == "open":
                self._open(message, clean_text(str(message.get("name")), 60))
            elif kind == "example":
                self._keep(example_storyboard(), 0, [])
            elif kind == "add":
                self._keep(self.board.added(self._new_step(), self.index + 1), self.index + 1)
            elif kind == "pick":
                self._pick(message.get("index"))
            elif kind == "undelete" and self._deleted:
                at, step = self._deleted[-1]
                at = min(at, len(self.board.steps))
                self._keep(self.board.added(step, at), at, self._deleted[:-1])
            elif self.step is not None:
                self._do(str(kind), message, self.step)
        except DesignError as error:
            self.state.message = (f"{error} Nothing was changed.", True)
            self.steps.answer()

    def _do(self, kind: str, message: dict[str, Any], step: Step) -> None:
        """Do something with the selected step."""
        if kind == "change":
            changed = changed_step(step, str(message.get("key"))[:40], message.get("value"))
            self._keep(self.board.with_step(self.index, changed), self.index)
        elif kind == "move" and message.get("by") in (-1, 1):
            by = message["by"]
            self._keep(self.board.moved(self.index, by), self.index + by)
        elif kind == "delete":
            deleted = [*self._deleted, (self.index, step)][-MOST_STEPS:]
            self._keep(self.board.without(self.index), self.index, deleted)
        elif kind == "take":
            now = self._new_step()
            kept = replace(step, now=now.now, reference=now.reference)
            self._keep(self.board.with_step(self.index, kept), self.index)
        elif kind in ("use", "go"):
            reference = step.reference and {
                "text": step.reference.design,
                "rpm": step.reference.rpm,
            }
            self.state.restore(step.now.design, step.now.rpm, reference=reference)
            if kind == "go":
                self.bar.go(step.whence, place_of(step))
        elif kind == "save":
            stem = file_stem(self.board.steps[0].title or "storyboard")
            self.bar.offer_file(f"{stem}.storyboard.json", storyboard_text(self.board))

    def _open(self, message: dict[str, Any], name: str) -> None:
        """Take a storyboard's text in place of the present one."""
        try:
            board = read_storyboard(str(message.get("text")))
        except DesignError as error:
            self.state.message = (f"{name} was not opened. {error} Nothing was changed.", True)
            self.steps.answer()
            return
        index = message.get("index", 0)
        self._keep(board, index if isinstance(index, int) else 0, [])

    def _new_step(self) -> Step:
        """Return the tab's scene as a step that shows it as the selected one does."""
        kept = [] if self.step is None else [key for key in SHOWN if key not in (*LATER, "title")]
        step = scene_step(self.state, {key: getattr(self.step, key) for key in kept})
        return titled(step, self.step)

    def _keep(
        self, board: Storyboard, index: int, deleted: list[tuple[int, Step]] | None = None
    ) -> None:
        """Show a new storyboard and let the tab keep it; raises DesignError if it is too large."""
        kept = storyboard_text(board)
        index = min(max(index, 0), max(len(board.steps) - 1, 0))
        if board.steps:
            step_scene(board.steps[index])  # refused here where it cannot be solved
        self.board, self.index = board, index
        self._deleted = self._deleted if deleted is None else deleted
        self._show()
        self.state.message = ("", False)
        self.steps.keep(kept, index)

    def _pick(self, index: Any) -> None:
        if isinstance(index, int) and 0 <= index < len(self.board.steps):
            step_scene(self.board.steps[index])
            self.index = index
            self._show()

    def _show(self) -> None:
        """Send the list, and the selected step to the stage: its rows first, then what to draw."""
        step = self.step
        scene = None if step is None else step_scene(step)
        self.steps.board = json.dumps(self._list_message(scene))
        if scene is None:
            self.stage.param.update(blob=NOTHING, reference_blob=NOTHING)
            self.stage.step = ""
            return
        blob, reference = scene.blobs
        self.stage.param.update(blob=blob, reference_blob=reference)
        self.charts.draw(**scene.chart)
        place = {"index": self.index, "count": len(self.board.steps)}
        self.stage.step = json.dumps(step_message(scene) | place)

    def _list_message(self, scene: StepScene | None) -> dict[str, Any]:
        steps = [
            {"title": step.title, "picture": PICTURES[step.picture][0], "page": step.whence}
            for step in self.board.steps
        ]
        form = None if scene is None else _form(scene)
        deleted = self._deleted[-1][1].title if self._deleted else None
        return {"steps": steps, "index": self.index, "form": form, "deleted": deleted}


def _form(scene: StepScene) -> dict[str, Any]:
    """Return the selected step's values and what each may be."""
    step, layout = scene.step, scene.now.design.layout
    counts = {"big_end": layout.cylinders, "main": layout.throws + 1}
    bearings = [f"{kind}_{i + 1}" for kind in LIMITS for i in range(counts[kind])]
    return {
        "values": {key: getattr(step, key) for key in SHOWN},
        "of": {"now": scene.now.design.name, "rpm": step.now.rpm, "page": step.whence},
        "cycle": round(math.degrees(layout.cycle_angle)),
        "choices": {
            "picture": [(key, title) for key, (title, _) in PICTURES.items()],
            "cylinder": [(i + 1, str(i + 1)) for i in range(layout.cylinders)],
            "bearing": [(key, bearing_words(key).capitalize()) for key in bearings],
            "rung": list(limit_names(scene.now.design).items()),
            "headline": headline_choices(scene),
            "forces": list(FORCES.items()),
        },
    }
