"""The page served on the IPv6 loopback draws: its socket is let in."""

import subprocess
import sys

import pytest

from tests.apps.test_server import ipv6
from tests.browser.served import ROOT
from tests.browser.waiting import wait_until_painted

pytestmark = [pytest.mark.browser, pytest.mark.skipif(not ipv6(), reason="no IPv6 here")]


def test_a_page_on_the_ipv6_loopback_draws(context):
    process = subprocess.Popen(
        [sys.executable, "-m", "apps", "serve", "--no-browser", "--port", "0", "--address", "::1"],
        cwd=ROOT, stdout=subprocess.PIPE, text=True,
    )  # fmt: skip
    page = context.new_page()
    try:
        page.goto(process.stdout.readline().split()[3])
        wait_until_painted(page)
        page.get_by_role("button", name="Set reference").click()
        page.get_by_role("button", name="Replace reference").wait_for()
    finally:
        page.close()
        process.kill()
        process.wait(10)
