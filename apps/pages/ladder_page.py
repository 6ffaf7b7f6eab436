"""What pages of the speed limits share: the ladder of the design and that of the reference."""

from typing import ClassVar

from apps.pages.design_page import DesignPage
from apps.shown_numbers import reference_words
from apps.state import AppState
from kinematics import DesignError
from kinematics.limits.speed_limits import Ladder, speed_limits


class LadderPage(DesignPage):
    """A page that shows the ladder of speed limits; keeps the last good one."""

    unchanged: ClassVar[str]  # what stays as it was where a design has no ladder, as a sentence

    def __init__(self, state: AppState) -> None:
        super().__init__(state)
        self._ladder = speed_limits(state.design)
        self._reference: Ladder | None = None
        state.param.watch(lambda *_: self.show_design(), ["cycle"])
        state.param.watch(lambda *_: self.show_reference(), ["reference"])

    @property
    def reference_text(self) -> str:
        """What the reference is called; empty without one."""
        return reference_words(self.state.reference)

    def show_design(self) -> None:
        """Show the ladder of a new design; where it cannot be had, say why and keep the last."""
        try:
            ladder = speed_limits(self.state.design)
        except DesignError as error:
            self.state.message = (f"{self.unchanged} {error}", True)
            return
        if ladder is self._ladder:
            self._show_speed()
            return
        before, self._ladder = self._ladder, ladder
        self._show_other(before)

    def show_reference(self) -> None:
        """Show or take away the limits of the reference."""
        reference = self.state.reference
        self._reference = None if reference is None else speed_limits(reference.design)
        self._show()

    def _show(self) -> None:
        """Send the ladder to the browser."""
        raise NotImplementedError

    def _show_speed(self) -> None:
        """Show another speed on the same ladder."""

    def _show_other(self, before: Ladder) -> None:
        """Show the ladder of another design than before."""
        del before
        self._show()
