"""A design's throw solved for itself on the shaft's page, beside the server's other work."""

from collections.abc import Callable
from typing import Any

from apps.background_task import BackgroundTask
from apps.components.shaft_tabs import ShaftTable, ThrowForm
from apps.pages.design_page import unbroken_json
from kinematics import Design, DesignError
from kinematics.design.solid_throw import (
    SolidThrow,
    elastic_modulus,
    solid_throw,
)
from kinematics.throw.throw_shape import ThrowShape
from kinematics.throw.throw_solution import ThrowSolution, solve_throw
from viz.number_words import unbroken
from viz.shaft.shaft_table import Table, table_message
from viz.shaft.throw_tables import throw_notes, throw_table

_PURPOSE = "the throw's stiffness"
Solved = tuple[ThrowShape, float]  # what a solution is of: shape and modulus


class ThrowSolver:
    """Shows a throw's stiffness; solves it when asked, and forgets it when its sizes change."""

    def __init__(
        self, handle_message: Callable[[dict[str, Any]], None], design: Callable[[], Design]
    ) -> None:
        self._design, self._work = design, BackgroundTask()
        self._solved: tuple[Solved, ThrowSolution] | None = None
        self.form = ThrowForm(handle_message, sizing_mode="stretch_width")
        self.table = ShaftTable(handle_message, of="throw", sizing_mode="stretch_width")
        self.made: tuple[Table, ...] = ()

    def show(self) -> None:
        """Show the present design's throw."""
        try:
            solid, of = self._present()
        except DesignError as error:
            self.made = ()
            self.table.table = unbroken_json(table_message(notes=(f"No stiffness. {error}",)))
            self.form.possible = False
            return
        solved = self._solved[1] if self._solved and self._solved[0] == of else None
        self.made = (throw_table(solid, solved),)
        message = table_message(*self.made, notes=throw_notes(solid, solved))
        self.table.table = unbroken_json(message)
        self.form.possible = True

    def solve(self) -> None:
        """Solve the present design's throw beside the server's other work."""
        try:
            _, of = self._present()
        except DesignError as error:
            return self._refuse(error)
        self.form.param.update(busy=True, problem="")
        self._work.start((solve_throw(*of) for _ in range(1)), lambda found: self.take(of, found),
                         self._refuse)  # fmt: skip
        return None

    def take(self, of: Solved, found: ThrowSolution) -> None:
        """Keep a solution and show it where the design still has that throw."""
        self._solved = of, found
        self.form.busy = False
        self.show()

    def _present(self) -> tuple[SolidThrow, Solved]:
        design = self._design()
        solid = solid_throw(design, _PURPOSE)
        return solid, (solid.shape, elastic_modulus(design, _PURPOSE))

    def _refuse(self, error: DesignError) -> None:
        self.form.param.update(busy=False, problem=unbroken(f"Not calculated. {error}"))
