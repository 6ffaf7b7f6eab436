"""The least inertia of counterweights over main load: found beside other work, picked from."""

import dataclasses
from collections.abc import Callable
from typing import Any

from apps.beside import Beside
from apps.components.shaft_tabs import TradeOff
from kinematics import Cycle, Design, DesignError
from kinematics.counterweight_choice import MEASURES, Choice, CounterweightChoice
from kinematics.units import shown_unit
from viz.chart import Chart
from viz.chart_figure import ChartPicture, draw
from viz.number_words import as_drawn, measured, unbroken
from viz.shaft_pictures import MEASURE_WORDS, front_chart

SAME = 1e-3  # relative: points of nearer loads are one
EMPTY = Chart("Inertia of the counterweights against main load", "", "", (0, 1), (0, 1))


class TradeOffs:
    """Holds the last front found; it stays while only counterweights change."""

    def __init__(
        self, asked: Callable[[dict[str, Any]], None], picture: ChartPicture,
        cycle: Callable[[], Cycle], tell: Callable[[Choice | None], None],
    ) -> None:  # fmt: skip
        """Make the form; `tell` is told of each point that is picked, or that there is none."""
        self.view = TradeOff(asked, sizing_mode="stretch_width")
        self._picture, self._cycle, self._tell = picture, cycle, tell
        self._work = Beside()
        self._front: tuple[Choice, ...] = ()
        self._found: tuple[Choice, ...] = ()  # the front without the point of the reader's limit
        self._straight: tuple[Choice, ...] = ()  # beside one of those turned aside
        self._to_solve: CounterweightChoice | None = None
        self._of: tuple[Design, float, str] | None = None
        self._picked = -1

    def find(self, measure: Any, serial: Any, aside: Any = False) -> None:
        """Find the front of the present design beside the server's other work."""
        answer = serial if isinstance(serial, int) else self.view.answered
        if measure not in MEASURES:
            self.view.answered = answer
            return
        design, speed = self._cycle().design, self._cycle().speed

        def show(fronts: tuple[tuple[Choice, ...], tuple[Choice, ...]]) -> None:
            self.view.answered = answer
            problem = CounterweightChoice(design, speed, measure, aside=aside is True)
            self.found(fronts[0], problem, fronts[1])

        def refuse(error: DesignError) -> None:
            self.view.param.update(words=f"There is no trade-off. {error}", answered=answer)

        found = (_fronts(design, speed, measure, aside is True) for _ in range(1))
        self._work.start(found, show, refuse)

    def found(
        self, front: tuple[Choice, ...], problem: CounterweightChoice,
        straight: tuple[Choice, ...] = (),
    ) -> None:  # fmt: skip
        """Show a front that was found, beside it one of counterweights opposite their pins."""
        self._front, self._found, self._straight = front, front, straight
        self._to_solve = problem
        self._of = _problem(problem.design, problem.speed, problem.measure)
        self._picked = len(front) // 2
        self.view.measure = problem.measure
        self.show()

    def limit(self, share: Any) -> None:
        """Find and pick the least inertia for a limit on the load, by its share of the way."""
        number = isinstance(share, (int, float)) and not isinstance(share, bool)
        if not (number and 0 <= share <= 1 and self._found and self._to_solve):
            return
        low, high = self._found[0].load, self._found[-1].load
        own = self._to_solve.least_inertia(low + share * (high - low))
        own = self._found[0] if own is None else own  # the lowest load itself, by rounding
        others = [one for one in self._found if abs(one.load - own.load) > SAME * own.load]
        self._front = tuple(sorted((*others, own), key=lambda one: one.load))
        self._picked = self._front.index(own)
        self.show()

    def pick(self, index: Any) -> None:
        """Mark a point of the front; one that it has not is let go."""
        if self.choice(index) is not None:
            self._picked = index
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
            words = "The design or the speed has changed: find the trade-off anew."
            self._forget()
        try:
            problem = CounterweightChoice(cycle.design, cycle.speed, measure, aside=True)
        except DesignError as error:
            self._forget()
            draw(self._picture, EMPTY)
            self._tell(None)
            self.view.param.update(
                points=[],
                picked=-1,
                loads=[],
                words=f"There is no trade-off. {error}",
                title=EMPTY.title,
            )
            return
        present = problem.choice(problem.present)
        chart = front_chart(
            self._front, present, self._picked, measure, cycle.speed, self._straight
        )
        draw(self._picture, chart)
        self._tell(self.choice(self._picked))
        self.view.param.update(
            points=[_point_words(i, one) for i, one in enumerate(self._front, 1)],
            picked=self._picked,
            loads=self._loads(),
            unit=shown_unit("kN").symbol,
            words=unbroken(words or _present_words(present, measure, self._front)),
            title=unbroken(chart.title),
        )

    def _loads(self) -> list[float]:
        """Return the ends of the limit's slider and the picked load, as shown."""
        picked = self.choice(self._picked)
        if picked is None:
            return []
        loads = (self._found[0].load, self._found[-1].load, picked.load)
        return [float(as_drawn(load, "kN")) for load in loads]

    def _forget(self) -> None:
        self._front, self._found, self._straight, self._to_solve = (), (), (), None
        self._of, self._picked = None, -1


def _fronts(
    design: Design, speed: float, measure: str, aside: bool
) -> tuple[tuple[Choice, ...], tuple[Choice, ...]]:
    """Return the front asked for, and beside one of those turned aside that opposite the pins."""
    front = CounterweightChoice(design, speed, measure, aside=aside).front()
    try:
        return front, CounterweightChoice(design, speed, measure).front() if aside else ()
    except DesignError:  # what is turned now need not be held by any opposite their pins
        return front, ()


def _problem(design: Design, speed: float, measure: str) -> tuple[Design, float, str]:
    """Return what a front is of: all but the counterweights."""
    return dataclasses.replace(design, counterweights=()), speed, measure


def _point_words(number: int, one: Choice) -> str:
    return unbroken(
        f"{number}: {measured(one.load, 'kN')}, {measured(one.inertia, 'kg_mm2')}, "
        f"{measured(one.mass, 'g')}"
    )


def _present_words(present: Choice, measure: str, front: tuple[Choice, ...]) -> str:
    """Say how the present counterweights stand against those found."""
    words = (
        f"Now: {MEASURE_WORDS[measure]} {measured(present.load, 'kN')}, counterweights of "
        f"{measured(present.inertia, 'kg_mm2')}."
    )
    lighter = [one for one in front if one.load <= present.load * 1.001]
    if lighter and (spared := present.inertia - lighter[-1].inertia) > 1e-3 * present.inertia:
        words += (
            f" Point {len(lighter)} loads no main more and spares {measured(spared, 'kg_mm2')}."
        )
    return words
