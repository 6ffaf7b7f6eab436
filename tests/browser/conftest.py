"""A served app and a page in a real Chromium."""

import os
import subprocess
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect, sync_playwright

from apps.server import free_port
from tests.browser.chromium import ChromiumError, find_chromium, launch_options
from tests.browser.served import serve_process
from tests.browser.waiting import wait_until_drawn, wait_until_painted

expect.set_options(timeout=30_000)  # two pages share a core while all tests run


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    try:
        found = find_chromium()
    except ChromiumError as error:
        pytest.fail(str(error))
    if found is None:
        reason = "no Chromium found; make browser installs one"
        if os.environ.get("CI"):
            pytest.fail(reason)
        pytest.skip(reason)
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(**launch_options())
        yield started
        started.close()


@pytest.fixture(scope="session")
def address() -> Iterator[str]:
    port = free_port("127.0.0.1")
    process = serve_process(port)
    yield f"http://localhost:{port}/"
    process.terminate()
    process.wait(10)


@dataclass
class Seen:
    """What a page did that a test may want to know."""

    errors: list[str] = field(default_factory=list)
    elsewhere: list[str] = field(default_factory=list)
    sent: list[Any] = field(default_factory=list)
    received: list[Any] = field(default_factory=list)


def open_page(
    context: BrowserContext, address: str, drawn: Callable[[Page], None]
) -> tuple[Page, Seen]:
    """Open an address of the app in a new page and wait until it has drawn."""
    page = context.new_page()
    seen = Seen()
    page.on("pageerror", lambda error: seen.errors.append(str(error)))
    page.on("console", lambda message: message.type == "error" and seen.errors.append(message.text))
    page.on("request", lambda request: _note_elsewhere(request.url, seen))
    page.on("websocket", lambda socket_: _note_messages(socket_, seen))
    page.goto(address)
    drawn(page)
    return page, seen


@pytest.fixture(scope="session")
def context(browser: Browser) -> Iterator[BrowserContext]:
    made = browser.new_context(viewport={"width": 1440, "height": 900}, accept_downloads=True)
    yield made
    made.close()


def _note_elsewhere(url: str, seen: Seen) -> None:
    if not url.startswith(("http://localhost:", "data:", "blob:")):
        seen.elsewhere.append(url)


def _note_messages(socket_: Any, seen: Seen) -> None:
    socket_.on("framesent", lambda frame: seen.sent.append(frame))
    socket_.on("framereceived", lambda frame: seen.received.append(frame))


@pytest.fixture
def opened(context: BrowserContext, address: str) -> Iterator[tuple[Page, Seen]]:
    page, seen = open_page(context, f"{address}train", wait_until_drawn)
    yield page, seen
    page.close()


@pytest.fixture(scope="module")
def opened_once(context: BrowserContext, address: str) -> Iterator[tuple[Page, Seen]]:
    """One page for all tests of a module that leave it as they found it."""
    page, seen = open_page(context, f"{address}train", wait_until_drawn)
    yield page, seen
    page.close()


@pytest.fixture
def limits(context: BrowserContext, address: str) -> Iterator[tuple[Page, Seen]]:
    page, seen = open_page(context, f"{address}limits", wait_until_painted)
    yield page, seen
    page.close()


@pytest.fixture(scope="module")
def limits_once(context: BrowserContext, address: str) -> Iterator[tuple[Page, Seen]]:
    """One limits page for all tests of a module that leave it as they found it."""
    page, seen = open_page(context, f"{address}limits", wait_until_painted)
    yield page, seen
    page.close()


@pytest.fixture
def bearings(context: BrowserContext, address: str) -> Iterator[tuple[Page, Seen]]:
    page, seen = open_page(context, f"{address}bearings", wait_until_painted)
    yield page, seen
    page.close()


@pytest.fixture(scope="module")
def bearings_once(context: BrowserContext, address: str) -> Iterator[tuple[Page, Seen]]:
    """One bearings page for all tests of a module that leave it as they found it."""
    page, seen = open_page(context, f"{address}bearings", wait_until_painted)
    yield page, seen
    page.close()


@pytest.fixture
def served_anew() -> Iterator[Callable[[int], subprocess.Popen[bytes]]]:
    """Serve on a port of the test's own, as often as it asks."""
    processes = []

    def serve(port: int) -> subprocess.Popen[bytes]:
        processes.append(serve_process(port))
        return processes[-1]

    yield serve
    for process in processes:
        process.kill()
        process.wait(10)
