"""What every page has, and the crank train's page with its curves, bearings and numbers."""

import json
import math
from dataclasses import asdict, dataclass
from typing import Any

import numpy as np

from apps.background_task import BackgroundTask
from apps.components.command_bar import CommandBar
from apps.components.control_panel import ControlPanel
from apps.components.number_board import NumberBoard
from apps.components.train_view import TrainView
from apps.controls.controls import GROUPS, Groups, control_groups, control_values
from apps.failures import failures_go_to
from apps.pages.page_template import PageTemplate, served
from apps.report import report_html
from apps.state import AppState, shown_rpm
from apps.storyboard.scene_capture import page_view, scene_step, with_scene
from assets_demo import demo_paths
from kinematics import Cycle, DesignError, design_text, load_design
from kinematics.train.cycle import RigidTrain
from viz.compare.compared_row import Side, told_in_percent
from viz.number_words import format_number, signed, unbroken
from viz.speed_words import rpm_text
from viz.themed import Picture
from viz.train.main_numbers import MainNumber, main_numbers
from viz.train.scene import scene_bytes
from viz.train.train_pictures import train_pictures

Keys = tuple[tuple[str, str], ...]  # key, and what it does
PAGES = (
    ("Crank train", "./"),
    ("Bearings", "bearings"),
    ("Shaft", "shaft"),
    ("Limits", "limits"),
    ("Compare", "compare"),
    ("Storyboard", "present"),
    ("Lessons", "lessons"),
    ("Sales talk", "talk"),
)
TIME_KEYS: Keys = (
    ("Space", "play or pause"),
    ("← →", "1° back or on"),
    ("Shift ← →", "10° back or on"),
    ("Home, End", "start or end of the cycle"),
    (", and .", "slower, faster"),
)
TRAIN_KEYS: Keys = (*TIME_KEYS, ("1 … 9", "pick a cylinder"))
CURVES = ("acceleration", "rod_force", "side_thrust", "crank_torque")
PANES = (
    ("big-end", "Big end", "", ("big_end",)),
    ("mains", "Main bearings", "mains", ("main_bearings",)),
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
    plots: tuple[Picture, ...]


class DesignPage:
    """What every page has, wired to the state: the top bar and the controls."""

    def __init__(self, state: AppState, *, page: str, groups: Groups, keys: Keys) -> None:
        self.state = state
        self.groups = groups
        self._reports = BackgroundTask()
        failures_go_to(self.say_failure)
        self.bar = CommandBar(
            self.command,
            demos=list(demo_paths()),
            pages=list(PAGES),
            page=page,
            keys=list(keys),
            sizing_mode="stretch_width",
        )
        self.controls = ControlPanel(state.change, sizing_mode="stretch_width")
        self._show_controls()
        self.show_words()
        state.param.watch(lambda *_: self._show_controls(), ["cycle"])
        state.param.watch(lambda *_: self._show_pinned(), ["reference"])
        state.param.watch(lambda *_: self.show_words(), ["cycle", "problem", "message", "demo"])
        state.param.watch(lambda *_: self._count_change(), ["cycle", "reference", "demo"])
        state.param.watch(lambda *_: self._show_history(), ["may_undo", "may_redo"])

    def say_failure(self, words: str) -> None:
        """Say in the top bar what went wrong; what is shown stays."""
        self.state.message = (words, True)

    def command(self, message: dict[str, Any]) -> None:
        """Do what the top bar asks for."""
        kind, name, content = (message.get(part) for part in ("kind", "name", "text"))
        name, state = str(name)[:200], self.state
        plain = {
            "model": state.use_model, "pin": state.pin, "unpin": state.unpin, "undo": state.undo,
            "redo": state.redo, "save": self._save, "report": self._report,
        }  # fmt: skip
        if kind in plain:
            plain[kind]()
        elif kind == "demo" and name in demo_paths():
            state.open_demo(name, demo_paths()[name])
        elif kind == "draft":
            self.keep_draft(message.get("serial"))
        elif isinstance(content, str):
            self._take(str(kind), name, content, message)

    def _take(self, kind: str, name: str, content: str, message: dict[str, Any]) -> None:
        """Take what a file or the tab brings."""
        if kind == "design":
            self.state.open_design_text(content, name)
        elif kind == "trace":
            self.state.open_trace_text(content, name)
        elif kind == "restore":
            self._restore(content, message)
        elif kind == "step":
            self._keep_scene(content, message.get("place"))

    @property
    def picked_key(self) -> str:
        """The key of the bearing or limit that is picked; empty on pages without one."""
        return ""

    def _keep_scene(self, board: str, place: Any) -> None:
        """Put what the page shows at the end of the tab's storyboard, or say why not."""
        try:
            view = page_view(self.state, self.bar.page, self.picked_key, place)
            content, index = with_scene(board, scene_step(self.state, view))
        except DesignError as error:
            self.state.message = (f"The scene was not kept. {error}", True)
            return
        self.bar.keep_storyboard(content, index)

    def _report(self) -> None:
        """Make a report beside the server's other work, for it takes seconds; offer it then."""
        design, speed_rpm, pinned = self.state.design, self.state.speed_rpm, self.state.reference
        self.state.message = ("The report is being made; it takes a few seconds.", False)

        def offer(content: str) -> None:
            self.state.message = ("The report is made; the browser saves it.", False)
            self.bar.offer_file(f"{file_stem(design.name)}-report.html", content)

        def refuse(error: DesignError) -> None:
            self.state.message = (f"There is no report. {error}", True)

        made = (report_html(design, speed_rpm, pinned and pinned.design) for _ in range(1))
        self._reports.start(made, offer, refuse)

    def _save(self) -> None:
        design = self.state.design
        self.bar.offer_file(f"{file_stem(design.name)}.toml", design_text(design))

    def keep_draft(self, serial: Any = None) -> None:
        """Let the browser's tab keep the design; this also answers a restored draft."""
        told = {**self.state.draft(), "steps": self.state.told_steps()}
        self.bar.keep_draft({**told, "serial": serial})

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
            message={"text": message, "bad": bad},
            on_trace=state.may_use_model,
        )

    def _restore(self, content: str, kept: dict[str, Any]) -> None:
        demo = kept.get("demo")
        self.state.restore(
            content,
            kept.get("rpm"),
            demo=demo if demo in list(demo_paths()) else "",
            pinned=kept.get("pinned"),
            place="of the link" if kept.get("of_link") is True else "kept in this tab",
            steps=kept.get("steps") or {},
        )
        self.keep_draft()

    def _show_controls(self) -> None:
        design = self.state.design
        self.controls.param.update(
            groups=control_groups(design, self.groups),
            values=control_values(design, self.state.speed_rpm, self.groups),
        )

    def _show_pinned(self) -> None:
        pinned = self.state.reference
        self.bar.pinned = "" if pinned is None else pinned_words(pinned)
        self.controls.reference = (
            {} if pinned is None else control_values(pinned.design, shown_rpm(pinned), self.groups)
        )

    def _show_history(self) -> None:
        self.bar.param.update(may_undo=self.state.may_undo, may_redo=self.state.may_redo)

    def _count_change(self) -> None:
        self.bar.revision += 1


class CrankTrainPage(DesignPage):
    """The moving train with its curves; builds the page once and passes on what changes."""

    def __init__(self, state: AppState) -> None:
        super().__init__(state, page="Crank train", groups=GROUPS, keys=TRAIN_KEYS)
        self.pictures = {picture.name: picture for picture in train_pictures()}
        self.train = TrainView(
            feeds=[picture.feed for picture in self.pictures.values()], sizing_mode="stretch_both"
        )
        self.numbers = NumberBoard(sizing_mode="stretch_width")
        self._sent_train: RigidTrain | None = None
        self._pinned_numbers: dict[str, MainNumber] = {}
        self.show_cycle()
        state.param.watch(lambda *_: self.show_cycle(), ["cycle"])
        state.param.watch(lambda *_: self.show_reference(), ["reference"])

    def template(self) -> PageTemplate:
        """Return the page with everything in its place."""
        return PageTemplate(
            "page",
            {
                "bar": self.bar,
                "controls": self.controls,
                "numbers": self.numbers,
                "train": self.train,
            },
            self.pictures.values(),
            curves=[self.pictures[name] for name in CURVES],
            panes=[
                Pane(key, title, shape, tuple(self.pictures[name] for name in names))
                for key, title, shape, names in PANES
            ],
        )

    def show_cycle(self) -> None:
        """Send what a new design or speed changes."""
        cycle = self.state.cycle
        if self._sent_train is not cycle.train:
            self.train.param.update(blob=scene_bytes(cycle), speed=cycle.speed)
            self._sent_train = cycle.train
        else:
            self.train.speed = cycle.speed
        self._show_numbers()

    def show_reference(self) -> None:
        """Send or take back the pinned reference."""
        pinned = self.state.reference
        self.train.reference_blob = np.zeros(0, np.uint8) if pinned is None else scene_bytes(pinned)
        self.numbers.pinned = "" if pinned is None else pinned_words(pinned)
        self._pinned_numbers = (
            {} if pinned is None else {one.key: one for one in main_numbers(pinned)}
        )
        self._show_numbers()

    def _show_numbers(self) -> None:
        shown = [
            shown_number(one, self._pinned_numbers.get(one.key), one.key in HEADLINES)
            for one in main_numbers(self.state.cycle)
        ]
        self.numbers.numbers = json.dumps(shown)


def shown_number(one: MainNumber, pinned: MainNumber | None, headline: bool) -> dict[str, Any]:
    """Return a main number as the board shows it, with its difference from the pinned one."""
    shown = asdict(one) | {
        "value": one.value if math.isfinite(one.value) else None,
        "text": one.text,
        "headline": headline,
        "reference": None,
        "difference": None,
    }
    if pinned is not None and math.isfinite(one.value) and math.isfinite(pinned.value):
        difference = _seen(one.value - pinned.value, one)
        shown["reference"] = pinned.words
        shown["difference"] = signed(difference, format_number(abs(difference), one.digits))
        if told_in_percent(Side((pinned.value,), ""), Side((one.value,), ""), one.unit):
            share = 100 * difference / abs(pinned.value)
            shown["difference"] += f" ({signed(share, f'{abs(share):.1f}')} %)"
    return shown


def _seen(difference: float, one: MainNumber) -> float:
    """Return a difference, or zero where the digits that are shown do not show it."""
    size = max(abs(one.value), abs(one.value - difference))
    last = 10.0 ** (math.floor(math.log10(size)) - one.digits + 1) if size > 0 else 0.0
    return difference if abs(difference) >= last / 2 else 0.0


def pinned_words(cycle: Cycle) -> str:
    """Return what a pinned cycle is called."""
    return f"{cycle.design.name} at {rpm_text(cycle.speed)}"


def first_design() -> AppState:
    """Return a fresh state on the first demo design."""
    name, path = next(iter(demo_paths().items()))
    return AppState(load_design(path), demo=name)


def crank_train_page() -> PageTemplate:
    """Return a fresh page on the first demo design."""
    return served(CrankTrainPage(first_design()).template())


def unbroken_json(message: dict[str, Any]) -> str:
    """Return a message as JSON, with spaces in its numbers at which no line breaks."""
    return unbroken(json.dumps(message, ensure_ascii=False))


def file_stem(name: str) -> str:
    """Return a file name that any system takes."""
    kept = "".join(char if char.isalnum() and char.isascii() else "-" for char in name.lower())
    return "-".join(part for part in kept.split("-") if part)[:60] or "design"
