"""The rev limit page: why a rev limit is where it is, in plain sentences on one screen."""

from typing import Any

from apps.components.messages import is_number
from apps.components.rev_limit_view import RevLimitView
from apps.components.train_view import TrainView
from apps.controls.controls import SPEED, changed
from apps.page_registry import REV_LIMIT
from apps.pages.design_page import unbroken_json
from apps.pages.ladder_page import LadderPage
from apps.pages.page_template import PageTemplate
from apps.state import AppState
from kinematics import Design, DesignError
from kinematics.design.design_field import group_field
from kinematics.units import UNITS, as_shown
from viz.rev_limit.rev_limit_lines import lit_parts, proof_message, rev_limit_message
from viz.rev_limit.rev_limit_raise import (
    Offer,
    gain_choices,
    intro,
    left_beside,
    offers,
    outcome,
    pairs,
    rest,
)


class RevLimitPage(LadderPage):
    """The rev limit of the design that is open; keeps the last good one."""

    entry = REV_LIMIT
    unchanged = "The page is unchanged."

    def __init__(self, state: AppState) -> None:
        super().__init__(state)
        self.view = RevLimitView(self.handle_message, sizing_mode="stretch_both")
        self.train = TrainView(sizing_mode="stretch_both", takes_keys=False)
        self.train.show_cycle(state.cycle)
        state.param.watch(lambda *_: self.train.show_cycle(state.cycle), ["cycle"])
        self._gain = 0.0
        self._offers: list[Offer] = []
        self._outcomes: list[dict[str, Any]] = []
        self._rest: dict[str, Any] | None = None
        self._show()

    def template(self) -> PageTemplate:
        """Return the page with everything in its place."""
        parts = {"bar": self.bar, "rev_limit": self.view, "train": self.train}
        return PageTemplate("rev_limit/rev_limit", parts)

    def handle_message(self, message: dict[str, Any]) -> None:
        """Do what the browser asks for."""
        kind, serial = message.get("kind"), message.get("serial")
        try:
            if kind == "speed":
                self._go(message.get("rpm"))
            elif kind == "proof":
                self._prove(str(message.get("key"))[:80], message.get("rpm"))
            elif kind == "raise":
                self._offer(message.get("gain"))
            elif kind == "solve":
                self._solve(message.get("index"))
            elif kind == "apply":
                self._apply(message.get("index"))
        finally:
            if isinstance(serial, int):
                self.view.answered = serial

    def _show_speed(self) -> None:
        self.view.speed = self.state.speed_rpm

    def _show(self) -> None:
        """Send the sentences; what it would take is asked for anew."""
        self._offers, self._outcomes, self._rest = [], [], None
        message = rev_limit_message(self._ladder, self._reference, self.reference_text) | {
            "gains": gain_choices(self._ladder)
        }
        self.train.lit = lit_parts(self._ladder)
        self.view.param.update(speed=self.state.speed_rpm, raising="", board=unbroken_json(message))

    def _go(self, rpm: Any) -> None:
        if is_number(rpm) and abs(rpm - self.state.speed_rpm) > 1e-6:
            self.state.change(SPEED, rpm)

    def _prove(self, key: str, rpm: Any) -> None:
        if is_number(rpm) and 0 < rpm < UNITS["rpm"].from_si(self._ladder.high) + 1:
            try:
                proof = proof_message(self._ladder, key, UNITS["rpm"].to_si(rpm))
            except DesignError:  # of a design that is no longer shown
                return
            self.view.show_proof(unbroken_json(proof))

    def _offer(self, gain: Any) -> None:
        """Say what would raise the first limit; each is then solved as it is asked for."""
        if not is_number(gain) or not 0 < gain <= 10_000:
            return
        try:
            self._offers = offers(self._ladder, gain)
        except DesignError as error:
            self.state.message = (str(error), True)
            return
        self._gain, self._outcomes, self._rest = gain, [], None
        self._show_offers()

    def _solve(self, index: Any) -> None:
        """Solve the next offer anew; after the last, say what the other inputs alone give."""
        if index == len(self._outcomes) < len(self._offers):
            self._outcomes.append(outcome(self._ladder, self._offers[index], self._gain))
            if len(self._outcomes) == len(self._offers) and not self._offers[-1].beside:
                self._add_pairs()
        elif index == len(self._offers) and self._offers and self._rest is None:
            self._rest = rest(self._ladder, self._gain, self._offers)
        else:
            return
        self._show_offers()

    def _add_pairs(self) -> None:
        """Offer pairs where no change alone is enough, in place of what helps least."""
        both = pairs(self._ladder, self._gain, self._offers, self._outcomes)
        stay = left_beside(both, self._outcomes)
        self._offers = [self._offers[place] for place in stay] + both
        self._outcomes = [self._outcomes[place] for place in stay]

    def _apply(self, index: Any) -> None:
        if isinstance(index, int) and 0 <= index < len(self._outcomes):
            try:
                self.state.use_design(_with_offer(self.state.design, self._offers[index]))
            except DesignError as error:
                self.state.message = (str(error), True)

    def _show_offers(self) -> None:
        unknown = {"outcome": "", "result": None}
        solved = self._outcomes + [unknown] * (len(self._offers) - len(self._outcomes))
        shown = [
            {"words": offer.words} | found
            for offer, found in zip(self._offers, solved, strict=True)
        ]
        before = intro(self._ladder, self._gain, [str(one["outcome"]) for one in shown])
        self.view.raising = unbroken_json({"before": before, "offers": shown, "rest": self._rest})


def _with_offer(design: Design, offer: Offer) -> Design:
    """Return a design with an offer's changes, as their controls would make them."""
    unit = group_field(design, offer.change.key)[2].unit
    made = changed(design, offer.change.key, as_shown(offer.value, unit.key))
    return _with_offer(made, offer.beside) if offer.beside else made
