"""Invented engines of a small workshop as design files, and two pressure traces."""

from pathlib import Path

FOLDER = Path(__file__).parent
DEMO_DESIGNS = (
    "hill_climb_six",
    "touring_six",
    "pilot_boat_six",
    "short_rod_six",
    "measured_six",
    "v6_60_six_throws",
    "inline_four",
)


def demo_paths() -> dict[str, Path]:
    """Return each demonstration design's file by its title, the hill-climb six first."""
    return {_title(stem): FOLDER / f"{stem}.toml" for stem in DEMO_DESIGNS}


def _title(stem: str) -> str:
    words = stem.replace("_", " ")
    return words[0].upper() + words[1:]
