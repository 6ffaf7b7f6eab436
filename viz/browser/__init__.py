"""What runs in the browser: JavaScript and CSS, handed out as text."""

from importlib.resources import files


def script(*names: str) -> str:
    """Return JavaScript files (names without ending) joined into one module scope, in order."""
    return "\n".join(text(f"{name}.js") for name in names)


def text(name: str) -> str:
    """Return a file of this folder as text."""
    return (files(__name__) / name).read_text(encoding="utf-8")
