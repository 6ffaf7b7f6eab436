"""A file that is written whole or not at all."""

import contextlib
import os
import secrets
import stat
from pathlib import Path

_NEW = os.O_WRONLY | os.O_CREAT | os.O_EXCL


def write_whole(path: str | Path, content: str | bytes) -> None:
    """Write bytes, or a text as UTF-8 with its line ends as they are; all of it is seen or none.

    It is written beside the file, in the same folder, and then put in its place. A fresh file has
    the rights that the umask leaves, one that is replaced keeps its own. A link is followed; into
    a pipe or a device the text goes as it is. Raises OSError that names the file.
    """
    target = Path(path).resolve()
    data = content.encode("utf-8") if isinstance(content, str) else content
    try:
        if target.exists() and not target.is_file() and not target.is_dir():
            target.write_bytes(data)
        else:
            _put_in_place(target, data)
    except OSError as error:
        raise OSError(error.errno, error.strerror, str(path)) from None


def _put_in_place(target: Path, data: bytes) -> None:
    beside = target.with_name(f".{secrets.token_hex(8)}.part")
    try:
        with open(os.open(beside, _NEW, 0o666), "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        if target.exists():
            beside.chmod(stat.S_IMODE(target.stat().st_mode))
        beside.replace(target)
    except BaseException:
        with contextlib.suppress(OSError):
            beside.unlink()
        raise
