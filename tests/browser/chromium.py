"""Find a Chromium for the browser tests; with --install, install one where none is found.

Order: the SIXTHROW_CHROMIUM variable, Playwright's own, one on the PATH; to install, Playwright's
own download, else Debian's package. Debian's headless shell is the same engine without windows and
opens a page with about a quarter less work, so root installs it beside Debian's Chromium.
"""

import os
import shutil
import subprocess
import sys
from pathlib import Path

VARIABLE = "SIXTHROW_CHROMIUM"
QUIET = [
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
SHELL = "chromium-headless-shell"
NAMES = (SHELL, "chromium", "chromium-browser", "google-chrome", "chrome")


class ChromiumError(Exception):
    """Why there is no Chromium, and what to do about it."""


def find_chromium() -> str | None:
    """Return the path of a Chromium, or None; raises ChromiumError if the variable names none."""
    given = os.environ.get(VARIABLE)
    if given:
        return _checked(given)
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


def install() -> str:
    """Return the path of a Chromium, installed if none is found; else raises ChromiumError."""
    found = find_chromium() or _downloaded()
    if found is None or _has_a_shell_beside(found):
        found = _from_debian()
    if not found:
        raise ChromiumError(
            "no Chromium could be installed; install one, or name it in " + VARIABLE
        )
    return found


def _checked(given: str) -> str:
    path = shutil.which(given)
    if path is None:
        raise ChromiumError(f"{VARIABLE} must name a program that can be run (got {given!r})")
    return path


def _has_a_shell_beside(found: str) -> bool:
    """Return whether this is Debian's Chromium with windows, and root may install its shell."""
    debians = found == shutil.which("chromium") and shutil.which("apt-get") is not None
    return debians and not os.environ.get(VARIABLE) and os.geteuid() == 0


def _downloaded() -> str | None:
    subprocess.run([sys.executable, "-m", "playwright", "install", "chromium"], check=False)
    return find_chromium()


def _from_debian() -> str | None:
    if not shutil.which("apt-get"):
        return None
    root = [] if os.geteuid() == 0 else ["sudo"]
    if root and not shutil.which("sudo"):
        raise ChromiumError(
            "no Chromium was found, and installing one needs root or sudo, which is not here; "
            f"run `apt-get install chromium` as root, or name one in {VARIABLE}"
        )
    subprocess.run([*root, "apt-get", "update", "-qq"], check=False)
    for package in (SHELL, "chromium"):  # older releases have no shell
        subprocess.run([*root, "apt-get", "install", "-y", "-qq", package], check=False)
        if found := find_chromium():
            return found
    return None


def _playwrights_own() -> str | None:
    try:
        from playwright.sync_api import sync_playwright

        with sync_playwright() as playwright:
            path = playwright.chromium.executable_path
    except Exception:
        return None
    return path if path and Path(path).exists() else None


def main(arguments: list[str]) -> int:
    """Install if asked to; returns 0 if there is a Chromium in the end, else 1 after one line."""
    if "--install" not in arguments:
        return 0
    try:
        print(f"Chromium: {install()}")
    except ChromiumError as error:
        print(f"chromium.py: {error}", file=sys.stderr)
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
