"""A served app and a page in a real Chromium."""

import importlib.util
import os
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright

ROOT = Path(__file__).parents[2]


def _load(name: str) -> Any:
    spec = importlib.util.spec_from_file_location(name, Path(__file__).parent / f"{name}.py")
    module = importlib.util.module_from_spec(spec)
    sys.modules[name] = module
    spec.loader.exec_module(module)
    return module


chromium = _load("chromium")


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    if chromium.find_chromium() is None:
        reason = "no Chromium found; make browser installs one"
        if os.environ.get("CI"):
            pytest.fail(reason)
        pytest.skip(reason)
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(**chromium.launch_options())
        yield started
        started.close()


@pytest.fixture(scope="session")
def address() -> Iterator[str]:
    port = free_port()
    process = serve_process(port)
    try:
        wait_until_served(process, port)
        yield f"http://localhost:{port}/"
    finally:
        process.terminate()
        process.wait(10)


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def serve_process(port: int) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-m", "apps", "serve", "--port", str(port), "--no-browser"],
        cwd=ROOT,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.STDOUT,
        text=True,
    )


def wait_until_served(process: subprocess.Popen[str], port: int) -> None:
    end = time.monotonic() + 60
    while time.monotonic() < end:
        assert process.poll() is None, "the program ended at once"
        try:
            urllib.request.urlopen(f"http://localhost:{port}/liveness", timeout=2)
        except OSError:
            time.sleep(0.1)
        else:
            return
    raise AssertionError("the program did not answer within 60 s")


@dataclass
class Seen:
    """What a page did that a test may want to know."""

    errors: list[str] = field(default_factory=list)
    elsewhere: list[str] = field(default_factory=list)
    sent: list[Any] = field(default_factory=list)
    received: list[Any] = field(default_factory=list)


def open_page(context: BrowserContext, address: str) -> tuple[Page, Seen]:
    """Open the app in a new page and wait until it has drawn."""
    page = context.new_page()
    seen = Seen()
    page.on("pageerror", lambda error: seen.errors.append(str(error)))
    page.on("console", lambda message: message.type == "error" and seen.errors.append(message.text))
    page.on("request", lambda request: _note_elsewhere(request.url, seen))
    page.on("websocket", lambda socket_: _note_messages(socket_, seen))
    page.goto(address)
    wait_until_drawn(page)
    return page, seen


def wait_until_drawn(page: Page) -> None:
    page.wait_for_function("window.sixthrow && window.sixthrow.painted > 0", timeout=30_000)
    page.wait_for_function(
        "window.Bokeh.documents[0].get_model_by_name('rod_force_data').data.y2.length > 0",
        timeout=30_000,
    )


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
    page, seen = open_page(context, address)
    yield page, seen
    page.close()


@pytest.fixture
def served_anew() -> Iterator[Callable[[int], subprocess.Popen[str]]]:
    """Serve on a port of the test's own, as often as it asks."""
    processes = []

    def serve(port: int) -> subprocess.Popen[str]:
        processes.append(serve_process(port))
        wait_until_served(processes[-1], port)
        return processes[-1]

    yield serve
    for process in processes:
        process.kill()
        process.wait(10)
