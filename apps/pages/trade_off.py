"""The minimum inertia of counterweights over main load: found beside other work, selected from."""

import dataclasses
import math
from collections.abc import Callable
from typing import Any

from apps.background_task import BackgroundTask
from apps.components.asking import MessageHandler
from apps.components.charts import ShaftCharts
from apps.components.messages import is_number
from apps.components.shaft_tabs import TradeOff
from apps.controls.form_number import form_number
from kinematics import Cycle, Design, DesignError
from kinematics.shaft.counterweight_choice import MEASURES, Choice, CounterweightChoice
from kinematics.units import shown_unit
from viz.chart import Chart
from viz.number_words import as_drawn, unbroken, with_unit
from viz.shaft.shaft_trade_off import MEASURE_WORDS, Front, front_chart, front_moment_chart

SAME = 1e-3  # relative: points of nearer loads are one
EMPTY = Chart("Inertia of the counterweights against main load", "", "", (0, 1), (0, 1))
NO_MOMENTS = Chart("Internal bending moment against main load", "", "", (0, 1), (0, 1))
MOMENT_BOUNDS = (1e-3, 1e7)  # [N·m] that may be asked for


class TradeOffs:
    """Holds the last front found; it stays while only counterweights change."""

    def __init__(
        self,
        handle_message: MessageHandler,
        charts: ShaftCharts,
        cycle: Callable[[], Cycle],
        tell: Callable[[Choice | None], None],
    ) -> None:
        """Make the form; `tell` is told of each point that is selected, or that there is none."""
        self.view = TradeOff(handle_message, sizing_mode="stretch_width")
        self._charts, self._cycle, self._tell = charts, cycle, tell
        self._work = BackgroundTask()
        self._front: tuple[Choice, ...] = ()
        self._found: tuple[Choice, ...] = ()  # the front without the point of the reader's limit
        self._straight: tuple[Choice, ...] = ()  # beside one of those turned aside
        self._to_solve: CounterweightChoice | None = None
        self._of: tuple[Design, float, str] | None = None
        self._selected = -1

    def find(self, measure: Any, serial: Any, aside: Any = False, moment_bound: Any = None) -> None:
        """Find the front of the present design beside the server's other work.

        `moment_bound` is the maximum internal bending moment in the unit shown, None for any.
        """
        answer = serial if isinstance(serial, int) else self.view.answered
        if measure not in MEASURES:
            self.view.answered = answer
            return
        design, speed = self._cycle().design, self._cycle().speed

        def show(fronts: tuple[tuple[Choice, ...], tuple[Choice, ...]]) -> None:
            self.found(fronts[0], problem, fronts[1])
            self.view.answered = answer

        def refuse(error: DesignError) -> None:
            words = f"No trade-off. {error}"
            self.view.param.update(words=unbroken(words), answered=answer)

        try:
            problem = CounterweightChoice(
                design, speed, measure, aside=aside is True, moment_bound=_bound(moment_bound)
            )
        except DesignError as error:
            return refuse(error)
        self._work.start((_fronts(problem) for _ in range(1)), show, refuse)

    def found(
        self, front: tuple[Choice, ...], problem: CounterweightChoice,
        straight: tuple[Choice, ...] = (),
    ) -> None:  # fmt: skip
        """Show a front that was found, beside it one of counterweights opposite their pins."""
        self._front, self._found, self._straight = front, front, straight
        self._to_solve = problem
        self._of = _problem(problem.design, problem.speed, problem.measure)
        self._selected = len(front) // 2
        self.view.measure = problem.measure
        self.show()

    def limit(self, share: Any) -> None:
        """Find and pick the minimum inertia for a limit on the load, by its share of the way."""
        if not (is_number(share) and 0 <= share <= 1 and self._found and self._to_solve):
            return
        low, high = self._found[0].load, self._found[-1].load
        own = self._to_solve.minimum_inertia(low + share * (high - low))
        own = self._found[0] if own is None else own  # the lowest load itself, by rounding
        others = [choice for choice in self._found if abs(choice.load - own.load) > SAME * own.load]
        self._front = tuple(sorted((*others, own), key=lambda choice: choice.load))
        self._selected = self._front.index(own)
        self.show()

    def pick(self, index: Any) -> None:
        """Mark a point of the front; one that it has not is let go."""
        if self.choice(index) is not None:
            self._selected = index
            self.show()

    def choice(self, index: Any) -> Choice | None:
        """Return a point of the front, None if it has no such."""
        whole = isinstance(index, int) and not isinstance(index, bool)
        return self._front[index] if whole and 0 <= index < len(self._front) else None

    def show(self) -> None:
        """Show the present design and, as long as it is of the same problem, the front."""
        cycle, words = self._cycle(), ""
        measure = self._of[2] if self._of else self.view.measure
        if self._of not in (None, _problem(cycle.design, cycle.speed, measure)):
            words = "The design or the speed has changed: recalculate the trade-off."
            self._forget()
        try:
            problem = CounterweightChoice(cycle.design, cycle.speed, measure, aside=True)
        except DesignError as error:
            return self._show_nothing(error)
        present = problem.choice(problem.present)
        front = Front(
            self._front, present, self._selected, measure, cycle.speed, self._straight, self._bound
        )
        chart, moments = front_chart(front), front_moment_chart(front)
        self._charts.draw(shaft_front=chart, shaft_front_moment=moments)
        selected = self.choice(self._selected)
        self._tell(selected)
        words = words or _present_words(present, measure, self._front)
        if selected is not None:
            words += f" {_moment_words(self._selected + 1, selected, present)}"
        self.view.param.update(
            points=[_point_words(i, choice) for i, choice in enumerate(self._front, 1)],
            selected=self._selected,
            loads=self._loads(),
            unit=shown_unit("kN").symbol,
            moment_unit=shown_unit("Nm").symbol,
            words=unbroken(words),
            title=unbroken(chart.title),
            moment_title=unbroken(moments.title),
        )

    @property
    def _bound(self) -> float:
        """The maximum internal bending moment [N·m] of the front, infinite where any will do."""
        return math.inf if self._to_solve is None else self._to_solve.moment_bound

    def _show_nothing(self, error: DesignError) -> None:
        self._forget()
        self._charts.draw(shaft_front=EMPTY, shaft_front_moment=NO_MOMENTS)
        self._tell(None)
        self.view.param.update(
            points=[],
            selected=-1,
            loads=[],
            words=f"No trade-off. {error}",
            title=EMPTY.title,
            moment_title=NO_MOMENTS.title,
        )

    def _loads(self) -> list[float]:
        """Return the ends of the limit's slider and the selected load, as shown."""
        selected = self.choice(self._selected)
        if selected is None:
            return []
        loads = (self._found[0].load, self._found[-1].load, selected.load)
        return [float(as_drawn(load, "kN")) for load in loads]

    def _forget(self) -> None:
        self._front, self._found, self._straight, self._to_solve = (), (), (), None
        self._of, self._selected = None, -1


def _bound(value: Any) -> float:
    """Return a maximum internal bending moment [N·m]; raises DesignError where it is none."""
    if value is None:
        return math.inf
    return form_number({"moment_bound": value}, "moment_bound", "Nm", *MOMENT_BOUNDS)


def _fronts(problem: CounterweightChoice) -> tuple[tuple[Choice, ...], tuple[Choice, ...]]:
    """Return the front asked for, and beside one of those turned aside that opposite the pins."""
    front = problem.front()
    try:
        return front, problem.opposite().front() if problem.aside else ()
    except DesignError:  # what is turned now need not be held by any opposite their pins
        return front, ()


def _problem(design: Design, speed: float, measure: str) -> tuple[Design, float, str]:
    """Return what a front is of: all but the counterweights."""
    return dataclasses.replace(design, counterweights=()), speed, measure


def _point_words(number: int, choice: Choice) -> str:
    return unbroken(
        f"{number}: {with_unit(choice.load, 'kN')}, {with_unit(choice.inertia, 'kg_mm2')}, "
        f"{with_unit(choice.mass, 'g')}, {with_unit(choice.inside, 'Nm')} internal moment"
    )


def _moment_words(number: int, selected: Choice, present: Choice) -> str:
    """Return the internal bending moment of the selected point beside the present one."""
    return (
        f"Point {number}: internal bending moment {with_unit(selected.inside, 'Nm')}, "
        f"now {with_unit(present.inside, 'Nm')}."
    )


def _present_words(present: Choice, measure: str, front: tuple[Choice, ...]) -> str:
    """Say how the present counterweights stand against those found."""
    words = (
        f"Now: {MEASURE_WORDS[measure]} {with_unit(present.load, 'kN')}, counterweights of "
        f"{with_unit(present.inertia, 'kg_mm2')}, internal bending moment "
        f"{with_unit(present.inside, 'Nm')}."
    )
    lighter = [choice for choice in front if choice.load <= present.load * 1.001]
    if lighter and (spared := present.inertia - lighter[-1].inertia) > 1e-3 * present.inertia:
        words += (
            f" Point {len(lighter)} loads no main more and saves {with_unit(spared, 'kg_mm2')}."
        )
    return words
