"""A design as the rows of its data sheet, by part, and as a file of comma-separated values."""

from collections.abc import Iterator
from typing import Any

from apps.controls.sheet_cells import cell_text, default_text
from apps.controls.sheet_edit import NOT_STATED
from apps.file_stem import file_stem
from kinematics import Design
from kinematics.declaration import Declaration, declarations
from kinematics.design.design_file import TEXTS
from kinematics.design.design_groups import (
    ENTRIES,
    RECORD_OF_GROUP,
    ROW_LISTS,
    Entry,
    is_removable,
)
from kinematics.design.design_origin import DEFAULT
from viz.compare.compared_inputs import part_words
from viz.csv_text import csv_text

DESIGN = "design"  # the part of the design's own texts
TITLES = {"limits": "Allowables", "full_load": "Full-load curve", "counterweight": "Counterweights"}
HEAD = ("part", "key", "value", "unit", "range", "origin", "note")
Row = dict[str, Any]


def sheet_parts(design: Design) -> list[dict[str, Any]]:
    """Return the parts of a sheet in their order: group, title, whether given and removable."""
    parts = [{"group": DESIGN, "title": "Design", "given": True, "removable": False}]
    for group in (*RECORD_OF_GROUP, *ROW_LISTS):
        given = group in ROW_LISTS or getattr(design, group) is not None
        parts.append({"group": group, "title": TITLES.get(group, part_words(group)),
                      "given": given, "removable": is_removable(design, group)})  # fmt: skip
    return parts


def sheet_rows(design: Design) -> list[Row]:
    """Return every entry of a design as a row, in the order of its parts."""
    return [*_own_rows(design), *(_row(entry, design) for entry in _entries(design))]


def _own_rows(design: Design) -> Iterator[Row]:
    for name, _, declared in declarations(design):
        described = _described(name, DESIGN, declared)
        if name == "name":
            described["range"] += f"; saved as {file_stem(design.name)}.toml"
        elif name == "date":
            described["range"] = "a day such as 2026-05-31"
        yield described | {
            "value": getattr(design, name), "instead": "", "origin": None, "note": "",
            "list": False,
        }  # fmt: skip


def _entries(design: Design) -> Iterator[Entry]:
    """Yield the entries of the parts that a design has."""
    for entry in ENTRIES.values():
        if entry.is_column or getattr(design, entry.group) is not None:
            yield entry


def _row(entry: Entry, design: Design) -> Row:
    return _described(entry.key, entry.group, entry.declared) | {
        "value": cell_text(entry, design),
        "instead": default_text(entry, design),
        "origin": origin_word(entry, design),
        "note": _note(entry, design),
        "list": entry.declared.many or entry.is_column,
    }


def _described(key: str, group: str, declared: Declaration) -> Row:
    return {
        "key": key,
        "group": group,
        "label": declared.label,
        "why": declared.explanation,
        "unit": declared.shown_unit.symbol,
        "range": _range(declared),
        "number": declared.kind in ("number", "whole"),
        "choices": list(declared.choices),
    }


def _range(declared: Declaration) -> str:
    if declared.kind == "text":
        return declared.allowed.removeprefix("text of ")
    return declared.allowed.replace("-", "\u2212") if declared.kind != "choice" else ""


def origin_word(entry: Entry, design: Design) -> str:
    """Return where an entry's value is known from: its origin, else "default" or "not stated"."""
    origin = design.origins.get(entry.key)
    if origin is not None:
        return origin.word
    return DEFAULT if entry.is_default(design) else NOT_STATED


def _note(entry: Entry, design: Design) -> str:
    origin = design.origins.get(entry.key)
    return "" if origin is None else origin.note


def sheet_csv(design: Design) -> str:
    """Return the sheet of a design as comma-separated values."""
    titles = {part["group"]: part["title"] for part in sheet_parts(design)}
    rows = (
        (titles[row["group"]], row["key"], row["value"] or row["instead"], row["unit"],
         row["range"], row["origin"] or "", row["note"])
        for row in sheet_rows(design)
    )  # fmt: skip
    return csv_text([HEAD, *rows])


assert set(TEXTS) == {name for name, _, _ in declarations(Design)}
