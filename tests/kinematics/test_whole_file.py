"""A file is written whole or not at all: no half file, nothing left over, the rights of a file."""

import os
import stat
from pathlib import Path

import pytest

from kinematics import save_design
from kinematics.whole_file import write_whole
from tests.conftest import six


def mode(path):
    return stat.S_IMODE(path.stat().st_mode)


def test_a_fresh_file_has_the_rights_of_the_umask(tmp_path):
    old = os.umask(0o027)
    try:
        write_whole(tmp_path / "a.csv", "a,µ\nb\n")
    finally:
        os.umask(old)
    assert (tmp_path / "a.csv").read_bytes() == "a,µ\nb\n".encode()
    assert mode(tmp_path / "a.csv") == 0o640
    assert [one.name for one in tmp_path.iterdir()] == ["a.csv"]


def test_a_replaced_file_keeps_its_rights(tmp_path):
    path = tmp_path / "a.csv"
    path.write_text("old")
    path.chmod(0o604)
    write_whole(path, "new")
    assert path.read_text() == "new"
    assert mode(path) == 0o604


@pytest.mark.parametrize("failing", ["fsync", "replace"])
@pytest.mark.parametrize("error", [OSError(28, "No space left on device"), KeyboardInterrupt()])
def test_a_failure_leaves_the_old_file_and_nothing_else(tmp_path, monkeypatch, failing, error):
    path = tmp_path / "a.csv"
    path.write_text("old")

    def fail(*_):
        raise error

    monkeypatch.setattr(*((os, "fsync") if failing == "fsync" else (Path, "replace")), fail)
    with pytest.raises(type(error)) as raised:
        write_whole(path, "new")
    assert path.read_text() == "old"
    assert [one.name for one in tmp_path.iterdir()] == ["a.csv"]
    if isinstance(error, OSError):
        assert raised.value.filename == str(path)


def test_a_link_is_followed_and_stays(tmp_path):
    (tmp_path / "link.csv").symlink_to("real.csv")
    write_whole(tmp_path / "link.csv", "new")
    assert (tmp_path / "link.csv").is_symlink()
    assert (tmp_path / "real.csv").read_text() == "new"


def test_a_device_is_written_into_and_stays_one():
    write_whole("/dev/null", "new")
    assert Path("/dev/null").is_char_device()


def test_a_design_is_saved_so_too(tmp_path, monkeypatch):
    path = tmp_path / "six.toml"
    path.write_text("old")
    monkeypatch.setattr(os, "fsync", lambda _: (_ for _ in ()).throw(OSError(5, "failed")))
    with pytest.raises(OSError, match="failed"):
        save_design(six(), path)
    assert path.read_text() == "old"
