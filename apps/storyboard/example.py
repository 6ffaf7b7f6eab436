"""A ready storyboard of five steps, of the workshop's designs: what a long rod is good for."""

from functools import cache

from apps.storyboard.storyboard import Setting, Step, Storyboard
from assets_demo import FOLDER
from kinematics import load_design
from kinematics.design.design import Design
from kinematics.design.design_file import design_text
from viz.speed_words import rpm

DESIGN, REFERENCE = "short_rod_six", "touring_six"


@cache
def example_storyboard() -> Storyboard:
    """Return the storyboard: the train, what a short rod does to it, its films, what limits it."""
    now, before = (_setting(load_design(FOLDER / f"{name}.toml")) for name in (DESIGN, REFERENCE))
    return Storyboard((
        Step(before, title="The touring six at its rated speed", moving=True,
             note="Gas pushes each piston down, inertia pulls it up; the shaft carries both."),
        Step(now, before, title="With shorter rods", picture="side_thrust",
             headline="main.side_thrust", forces=("gas", "inertia", "side"),
             note="A shorter rod leans further, and presses the piston harder on the wall."),
        Step(now, before, title="Oil film of the big end", picture="journal",
             headline="film.least_film",
             note="The journal rides on oil; its minimum film is the least distance to the shell."),
        Step(now, before, title="All that differs", picture="changes",
             headline="main.peak_acceleration",
             note="The largest changes of results and limits against the touring six."),
        Step(now, before, title="What limits the speed", picture="ladder",
             headline="limit.shaft_stress",
             note="Each rung is the speed at which a part reaches what it is allowed."),
    ))  # fmt: skip


def _setting(design: Design) -> Setting:
    return Setting(design_text(design), rpm(design.layout.rated_speed))
