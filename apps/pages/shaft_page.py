"""The shaft's page: what it weighs, what each gram costs in inertia, what counterweights do."""

import dataclasses
from collections.abc import Callable
from typing import Any

from apps.background_task import BackgroundTask
from apps.components.charts import ShaftCharts
from apps.components.shaft_tabs import SchemeForm, ShaftNotes, ShaftTable
from apps.components.shaft_view import ShaftBoard, ShaftView
from apps.controls.shaft_controls import GROUPS
from apps.file_stem import file_stem
from apps.page_registry import SHAFT
from apps.pages.balancing import Balancing
from apps.pages.design_page import (
    DesignPage,
    unbroken_json,
)
from apps.pages.page_template import PageTemplate
from apps.pages.scatter import Scatter
from apps.pages.throw_solver import ThrowSolver
from apps.pages.trade_off import TradeOffs
from apps.shown_numbers import reference_words
from apps.state import AppState
from kinematics import Cycle, Design, DesignError
from kinematics.limits.shaft_costs import shaft_costs
from kinematics.shaft.counterweight_choice import Choice
from kinematics.shaft.counterweight_schemes import SCHEMES
from kinematics.train.layout_balance import layout_balances
from viz.number_words import unbroken
from viz.placed import placed
from viz.shaft.scatter_charts import scatter_pictures
from viz.shaft.shaft_board import (
    kinds_message,
    missing_words,
    shaft_or_none,
    shaft_tiles,
    tiles_message,
)
from viz.shaft.shaft_left_over import left_over_words, moment_change_words, moment_rise_words
from viz.shaft.shaft_pictures import (
    main_loads,
    mains_chart,
    moment_chart,
    shaft_pictures,
)
from viz.shaft.shaft_scene import shaft_scene
from viz.shaft.shaft_table import Table, table_message, tables_csv
from viz.shaft.shaft_tables import (
    COST_NOTES,
    LAYOUT_NOTES,
    cost_table,
    effect_table,
    layout_tables,
    web_table,
    with_scheme,
)
from viz.shaft.sharing_tables import sharing_tables
from viz.shaft.web_cut_table import WEB_NOTES, web_cut_table

TABS = (
    ("loads", "Loads"),
    ("weights", "Counterweights"),
    ("front", "Minimum inertia"),
    ("costs", "Sensitivities"),
    ("layouts", "Layouts"),
    ("balancing", "Balancing"),
    ("scatter", "Tolerances"),
)
LOAD_NOTES = (
    "Statically determinate: each throw is simply supported and loads its own two mains only. "
    "Continuous (statically indeterminate): one elastic shaft on elastic mains; throws as stiff "
    "as by finite elements, without chamfer and pocket. Take both as a band. With Continuous shaft "
    "ticked under Main bearings, films, misalignment and fillets follow it too.",
    "Internal bending moment: rotating masses only (throws, counterweights, big ends), carried by "
    "no bearing.",
)
FIRST_SCHEME = {"scheme": "every_web", "rotating": 100, "reciprocating": 0, "aside": True}
NOT_ASIDE = "As chosen: opposite their pins; no solution with angular offset. "


class ShaftPage(DesignPage):
    """The shaft drawn and weighed, and in tabs what follows; keeps the last good picture."""

    entry = SHAFT
    groups = GROUPS

    def __init__(self, state: AppState) -> None:
        super().__init__(state)
        self.pictures = placed(shaft_pictures, scatter_pictures)
        self.charts = ShaftCharts()
        self.view = ShaftView(self.handle_message, sizing_mode="stretch_both")
        self.board = ShaftBoard(sizing_mode="stretch_width")
        self.notes = ShaftNotes(self.handle_message, sizing_mode="stretch_width")
        self.form = SchemeForm(
            self.handle_message, schemes=list(SCHEMES.items()), sizing_mode="stretch_width"
        )
        self.tables = {
            key: ShaftTable(self.handle_message, of=key, sizing_mode="stretch_width")
            for key in ("loads", "weights", "front", "costs", "layouts")
        }
        self.trade_offs = TradeOffs(
            self.handle_message,
            self.charts,
            lambda: self.state.cycle,
            self._show_choice,
        )
        self.balancing = Balancing(self.handle_message, lambda: self.state.design)
        self.scatter = Scatter(self.charts, lambda: self.state.design, self._offer)
        self.throw = ThrowSolver(self.handle_message, lambda: self.state.design)
        self.tab = TABS[0][0]
        self._scheme: dict[str, Any] = FIRST_SCHEME
        self._made: dict[str, tuple[Table, ...]] = {}
        self.show_design()
        self._show_tab()
        self._next = BackgroundTask()
        state.param.watch(lambda *_: self._show_all(), ["cycle", "reference"])

    def template(self) -> PageTemplate:
        """Return the page with everything in its place."""
        return PageTemplate(
            "shaft/shaft",
            {
                "bar": self.bar,
                "controls": self.controls,
                "shaft": self.view,
                "board": self.board,
                "notes": self.notes,
                "charts": self.charts,
                "scheme": self.form,
                "trade_off": self.trade_offs.view,
                "balancing": self.balancing.view,
                "bob_weights": self.balancing.pins.view,
                "throw": self.throw.form,
                "throw_table": self.throw.table,
                "scatter": self.scatter.form,
                "scatter_table": self.scatter.table,
                **{f"{key}_table": table for key, table in self.tables.items()},
            },
            self.pictures.values(),
            tabs=TABS,
            plots=self.pictures,
        )

    def handle_message(self, message: dict[str, Any]) -> None:
        """Do what a part of the page asks for; what makes no sense is let go."""
        kind, index = message.get("kind"), message.get("index")
        plain: dict[str, Callable[[], object]] = {
            "tab": lambda: self.open_tab(message.get("key")),
            "csv": lambda: self._save_table(message.get("of")),
            "scheme": lambda: self._try_scheme(message),
            "apply_scheme": lambda: self._apply_scheme(message),
            "front": lambda: self.trade_offs.find(
                *(message.get(name) for name in ("measure", "serial", "aside", "moment_bound"))
            ),
            "limit": lambda: self.trade_offs.limit(message.get("share")),
            "pick_choice": lambda: self.trade_offs.pick(index),
            "apply_choice": lambda: self._apply_choice(index),
            "plan": lambda: self.balancing.make(message),
            "holes": self._save_holes,
            "solve_throw": self.throw.solve,
        }
        if kind in plain:
            plain[str(kind)]()

    def open_tab(self, key: Any) -> None:
        """Show what a tab shows; it is only computed while it is open."""
        if key in dict(TABS):
            self.tab = key
            self._show_tab()

    def show_design(self) -> bool:
        """Show a new design; False where it cannot be had, which is said, and the last stays."""
        cycle, reference = self.state.cycle, self.state.reference
        try:
            shaft = shaft_or_none(cycle.design)
            tiles, scene = shaft_tiles(cycle, shaft), shaft_scene(cycle.design, shaft)
            before = _shaft_of(reference)
            tiles_before = () if reference is None else shaft_tiles(reference, before)
        except DesignError as error:
            self.state.message = (f"The shaft is unchanged. {error}", True)
            return False
        words = reference_words(reference)
        self.view.scene = unbroken_json(scene)
        self.board.param.update(
            tiles=unbroken_json(tiles_message(tiles, tiles_before, words)),
            kinds=unbroken_json(kinds_message(shaft, before)),
            words=missing_words(cycle.design),
        )
        return True

    def _show_all(self) -> None:
        """Show a new design or reference: the shaft and its numbers first, the open tab next."""
        if self.show_design():
            self._next.after(self._show_tab)

    def _show_tab(self) -> None:
        shown = {
            "loads": self._show_loads, "weights": self._show_weights,
            "front": self.trade_offs.show, "costs": self._show_costs, "layouts": self._show_layouts,
            "balancing": self.balancing.show, "scatter": self.scatter.show,
        }  # fmt: skip
        shown[self.tab]()

    def _show_loads(self) -> None:
        cycle, reference = self.state.cycle, self.state.reference
        loads, why = main_loads(cycle, reference)
        left_out = (f"The continuous shaft is not shown. {why}",) if why else ()
        notes = (*left_out, *LOAD_NOTES)
        reference_design = None if reference is None else reference.design
        self.charts.draw(
            shaft_mains=mains_chart(loads, cycle.speed),
            shaft_moment=moment_chart(cycle.design, reference_design, cycle.speed),
        )
        self.notes.notes = [unbroken(note) for note in notes]
        self._put("loads", lambda: sharing_tables(cycle))
        self.throw.show()

    def _show_weights(self) -> None:
        design, speed = self.state.design, self.state.cycle.speed
        chosen, refused = self._chosen()
        self._put_chosen("weights", chosen)
        warnings = [f"Now: {words}" for words in left_over_words(design, speed)]
        warnings += [f"As chosen: {words}" for words in left_over_words(chosen, speed)]
        warnings += moment_rise_words(design, chosen, speed)
        warnings += [f"{NOT_ASIDE}{refused}"] if refused else []
        self.form.warnings = [unbroken(warning) for warning in warnings]

    def _show_choice(self, choice: Choice | None) -> None:
        """Show what a selected point of the trade-off puts on the webs and does."""
        if choice is None:
            self._put("front", lambda: ())
        else:
            self._put_chosen("front", self._with_choice(choice))

    def _put_chosen(self, key: str, chosen: Design) -> None:
        design, speed = self.state.design, self.state.cycle.speed
        self._put(key, lambda: (effect_table(design, chosen, speed), web_table(design, chosen)))

    def _show_costs(self) -> None:
        design, speed = self.state.design, self.state.cycle.speed
        self._put(
            "costs",
            lambda: (
                cost_table(shaft_costs(design, speed), design, speed),
                web_cut_table(design),
            ),
            (*COST_NOTES, *WEB_NOTES),
        )

    def _show_layouts(self) -> None:
        design, speed = self.state.design, self.state.cycle.speed
        self._put(
            "layouts", lambda: layout_tables(layout_balances(design, speed), speed), LAYOUT_NOTES
        )

    def _put(
        self, key: str, make: Callable[[], tuple[Table, ...]], notes: tuple[str, ...] = ()
    ) -> None:
        """Show tables, or say in words why there are none."""
        try:
            self._made[key] = make()
        except DesignError as error:
            self._made[key], notes = (), (f"No table. {error}",)
        self.tables[key].table = unbroken_json(table_message(*self._made[key], notes=notes))

    def _save_table(self, of: Any) -> None:
        tables = self.throw.made if of == "throw" else self._made.get(str(of))
        if tables:
            self._offer(str(of), tables_csv(*tables))

    def _save_holes(self) -> None:
        if content := self.balancing.file():
            self._offer("holes", content)

    def _offer(self, of: str, content: str) -> None:
        """Let the reader save a text as CSV."""
        self.bar.offer_file(f"{file_stem(self.state.design.name)}-{of}.csv", content)

    def _try_scheme(self, message: dict[str, Any]) -> bool:
        """Show what a scheme would put on the webs; False for one that is none, and let go."""
        kept = self._scheme
        try:
            self._scheme = {name: message.get(name) for name in FIRST_SCHEME}
            self._chosen()
        except (DesignError, TypeError):
            self._scheme = kept
            return False
        self.form.outcome = ""
        self._show_weights()
        return True

    def _chosen(self) -> tuple[Design, str]:
        """Return the design with the scheme's counterweights, and why they could not be turned."""
        scheme, design = self._scheme, self.state.design
        asked = scheme["scheme"], scheme["rotating"] / 100, scheme["reciprocating"] / 100
        straight = with_scheme(design, *asked)
        if scheme["aside"] is not True:
            return straight, ""
        try:
            return with_scheme(design, *asked, aside=True), ""
        except DesignError as error:
            return straight, str(error)

    def _apply_scheme(self, message: dict[str, Any]) -> None:
        if not self._try_scheme(message):
            return
        before, speed = self.state.design, self.state.cycle.speed
        self._use(self._chosen()[0])
        moments = moment_change_words(before, self.state.design, speed)
        self.form.outcome = unbroken(f"Applied to the design: {moments}. Undo removes them.")

    def _apply_choice(self, index: Any) -> None:
        if (choice := self.trade_offs.choice(index)) is not None:
            self._use(self._with_choice(choice))

    def _with_choice(self, choice: Choice) -> Design:
        return dataclasses.replace(self.state.design, counterweights=choice.counterweights())

    def _use(self, design: Design) -> None:
        """Put other counterweights on the design, as one step that undo takes back."""
        try:
            self.state.open_design(design, demo=self.state.demo, speed=self.state.cycle.speed)
        except DesignError as error:
            self.state.message = (f"The counterweights are unchanged. {error}", True)


def _shaft_of(cycle: Cycle | None) -> Any:
    return None if cycle is None else shaft_or_none(cycle.design)
