"""Find a Chromium for the browser tests; with --install, install one where none is found.

Order: the SIXTHROW_CHROMIUM variable, Playwright's own, one on the PATH; to install, Playwright's
own download, else Debian's package.
"""

import os
import shutil
import subprocess
import sys
from pathlib import Path

QUIET = [
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
NAMES = ("chromium", "chromium-browser", "google-chrome", "chrome")


def find_chromium() -> str | None:
    """Return the path of a Chromium, or None."""
    given = os.environ.get("SIXTHROW_CHROMIUM")
    if given:
        return given
    own = _playwrights_own()
    if own:
        return own
    return next((path for name in NAMES if (path := shutil.which(name))), None)


def launch_options() -> dict[str, object]:
    """Return Playwright's launch options for the Chromium that was found."""
    arguments = [*QUIET]
    if hasattr(os, "geteuid") and os.geteuid() == 0:
        arguments.append("--no-sandbox")
    return {"executable_path": find_chromium(), "args": arguments}


def install() -> int:
    """Install a Chromium if none is found; returns 0 if there is one in the end."""
    if find_chromium():
        print(f"Chromium: {find_chromium()}")
        return 0
    subprocess.run([sys.executable, "-m", "playwright", "install", "chromium"], check=False)
    if not find_chromium() and shutil.which("apt-get"):
        root = [] if os.geteuid() == 0 else ["sudo"]
        subprocess.run([*root, "apt-get", "update", "-qq"], check=False)
        subprocess.run([*root, "apt-get", "install", "-y", "-qq", "chromium"], check=False)
    found = find_chromium()
    print(f"Chromium: {found}" if found else "No Chromium could be installed.")
    return 0 if found else 1


def _playwrights_own() -> str | None:
    try:
        from playwright.sync_api import sync_playwright

        with sync_playwright() as playwright:
            path = playwright.chromium.executable_path
    except Exception:
        return None
    return path if path and Path(path).exists() else None


if __name__ == "__main__":
    sys.exit(install() if "--install" in sys.argv else 0)
