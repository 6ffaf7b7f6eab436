"""What a console that cannot show a character prints in its place."""

import codecs
import io
import unicodedata
from typing import Any

HANDLER = "sixthrow-plain"
STAND_INS = {
    "✓": "+", "▮": "!", "✕": "x", "×": "x", "·": ".", "°": " deg", "µ": "u", "μ": "u",
    "−": "-", "–": "-", "—": "-", "‐": "-", "‑": "-", "→": "->", "←": "<-", "↑": "up", "↓": "down",
    "≤": "<=", "≥": ">=", "≈": "~", "≠": "!=", "∞": "inf", "√": "sqrt", "…": "...", "½": "1/2",
    "“": '"', "”": '"', "‘": "'", "’": "'", "′": "'", "″": '"', "±": "+/-", "Σ": "sum",
}  # fmt: skip


def stand_in(char: str) -> str:
    """Return ASCII for a character: its own stand-in, its base letter, a Greek letter's name."""
    if char in STAND_INS:
        return STAND_INS[char]
    base = unicodedata.normalize("NFKD", char).encode("ascii", "ignore").decode()
    if base:
        return base
    if unicodedata.category(char) in ("Zs", "Cf", "Mn"):
        return " " if unicodedata.category(char) == "Zs" else ""
    script, _, rest = unicodedata.name(char, "").partition(" ")
    return rest.split()[-1].lower() if script == "GREEK" and "LETTER" in rest else "?"


def _replaced(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    return "".join(map(stand_in, error.object[error.start : error.end])), error.end


codecs.register_error(HANDLER, _replaced)


def print_anywhere(stream: Any) -> None:
    """Let a stream print every text, whatever its encoding; characters it has not get stand-ins."""
    if isinstance(stream, io.TextIOWrapper):
        stream.reconfigure(errors=HANDLER)
