"""Serving the pages on this machine."""

import os
import webbrowser
from functools import partial
from importlib import import_module
from typing import Any

from bokeh.server.server import Server
from bokeh.settings import settings
from panel.io.server import get_server
from tornado.netutil import bind_sockets
from tornado.web import RedirectHandler

from apps.page_registry import PAGES, PageEntry
from apps.pages.design_page import DesignPage, first_design
from apps.pages.page_template import PageTemplate, served
from apps.session_units import in_session_units
from kinematics import DesignError
from kinematics.declaration import shown

DEFAULT_PORT = 5006
MOST_MESSAGE_BYTES = 8_000_000


def serve(*, port: int | None, address: str, show: bool) -> None:
    """Serve the pages until interrupted; port 0 takes a free one, None asks PORT or the default.

    Raises DesignError if the address or the port cannot be had.
    """
    chosen = _checked_port(os.environ.get("PORT", str(DEFAULT_PORT)) if port is None else str(port))
    free = free_port(address)
    server = _bound(chosen or free, address)
    url = f"http://{_url_host(address)}:{server.port}/"
    print(f"sixthrow runs at {url}  (Ctrl-C ends it)", flush=True)
    server.start()
    if show:
        server.io_loop.add_callback(webbrowser.open, url)
    server.io_loop.start()  # Panel ends it on an interrupt


def _bound(port: int, address: str) -> Server:
    """Return a server that has its port, but answers only once it is started."""
    origins = [f"{host}:{port}" for host in {"localhost", "127.0.0.1", _url_host(address)}]
    if ":" in address:  # Bokeh's own list takes no IPv6 address, its setting does
        settings.allowed_ws_origin = [*origins, *(settings.allowed_ws_origin() or ())]
        origins = origins[:0]
    settings.perform_document_validation = False  # tests do, not each page that opens
    pages: dict[str, Any] = {
        f"/{page.address}": in_session_units(partial(_fresh_page, page_class(page)))
        for page in PAGES
    }
    try:
        return get_server(pages, **_options(port, address, origins))
    except OSError as error:
        raise DesignError(
            "--port", f"must be free on {address} (got {port}: {error.strerror or error})"
        ) from None


def page_class(page: PageEntry) -> type[DesignPage]:
    """Return the class of a page; raises ImportError or AttributeError where there is none."""
    module, name = page.maker.split(":")
    found: type[DesignPage] = getattr(import_module(f"apps.pages.{module}"), name)
    return found


def _fresh_page(made: type[DesignPage]) -> PageTemplate:
    """Return a new page on the first demo design."""
    return served(made(first_design()).template())


def _redirects() -> list[tuple[str, type[RedirectHandler], dict[str, str]]]:
    """Return what leads from former addresses to the present ones; a link keeps its scene."""
    return [
        (f"/{page.former_address}", RedirectHandler, {"url": page.address})
        for page in PAGES
        if page.former_address
    ]


def _url_host(address: str) -> str:
    """Return an address as a browser of this machine reaches it."""
    if address in ("", "127.0.0.1", "0.0.0.0", "::"):
        return "localhost"
    return f"[{address}]" if ":" in address else address


def _checked_port(text: str) -> int:
    if not (text.isascii() and text.isdigit() and len(text) <= 5 and int(text) <= 65535):
        raise DesignError("PORT", f"must be 0 to 65535 (got {text[:20]!r})")
    return int(text)


def free_port(address: str) -> int:
    """Return a port that is free at this moment; raises DesignError for no address of ours."""
    try:
        sockets = bind_sockets(0, address)
    except (OSError, ValueError) as error:  # a name that no name can be is a ValueError
        why = getattr(error, "strerror", None) or "no such name"
        raise DesignError(
            "--address", f"must be an address of this machine (got {shown(address)}: {why})"
        ) from None
    port = int(sockets[0].getsockname()[1])
    for opened in sockets:
        opened.close()
    return port


def may_show() -> bool:
    """Return whether a browser may be opened: a display, and BROWSER not set to nothing."""
    if os.environ.get("BROWSER", "x") in ("", "none"):
        return False
    return (
        os.name == "nt"
        or os.uname().sysname == "Darwin"
        or bool(os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"))
    )


def _options(port: int, address: str, origins: list[str]) -> dict[str, Any]:
    return {
        "port": port,
        "address": address,
        "websocket_origin": origins,
        "start": False,
        "show": False,
        "verbose": False,
        "title": "sixthrow",
        "extra_patterns": _redirects(),
        "liveness": True,
        "websocket_max_message_size": MOST_MESSAGE_BYTES,
        "check_unused_sessions_milliseconds": 5000,
        "unused_session_lifetime_milliseconds": 120_000,
        "keep_alive_milliseconds": 20000,
    }
