"""Serving the pages on this machine."""

import os
import socket
from typing import Any

import panel as pn

from apps.bearings_page import bearings_page
from apps.compare_page import compare_page
from apps.lessons_page import lessons_page
from apps.limits_page import limits_page
from apps.page import crank_train_page
from apps.present_page import present_page
from apps.session_units import in_session_units
from apps.shaft_page import shaft_page
from apps.talk_page import talk_page
from kinematics import DesignError

PAGES = {
    "/": crank_train_page,
    "/bearings": bearings_page,
    "/shaft": shaft_page,
    "/limits": limits_page,
    "/compare": compare_page,
    "/present": present_page,
    "/lessons": lessons_page,
    "/talk": talk_page,
}
DEFAULT_PORT = 5006
MOST_MESSAGE_BYTES = 8_000_000


def serve(*, port: int | None, address: str, show: bool) -> None:
    """Serve the pages until interrupted; port 0 takes a free one, None asks PORT or the default."""
    chosen = _checked_port(os.environ.get("PORT", str(DEFAULT_PORT)) if port is None else str(port))
    if chosen == 0:
        chosen = free_port(address)
    origins = [f"{host}:{chosen}" for host in {"localhost", "127.0.0.1", address}]
    print(f"sixthrow runs at http://localhost:{chosen}/  (Ctrl-C ends it)", flush=True)
    pages = {path: in_session_units(page) for path, page in PAGES.items()}
    pn.serve(pages, **_options(chosen, address, origins, show))


def _checked_port(text: str) -> int:
    if not (text.isascii() and text.isdigit() and len(text) <= 5 and int(text) <= 65535):
        raise DesignError("PORT", f"found {text[:20]!r}; allowed is 0 to 65535")
    return int(text)


def free_port(address: str) -> int:
    """Return a port that is free at this moment."""
    with socket.socket() as probe:
        probe.bind((address, 0))
        return int(probe.getsockname()[1])


def may_show() -> bool:
    """Return whether a browser may be opened: a display, and BROWSER not set to nothing."""
    if os.environ.get("BROWSER", "x") in ("", "none"):
        return False
    return (
        os.name == "nt"
        or os.uname().sysname == "Darwin"
        or bool(os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"))
    )


def _options(port: int, address: str, origins: list[str], show: bool) -> dict[str, Any]:
    return {
        "port": port,
        "address": address,
        "websocket_origin": origins,
        "show": show,
        "title": "sixthrow",
        "liveness": True,
        "websocket_max_message_size": MOST_MESSAGE_BYTES,
        "check_unused_sessions_milliseconds": 5000,
        "unused_session_lifetime_milliseconds": 15000,
        "keep_alive_milliseconds": 20000,
    }
