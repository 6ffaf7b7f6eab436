"""The cells of a data sheet: an entry's value as text, and the value that a text means.

A list's numbers stand apart by spaces or semicolons, or by a comma and a space, for a comma alone
is a decimal mark; whole numbers may have a hyphen between them: 1-5-3-6-2-4. A dash stands for a
value that is left out.
"""

import re
from typing import Any

from apps.controls.form_number import typed_number
from kinematics import Design, DesignError
from kinematics.declaration import Declaration, check_number, shown
from kinematics.design.design_file import clean_text
from kinematics.design.design_groups import Entry
from kinematics.design.field_default import default_in_force

LONGEST_CELL = 2000
DIGITS = 9
LEFT_OUT = "–"
_WHOLES = re.compile(r"[\s,;-]+")
_NUMBERS = re.compile(r",\s+|\s+")


def cell_text(entry: Entry, design: Design) -> str:
    """Return an entry's value as it is shown and may be typed; empty where there is none."""
    value, declared = entry.value(design), entry.declared
    if value is None:
        return ""
    if not (declared.many or entry.is_column):
        return _one_text(value, declared)
    between = "-" if declared.kind == "whole" else ", "
    return between.join(_one_text(each, declared) for each in value)


def default_text(entry: Entry, design: Design) -> str:
    """Return what stands for an entry that is left out; empty where nothing does."""
    if entry.is_column or getattr(design, entry.group) is None:
        return ""
    value = default_in_force(design, entry.group, entry.attribute)
    return "" if value is None else _one_text(value, entry.declared)


def _one_text(value: Any, declared: Declaration) -> str:
    if value is None:
        return LEFT_OUT
    if declared.kind == "number":
        return f"{declared.shown_unit.from_si(value):.{DIGITS}g}"
    return str(value)


def cell_value(entry: Entry, text: str) -> Any:
    """Return the value [SI] that a text means, a tuple for a list, None for an empty text.

    Raises DesignError that says how to write it; whether it is allowed, the design says.
    """
    if len(text) > LONGEST_CELL:
        raise DesignError(entry.key, f"must be at most {LONGEST_CELL} characters (got {len(text)})")
    if not text.strip():
        return None
    declared = entry.declared
    if not (declared.many or entry.is_column):
        return _one_value(entry.key, text, declared)
    if declared.kind == "whole":
        parts = _WHOLES.split(text.strip())
    else:
        parts = text.split(";") if ";" in text else _NUMBERS.split(text.strip())
    return tuple(
        None if part.strip() == LEFT_OUT else _one_value(entry.key, part, declared)
        for part in parts
    )


def _one_value(key: str, text: str, declared: Declaration) -> Any:
    if declared.kind == "text":
        return clean_text(text, LONGEST_CELL).strip()
    if declared.kind == "choice":
        return _choice(key, text, declared)
    try:
        value = typed_number(text)
    except DesignError as error:
        raise DesignError(key, error.message) from None
    if declared.kind == "whole":
        return int(value) if value.is_integer() and abs(value) < 2**53 else value
    check_number(key, value, declared)
    return declared.shown_unit.to_si(value)


def _choice(key: str, text: str, declared: Declaration) -> str:
    """Return the choice that a text means, whatever its case, with spaces for underscores."""
    wanted = _plain(text)
    found = next((choice for choice in declared.choices if _plain(choice) == wanted), None)
    if found is None:
        raise DesignError(key, f"must be {declared.allowed} (got {shown(text)})")
    return found


def _plain(words: str) -> str:
    return re.sub(r"[\s_-]+", " ", words).strip().lower()
