"""A table of a lesson file, read key by key; a fault says file, line, key, found and allowed."""

import difflib
import re
import tomllib
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from kinematics.declaration import shown
from kinematics.design.design_file import clean_text, costly_part

_REQUIRED = object()
_HEADER = re.compile(r"^\s*(\[\[?)\s*([^\[\]]+?)\s*\]\]?\s*(?:#.*)?$")
_KEY = re.compile(r"""^\s*("[^"]*"|'[^']*'|[\w-]+)((?:\s*\.\s*[\w-]+)*)\s*=""")


class LessonError(ValueError):
    """What is wrong with a lesson file, said so that its author can mend it."""

    def __init__(self, file: str, line: int, key: str, message: str) -> None:
        self.file, self.line, self.key, self.message = file, line, key, message
        place = file + (f", line {line}" if line else "") + (f", {key}" if key else "")
        super().__init__(f"{place}: {message}")


@dataclass(frozen=True, slots=True)
class Source:
    """The file that a lesson is read from."""

    name: str
    text: str

    def error(self, key: str, message: str) -> LessonError:
        """Return an error at a key, with its line where it can be found."""
        return LessonError(self.name, line_of(self.text, key), key, message)


def line_of(text: str, key: str) -> int:
    """Return the line, from 1, of a key such as `check.option[2].right_if`; 0 if it is not found.

    Where the key itself is missing it is the line of the nearest table above it.
    """
    places = dict(_places(text))
    while key:
        if key in places:
            return places[key]
        key = key.rpartition(".")[0]
    return 0


def _places(text: str) -> Iterator[tuple[str, int]]:
    """Yield the keys of a TOML text and their lines; text within long strings is passed over."""
    table, counts = "", dict[str, int]()
    within = ""
    for line, words in enumerate(text.split("\n"), start=1):
        if within:
            within = "" if within in words else within
            continue
        header = _HEADER.match(words)
        if header:
            table = _plain_key(header[2])
            if header[1] == "[[":
                counts[table] = counts.get(table, 0) + 1
                table += f"[{counts[table]}]"
            yield table, line
        elif found := _KEY.match(words):
            key = _plain_key(found[1] + found[2])
            yield f"{table}.{key}" if table else key, line
            rest = words[found.end() :].strip()
            within = next((q for q in ('"""', "'''") if rest.count(q) == 1), "")


def _plain_key(key: str) -> str:
    return re.sub(r"\s*\.\s*", ".", key).replace('"', "").replace("'", "")


def near(name: str, known: Iterable[str]) -> str:
    """Return what is allowed: the name that was likely meant, or all of them if they are few."""
    names = list(known)
    close = difflib.get_close_matches(name[:80], names, 1)
    if close:
        return f"did you mean {close[0]}?"
    return f"must be one of {', '.join(names[:40])}" + (" and others" if len(names) > 40 else "")


def toml_table(data: str | bytes, name: str, most_bytes: int) -> "Table":
    """Return the table of a TOML text; raises LessonError where it is none."""
    name = clean_text(name, 60) or "lesson"
    if len(data) > most_bytes:
        raise LessonError(name, 0, "", f"must be at most {most_bytes // 1000} kB")
    try:
        text = data.decode("utf-8-sig") if isinstance(data, bytes) else data.removeprefix("\ufeff")
    except UnicodeDecodeError:
        raise LessonError(name, 0, "", "is not UTF-8 text") from None
    text = text.replace("\r\n", "\n")
    if costly := costly_part(text):
        raise LessonError(name, 0, "", f"not a lesson: {costly}")
    try:
        values = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        line = re.search(r"at line (\d+)", str(error))
        words = f"not TOML: {error}"
        raise LessonError(name, int(line[1]) if line else 0, "", words) from None
    except (ValueError, RecursionError):
        raise LessonError(name, 0, "", "not TOML: nested too deep or a number too long") from None
    return Table(values, "", Source(name, text))


class Table:
    """One table; each key is taken once, and what is left at the end is unknown."""

    def __init__(self, values: Mapping[str, Any], path: str, source: Source) -> None:
        self._values = dict(values)
        self._asked: list[str] = []
        self.path = path
        self.source = source

    def child(self, key: str) -> str:
        """Return the whole path of a key."""
        return f"{self.path}.{key}" if self.path and key else self.path or key

    def error(self, key: str, message: str) -> LessonError:
        """Return an error at a key of this table."""
        return self.source.error(self.child(key), message)

    def _take(self, key: str, default: Any) -> Any:
        self._asked.append(key)
        if key in self._values:
            return self._values.pop(key)
        if default is _REQUIRED:
            raise self._missing(key)
        return default

    def _missing(self, key: str) -> LessonError:
        """Return an error at a key that is missing, or at the one that is a misspelt one."""
        close = difflib.get_close_matches(key, self._values, 1, 0.75)
        if close:
            return self.error(clean_text(close[0], 60), f"unknown key; did you mean {key}?")
        return self.error(key, "is missing")

    def text(self, key: str, longest: int, *, default: Any = _REQUIRED, lines: bool = False) -> str:
        """Return a text, on one line unless `lines`."""
        value = self._take(key, _REQUIRED if default is None else default)
        if not isinstance(value, str):
            raise self.error(key, f"must be text (got {shown(value)})")
        if len(value) > longest:
            raise self.error(key, f"must have at most {longest} characters (got {len(value)})")
        if not value.strip() and default is _REQUIRED:
            raise self.error(key, "is empty; it needs words")
        kept = [clean_text(line, longest) for line in value.split("\n")]
        return "\n".join(kept).strip() if lines else " ".join(kept).strip()

    def choice(self, key: str, allowed: list[str], *, default: Any = None) -> str:
        """Return one of a few words; `default` None asks for it."""
        value = self._take(key, _REQUIRED if default is None else default)
        if value != default and value not in allowed:
            words = near(value, allowed) if isinstance(value, str) else near("", allowed)
            raise self.error(key, f"unknown {shown(value)}; {words}")
        return str(value)

    def number(self, key: str, low: float, high: float, *, default: Any = _REQUIRED) -> Any:
        """Return a number within bounds, or the default."""
        value = self._take(key, default)
        if value is default:
            return value
        if isinstance(value, bool) or not isinstance(value, (int, float)):
            raise self.error(key, f"must be a number (got {shown(value)})")
        if not low <= value <= high:
            raise self.error(key, f"must be {low:g} to {high:g} (got {value:g})")
        return float(value)

    def flag(self, key: str, *, default: bool | None) -> bool | None:
        """Return true or false, or the default."""
        value = self._take(key, default)
        if value is not default and not isinstance(value, bool):
            raise self.error(key, f"must be true or false (got {shown(value)})")
        return None if value is None else bool(value)

    def whole(self, key: str, low: int, high: int, *, default: Any = _REQUIRED) -> Any:
        """Return a whole number within bounds, or the default."""
        value = self._take(key, default)
        if value is default:
            return value
        if isinstance(value, bool) or not isinstance(value, int):
            raise self.error(key, f"must be a whole number (got {shown(value)})")
        if not low <= value <= high:
            raise self.error(key, f"must be {low} to {high} (got {value})")
        return value

    def texts(self, key: str, least: int, most: int, *, default: Any = _REQUIRED) -> Any:
        """Return a list of names."""
        value = self._take(key, default)
        if value is default:
            return value
        if not isinstance(value, list) or not all(isinstance(entry, str) for entry in value):
            raise self.error(key, f"must be a list of names (got {shown(value)})")
        if not least <= len(value) <= most:
            raise self.error(key, f"must have {least} to {most} names (got {len(value)})")
        return tuple(value)

    def plain(self, key: str) -> dict[str, Any]:
        """Return a table of values by key, empty if there is none."""
        value = self._take(key, {})
        if not isinstance(value, dict):
            raise self.error(key, f"must be a table (got {shown(value)})")
        return _flat(value)

    def table(self, key: str, *, optional: bool = False) -> Any:
        """Return a table within; None if it may be missing and is."""
        value = self._take(key, None if optional else _REQUIRED)
        if value is None:
            return None
        if not isinstance(value, dict):
            raise self.error(key, f"must be a table (got {shown(value)})")
        return Table(value, self.child(key), self.source)

    def named_tables(self, key: str) -> "Iterator[tuple[str, Table]]":
        """Yield the tables [key.NAME] with their names."""
        value = self._take(key, {})
        if not isinstance(value, dict):
            raise self.error(key, f"must be tables [{key}.NAME] (got {shown(value)})")
        for name, inner in value.items():
            path = self.child(f"{key}.{clean_text(name, 40)}")
            if not re.fullmatch(r"[a-z][a-z0-9_]*", name) or len(name) > 40:
                raise self.source.error(path, "a name has small letters, digits and _ only")
            if not isinstance(inner, dict):
                raise self.source.error(path, f"must be a table (got {shown(inner)})")
            yield name, Table(inner, path, self.source)

    def tables(self, key: str, least: int, most: int) -> "list[Table]":
        """Return the tables of a list [[key]]."""
        value = self._take(key, [])
        if not isinstance(value, list) or not all(isinstance(entry, dict) for entry in value):
            raise self.error(key, f"must be a list of tables: [[{self.child(key)}]]")
        if not least <= len(value) <= most:
            raise self.error(
                key, f"must have {least} to {most} tables [[{self.child(key)}]] (got {len(value)})"
            )
        path = self.child(key)
        return [
            Table(table, f"{path}[{place}]", self.source) for place, table in enumerate(value, 1)
        ]

    def one_or_more(self, key: str, most: int) -> "list[Table]":
        """Return the tables of a list [[key]], or the one table [key]."""
        if isinstance(self._values.get(key, {}), dict):
            return [self.table(key)]
        return self.tables(key, 1, most)

    def nothing_left(self) -> None:
        """Raise an error for a key that nobody asked for."""
        for key in self._values:
            name = clean_text(key, 60)
            raise self.error(name, f"unknown key; {near(name, self._asked)}")


def _flat(values: Mapping[str, Any], before: str = "") -> dict[str, Any]:
    """Return a table's values by dotted key, whether the file quotes the key or not."""
    found: dict[str, Any] = {}
    for key, value in values.items():
        path = f"{before}{key}"
        found |= _flat(value, f"{path}.") if isinstance(value, dict) else {path: value}
    return found
