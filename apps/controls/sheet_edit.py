"""What a data sheet's reader changes: cells of values, origins and notes, taken in one go.

What fits together is taken together: strength and yield of a metal may both move past the other's
old value. Where that fails, each value is taken by itself, and what is not allowed is left.
"""

import dataclasses
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from apps.controls.sheet_cells import cell_value
from kinematics import Design, DesignError
from kinematics.declaration import shown
from kinematics.design.design_file import TEXTS, clean_text
from kinematics.design.design_groups import ENTRIES, with_entries, without_stale_origins
from kinematics.design.design_origin import DEFAULT, WORDS, ValueOrigin, read_origin
from kinematics.fit.weighed_sizes import with_weighed_sizes
from kinematics.train.cycle import RigidTrain

COLUMNS = ("value", "origin", "note")
NOT_STATED = "not stated"
MOST_EDITS = 2000
NO_ORIGIN = ("", DEFAULT, NOT_STATED)


@dataclass(frozen=True, slots=True)
class Edit:
    """One cell that is changed: key of its row, column, what is typed."""

    key: str
    column: str
    text: str


Refused = list[tuple[Edit, DesignError]]


def read_edits(asked: Any) -> tuple[Edit, ...]:
    """Return the cells that a message of the browser changes; raises DesignError for no such."""
    if not isinstance(asked, list) or len(asked) > MOST_EDITS:
        raise DesignError("", f"must be a list of at most {MOST_EDITS} cells")
    edits = []
    for cell in asked:
        fields = cell if isinstance(cell, dict) else {}
        parts = [fields.get(name) for name in ("key", "column", "text")]
        if not all(isinstance(part, str) for part in parts):
            raise DesignError("", f"must be cells with key, column and text (got {shown(cell)})")
        key, column, text = map(str, parts)
        if column not in COLUMNS or key not in (*ENTRIES, *TEXTS):
            raise DesignError("", f"must be a cell of the sheet (got {shown((key, column))})")
        edits.append(Edit(key, column, text))
    return tuple(edits)


def edited(design: Design, edits: Iterable[Edit]) -> tuple[Design, Refused]:
    """Return a design with what its edits change, and those that are refused with their reason."""
    refused: Refused = []
    by_column: dict[str, list[Edit]] = {column: [] for column in COLUMNS}
    for edit in edits:
        by_column[edit.column].append(edit)
    papers = [edit for edit in by_column["value"] if edit.key in TEXTS]
    values = {edit: cell for edit in by_column["value"] if edit.key not in TEXTS
              for cell in _read(edit, refused)}  # fmt: skip
    changed = with_weighed_sizes(design, _with_values(design, values, refused))
    changed = without_stale_origins(changed, design)
    for change, cells in (
        (_with_text, papers), (_with_origin, by_column["origin"]), (_with_note, by_column["note"])
    ):  # fmt: skip
        for edit in cells:
            changed = _tried(changed, edit, change, refused)
    return changed, refused


def _read(edit: Edit, refused: Refused) -> list[Any]:
    """Return the value of a cell as a list of one; nothing where it cannot be read."""
    try:
        return [cell_value(ENTRIES[edit.key], edit.text)]
    except DesignError as error:
        refused.append((edit, error))
        return []


def _with_values(design: Design, values: Mapping[Edit, Any], refused: Refused) -> Design:
    if not values:
        return design
    try:
        return _solvable(with_entries(design, {edit.key: cell for edit, cell in values.items()}))
    except DesignError as error:
        if len(values) == 1:
            refused.append((next(iter(values)), error))
            return design
    waiting, errors = dict(values), dict[Edit, DesignError]()
    while waiting:
        errors = {}
        for edit, cell in waiting.items():
            try:
                design = _solvable(with_entries(design, {edit.key: cell}))
            except DesignError as error:
                errors[edit] = error
        if len(errors) == len(waiting):
            break
        waiting = {edit: waiting[edit] for edit in errors}
    refused += errors.items()
    return design


def _solvable(design: Design) -> Design:
    """Return the design itself; raises DesignError where its pressure cannot be had."""
    _ = RigidTrain(design).pressure
    return design


def _tried(
    design: Design, edit: Edit, change: Callable[[Design, Edit], Design], refused: Refused
) -> Design:
    try:
        return change(design, edit)
    except DesignError as error:
        refused.append((edit, error))
        return design


def _with_text(design: Design, edit: Edit) -> Design:
    default, longest = TEXTS[edit.key]
    text = clean_text(edit.text, 2 * longest).strip() or default
    changed: dict[str, Any] = {edit.key: text}
    return dataclasses.replace(design, **changed)


def _with_origin(design: Design, edit: Edit) -> Design:
    text = clean_text(edit.text, 2000).strip()
    if text.lower() in NO_ORIGIN:
        return _set_origin(design, edit.key, None)
    word, colon, note = text.partition(":")
    if word.strip().lower() not in WORDS:
        allowed = ", ".join((*WORDS, DEFAULT))
        raise DesignError(edit.key, f"origin must be one of {allowed} (got {shown(word)})")
    before = design.origins.get(edit.key)
    kept = note.strip() if colon or before is None else before.note
    return _set_origin(design, edit.key, read_origin(f"{word.strip().lower()}: {kept}"))


def _with_note(design: Design, edit: Edit) -> Design:
    note = clean_text(edit.text, 2000).strip()
    before = design.origins.get(edit.key)
    if before is None:
        if not note:
            return design
        raise DesignError(edit.key, "a note needs an origin: choose one first")
    return _set_origin(design, edit.key, ValueOrigin(before.word, note))


def _set_origin(design: Design, key: str, origin: ValueOrigin | None) -> Design:
    if key not in ENTRIES:
        raise DesignError(key, "has no origin: it is text of the design itself")
    if origin is not None and ENTRIES[key].value(design) is None:
        raise DesignError(key, "must have a value before it has an origin")
    return dataclasses.replace(design, origins=design.origins.with_origin(key, origin))
