"""The review page: a proposal held against its reference on one screen, and kept variants."""

from collections.abc import Iterator
from dataclasses import replace
from typing import Any

from param.parameterized import batch_call_watchers

from apps.background_task import BackgroundTask
from apps.components.charts import VariantCharts
from apps.components.review_card import ReviewCard
from apps.controls.limit_controls import REVIEW_GROUPS
from apps.file_stem import file_stem
from apps.page_registry import LIMITS, REVIEW
from apps.pages.design_page import unbroken_json
from apps.pages.ladder_page import LadderPage
from apps.pages.page_template import PageTemplate
from apps.state import AppState
from apps.variants import LETTERS, MOST_VARIANTS, Variant, question_text, variant_name
from kinematics import DesignError, load_demo, with_value
from kinematics.limits.attribution import ladder_attribution
from kinematics.limits.speed_limits import Ladder
from viz.chart import Chart
from viz.placed import placed
from viz.review.review_card import card_attributions, card_limits, card_message
from viz.review.review_differences import proposal_words
from viz.review.review_needs import needed_message
from viz.review.review_table import review_csv
from viz.review.variant_curves import (
    FIGURE,
    curve_choices,
    variant_chart,
    variant_pictures,
)
from viz.review.variant_table import Column, variants_csv, variants_message

EXAMPLE = "hill_climb_six"
EXAMPLE_QUESTION = (
    "Can we raise the rated speed by 400 rpm with a 15 g lighter piston and a 2 mm longer rod?"
)
EXAMPLE_CHANGES = {
    "layout.rated_speed_rpm": 8900.0,
    "piston.assembly_mass_g": 330.0,
    "cylinder.rod_length_mm": 150.0,
}


class ReviewPage(LadderPage):
    """Proposal B against reference A; keeps the last good card."""

    entry = REVIEW
    groups = REVIEW_GROUPS
    unchanged = "The card is unchanged."

    def __init__(self, state: AppState) -> None:
        super().__init__(state)
        self.card = ReviewCard(self.handle_message, sizing_mode="stretch_both")
        self._serial = 0  # of the card shown, so that no attributions of another are
        self.pictures = placed(variant_pictures)
        self.charts = VariantCharts()
        self._attributing, self._tabling = BackgroundTask(), BackgroundTask()
        self._drawing = BackgroundTask()
        self._curve: tuple[str, bool] | None = None  # quantity, and whether as a difference
        self.show_reference()
        state.param.watch(lambda *_: self._show_question(), ["question"])
        state.param.watch(lambda *_: self._show_variants(), ["variants"])
        self._show_question()

    def template(self) -> PageTemplate:
        """Return the page with everything in its place."""
        return PageTemplate(
            "review/review",
            {
                "bar": self.bar,
                "controls": self.controls,
                "card": self.card,
                "charts": self.charts,
            },
            self.pictures.values(),
            plots=list(self.pictures.values()),
        )

    def handle_message(self, message: dict[str, Any]) -> None:
        """Do what the card asks for; what is refused changes nothing and is said."""
        kind, index = message.get("kind"), message.get("index")
        plain = {
            "refer": self.state.set_reference,
            "example": self.show_example,
            "table": self._offer_table,
        }
        try:
            if kind in plain:
                plain[kind]()
            elif kind == "question":
                self.state.question = question_text(message.get("text"))
            elif kind == "curve":
                self.draw_curve(str(message.get("key"))[:80], message.get("difference") is True)
            elif kind == "keep":
                self.keep(message.get("name"))
            elif kind == "rung":
                self.bar.go(LIMITS.label, {"selected": str(message.get("key"))[:200]})
            elif isinstance(index, int) and 0 <= index < len(self.state.variants):
                self._change_variant(str(kind), index, message.get("name"))
        except DesignError as error:
            self.state.message = (f"{error} Nothing was changed.", True)

    # --- variants -----------------------------------------------------------------------------

    def keep(self, name: Any) -> None:
        """Keep the present design under a name, or under what differs; raises DesignError."""
        kept, cycle, reference = self.state.variants, self.state.cycle, self.state.reference
        if len(kept) >= MOST_VARIANTS:
            raise DesignError("variants", f"must be at most {MOST_VARIANTS} (got one more)")
        differs = "" if reference is None else proposal_words(reference.design, cycle.design)
        words = name if isinstance(name, str) and name.strip() else differs or cycle.design.name
        parent = "" if reference is None else reference.design.name
        self.state.variants = [*kept, Variant(variant_name(words), cycle, parent)]

    def _change_variant(self, kind: str, index: int, name: Any) -> None:
        kept: list[Variant] = list(self.state.variants)
        variant = kept[index]
        if kind == "open":
            self.state.open_design(variant.cycle.design, speed=variant.cycle.speed)
        elif kind == "refer_to":
            self.state.reference = variant.cycle
        elif kind == "rename":
            kept[index] = replace(variant, name=variant_name(name))
            self.state.variants = kept
        elif kind == "remove":
            self.state.variants = kept[:index] + kept[index + 1 :]

    def show_example(self) -> None:
        """Show a proposal against a demo design: a question with its answer."""
        design = reference = load_demo(EXAMPLE)
        for key, value in EXAMPLE_CHANGES.items():
            design = with_value(design, key, value)
        with batch_call_watchers(self.state):
            self.state.question = EXAMPLE_QUESTION
            self.state.open_design(reference)
            self.state.set_reference()
            self.state.open_design(design)

    # --- showing ------------------------------------------------------------------------------

    def _show(self) -> None:
        """Send the card; attributions and what would be needed follow from a thread."""
        self._serial += 1
        self._attributing.stop()
        reference = self._reference
        if reference is None:
            self.card.param.update(card="", attributions="", limits="", needed="")
        else:
            message = card_message(reference, self._ladder) | {"serial": self._serial}
            self.card.card = unbroken_json(message)
            self._attributing.start(
                _afterwards(reference, self._ladder), self._show_more, self._say
            )
        self._show_variants()

    def _show_more(self, found: tuple[str, dict[str, Any]]) -> None:
        """Show attributions, or what would be needed, as it comes."""
        name, message = found
        setattr(self.card, name, unbroken_json(message | {"of": self._serial}))

    def _show_question(self) -> None:
        self.card.question = self.state.question

    def _show_variants(self) -> None:
        """Send the variants as columns, from a thread: each needs a ladder."""
        columns = self._columns()
        if len(columns) < 2:
            self._tabling.stop()
            self.card.variants = ""
            return
        made = (variants_message(columns) for _ in range(1))
        self._tabling.start(made, self._show_columns, self._say)
        self._draw_curves(columns)

    def _show_columns(self, message: dict[str, Any]) -> None:
        self.card.variants = unbroken_json(message)

    def draw_curve(self, key: str, difference: bool) -> None:
        """Draw another quantity of the variants; what none of them has is let go."""
        self._curve = key, difference
        self._draw_curves(self._columns())

    def _draw_curves(self, columns: list[Column]) -> None:
        """Draw the quantity asked for, from a thread: some cost a second."""
        if self._curve is not None and len(columns) > 1:
            self._drawing.start(_drawn(columns, *self._curve), self._show_curves, self._say)

    def _show_curves(self, found: tuple[dict[str, Any], Chart]) -> None:
        message, chart = found
        self.card.curves = unbroken_json(message)
        self.charts.draw(**{FIGURE: chart})

    def _columns(self) -> list[Column]:
        a, b = self.state.reference, self.state.cycle
        columns = [] if a is None else [Column("A", a.design.name, "reference", a)]
        columns.append(Column("B", b.design.name, "present", b))
        return columns + [
            Column(letter, variant.name, variant.parent, variant.cycle, index)
            for index, (letter, variant) in enumerate(
                zip(LETTERS, self.state.variants, strict=False)
            )
        ]

    def _say(self, error: DesignError) -> None:
        self.state.message = (f"The card is incomplete. {error}", True)

    def _offer_table(self) -> None:
        if self._reference is None:
            return
        content = review_csv(self.state.question, ladder_attribution(self._reference, self._ladder))
        columns = self._columns()
        content += variants_csv(columns) if len(columns) > 2 else ""
        self.bar.offer_file(f"{file_stem(self.state.design.name)}-review.csv", content)


def _afterwards(a: Ladder, b: Ladder) -> Iterator[tuple[str, dict[str, Any]]]:
    """Yield what follows a card: attributions, of limits too, what would raise the governing."""
    attribution = ladder_attribution(a, b)
    yield "attributions", card_attributions(attribution)
    yield "limits", card_limits(attribution)
    yield "needed", needed_message(b)


def _drawn(
    columns: list[Column], key: str, difference: bool
) -> Iterator[tuple[dict[str, Any], Chart]]:
    """Yield the curves of variants, and what may be chosen instead; the first for a key unknown."""
    choices = curve_choices(columns)
    known = [choice for _, choice, _ in choices]
    key = key if key in known else known[0]
    chart = variant_chart(columns, key, difference=difference)
    names = [
        (column.letter, f"{column.name}, {column.parent}" if column.index is None else column.name)
        for column in columns
    ]
    yield {"choices": choices, "key": key, "title": chart.title, "names": names}, chart
