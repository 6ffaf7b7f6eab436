"""The demo designs and their ladders, each made once for all tests that ask for it."""

from functools import cache
from typing import Any

from assets_demo import DEMO_DESIGNS, FOLDER
from kinematics import load_design
from kinematics.limits.speed_limits import Ladder, speed_limits
from viz.limits.limit_board import sheet_messages

DEMOS = {stem: load_design(FOLDER / f"{stem}.toml") for stem in DEMO_DESIGNS}


@cache
def demo_ladder(stem: str) -> Ladder:
    """The ladder of a demo design, kept longer than the program keeps it."""
    return speed_limits(DEMOS[stem])


@cache
def demo_sheets(stem: str) -> list[dict[str, Any]]:
    """What the limits page shows of each rung of a demo, in the ladder's order."""
    return sheet_messages(demo_ladder(stem))
