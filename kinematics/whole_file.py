"""A file that is written whole or not at all."""

import contextlib
import os
import secrets
import stat
from pathlib import Path

_NEW = os.O_WRONLY | os.O_CREAT | os.O_EXCL


def write_whole(path: str | Path, text: str) -> None:
    """Write a text as UTF-8 with its line ends as they are; a reader sees all of it or none.

    It is written beside the file, in the same folder, and then put in its place. A fresh file has
    the rights that the umask leaves, one that is replaced keeps its own. A link is followed; into
    a pipe or a device the text goes as it is. Raises OSError that names the file.
    """
    target = Path(path).resolve()
    try:
        if target.exists() and not target.is_file() and not target.is_dir():
            target.write_text(text, encoding="utf-8", newline="")
        else:
            _put_in_place(target, text)
    except OSError as error:
        raise OSError(error.errno, error.strerror, str(path)) from None


def _put_in_place(target: Path, text: str) -> None:
    beside = target.with_name(f".{secrets.token_hex(8)}.part")
    try:
        with open(os.open(beside, _NEW, 0o666), "w", encoding="utf-8", newline="") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        if target.exists():
            beside.chmod(stat.S_IMODE(target.stat().st_mode))
        beside.replace(target)
    except BaseException:
        with contextlib.suppress(OSError):
            beside.unlink()
        raise
