"""The name of a file after a design's name."""


def file_stem(name: str) -> str:
    """Return a file name that any system takes."""
    kept = "".join(char if char.isalnum() and char.isascii() else "-" for char in name.lower())
    return "-".join(part for part in kept.split("-") if part)[:60] or "design"
