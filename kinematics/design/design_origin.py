"""Where the values of a design are known from: a word of five for each, and a note."""

import datetime
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from kinematics.declaration import shown
from kinematics.errors import DesignError, nearest

DRAWING, MEASURED, ASSUMED, RULE = "drawing", "measured", "assumed", "rule of thumb"
WORDS = (DRAWING, MEASURED, ASSUMED, RULE)
DEFAULT = "default"  # of a value that a design leaves at its default; never written
LONGEST_ORIGIN_NOTE = 160
MOST_CHARACTERS = 36_000  # of all origins: a file has room for them and all else
_DATE = re.compile(r"\d{4}-\d{2}-\d{2}")


@dataclass(frozen=True, slots=True)
class ValueOrigin:
    """Where one value is known from: one of `WORDS`, and a note."""

    word: str
    note: str = ""

    def __post_init__(self) -> None:
        if self.word not in WORDS:
            hint = nearest(self.word, WORDS) if isinstance(self.word, str) else ""
            raise DesignError(
                "origin",
                f"must be one of {', '.join(WORDS)} (got {shown(self.word)}); {hint}".rstrip("; "),
            )
        if not isinstance(self.note, str) or len(self.note) > LONGEST_ORIGIN_NOTE:
            raise DesignError(
                "origin", f"must have a note of at most {LONGEST_ORIGIN_NOTE} characters"
            )

    @property
    def text(self) -> str:
        """The origin as a design file has it: "measured: scale, 12 parts"."""
        return f"{self.word}: {self.note}" if self.note else self.word


def read_origin(text: object) -> ValueOrigin:
    """Return the origin that a file's text means; raises DesignError if it has no such word."""
    if not isinstance(text, str):
        raise DesignError("origin", f"must be text (got {shown(text)})")
    word, _, note = text.partition(":")
    return ValueOrigin(word.strip(), note.strip())


class Origins(Mapping[str, ValueOrigin]):
    """Origins by the key of their field, "piston.assembly_mass_g"; a value as a design is."""

    __slots__ = ("_by_key",)

    def __init__(self, origins: Mapping[str, ValueOrigin] | None = None) -> None:
        self._by_key = dict(sorted((origins or {}).items()))
        size = sum(len(key) + 2 * len(origin.text) for key, origin in self._by_key.items())
        if size > MOST_CHARACTERS:  # quotes and backslashes take two in a file
            raise DesignError(
                "origin", f"must have at most {MOST_CHARACTERS} characters in all (got {size})"
            )

    def __getitem__(self, key: str) -> ValueOrigin:
        return self._by_key[key]

    def __iter__(self) -> Iterator[str]:
        return iter(self._by_key)

    def __len__(self) -> int:
        return len(self._by_key)

    def __hash__(self) -> int:
        return hash(tuple(self._by_key.items()))

    def __repr__(self) -> str:
        return f"Origins({len(self)} values)"

    def with_origin(self, key: str, origin: ValueOrigin | None) -> "Origins":
        """Return the same with one origin set, or without it for None."""
        kept = {own: other for own, other in self._by_key.items() if own != key}
        return Origins(kept if origin is None else {**kept, key: origin})


NO_ORIGINS = Origins()


def check_date(date: str) -> None:
    """Raise DesignError unless a date is empty or a day as ISO 8601 writes it, 2026-05-31."""
    if date == "":
        return
    try:
        if not _DATE.fullmatch(date):
            raise ValueError
        datetime.date.fromisoformat(date)
    except ValueError:
        raise DesignError("date", f"must be a day such as 2026-05-31 (got {shown(date)})") from None
