"""Which system of units a reader's page is in: a cookie of the browser says it."""

from collections.abc import Callable
from typing import Any

import panel as pn

from kinematics.units import SYSTEMS, using_units

COOKIE = "sixthrow_units"


def session_system() -> str:
    """Return the system of units of the session at hand, a key of `SYSTEMS`; else SI."""
    asked = pn.state.cookies.get(COOKIE, "")
    return asked if asked in SYSTEMS else "si"


def in_session_units(page: Callable[[], Any]) -> Callable[[], Any]:
    """Return a page's maker that makes it in its session's units."""

    def made() -> Any:
        with using_units(session_system()):
            return page()

    return made
