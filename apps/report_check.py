"""A report solved again: whether every number that it states is what its own designs give.

The file is data: it is searched for what it carries and for the numbers that it marks, and nothing
of it is run. Whatever is wrong with it is a `DesignError`.
"""

import html
import json
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any, NoReturn

from apps.report_drawn_check import NOT_COMPARED, drawn_differences
from apps.version import program_version
from kinematics import Design, DesignError, parse_design, solve_cycle
from kinematics.declaration import shown
from kinematics.design.design_file import MOST_DESIGN_BYTES, clean_text, decoded
from kinematics.units import SYSTEMS, using_units
from viz.number_words import capitalised
from viz.report.carried import CARRIED, FORM, sha256
from viz.report.reviewed import Reviewed
from viz.report.stated_numbers import FORMULA, Stated, reviewed_numbers, stated_texts

MOST_BYTES = 40_000_000  # of a report; one of a long measured trace has about 8 MB
MOST_KEYS = 20_000
TOLERANCE = 1e-6  # of a number's size; solvers and films repeat to less than 1e-9
LONGEST_SHOWN = 60
MOST_LISTED = 200
DRAWN = "drawn."  # what keys of what is drawn from begin with
NOT_STATED = "not stated"
_START = f'<script type="application/json" id="{CARRIED}">'
_MARKED = re.compile(r'data-number="([^"<>]{1,160})">([^<>]{0,8000})<')
FILE = "--check"  # what errors name


@dataclass(frozen=True, slots=True)
class Carried:
    """What a report carries, checked for its form alone."""

    version: str
    units: str
    rpm: float
    texts: dict[str, str]  # design files, by "this" and "other"
    hashes: dict[str, str]
    numbers: dict[str, tuple[float, str]]  # value and unit by key


@dataclass(frozen=True, slots=True)
class Difference:
    """A number that is not the same: its key, what the report says, what it is solved again."""

    key: str
    said: str
    solved: str


@dataclass(frozen=True, slots=True)
class Findings:
    """What a check found: how many numbers and formula texts were compared, and which differ."""

    carried: Carried
    count: int
    formulas: int
    differences: tuple[Difference, ...]

    @property
    def lines(self) -> list[str]:
        """The findings in words, a line each."""
        here, there = program_version(), self.carried.version
        versions = "" if here == there else f"; checked by {here}: versions differ"
        return [
            f"Written by sixthrow {there}{versions}.",
            *(f"{capitalised(_names(side))}: SHA-256 as printed, {found}"
              for side, found in self.carried.hashes.items()),
            *self._verdict(),
        ]  # fmt: skip

    def _verdict(self) -> Iterator[str]:
        texts = [one for one in self.differences if one.key.startswith(FORMULA)]
        drawn = [one for one in self.differences if one.key.startswith(DRAWN)]
        numbers = [one for one in self.differences if one not in texts and one not in drawn]
        yield NOT_COMPARED
        if drawn:
            yield f"{len(drawn)} of what is drawn from differ: {_keys(drawn)}."
        else:
            yield "Scenes, ladder and tables that are drawn from are the same."
        if texts:
            yield from _listed(texts, f"{len(texts)} of {self.formulas} formula texts differ")
        else:
            yield f"All {self.formulas} formula texts are the same."
        if numbers:
            yield from _listed(numbers, f"{len(numbers)} of {self.count} numbers differ")
        else:
            yield f"All {self.count} numbers are the same (within a millionth of their size)."


def _listed(found: list[Difference], head: str) -> Iterator[str]:
    yield f"{head}:"
    for one in found[:MOST_LISTED]:
        yield f"  {one.key}: the report says {one.said}; solved again {one.solved}"
    if len(found) > MOST_LISTED:
        yield f"  and {len(found) - MOST_LISTED} more"


def _keys(found: list[Difference]) -> str:
    return ", ".join(one.key.removeprefix(DRAWN) for one in found)


def check_report(path: Path) -> Findings:
    """Return what is the same when a report's designs are solved again.

    Raises DesignError where the file is no report, or not as it was written.
    """
    page = _read(path)
    found = _carried(page)
    printed = _printed(page)
    _check_hashes(found, printed)
    this, other = (_design(found, side) for side in ("this", "other"))
    assert this is not None
    with using_units(found.units):
        pair = _reviewed(this, other, found.rpm)
        numbers = reviewed_numbers(*pair)
        words = (*numbers, *stated_texts(pair[0]))
        drawn = [_drawn(name) for name in drawn_differences(page, *pair)]
    if found.units != "si":
        with using_units("si"):
            numbers = reviewed_numbers(*_reviewed(this, other, found.rpm))
    differences = [
        *_other_values(found.numbers, numbers), *_other_words(printed, words), *drawn
    ]  # fmt: skip
    formulas = sum(one.key.startswith(FORMULA) for one in words)
    unique = tuple({one.key: one for one in differences}.values())
    return Findings(found, len(words) - formulas, formulas, unique)


def _reviewed(this: Design, other: Design | None, rpm: float) -> tuple[Reviewed, Reviewed | None]:
    """Return the designs of a report as it reviews them, in the units shown now."""
    against = None if other is None else Reviewed(solve_cycle(other, rpm))
    return Reviewed(solve_cycle(this, rpm)), against


def _drawn(name: str) -> Difference:
    return Difference(f"{DRAWN}{name}", "other data", "those of its designs")


def _read(path: Path) -> str:
    try:
        with path.open("rb") as file:
            data = file.read(MOST_BYTES + 1)
    except OSError as error:
        raise DesignError(FILE, f"{path.name} cannot be read ({error.strerror})") from None
    return decoded(data, FILE, MOST_BYTES)


def _carried(page: str) -> Carried:
    """Return what the page carries; raises DesignError where its form is another."""
    if page.count(_START) != 1:
        _refuse("must be a report of sixthrow that carries its designs")
    start = page.index(_START) + len(_START)
    end = page.find("</script>", start)
    try:
        found = json.loads(page[start : max(end, start)], parse_constant=_no_number)
    except (ValueError, RecursionError):
        _refuse("is altered: what it carries is not JSON that can be read")
    if not isinstance(found, dict) or found.get("form") != FORM:
        _refuse(f"must carry its designs in form {FORM}, the only one that this version reads")
    designs = _of_type(found, "designs", dict)
    if "this" not in designs or not set(designs) <= {"this", "other"}:
        _refuse("is altered: it must carry one or two designs")
    parts = {side: (_entry(design, "text"), _entry(design, "sha256"))
             for side, design in designs.items()}  # fmt: skip
    units = _of_type(found, "units", str)
    if units not in SYSTEMS:
        _refuse(f"is altered: units must be one of {', '.join(SYSTEMS)} (got {shown(units)})")
    return Carried(
        clean_text(_of_type(found, "version", str), 40),
        units,
        _finite(found.get("rpm"), "rpm"),
        {side: text for side, (text, _) in parts.items()},
        {side: clean_text(found_hash, 64) for side, (_, found_hash) in parts.items()},
        _numbers(_of_type(found, "numbers", dict)),
    )


def _numbers(found: dict[str, Any]) -> dict[str, tuple[float, str]]:
    if len(found) > MOST_KEYS:
        _refuse(f"is altered: it must carry at most {MOST_KEYS} numbers")
    numbers = {}
    for key, entry in found.items():
        if not (isinstance(entry, list) and len(entry) == 2 and isinstance(entry[1], str)):
            _refuse(f"is altered: {_short(key)} must be a value and a unit (got {shown(entry)})")
        numbers[key] = (_finite(entry[0], key), entry[1])
    return numbers


def _check_hashes(found: Carried, printed: list[tuple[str, str]]) -> None:
    """Raise DesignError where a design's text has another hash than the report prints."""
    for side, text in found.texts.items():
        own = sha256(text)
        said = [words for key, words in printed if key == f"sha256.{side}"]
        if found.hashes[side] != own or not said or any(words != own for words in said):
            _refuse(
                f"is altered: {_names(side)} has the SHA-256 {own}, "
                f"but the report prints {_short(said[0]) if said else 'none'}"
            )


def _design(found: Carried, side: str) -> Design | None:
    text = found.texts.get(side)
    if text is None:
        return None
    if len(text) > MOST_DESIGN_BYTES:
        _refuse(f"is altered: {_names(side)} must be at most {MOST_DESIGN_BYTES / 1e6:g} MB")
    try:
        return parse_design(text)
    except DesignError as error:
        _refuse(f"carries a design that cannot be read: {error}")


def _printed(page: str) -> list[tuple[str, str]]:
    """Return the numbers that the page marks: key and text, as they stand."""
    return [(key, " ".join(html.unescape(words).split())) for key, words in _MARKED.findall(page)]


def _other_values(
    said: dict[str, tuple[float, str]], solved: tuple[Stated, ...]
) -> Iterator[Difference]:
    """Yield the carried values that are not those of the designs solved again."""
    known = {one.key: one for one in solved if one.value is not None}
    for key in dict.fromkeys([*known, *said]):
        before = _value_words(*said[key]) if key in said else NOT_STATED
        if key not in known:
            yield Difference(_short(key), before, NOT_STATED)
            continue
        one = known[key]
        assert one.value is not None
        after = _value_words(one.value, one.unit)
        if key not in said or said[key][1] != one.unit:
            yield Difference(key, before, after)
            continue
        value = said[key][0]
        if abs(value - one.value) > TOLERANCE * max(abs(value), abs(one.value), one.scale):
            yield Difference(key, before, after)


def _other_words(
    printed: list[tuple[str, str]], solved: tuple[Stated, ...]
) -> Iterator[Difference]:
    """Yield the printed numbers that do not read as the designs solved again do."""
    known = {one.key: " ".join(one.words.split()) for one in solved}
    missing = set(known)
    for key, words in printed:
        if key.startswith("sha256."):
            continue
        missing.discard(key)
        if words != known.get(key):
            yield Difference(_short(key), _short(words), _short(known.get(key, NOT_STATED)))
    for key in missing:
        yield Difference(key, NOT_STATED, _short(known[key]))


def _value_words(value: float, unit: str) -> str:
    return f"{value:.9g} {clean_text(unit, 20)}".strip()


def _names(side: str) -> str:
    return {"this": "the design", "other": "the design that it is compared with"}[side]


def _entry(design: Any, key: str) -> str:
    if not isinstance(design, dict):
        _refuse(f"is altered: a design must be a table (got {shown(design)})")
    return str(_of_type(design, key, str))


def _of_type(table: dict[str, Any], key: str, kind: type) -> Any:
    value = table.get(key)
    if not isinstance(value, kind):
        _refuse(f"is altered: {key} must be {kind.__name__} (got {shown(value)})")
    return value


def _finite(value: Any, key: str) -> float:
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not abs(value) < 1e100:
        _refuse(f"is altered: {_short(key)} must be a number (got {shown(value)})")
    return float(value)


def _no_number(word: str) -> NoReturn:
    raise ValueError(word)


def _short(words: str) -> str:
    return clean_text(words, LONGEST_SHOWN)


def _refuse(words: str) -> NoReturn:
    raise DesignError(FILE, words)
