"""The page to start from: a moving crank train, and three ways to go on."""

from dataclasses import dataclass

from apps.components.train_view import TrainView
from apps.page_registry import CRANK_TRAIN, FRONT, LESSONS, REV_LIMIT, PageEntry
from apps.pages.design_page import DesignPage
from apps.pages.page_template import PageTemplate
from apps.state import AppState


@dataclass(frozen=True, slots=True)
class Way:
    """A way to go on from here: its name, what is to be had there, and its page."""

    name: str
    words: str
    page: PageEntry


WAYS = (
    Way(
        "Explore and review",
        "Change masses, stroke, bearings and counterweights; see every load, film and limit "
        "follow; compare, and defend it before reviewers.",
        CRANK_TRAIN,
    ),
    Way(
        "Learn",
        "Predict first, then try: short lessons on rods, balance, bearings and resonance.",
        LESSONS,
    ),
    Way(
        "Explain the rev limit",
        "What holds the speed down, in plain sentences, and what it would take to raise it.",
        REV_LIMIT,
    ),
)


class FrontPage(DesignPage):
    """The moving train of the tab's design beside the ways to go on."""

    entry = FRONT

    def __init__(self, state: AppState) -> None:
        super().__init__(state)
        self.train = TrainView(sizing_mode="stretch_both")
        self.train.show_cycle(state.cycle)
        state.param.watch(lambda *_: self.train.show_cycle(state.cycle), ["cycle"])
        state.param.watch(lambda *_: self._show_reference(), ["reference"])

    def template(self) -> PageTemplate:
        """Return the page with everything in its place."""
        return PageTemplate("front/front", {"bar": self.bar, "train": self.train}, ways=WAYS)
