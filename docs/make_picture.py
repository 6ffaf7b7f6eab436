"""Make the pictures of docs: serve, open the pages in Chromium, take still and moving pictures."""

import sys
from collections.abc import Callable
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path

from PIL import Image
from playwright.sync_api import Page, sync_playwright

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT))

from apps.server import free_port  # noqa: E402
from tests.browser.chromium import launch_options  # noqa: E402
from tests.browser.served import serve_process  # noqa: E402

FOLDER = ROOT / "docs"
VIEW = {"width": 1440, "height": 900}
FRAMES = 36  # of a cycle of two turns
FRAME_TIME = 70  # [ms]
MOVING_SIZE = (960, 600)


def crank_at(page: Page, angle: float) -> None:
    """Turn the crank of the page."""
    page.get_by_role("slider", name="Crank angle", exact=True).fill(f"{angle:g}")


def pick_demo(page: Page, name: str) -> None:
    """Open a demo design."""
    page.get_by_label("Demo design").select_option(name)


def limits_of_touring(page: Page) -> None:
    """Show the ladder of the touring six, its first limit selected, with its band."""
    pick_demo(page, "Touring six")
    page.locator("[data-rung=shaft_stress][aria-current] .band-ends").wait_for()


@dataclass(frozen=True)
class Still:
    """A picture of a page: its file, its address, and what is done before it is taken."""

    file: str
    address: str
    prepare: Callable[[Page], None]


STILLS = (
    Still("page.png", "train", lambda page: crank_at(page, 42)),
    Still("bearings.png", "bearings", lambda page: crank_at(page, 230)),
    Still("limits.png", "limits", limits_of_touring),
    Still("shaft.png", "shaft", lambda page: pick_demo(page, "Hill climb six")),
)


def opened(page: Page, address: str) -> None:
    """Open a page and wait until it is painted."""
    page.goto(address)
    page.wait_for_function("window.sixthrow && window.sixthrow.painted > 0")


def turning(page: Page) -> None:
    """Write a cycle of the turning crank train as a moving picture."""
    frames = []
    for frame in range(FRAMES):
        crank_at(page, frame * 720 / FRAMES)
        page.wait_for_timeout(100)
        picture = Image.open(BytesIO(page.screenshot())).convert("RGB")
        frames.append(picture.resize(MOVING_SIZE, Image.Resampling.LANCZOS))
    frames[0].save(
        FOLDER / "turning.webp", save_all=True, append_images=frames[1:], duration=FRAME_TIME,
        loop=0, quality=60, method=6,
    )  # fmt: skip


def main(wanted: list[str]) -> None:
    """Serve, take the pictures named, or all, and stop."""
    port = free_port("127.0.0.1")
    server = serve_process(port)
    try:
        with sync_playwright() as playwright:
            page = playwright.chromium.launch(**launch_options()).new_page(viewport=VIEW)
            for still in STILLS:
                if not wanted or still.file in wanted:
                    opened(page, f"http://localhost:{port}/{still.address}")
                    still.prepare(page)
                    page.wait_for_timeout(2000)
                    page.screenshot(path=FOLDER / still.file)
            if not wanted or "turning.webp" in wanted:
                opened(page, f"http://localhost:{port}/train")
                page.wait_for_timeout(1000)
                turning(page)
    finally:
        server.terminate()


if __name__ == "__main__":
    main(sys.argv[1:])
