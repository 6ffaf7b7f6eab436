"""What a report's scripts draw from, against what its designs give: scenes, ladder, tables.

The file is data: it is decoded and compared, and nothing of it is run.
"""

import base64
import binascii
import json
from collections.abc import Iterator
from typing import Any

import numpy as np

from kinematics.array import Array
from viz.report.report_data import report_data
from viz.report.reviewed import Reviewed

START = '<script type="application/json" id="report-data">'
ROUNDING = 1e-5  # of the largest of a scene's single-precision numbers
PARTS = (
    ("train", "blob"), ("train", "reference_blob"), ("film", "blob"), ("film", "reference_blob"),
    ("ladder", "ladder"), ("files", "margins"), ("files", "bearings"),
)  # fmt: skip
NOT_COMPARED = (
    "Not compared: the lines of the margin and film charts that are drawn beforehand, labels, "
    "sources, inputs in words (the design files themselves are), and scripts."
)


def drawn_differences(page: str, this: Reviewed, other: Reviewed | None) -> Iterator[str]:
    """Yield the parts that the page draws from and that are not what its designs give."""
    said = _read(page)
    solved = report_data(this, other, (), (), [])
    for group, name in PARTS:
        before, after = (_part(data, group, name) for data in (said, solved))
        if not _alike(before, after):
            yield f"{group}.{name}"


def _read(page: str) -> dict[str, Any]:
    """Return the data of a page as they stand; empty where they cannot be read."""
    start = page.find(START)
    end = page.find("</script>", start)
    if start < 0 or end < 0:
        return {}
    try:
        found = json.loads(page[start + len(START) : end])
    except (ValueError, RecursionError):
        return {}
    return found if isinstance(found, dict) else {}


def _part(data: dict[str, Any], group: str, name: str) -> str:
    found = data.get(group)
    part = found.get(name) if isinstance(found, dict) else ""
    return part if isinstance(part, str) else ""


def _alike(said: str, solved: str) -> bool:
    if said == solved:
        return True
    found, wanted = _scene(said), _scene(solved)
    if found is None or wanted is None:
        return False
    (head, rows), (other_head, other_rows) = found, wanted
    if head != other_head or rows.shape != other_rows.shape:
        return False
    size = float(np.abs(other_rows).max(initial=0.0))
    return bool(np.allclose(rows, other_rows, rtol=ROUNDING, atol=ROUNDING * 1e-3 * size))


def _scene(words: str) -> tuple[bytes, Array] | None:
    """Return header and rows of a scene; None where it is none."""
    try:
        data = base64.b64decode(words, validate=True)
    except (binascii.Error, ValueError):
        return None
    if len(data) < 4:
        return None
    start = 4 + int.from_bytes(data[:4], "little")
    start += -start % 4
    if start > len(data) or (len(data) - start) % 4:
        return None
    return data[4:start], np.frombuffer(data[start:], "<f4").astype(float)
