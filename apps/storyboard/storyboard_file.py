"""Storyboards as one JSON file, written and read strictly: every error with its place.

The file holds each design once; a step names it by its place.
"""

import json
from dataclasses import asdict
from typing import Any

from apps.storyboard.storyboard import (
    LATER,
    MOST_STEPS,
    SHOWN,
    NamedSetting,
    Setting,
    Step,
    Storyboard,
    fail,
    number,
    one_of,
    taken,
)
from apps.variants import MOST_VARIANTS
from kinematics import DesignError, design_text, parse_design
from kinematics.declaration import shown
from kinematics.design.design_file import clean_text, decoded

VERSION = 1
MARK = "sixthrow_storyboard"  # the key that names the format
MOST_BYTES = 4_000_000


def storyboard_text(board: Storyboard) -> str:
    """Return a storyboard as JSON text that reads back equal; raises DesignError if too large."""
    settings = [
        setting
        for step in board.steps
        for setting in (step.now, step.reference, *(own.setting for own in step.variants))
        if setting
    ]
    designs = list(dict.fromkeys(setting.design for setting in settings))
    steps = [_step_table(step, designs) for step in board.steps]
    table = {MARK: VERSION, "designs": designs, "steps": steps}
    text = json.dumps(table, ensure_ascii=False, indent=1) + "\n"
    if len(text.encode()) > MOST_BYTES:
        raise DesignError("steps", f"the file would be larger than {MOST_BYTES / 1e6:g} MB")
    return text


def _step_table(step: Step, designs: list[str]) -> dict[str, Any]:
    def kept(setting: Setting | None) -> dict[str, Any] | None:
        return (
            None
            if setting is None
            else {"design": designs.index(setting.design), "rpm": setting.rpm}
        )

    shown_part = {
        key: value
        for key, value in asdict(step).items()
        if key in SHOWN and (value or key not in LATER)
    }
    variants = [{"name": own.name, **(kept(own.setting) or {})} for own in step.variants]
    return {
        "now": kept(step.now),
        "reference": kept(step.reference),
        **({"variants": variants} if variants else {}),
        "page": step.page,
        **shown_part,
    }


def read_storyboard(text: str) -> Storyboard:
    """Return the storyboard in a JSON text; raises DesignError that names the place at fault."""
    table = _table(text)
    version = table.get(MARK)
    if version != VERSION or isinstance(version, bool):
        if isinstance(version, int) and not isinstance(version, bool) and version > VERSION:
            raise DesignError(
                MARK, f"must be version {VERSION} (got {shown(version)}): use a later program"
            )
        raise DesignError(MARK, f"must be version {VERSION} (got {shown(version)})")
    _only(table, (MARK, "designs", "steps"), "")
    listed = _list(table, "designs", (2 + MOST_VARIANTS) * MOST_STEPS)
    designs = [_design(f"designs[{i}]", entry) for i, entry in enumerate(listed)]
    steps = _list(table, "steps", MOST_STEPS)
    return Storyboard(tuple(_step(f"steps[{i}]", entry, designs) for i, entry in enumerate(steps)))


def _table(text: str) -> dict[str, Any]:
    text = decoded(text, "", MOST_BYTES)
    if len(text.encode("utf-8", "replace")) > MOST_BYTES:
        raise DesignError("", f"must be at most {MOST_BYTES / 1e6:g} MB")
    try:
        table = json.loads(text)
    except json.JSONDecodeError as error:
        raise DesignError("", f"not a storyboard file: no JSON at line {error.lineno}") from None
    except (ValueError, RecursionError):
        raise DesignError(
            "", "not a storyboard file: nested too deep or a number too long"
        ) from None
    if not isinstance(table, dict) or MARK not in table:
        raise DesignError("", f"not a storyboard file: {MARK} is missing")
    return table


def _only(
    table: dict[str, Any], allowed: tuple[str, ...], place: str, later: tuple[str, ...] = ()
) -> None:
    for key in table:
        if key not in allowed:
            path = f"{place}.{clean_text(key, 60)}" if place else clean_text(key, 60)
            raise DesignError(path, f"unknown key; must be one of {', '.join(allowed)}")
    for key in allowed:
        if key not in table and key not in later:
            raise DesignError(f"{place}.{key}" if place else key, "is missing")


def _list(table: dict[str, Any], key: str, most: int) -> list[Any]:
    value = table[key]
    if not isinstance(value, list):
        raise DesignError(key, f"must be a list (got {shown(value)})")
    if len(value) > most:
        raise DesignError(key, f"must have at most {most} entries (got {len(value)})")
    return value


def _design(place: str, text: Any) -> str:
    """Return a design's text as this program writes it."""
    if not isinstance(text, str):
        raise DesignError(place, f"must be the text of a design (got {shown(text)})")
    try:
        return design_text(parse_design(text))
    except DesignError as error:
        raise DesignError(place, str(error)) from None


def _step(place: str, table: Any, designs: list[str]) -> Step:
    if not isinstance(table, dict):
        raise DesignError(place, f"must be a step (got {shown(table)})")
    later = ("variants", *LATER)
    _only(table, ("now", "reference", "variants", "page", *SHOWN), place, later)
    try:
        now = _setting("now", table["now"], designs)
        reference = None
        if table["reference"] is not None:
            reference = _setting("reference", table["reference"], designs)
        step = Step(
            now,
            reference,
            **{key: taken(key, table[key]) for key in SHOWN if key in table},
            variants=_variants(table.get("variants", []), designs),
        )
        one_of((step.page,))("page", table["page"])
    except DesignError as error:
        raise DesignError(f"{place}.{error.field}", error.message) from None
    return step


def _variants(listed: Any, designs: list[str]) -> tuple[NamedSetting, ...]:
    found = []
    for i, table in enumerate(_list({"variants": listed}, "variants", MOST_VARIANTS)):
        key = f"variants[{i}]"
        if not isinstance(table, dict) or not isinstance(table.get("name"), str):
            fail(key, table, "a name, a design's place and a speed")
        place = {name: value for name, value in table.items() if name != "name"}
        name = taken("title", table["name"])
        found.append(NamedSetting(name, _setting(key, place, designs)))
    return tuple(found)


def _setting(key: str, table: Any, designs: list[str]) -> Setting:
    if not isinstance(table, dict):
        fail(key, table, "a design's place and a speed")
    _only(table, ("design", "rpm"), key)
    place = table["design"]
    if not designs:
        raise DesignError(f"{key}.design", "there is no design in this file")
    number(0, len(designs) - 1, kind=int)(f"{key}.design", place)
    try:
        return Setting(designs[place], table["rpm"])
    except DesignError as error:
        raise DesignError(f"{key}.{error.field}", error.message) from None
