"""The bob weights beside the balancing card: their list, and what may be changed of it."""

from collections.abc import Callable
from typing import Any

from apps.components.scatter_form import BobWeights
from apps.controls.form_number import form_number
from kinematics import Design, DesignError
from kinematics.balancing.bob_weights import BOB_SHARE, MOST_OIL, needs_bob_weights, pin_bob_weights
from kinematics.units import shown_unit
from viz.number_words import unbroken
from viz.shaft.bob_words import NOTE, WITHOUT, bob_lists

LABELS = {"share": "Balance factor", "oil": "Oil per pin"}


class PinWeights:
    """Holds share and oil; a V engine's pins get their list, others the reason for none."""

    def __init__(self, design: Callable[[], Design]) -> None:
        self._design = design
        self._share, self._oil = BOB_SHARE, 0.0
        self.view = BobWeights(
            self.take, share=100 * BOB_SHARE, unit=shown_unit("g").symbol,
            sizing_mode="stretch_width",
        )  # fmt: skip
        self.show()

    def take(self, form: dict[str, Any]) -> None:
        """Take share and oil from the form, or say what is wrong with one of them."""
        try:
            share = form_number(form, "share", "percent", 0.0, 1.0)
            oil = form_number(form, "oil", "g", 0.0, MOST_OIL)
        except DesignError as error:
            self.view.problem = unbroken(f"{LABELS[error.field]}: {error.message}.")
            return
        self._share, self._oil = min(share, 1.0), min(oil, MOST_OIL)
        self.show()

    def show(self) -> None:
        """Show the present design's bob weights."""
        design = self._design()
        needed = needs_bob_weights(design.layout)
        pins = pin_bob_weights(design, self._share, self._oil) if needed else ()
        self.view.param.update(
            needed=needed, lists=bob_lists(pins), words=NOTE if needed else WITHOUT, problem=""
        )
