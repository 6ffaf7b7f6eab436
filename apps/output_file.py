"""Where a command may write: never over what it reads, over another file only when forced."""

import os
from collections.abc import Iterable
from pathlib import Path

from kinematics import Design, DesignError
from kinematics.declaration import shown


def check_output(out: Path, inputs: Iterable[Path], *, force: bool) -> None:
    """Raise DesignError where `out` is one of the inputs, by whatever path, or may not be made."""
    if not out.parent.is_dir():
        raise DesignError("--out", f"must be in a folder that exists (got {_named(out)})")
    if not out.exists():
        return
    if out.is_dir():
        raise DesignError("--out", f"must be a file (got the folder {_named(out)})")
    if any(path.exists() and os.path.samefile(out, path) for path in inputs):
        raise DesignError("--out", f"must not be a file that the command reads (got {_named(out)})")
    if out.is_file() and not force:
        raise DesignError(
            "--out", f"must be a new file; --force replaces an existing one (got {_named(out)})"
        )


def files_of(path: Path, design: Design) -> list[Path]:
    """Return the files that a design was read from: its own, and its pressure trace's."""
    trace = design.pressure.file
    return [path, path.parent / trace] if trace else [path]


def _named(out: Path) -> str:
    return shown(str(out), 120)
