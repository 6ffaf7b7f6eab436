"""Finding a Chromium: what is named must be there, and what cannot be installed is said."""

import os
import shutil
import subprocess
import sys

import pytest

from assets_demo import FOLDER
from tests.browser import chromium


@pytest.mark.parametrize("given", ["/no/such", "no-such-program", str(FOLDER)])
def test_a_named_program_that_is_none_is_refused(monkeypatch, capsys, given):
    monkeypatch.setenv("SIXTHROW_CHROMIUM", given)
    for ask in (chromium.find_chromium, chromium.launch_options, chromium.install):
        with pytest.raises(chromium.ChromiumError, match="must name a program that can be run"):
            ask()
    assert chromium.main(["--install"]) == 1
    told = capsys.readouterr()
    assert told.out == ""
    assert repr(given) in told.err
    assert told.err.count("\n") == 1


def test_a_named_program_is_taken(monkeypatch):
    monkeypatch.setenv("SIXTHROW_CHROMIUM", sys.executable)
    assert chromium.find_chromium() == sys.executable


def test_without_sudo_it_says_what_to_do(monkeypatch, capsys):
    ran = []
    monkeypatch.delenv("SIXTHROW_CHROMIUM", raising=False)
    monkeypatch.setattr(chromium, "_playwrights_own", lambda: None)
    monkeypatch.setattr(os, "geteuid", lambda: 1000)
    monkeypatch.setattr(
        shutil, "which", lambda name: "/usr/bin/apt-get" if name == "apt-get" else None
    )
    monkeypatch.setattr(subprocess, "run", lambda command, **_: ran.append(command))
    assert chromium.main(["--install"]) == 1
    told = capsys.readouterr().err
    assert "needs root or sudo" in told
    assert "SIXTHROW_CHROMIUM" in told
    assert [command[0] for command in ran] == [sys.executable]


def installs(monkeypatch, there, user=0):
    """What is found once installed, and the packages asked for, where some programs are there."""
    programs, asked = set(there), []

    def run(command, **_):
        if "install" in command:
            asked.append(command[-1])
            programs.add(command[-1])

    monkeypatch.delenv("SIXTHROW_CHROMIUM", raising=False)
    monkeypatch.setattr(chromium, "_playwrights_own", lambda: None)
    monkeypatch.setattr(os, "geteuid", lambda: user)
    monkeypatch.setattr(
        shutil, "which", lambda name: f"/usr/bin/{name}" if name in programs else None
    )
    monkeypatch.setattr(subprocess, "run", run)
    return chromium.install(), asked


def test_root_installs_debian_s_shell_beside_its_chromium(monkeypatch):
    found, asked = installs(monkeypatch, {"apt-get", "chromium"})
    assert found == "/usr/bin/chromium-headless-shell"
    assert asked == ["chromium-headless-shell"]


@pytest.mark.parametrize(
    ("there", "user"),
    [
        ({"apt-get", "chromium"}, 1000),
        ({"chromium"}, 0),
        ({"apt-get", "google-chrome"}, 0),
        ({"apt-get", "chromium", "chromium-headless-shell"}, 0),
    ],
)
def test_what_is_found_is_taken_where_nothing_better_can_be_had(monkeypatch, there, user):
    found, asked = installs(monkeypatch, there, user)
    assert found.removeprefix("/usr/bin/") in there
    assert asked == []
