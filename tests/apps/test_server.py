"""Serving: what is printed is true, and what cannot be had is one line and exit code 2."""

import http.client
import signal
import socket
import subprocess
import sys
import urllib.request
from collections.abc import Iterator
from urllib.parse import urljoin, urlsplit

import pytest

from apps.command_line import main
from apps.page_registry import PAGES
from assets_demo import FOLDER


def ipv6() -> bool:
    try:
        with socket.socket(socket.AF_INET6) as probe:
            probe.bind(("::1", 0))
    except OSError:
        return False
    return True


@pytest.fixture(
    params=[
        "127.0.0.1",
        pytest.param("::1", marks=pytest.mark.skipif(not ipv6(), reason="no IPv6 here")),
    ]
)
def running(request) -> Iterator[tuple[subprocess.Popen[str], str, str]]:
    """The served program, its address, and the first line that it prints."""
    address = request.param
    process = subprocess.Popen(
        [sys.executable, "-m", "apps", "serve", "--no-browser", "--port", "0",
         "--address", address],
        cwd=FOLDER.parent, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
    )  # fmt: skip
    yield process, address, process.stdout.readline()
    process.kill()
    process.wait(10)


def led_to(url: str, place: str) -> str:
    """Where a former address leads to, without opening that page."""
    connection = http.client.HTTPConnection(urlsplit(url).netloc, timeout=30)
    connection.request("GET", urljoin("/", place))
    answer = connection.getresponse()
    connection.close()
    assert answer.status == 301
    return urljoin(f"{url}{place}", answer.headers["Location"])


def test_it_answers_where_it_says_and_ends_on_an_interrupt(running):
    process, address, line = running
    host = {"127.0.0.1": "localhost", "::1": "[::1]"}[address]
    assert line.startswith(f"sixthrow runs at http://{host}:")
    url = line.split()[3]
    assert urllib.request.urlopen(f"{url}liveness", timeout=30).status == 200
    for page in PAGES:
        if page.former_address:
            assert led_to(url, f"{page.former_address}?x=1") == f"{url}{page.address}?x=1"
    process.send_signal(signal.SIGINT)
    assert process.communicate(timeout=60) == ("", "")
    assert process.returncode == 130


def test_a_taken_port_is_one_line_and_nothing_is_said_to_run(capsys):
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        assert main(["serve", "--no-browser", "--port", str(port)]) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert told.err.startswith(f"sixthrow: --port: must be free on 127.0.0.1 (got {port}: ")
    assert told.err.count("\n") == 1


@pytest.mark.parametrize("address", ["203.0.113.9", "no..name", "x" * 300, "nul\0", "::g"])
@pytest.mark.parametrize("port", ["0", "5099"])
def test_no_address_of_this_machine_is_one_line_and_code_2(capsys, address, port):
    assert main(["serve", "--no-browser", "--port", port, "--address", address]) == 2
    told = capsys.readouterr()
    assert told.out == ""
    assert told.err.startswith("sixthrow: --address: must be an address of this machine (got ")
    assert told.err.count("\n") == 1
