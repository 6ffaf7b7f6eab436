"""Design files: TOML in and out, every key with its unit, every error with its key."""

import dataclasses
import datetime
import re
import tomllib
import unicodedata
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import tomli_w

from kinematics.declaration import Declaration, check_number, declarations, shown
from kinematics.design.allowables import NONE_GIVEN
from kinematics.design.design import (
    LONGEST_AUTHOR,
    LONGEST_DATE,
    LONGEST_NAME,
    LONGEST_NOTE,
    LONGEST_REVISION,
    Design,
)
from kinematics.design.design_firing import EVEN_FIRING, HIGHEST_CYLINDER
from kinematics.design.design_groups import ENTRIES, RECORD_OF_GROUP, REQUIRED_GROUPS, TABLE_LISTS
from kinematics.design.design_origin import Origins, ValueOrigin, read_origin
from kinematics.design.design_pressure import Pressure
from kinematics.errors import DesignError, nearest
from kinematics.mechanics.pressure_trace import (
    COLUMNS,
    HIGHEST_COLUMN,
    MOST_BYTES,
    PressureTrace,
    read_trace,
)
from kinematics.units import UNITS, using_units
from kinematics.whole_file import write_whole

SCHEMA = 1
MOST_DESIGN_BYTES = 1_000_000  # with a pressure trace inside
MOST_PLAIN_BYTES = 64_000  # of all else
MOST_KEY_PARTS = 5
TEXTS = {  # of a design: what stands for one that is missing, and the most characters
    "name": ("Unnamed design", LONGEST_NAME),
    "note": ("", LONGEST_NOTE),
    "revision": ("", LONGEST_REVISION),
    "author": ("", LONGEST_AUTHOR),
    "date": ("", LONGEST_DATE),
}
# the reader's time and memory grow with the square of a key's parts, whether or not it ends well
_PART = r"""(?:[\w-]++|"[^"\n]*+"|'[^'\n]*+')[ \t]*+"""
_LONG_KEY = re.compile(
    rf"(?<![\w-])(?:(?:{_PART}\.[ \t]*+){{50}}"
    rf"|(?:{_PART}\.[ \t]*+){{{MOST_KEY_PARTS},49}}+{_PART}[=\]])"
)
_TRACE_COLUMN = re.compile(
    rf"^[ \t]*(?:{'|'.join((*COLUMNS, HIGHEST_COLUMN))})[ \t]*=[ \t]*\[[\[\]\d.eE_,\s+-]*\]", re.M
)


def load_design(path: str | Path) -> Design:
    """Return the design in a TOML file; a pressure trace is read from beside it.

    Parameters
    ----------
    path : of the TOML file

    Raises DesignError that names the key, what was found and what is allowed.

    >>> from assets_demo import FOLDER
    >>> from kinematics import load_design
    >>> load_design(FOLDER / "inline_four.toml")
    Design('Inline four': 4 cylinders, 4-stroke, bore 86 mm, stroke 86 mm, rated speed 6000
    rpm)
    """
    path = Path(path)
    return parse_design(_read(path, MOST_DESIGN_BYTES, ""), folder=path.parent)


def save_design(design: Design, path: str | Path) -> None:
    """Write a design to a TOML file, a pressure trace inside it, whole or not at all.

    Parameters
    ----------
    path : of the file; an existing one is replaced

    >>> import tempfile
    >>> from pathlib import Path
    >>> from kinematics import load_demo, load_design, save_design
    >>> design = load_demo("hill_climb_six")
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     save_design(design, Path(folder) / "six.toml")
    ...     load_design(Path(folder) / "six.toml") == design
    True
    """
    write_whole(path, design_text(design))


@using_units("si")  # the file's own units, whatever the reader sees
def parse_design(text: str | bytes, *, folder: Path | None = None) -> Design:
    """Return the design in a TOML text; `folder` is where a trace file may be read from.

    Without a folder a design that refers to a trace file is refused.

    >>> from kinematics import design_text, load_demo, parse_design
    >>> design = load_demo("hill_climb_six")
    >>> parse_design(design_text(design)) == design
    True
    """
    table = _toml(text)
    if table.pop("schema", None) != SCHEMA:
        raise DesignError("schema", f"must be {SCHEMA}, the only format that this version reads")
    lists = {key: table.pop(key, []) for key in TABLE_LISTS}
    origins = table.pop("origin", {})
    if isinstance(day := table.get("date"), datetime.date):
        table["date"] = f"{day:%Y-%m-%d}"
    fields: dict[str, Any] = {
        key: clean_text(_taken_text(table, key, default), longest)
        for key, (default, longest) in TEXTS.items()
    }
    _refuse_unknown(table, [*RECORD_OF_GROUP, *TABLE_LISTS, *TEXTS, "origin", "schema"], "")
    for group, record in RECORD_OF_GROUP.items():
        if group in table:
            cycle_angle = fields["layout"].cycle_angle if "layout" in fields else 0.0
            fields[group] = _group(table[group], group, record, folder, cycle_angle)
        elif group in REQUIRED_GROUPS:
            raise DesignError(group, "is missing; a design needs this group")
    for key, (attribute, record) in TABLE_LISTS.items():
        fields[attribute] = _rows(lists[key], key, record)
    design = Design(**fields)
    return dataclasses.replace(design, origins=_origins(origins, design)) if origins else design


def _origins(table: Any, design: Design) -> Origins:
    if not isinstance(table, dict):
        raise DesignError("origin", f"must be a table (got {shown(table)})")
    found: dict[str, ValueOrigin] = {}
    for key, text in table.items():
        field = f"origin.{clean_text(key, 60)}"
        if isinstance(text, dict):
            raise DesignError(field, 'must be one key in quotes, such as "rod.mass_g"')
        if key not in ENTRIES:
            hint = nearest(key, ENTRIES)
            near = hint if hint.startswith("did") else "it must be a key such as rod.mass_g"
            raise DesignError(field, f"there is no such field; {near}")
        if ENTRIES[key].value(design) is None:
            raise DesignError(field, "must be of a value that the design gives; it has none")
        words = clean_text(text, MOST_PLAIN_BYTES) if isinstance(text, str) else text
        try:
            found[key] = read_origin(words)
        except DesignError as error:
            raise DesignError(field, error.message) from None
    return Origins(found)


def design_text(design: Design) -> str:
    """Return a design as TOML text that reads back equal.

    >>> from kinematics import design_text, load_demo
    >>> print(design_text(load_demo("hill_climb_six")).splitlines()[0])
    schema = 1
    """
    table: dict[str, Any] = {"schema": SCHEMA, "name": design.name, "note": design.note}
    for key in ("revision", "author", "date"):
        if words := getattr(design, key):
            table[key] = words
    if design.origins:
        table["origin"] = {
            key: origin.text
            for key, origin in design.origins.items()
            if ENTRIES[key].value(design) is not None
        }
    for group in RECORD_OF_GROUP:
        record = getattr(design, group)
        if record not in (None, NONE_GIVEN, EVEN_FIRING):
            table[group] = _shown_record(record)
    for key, (attribute, _) in TABLE_LISTS.items():
        if rows := getattr(design, attribute):
            table[key] = [_shown_record(row) for row in rows]
    return tomli_w.dumps(table)


def clean_text(text: str, longest: int) -> str:
    """Return text on one line, without control or direction marks, cut at a length."""
    kept = "".join(
        " " if char in "\n\r\t" else char
        for char in text[: 4 * longest]
        if char in "\n\r\t" or unicodedata.category(char) not in ("Cc", "Cf", "Cs", "Co")
    )
    return kept if len(kept) <= longest else kept[: longest - 1] + "…"


def _read(path: Path, most_bytes: int, field: str) -> bytes:
    try:
        with path.open("rb") as file:  # a device has no size that could be asked for
            data = file.read(most_bytes + 1)
    except OSError as error:
        raise DesignError(field, f"{path.name} cannot be read ({error.strerror})") from None
    if len(data) > most_bytes:
        raise DesignError(field, f"{path.name} must be at most {most_bytes / 1e6:g} MB")
    return data


def decoded(data: str | bytes, field: str, most_bytes: int) -> str:
    """Return text from UTF-8 bytes, with or without a byte-order mark.

    Raises DesignError where the data is too large or no UTF-8.
    """
    if len(data) > most_bytes:
        raise DesignError(field, f"must be at most {most_bytes / 1e6:g} MB")
    try:
        return data.decode("utf-8-sig") if isinstance(data, bytes) else data.removeprefix("\ufeff")
    except UnicodeDecodeError:
        raise DesignError(field, "is not UTF-8 text") from None


def _toml(text: str | bytes) -> dict[str, Any]:
    text = decoded(text, "", MOST_DESIGN_BYTES)
    if len(_TRACE_COLUMN.sub("", text)) > MOST_PLAIN_BYTES:
        size = f"{MOST_PLAIN_BYTES // 1000} kB besides a pressure trace"
        raise DesignError("", f"must be at most {size}")
    if costly := costly_part(text):
        raise DesignError("", f"not a design file: {costly}")
    try:
        return tomllib.loads(text.replace("\r\n", "\n"))
    except tomllib.TOMLDecodeError as error:
        raise DesignError("", f"not a TOML file: {error}") from None
    except (ValueError, RecursionError):
        raise DesignError("", "not a design file: nested too deep or a number too long") from None


def costly_part(text: str) -> str:
    """Return what would take a TOML reader long to read, in words; empty where nothing does."""
    if re.search(r"\[\s*(?:\[\s*){50}", text):
        return "its lists are nested too deep"
    if _LONG_KEY.search(text):
        return f"a key has more than {MOST_KEY_PARTS} parts"
    return ""


def _taken_text(table: dict[str, Any], key: str, default: str) -> str:
    value = table.pop(key, default)
    if not isinstance(value, str):
        raise DesignError(key, f"must be text (got {shown(value)})")
    return value


def _refuse_unknown(found: Mapping[str, Any], known: list[str], group: str) -> None:
    for key in found:
        if key not in known:
            hint = nearest(key, known)
            shown_key = clean_text(key, 60)
            raise DesignError(
                f"{group}.{shown_key}" if group else shown_key, f"unknown key; {hint}"
            )


def _group(
    table: Any,
    group: str,
    record: type,
    folder: Path | None = None,
    cycle_angle: float = 0.0,
) -> Any:
    if not isinstance(table, dict):
        raise DesignError(group, f"must be a table (got {shown(table)})")
    declared = list(declarations(record))
    trace_keys = [*COLUMNS, HIGHEST_COLUMN] if record is Pressure else []
    _refuse_unknown(table, [key for _, key, _ in declared] + trace_keys, group)
    required = {
        field.name for field in dataclasses.fields(record) if field.default is dataclasses.MISSING
    }
    values: dict[str, Any] = {}
    for attribute, key, declaration in declared:
        if key in table:
            values[attribute] = _si(table[key], f"{group}.{key}", declaration)
        elif attribute in required:
            raise DesignError(f"{group}.{key}", f"is missing; must be {declaration.allowed}")
    if record is Pressure:
        values["trace"] = _trace(table, values, folder, cycle_angle)
    return record(**values)


def _rows(table: Any, key: str, record: type) -> tuple[Any, ...]:
    """Return the records of a list of tables; an error names the row, counted from 1."""
    if not isinstance(table, list):
        raise DesignError(key, f"must be a list of tables: [[{key}]]")
    rows = []
    for number, row in enumerate(table, 1):
        try:
            rows.append(_group(row, key, record))
        except DesignError as error:
            group, _, field = error.field.partition(".")
            numbered = f"{group}.{number}.{field}".rstrip(".")
            raise DesignError(numbered, error.message) from None
    return tuple(rows)


def _si(value: Any, path: str, declared: Declaration) -> Any:
    if declared.many:
        if not isinstance(value, list):
            raise DesignError(path, f"must be a list (got {shown(value)})")
        if len(value) > 1000:
            raise DesignError(path, f"must have at most 1000 values (got {len(value)})")
        return tuple(_si_one(entry, path, declared) for entry in value)
    return _si_one(value, path, declared)


def _si_one(value: Any, path: str, declared: Declaration) -> Any:
    if declared.kind == "text" and isinstance(value, str):
        return clean_text(value, MOST_PLAIN_BYTES)
    if declared.kind != "number":
        return value
    check_number(path, value, declared)
    return declared.unit.to_si(float(value))


def _trace(
    table: dict[str, Any], values: dict[str, Any], folder: Path | None, cycle_angle: float
) -> PressureTrace | None:
    given = [table.get(key) for key in COLUMNS]
    highest = table.get(HIGHEST_COLUMN)
    if any(column is not None for column in (*given, highest)):
        return _inline_trace(given[0], given[1], highest)
    name = values.get("file")
    if values.get("source") != "trace" or name is None:
        return None
    if folder is None:
        raise DesignError(
            "pressure.file",
            f"this design needs its pressure trace {shown(name)}: save it from here with the trace "
            'inside, or open the design first with source = "model" and then the trace',
        )
    if not isinstance(name, str) or Path(name).name != name or name in ("", ".", ".."):
        raise DesignError("pressure.file", f"must be a file beside the design (got {shown(name)})")
    data = _read(folder / name, MOST_BYTES, "pressure.file")
    return read_trace(decoded(data, "pressure.file", MOST_BYTES), cycle_angle=cycle_angle)


def _inline_trace(degrees: Any, bars: Any, highest: Any) -> PressureTrace:
    """Return the trace of a list of angles and one of pressures, or one of pressures a cylinder."""
    courses = _courses(COLUMNS[1], bars)
    most = () if highest is None else _courses(HIGHEST_COLUMN, highest)
    return PressureTrace(_numbers(COLUMNS[0], degrees, "deg"), courses[0], courses[1:], most)


def _courses(key: str, bars: Any) -> tuple[tuple[float, ...], ...]:
    """Return the pressures [Pa] of a list, or of a list a cylinder."""
    own = isinstance(bars, list) and bool(bars) and all(isinstance(row, list) for row in bars)
    if own and len(bars) > HIGHEST_CYLINDER:
        most = f"must be at most {HIGHEST_CYLINDER} lists (got {len(bars)})"
        raise DesignError(f"pressure.{key}", most)
    return tuple(_numbers(key, row, "bar") for row in (bars if own else [bars]))


def _numbers(key: str, column: Any, unit: str) -> tuple[float, ...]:
    """Return a list's numbers in SI; raises DesignError where one is none."""
    numbers = isinstance(column, list) and all(
        isinstance(entry, (int, float)) and not isinstance(entry, bool) and not abs(entry) > 1e100
        for entry in column
    )
    if not numbers:
        raise DesignError(f"pressure.{key}", "must be a list of numbers, none above 1e100")
    return tuple(UNITS[unit].to_si(float(entry)) for entry in column)


def _shown_record(record: Any) -> dict[str, Any]:
    table: dict[str, Any] = {}
    for attribute, key, declared in declarations(record):
        value = getattr(record, attribute)
        if value is None:
            continue
        if declared.kind == "number":
            from_si = declared.unit.from_si
            value = [from_si(entry) for entry in value] if declared.many else from_si(value)
        elif declared.many:
            value = list(value)
        table[key] = value
    trace = getattr(record, "trace", None)
    if trace is not None:
        table[COLUMNS[0]] = [UNITS["deg"].from_si(angle) for angle in trace.crank_angle]
        table[COLUMNS[1]] = _shown_courses(trace.courses)
        if trace.highest:
            table[HIGHEST_COLUMN] = _shown_courses(trace.highest)
    return table


def _shown_courses(courses: tuple[tuple[float, ...], ...]) -> list[Any]:
    """Return pressures as a list in bar, or where there are several one a cylinder."""
    rows: list[Any] = [[UNITS["bar"].from_si(value) for value in course] for course in courses]
    return rows if len(rows) > 1 else rows[0]
