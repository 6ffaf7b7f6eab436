"""Balancing a shaft: the machine's reading in two planes, and the holes that bring it in."""

import math
from collections.abc import Callable
from typing import Any

import numpy as np

from apps.components.balancing_card import BalancingCard
from apps.controls.form_number import form_number
from apps.pages.bob_weights import PinWeights
from apps.pages.design_page import unbroken_json
from kinematics import Design, DesignError
from kinematics.balancing.drill_plan import AIMS, DrillPlan, drill_plan
from kinematics.balancing.shaft_drilling import (
    drill_faces,
    drilled_webs,
    shaft_tolerance,
    thin_webs,
)
from kinematics.balancing.unbalance import MachineScale, read_off
from kinematics.design.allowables import red_line
from kinematics.units import as_shown, shown_unit
from viz.number_words import with_unit
from viz.shaft.balancing_card import card_csv, card_message, grade_choices, never_drilled

DRILLS = (0.006, 0.008, 0.010, 0.012, 0.014)  # [m]
LEAST_DEPTH = 1e-4  # [m], of the deepest hole
MOST_UNBALANCE = 1.0  # [kg·m], of a reading
EXAMPLE_READING = {  # an invented reading, in g·mm and degrees, and how holes may be
    "front_amount": 420.0, "front_angle": 35.0, "rear_amount": 380.0, "rear_angle": 160.0,
    "depth": 18.0, "wall": 3.0,
}  # fmt: skip
KEYS = {
    "front_amount": "g_mm", "rear_amount": "g_mm", "front_angle": "deg", "rear_angle": "deg",
    "depth": "mm", "wall": "mm",
}  # fmt: skip
_AMOUNT, _ANGLE = (0.0, MOST_UNBALANCE), (-2 * math.pi, 2 * math.pi)
ENDS = {  # [SI], of each number that is typed
    "front_amount": _AMOUNT, "rear_amount": _AMOUNT, "front_angle": _ANGLE, "rear_angle": _ANGLE,
    "depth": (LEAST_DEPTH, 0.5), "wall": (0.0, 0.5),
}  # fmt: skip
LABELS = {
    "front_amount": "Front amount", "rear_amount": "Rear amount", "front_angle": "Front angle",
    "rear_angle": "Rear angle", "depth": "Maximum depth", "wall": "Minimum wall",
}  # fmt: skip


class Balancing:
    """The balancing tab: its form, and the last plan that was made."""

    def __init__(self, ask: Callable[[dict[str, Any]], None], design: Callable[[], Design]) -> None:
        self._design = design
        self.plan: DrillPlan | None = None
        self.pins = PinWeights(design)
        shown = {
            name: _rounded(as_shown(value, KEYS[name])) for name, value in EXAMPLE_READING.items()
        }
        self.view = BalancingCard(
            ask,
            fields={**shown, "grade": "G16", "against": False, "light": False, "aim": "fewest",
                    "holes": 3, "drills": [8, 10, 12]},
            grades=grade_choices(),
            drills=[(round(1e3 * drill), with_unit(drill, "mm")) for drill in DRILLS],
            webs=self._webs()[0],
            units={"unbalance": shown_unit("g_mm").symbol, "length": shown_unit("mm").symbol},
            sizing_mode="stretch_width",
        )  # fmt: skip

    def show(self) -> None:
        """Show which webs the present design has; an old plan is of another shaft and goes."""
        self.pins.show()
        webs, problem = self._webs()
        if problem:
            self.view.problem = problem
        if self.plan is not None:
            self.plan, self.view.card = None, ""
        self.view.webs = webs

    def _webs(self) -> tuple[list[int], str]:
        """Return the webs that may be drilled, and why there are none."""
        try:
            return list(drilled_webs(self._design())), ""
        except DesignError as error:
            return [], str(error)

    def make(self, form: dict[str, Any]) -> None:
        """Plan the holes for what the form holds, or say what is wrong with it."""
        serial = form.get("serial")
        try:
            self._make(form)
            self.view.problem = ""
        except DesignError as error:
            self.view.problem = f"{LABELS.get(error.field, error.field)}: {error.message}"
        finally:
            self.view.answered = serial if isinstance(serial, int) else self.view.answered

    def _make(self, form: dict[str, Any]) -> None:
        design = self._design()
        grade, aim, holes = str(form.get("grade"))[:20], form.get("aim"), form.get("holes")
        if aim not in AIMS:
            raise DesignError("aim", f"must be one of {', '.join(AIMS)}")
        if type(holes) is not int or not 1 <= holes <= 6:
            raise DesignError("holes", "must be a whole number, 1 to 6")
        speed = red_line(design.limits, design.layout.rated_speed)
        scale = MachineScale(against=form.get("against") is True,
                             shows_light=form.get("light") is True)  # fmt: skip
        size = np.array([_number(form, f"{side}_amount") for side in ("front", "rear")])
        angle = np.array([_number(form, f"{side}_angle") for side in ("front", "rear")])
        drills, wall = _chosen(form, "drills", DRILLS, 1e3), _number(form, "wall")
        webs = _chosen(form, "webs", drilled_webs(design), 1)
        faces = drill_faces(
            design, drills, most_depth=_number(form, "depth"), minimum_wall=wall, webs=webs
        )
        tolerance = shaft_tolerance(design, grade, speed)
        residual = read_off(scale, size, angle)
        self.plan = drill_plan(residual, tolerance, faces, aim=aim, most_holes=holes)
        thin = None if self.plan.feasible else thin_webs(design, drills, wall, webs)
        if thin is not None:
            self.plan = never_drilled(self.plan, thin)
        self.view.card = unbroken_json(card_message(design, self.plan, speed, grade, scale))

    def file(self) -> str:
        """Return the plan as a file's text, empty without one."""
        return "" if self.plan is None else card_csv(self.plan)


def _number(form: dict[str, Any], name: str) -> float:
    """Return a field of the form [SI]; raises DesignError for what it cannot be."""
    return form_number(form, name, KEYS[name], *ENDS[name])


def _chosen(form: dict[str, Any], name: str, known: Any, scale: float) -> tuple[Any, ...]:
    """Return which of the things known are chosen, told as rounded numbers."""
    given = form.get(name)
    wanted = given if isinstance(given, list) else []
    found = tuple(entry for entry in known if round(scale * entry) in wanted)
    if not found:
        raise DesignError(name, "choose at least one")
    return found


def _rounded(value: float) -> float:
    return float(f"{value:.4g}")
