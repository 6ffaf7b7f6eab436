"""The scene that a page shows, kept as a step of the tab's storyboard."""

import math
import re
from typing import Any

from apps.page_registry import PageEntry, page_labelled
from apps.state import AppState
from apps.storyboard.step_title import titled
from apps.storyboard.storyboard import (
    FORCES,
    PANE,
    PICTURES,
    NamedSetting,
    Setting,
    Step,
    Storyboard,
)
from apps.storyboard.storyboard_file import read_storyboard, storyboard_text
from kinematics.design.design import Layout
from kinematics.design.design_file import clean_text
from kinematics.limits.speed_limits import speed_limits

HEADLINES = {  # the number that goes with a picture
    "rod_force": "main.rod_compression",
    "side_thrust": "main.side_thrust",
    "acceleration": "main.peak_acceleration",
    "journal": "film.least_film",
    "load": "film.least_film",
}

PANES = {  # of the shaft's page, and what a step shows of it
    "tab-loads": "shaft_mains", "tab-front": "shaft_front", "tab-scatter": "scatter_sizes",
}  # fmt: skip


def scene_step(state: AppState, view: dict[str, Any]) -> Step:
    """Return what a page holds as a step; `view` says how it is shown. Raises DesignError."""
    draft = state.draft()
    reference = draft["reference"]
    return Step(
        Setting(draft["text"], draft["rpm"]),
        None if reference is None else Setting(reference["text"], reference["rpm"]),
        **(view | {"note": clean_text(state.design.note, 400)}),
        variants=tuple(
            NamedSetting(own["name"], Setting(own["text"], own["rpm"])) for own in draft["variants"]
        ),
    )


def with_scene(kept: str, step: Step) -> tuple[str, int]:
    """Return the tab's storyboard with a step at its end, as text, and the step's place.

    The step is titled by its page and what differs from the step before.

    Raises DesignError where there is no room for it, or where what the tab kept cannot be read.
    """
    board = read_storyboard(kept) if kept else Storyboard()
    at = len(board.steps)
    before = board.steps[-1] if board.steps else None
    return storyboard_text(board.added(titled(step, before), at)), at


def page_view(state: AppState, page: PageEntry, selected: str, place: Any) -> dict[str, Any]:
    """Return how a page shows its design, as a step holds it.

    `selected` is the key of the bearing or limit that is selected; `place` is what the browser says
    of angle, cylinder, forces, plot and pane, and of it is taken what can be.
    """
    view = placed(place, state.design.layout) | {"came_from": page.label}
    if page.step_part == "bearing":
        view |= {"picture": "journal", "bearing": selected} if selected else {}
    elif page.step_part == "limit":
        rungs = speed_limits(state.design).rungs
        rung = selected or (rungs[0].criterion.key if rungs else "")
        view |= {"picture": "limit", "rung": rung, "headline": f"limit.{rung}"} if rung else {}
    elif page.step_part == "review":
        shows_all = len(state.variants) > 0 and view.get("pane") == "variants"
        picture = "variants" if shows_all else "review" if state.reference else "margins"
        view |= {"picture": picture}
    elif page.step_part == "shaft" and view.get("pane") in PANES:
        view |= {"picture": PANES[view["pane"]]}
    elif page.step_part == "curve" and isinstance(place, dict):
        plot = re.sub(r"^compared_|_\d$", "", str(place.get("plot"))[:60])
        view |= {"picture": plot} if plot in PICTURES else {}
    head = HEADLINES.get(view.get("picture", ""))
    return view | ({"headline": head} if head else {})


def placed(place: Any, layout: Layout) -> dict[str, Any]:
    """Return what a step can hold of a browser's place in its page; nonsense is let go."""
    if not isinstance(place, dict):
        return {}
    view: dict[str, Any] = {}
    angle, cylinder, forces = (place.get(key) for key in ("angle", "cylinder", "forces"))
    if isinstance(angle, (int, float)) and 0 <= angle <= math.degrees(layout.cycle_angle) + 1e-9:
        view["angle_deg"] = float(angle)
    if type(cylinder) is int and 0 <= cylinder < layout.cylinders:
        view["cylinder"] = cylinder + 1
    if isinstance(forces, dict):
        view["forces"] = tuple(key for key in FORCES if forces.get(key) is True)
    if isinstance(place.get("pane"), str) and re.fullmatch(PANE, place["pane"]):
        view["pane"] = place["pane"]
    return view


def place_of(step: Step) -> dict[str, Any]:
    """Return where in its page a step was, for the browser to go back there."""
    page = page_labelled(step.whence)
    selected = (
        {"bearing": step.bearing, "limit": step.rung}.get(page.step_part or "") if page else ""
    )
    place = {
        "angle": step.angle_deg,
        "cylinder": step.cylinder - 1,
        "forces": {key: key in step.forces for key in FORCES},
        "pane": step.pane,
    }
    return place | ({"selected": selected} if selected else {})
