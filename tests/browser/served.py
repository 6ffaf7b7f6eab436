"""The program served by a process of its own, for the browser tests and the page's picture."""

import subprocess
import sys
import time
import urllib.request
from pathlib import Path

ROOT = Path(__file__).parents[2]
PATIENCE = 240  # [s], on a machine with much else to do


def serve_process(port: int) -> subprocess.Popen[bytes]:
    """Start serving on a port, without a browser, and wait until it answers."""
    process = subprocess.Popen(
        [sys.executable, "-m", "apps", "serve", "--port", str(port), "--no-browser"],
        cwd=ROOT,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.STDOUT,
    )
    end = time.monotonic() + PATIENCE
    while time.monotonic() < end:
        assert process.poll() is None, "the program ended at once"
        try:
            urllib.request.urlopen(f"http://localhost:{port}/liveness", timeout=2)
        except OSError:
            time.sleep(0.1)
        else:
            return process
    process.kill()
    raise AssertionError(f"the program did not answer within {PATIENCE} s")
