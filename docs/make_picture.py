"""Make the pictures of docs: serve, open every page in Chromium, take its picture."""

import sys
from pathlib import Path

from playwright.sync_api import sync_playwright

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT))

from apps.server import free_port  # noqa: E402
from tests.browser.chromium import launch_options  # noqa: E402
from tests.browser.served import serve_process  # noqa: E402


def main() -> None:
    """Serve, take the pictures, stop."""
    port = free_port("127.0.0.1")
    server = serve_process(port)
    try:
        with sync_playwright() as playwright:
            browser = playwright.chromium.launch(**launch_options())
            page = browser.new_page(viewport={"width": 1440, "height": 900})
            page.goto(f"http://localhost:{port}/")
            page.wait_for_function("window.sixthrow && window.sixthrow.painted > 0")
            page.get_by_role("slider", name="Crank angle", exact=True).fill("42")
            page.wait_for_timeout(500)
            page.screenshot(path=ROOT / "docs" / "page.png")
            page.goto(f"http://localhost:{port}/bearings")
            page.wait_for_function("window.sixthrow && window.sixthrow.painted > 0")
            page.get_by_role("slider", name="Crank angle", exact=True).fill("230")
            page.wait_for_timeout(1000)
            page.screenshot(path=ROOT / "docs" / "bearings.png")
            page.goto(f"http://localhost:{port}/limits")
            page.wait_for_function("window.sixthrow && window.sixthrow.painted > 0")
            page.get_by_label("Demo design").select_option("Touring six")
            page.locator("[data-rung=shaft_stress][aria-current]").wait_for()
            page.wait_for_timeout(1000)
            page.screenshot(path=ROOT / "docs" / "limits.png")
            page.goto(f"http://localhost:{port}/shaft")
            page.wait_for_function("window.sixthrow && window.sixthrow.painted > 0")
            page.get_by_label("Demo design").select_option("Hill climb six")
            page.wait_for_timeout(2000)
            page.screenshot(path=ROOT / "docs" / "shaft.png")
            browser.close()
    finally:
        server.terminate()


if __name__ == "__main__":
    main()
