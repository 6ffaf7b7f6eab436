"""A measured file as a table of numbers: separator, decimal mark and head are found, or given.

Every cap and every bad row is an error with its line; nothing of a file is guessed row by row.
"""

import warnings
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from kinematics.array import Array
from kinematics.errors import DesignError, check_one_of
from kinematics.one_line import frozen_record

MOST_BYTES = 6_000_000
MOST_ROWS = 400_000
MOST_COLUMNS = 64
FEWEST_ROWS = 36
LARGEST = 1e9  # of a number, whatever its unit
SEPARATORS = {"comma": ",", "semicolon": ";", "tab": "\t", "blanks": None}
DECIMALS = {"point": ".", "comma": ","}
_TRIED = (  # in this order: of two that read alike, the first is taken
    ("semicolon", "point"), ("tab", "point"), ("comma", "point"), ("blanks", "point"),
    ("semicolon", "comma"), ("tab", "comma"), ("blanks", "comma"),
)  # fmt: skip
_MOST_HEAD = 200  # lines before the first row of numbers
_SAMPLE = 40  # lines of which separator and decimal mark are found
_ALIKE = 3  # rows of numbers in succession that end the head
_LONGEST_NAME = 60
_NUMERIC = set("0123456789+-.eE")


@dataclass(frozen=True, slots=True)
class Dialect:
    """How a file parts its columns (a key of SEPARATORS) and its decimals (of DECIMALS)."""

    separator: str
    decimal: str

    def __post_init__(self) -> None:
        check_one_of("separator", self.separator, SEPARATORS)
        check_one_of("decimal", self.decimal, DECIMALS)
        if self.separator == self.decimal:
            raise DesignError("decimal", "must differ from the separator (got comma for both)")

    def fields(self, line: str) -> list[str]:
        """Return the texts of a line's columns; a separator at its end opens no column."""
        mark = SEPARATORS[self.separator]
        return [field.strip(' "') for field in _trimmed(line, mark).split(mark)]

    def number(self, field: str) -> float | None:
        """Return the number that a column's text is, None if it is none."""
        if self.decimal == "comma":
            if "." in field:
                return None
            field = field.replace(",", ".")
        if not field or not set(field) <= _NUMERIC:
            return None
        try:
            return float(field)
        except ValueError:
            return None


@frozen_record
class TraceTable:
    """The numbers of a file, (r, c), and what its columns are called."""

    dialect: Dialect
    values: Array  # (r, c); NaN in a column of text
    names: tuple[str, ...]  # of all columns; empty where the file has no head
    is_number: tuple[bool, ...]  # of all columns
    lines: Array  # (r,) line of each row in the file, from 1
    first_rows: tuple[tuple[str, ...], ...]  # as they stand in the file


def read_table(
    text: str, dialect: Dialect | None = None, *, fewest_rows: int = FEWEST_ROWS
) -> TraceTable:
    """Return the numbers of a file's text, (rows, columns), as it writes them.

    `dialect` is found from the file where none is given; `fewest_rows` is 3 or more. Raises
    DesignError of the field file, separator or decimal that names the line where the text cannot
    be used.
    """
    numbered = _numbered_lines(text)
    if dialect is None:
        dialect = _found_dialect([line for _, line in numbered])
    head, width, is_number = _start_of_numbers(numbered, dialect)
    body = numbered[head:]
    if not fewest_rows <= len(body) <= MOST_ROWS:
        words = f"{fewest_rows} to {MOST_ROWS} rows of numbers"
        raise DesignError("file", f"must have {words} (got {len(body)})")
    mark = SEPARATORS[dialect.separator]
    lines = [_trimmed(line, mark) for _, line in body]
    at = np.array([number for number, _ in body])
    _check_widths(lines, at, mark, width)
    columns = [column for column, number in enumerate(is_number) if number]
    values = np.full((len(body), width), np.nan)
    values[:, columns] = _numbers(lines, at, dialect, columns)
    _check_size(values[:, columns], at)
    first = tuple(tuple(dialect.fields(line)) for _, line in body[:6])
    return TraceTable(dialect, values, _names(numbered[:head], dialect, width),
                      tuple(is_number), at, first)  # fmt: skip


def _numbered_lines(text: str) -> list[tuple[int, str]]:
    """Return the lines that are not blank, each with its number from 1."""
    if len(text) > MOST_BYTES:
        size = f"{MOST_BYTES / 1e6:g} MB"
        raise DesignError(
            "file", f"must be at most {size} (got {len(text) / 1e6:.1f} MB): leave out cycles or "
            "columns, or take a wider angle step",
        )  # fmt: skip
    if "\0" in text:
        line = text[: text.index("\0")].count("\n") + 1
        raise DesignError("file", f"line {line}: must be text (got a NUL byte)")
    plain = text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n")
    found = [(at, line) for at, line in enumerate(plain.split("\n"), 1) if line.strip()]
    if not found:
        raise DesignError("file", "must hold rows of numbers (got nothing)")
    return found


def _trimmed(line: str, mark: str | None) -> str:
    return line.strip() if mark is None else line.strip(" ").removesuffix(mark)


def _found_dialect(lines: Sequence[str]) -> Dialect:
    """Return the dialect in which the first lines are best read as rows of numbers of one width."""
    sample = lines[: _MOST_HEAD + _SAMPLE][-_SAMPLE:]
    best, most = None, 0.0
    for separator, decimal in _TRIED:
        dialect = Dialect(separator, decimal)
        score = _score(dialect, sample)
        if score > most:
            best, most = dialect, score
    if best is None:
        quoted = lines[-1].strip()[:40]
        raise DesignError(
            "file", f"must hold rows of two to {MOST_COLUMNS} columns, crank angle and pressure "
            f"as numbers (got {quoted!r})",
        )  # fmt: skip
    return best


def _score(dialect: Dialect, sample: Sequence[str]) -> float:
    """Return how many lines have the commonest width, times the share of numbers in them."""
    rows = [dialect.fields(line) for line in sample]
    counts = [[dialect.number(field) is not None for field in row] for row in rows]
    counts = [row for row in counts if len(row) <= MOST_COLUMNS and sum(row) >= 2]
    width = Counter(map(len, counts)).most_common(1)
    if not width:
        return 0.0
    alike = [sum(row) / len(row) for row in counts if len(row) == width[0][0]]
    return sum(alike)


def _start_of_numbers(
    numbered: Sequence[tuple[int, str]], dialect: Dialect
) -> tuple[int, int, list[bool]]:
    """Return how many lines the head has, how many columns the rows, and which hold numbers."""
    kinds = []
    for _, line in numbered[: _MOST_HEAD + _ALIKE]:
        fields = dialect.fields(line[:100_000])
        kinds.append([dialect.number(field) is not None for field in fields])
    for head in range(max(len(kinds) - _ALIKE + 1, 0)):
        kind = kinds[head]
        alike = all(len(other) == len(kind) for other in kinds[head : head + _ALIKE])
        if sum(kind) >= 2 and alike and len(kind) <= MOST_COLUMNS:
            return head, len(kind), kind
    widest = max(map(len, kinds))
    if widest > MOST_COLUMNS:
        raise DesignError("file", f"must have at most {MOST_COLUMNS} columns (got {widest})")
    raise DesignError(
        "separator",
        f"must part rows of two to {MOST_COLUMNS} numbers: no such rows in the first "
        f"{len(kinds)} lines with {dialect.separator} and decimal {dialect.decimal}",
    )


def _check_widths(lines: Sequence[str], at: Array, mark: str | None, width: int) -> None:
    if mark is None:
        widths = np.array([len(line.split()) for line in lines])
    else:
        widths = np.array([line.count(mark) for line in lines]) + 1
    other = np.flatnonzero(widths != width)
    if other.size:
        row = other[0]
        raise DesignError(
            "file", f"line {at[row]}: must have {width} values as the first row of numbers "
            f"(got {widths[row]})",
        )  # fmt: skip


def _numbers(lines: Sequence[str], at: Array, dialect: Dialect, columns: list[int]) -> Array:
    """Return the numbers of some columns (r, c); raises DesignError that names the first bad line.

    A file that cannot be read is halved until the line is found.
    """
    try:
        return _read(lines, dialect, columns)
    except ValueError:
        if len(lines) > 1:
            half = len(lines) // 2
            for part in (slice(half), slice(half, None)):
                _numbers(lines[part], at[part], dialect, columns)
    fields = dialect.fields(lines[0])
    bad = [fields[c] for c in columns if c < len(fields) and dialect.number(fields[c]) is None]
    found = repr((bad or fields)[0][:20])
    mark = DECIMALS[dialect.decimal]
    raise DesignError(
        "file", f"line {at[0]}: must hold numbers with {mark!r} as decimal mark (got {found})"
    ) from None


def _read(lines: Sequence[str], dialect: Dialect, columns: list[int]) -> Array:
    if dialect.decimal == "comma":
        if any("." in line for line in lines):
            raise ValueError
        lines = [line.replace(",", ".") for line in lines]
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        read: Array = np.loadtxt(
            lines, delimiter=SEPARATORS[dialect.separator], comments=None, quotechar='"',
            usecols=columns, ndmin=2,
        )  # fmt: skip
    if len(read) != len(lines):  # an open quote swallows what follows
        raise ValueError
    return read


def _check_size(values: Array, at: Array) -> None:
    bad = np.flatnonzero(~(np.abs(values) <= LARGEST).all(axis=1))
    if bad.size:
        raise DesignError("file", f"line {at[bad[0]]}: values must be finite, at most 10⁹")


def _names(head: Sequence[tuple[int, str]], dialect: Dialect, width: int) -> tuple[str, ...]:
    """Return the columns' names: of the last two lines of the head that have all columns."""
    rows = [dialect.fields(line) for _, line in head]
    rows = [row for row in rows if len(row) == width][-2:]
    if not rows:
        return ()
    joined = (" ".join(filter(None, parts)) for parts in zip(*rows, strict=True))
    return tuple(_printable(name)[:_LONGEST_NAME] for name in joined)


def _printable(name: str) -> str:
    return "".join(char for char in name if char.isprintable())
