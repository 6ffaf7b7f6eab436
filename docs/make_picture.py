"""Make docs/page.png: serve the page, open it in Chromium, take its picture."""

import subprocess
import sys
import time
import urllib.request
from pathlib import Path

from playwright.sync_api import sync_playwright

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT / "tests" / "browser"))

from chromium import launch_options  # noqa: E402

PORT = 5017


def main() -> None:
    """Serve, wait, take the picture, stop."""
    command = [sys.executable, "-m", "apps", "serve", "--port", str(PORT), "--no-browser"]
    server = subprocess.Popen(command, cwd=ROOT)
    try:
        _wait()
        with sync_playwright() as playwright:
            browser = playwright.chromium.launch(**launch_options())
            page = browser.new_page(viewport={"width": 1440, "height": 900})
            page.goto(f"http://localhost:{PORT}/")
            page.wait_for_function("window.sixthrow && window.sixthrow.painted > 0")
            page.get_by_role("slider", name="Crank angle", exact=True).fill("42")
            page.wait_for_timeout(500)
            page.screenshot(path=ROOT / "docs" / "page.png")
            browser.close()
    finally:
        server.terminate()


def _wait() -> None:
    for _ in range(200):
        try:
            urllib.request.urlopen(f"http://localhost:{PORT}/liveness", timeout=1)
        except OSError:
            time.sleep(0.2)
        else:
            return
    raise SystemExit("the program did not answer")


if __name__ == "__main__":
    main()
