"""What every page has: the top bar and the controls, wired to the state."""

import json
from collections.abc import Collection
from typing import Any, ClassVar

from apps.background_task import BackgroundTask
from apps.components.command_bar import CommandBar
from apps.components.control_panel import ControlPanel
from apps.controls.controls import Groups, control_groups, control_values
from apps.controls.slider_range import SliderRanges
from apps.failures import failures_go_to
from apps.file_stem import file_stem
from apps.page_registry import BAR_PAGES, CRANK_TRAIN, PageEntry
from apps.pages.fit_line import line_text, rows_text
from apps.pages.page_template import PageTemplate
from apps.report import report_html
from apps.shown_numbers import reference_words
from apps.solid_files import solid_file
from apps.state import AppState, shown_rpm
from apps.storyboard.scene_capture import page_view, scene_step, with_scene
from assets_demo import demo_paths
from kinematics import DesignError, design_text, load_design
from viz.firing_words import firing_words
from viz.number_words import unbroken
from viz.train.trace_words import trace_words


class DesignPage:
    """What every page has, wired to the state: the top bar and the controls."""

    entry: ClassVar[PageEntry]
    groups: Groups = ()
    shows_fit: ClassVar[bool] = True  # whether the page is about the design

    def __init__(self, state: AppState) -> None:
        self.state = state
        self._reports = BackgroundTask()
        self._ranges = SliderRanges()
        failures_go_to(self.say_failure)
        self.bar = CommandBar(
            self.command,
            demos=list(demo_paths()),
            pages=[(page.label, page.href) for page in BAR_PAGES],
            page=self.entry.label,
            purpose=self.entry.purpose,
            makes_steps=self.entry.step_part is not None,
            keys=list(self.entry.keys),
            import_page="" if self.entry is CRANK_TRAIN else CRANK_TRAIN.href,
            sizing_mode="stretch_width",
        )
        self.controls = ControlPanel(state.change, sizing_mode="stretch_width")
        self._show_controls()
        self._show_fit()
        self.show_words()
        state.param.watch(lambda *_: self._show_controls(), ["cycle"])
        state.param.watch(lambda *_: self._show_fit(), ["cycle"])
        state.param.watch(lambda *_: self._show_reference(), ["reference"])
        state.param.watch(lambda *_: self.show_words(), ["cycle", "problem", "message", "demo"])
        kept = ["cycle", "reference", "demo", "question", "variants"]
        state.param.watch(lambda *_: self._count_change(), kept)
        state.param.watch(lambda *_: self._show_history(), ["may_undo", "may_redo"])

    def template(self) -> PageTemplate:
        """Return the page with everything in its place."""
        raise NotImplementedError

    def say_failure(self, words: str) -> None:
        """Say in the top bar what went wrong; what is shown stays."""
        self.state.message = (words, True)

    def command(self, message: dict[str, Any]) -> None:
        """Do what the top bar asks for."""
        kind, name, content = (message.get(part) for part in ("kind", "name", "text"))
        name, state = str(name)[:200], self.state
        plain = {
            "model": state.use_model,
            "all_fire": state.fire_all,
            "set_reference": state.set_reference,
            "clear_reference": state.clear_reference,
            "undo": state.undo,
            "redo": state.redo,
            "save": self._save,
            "report": self._report,
            "solids": self._save_solids,
            "fit_list": self._show_fit_list,
        }
        if kind in plain:
            plain[kind]()
        elif kind == "demo" and name in demo_paths():
            state.open_demo(name, demo_paths()[name])
        elif kind == "draft":
            self.store_draft(message.get("serial"))
        elif isinstance(content, str):
            self._take(str(kind), name, content, message)

    def _take(self, kind: str, name: str, content: str, message: dict[str, Any]) -> None:
        """Take what a file or the tab brings."""
        if kind == "design":
            self.state.open_design_text(content, name)
        elif kind == "restore":
            self._restore(content, message)
        elif kind == "step":
            self._add_scene(content, message.get("place"))

    @property
    def selected_key(self) -> str:
        """The key of the bearing or limit that is selected; empty on pages without one."""
        return ""

    def _add_scene(self, board: str, place: Any) -> None:
        """Put what the page shows at the end of the tab's storyboard, or say why not."""
        try:
            view = page_view(self.state, self.entry, self.selected_key, place)
            content, index = with_scene(board, scene_step(self.state, view))
        except DesignError as error:
            self.state.message = (f"The view was not added. {error}", True)
            return
        self.bar.store_storyboard(content, index)

    def _report(self) -> None:
        """Make a report beside the server's other work, for it takes seconds; offer it then."""
        design, speed_rpm, reference = self.state.design, self.state.speed_rpm, self.state.reference
        against = None if reference is None else reference.design
        question = self.state.question
        self.state.message = ("Creating the report; it takes a few seconds.", False)

        def offer(content: str) -> None:
            self.state.message = ("The report is ready; the browser saves it.", False)
            self.bar.offer_file(f"{file_stem(design.name)}-report.html", content)

        def refuse(error: DesignError) -> None:
            self.state.message = (f"No report. {error}", True)

        made = (report_html(design, speed_rpm, against, question=question) for _ in range(1))
        self._reports.start(made, offer, refuse)

    def _save(self) -> None:
        design = self.state.design
        self.bar.offer_file(f"{file_stem(design.name)}.toml", design_text(design))

    def _save_solids(self) -> None:
        """Offer the crank train's solids as one file, or say what they need."""
        design = self.state.design
        try:
            content = solid_file(design, ".gltf", 0.0).decode()
        except DesignError as error:
            self.state.message = (f"Nothing saved: this {error.message}", True)
            return
        self.bar.offer_file(f"{file_stem(design.name)}.gltf", content)

    def store_draft(self, serial: Any = None) -> None:
        """Let the browser's tab keep the design; this also answers a restored draft."""
        draft = {**self.state.draft(), "steps": self.state.steps_change()}
        self.bar.store_draft({**draft, "serial": serial})

    def show_words(self) -> None:
        """Show names, messages and problems."""
        state = self.state
        key, problem = state.problem
        message, bad = state.message
        if problem and key not in self.controls.values:
            message, bad = f"{key}: {problem}", True
        self.controls.problem = {"key": key, "text": problem} if problem else {}
        self.bar.param.update(
            title=state.design.name,
            note=state.design.note,
            demo=state.demo,
            firing=firing_words(state.design),
            message={"text": message, "bad": bad},
            trace=trace_words(state.design),
            on_trace=state.may_use_model,
        )

    def _restore(self, content: str, stored: dict[str, Any]) -> None:
        demo = stored.get("demo")
        self.state.restore(
            content,
            stored.get("rpm"),
            demo=demo if demo in list(demo_paths()) else "",
            reference=stored.get("reference"),
            place="of the link" if stored.get("of_link") is True else "stored in this tab",
            steps=stored.get("steps") or {},
        )
        self.state.restore_review(stored)
        self.store_draft()

    def shown_groups(self) -> list[dict[str, Any]]:
        """Return the groups of controls of the present design."""
        return control_groups(self.state.design, self.groups, self._ranges)

    def _show_controls(self) -> None:
        self.controls.param.update(
            groups=self.shown_groups(),
            values=control_values(self.state.design, self.state.speed_rpm, self.groups),
        )

    @property
    def own_keys(self) -> Collection[str]:
        """The keys of the fields that this page can change."""
        return self.controls.values

    def _show_fit(self) -> None:
        if self.shows_fit:
            self.bar.fit = line_text(self.state.design, self.own_keys)

    def _show_fit_list(self) -> None:
        self.bar.fit_list = rows_text(self.state.design, self.own_keys)

    def _show_reference(self) -> None:
        reference = self.state.reference
        self.bar.reference = reference_words(reference)
        self.controls.reference = (
            {}
            if reference is None
            else control_values(reference.design, shown_rpm(reference), self.groups)
        )

    def _show_history(self) -> None:
        self.bar.param.update(may_undo=self.state.may_undo, may_redo=self.state.may_redo)

    def _count_change(self) -> None:
        self.bar.revision += 1


def first_design() -> AppState:
    """Return a fresh state on the first demo design."""
    name, path = next(iter(demo_paths().items()))
    return AppState(load_design(path), demo=name)


def unbroken_json(message: dict[str, Any]) -> str:
    """Return a message as JSON, with spaces in its numbers at which no line breaks."""
    return unbroken(json.dumps(message, ensure_ascii=False))
