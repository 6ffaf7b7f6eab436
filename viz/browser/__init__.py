"""What runs in the browser: JavaScript, CSS and HTML, handed out as text."""

import json
from functools import cache
from importlib.resources import files
from typing import Any

from viz.browser.bundle import bundled, classic


@cache
def bundle(entry: str) -> str:
    """Return a JavaScript file with all that it imports as one module; raises BundleError."""
    return bundled(entry, text)


@cache
def plain_script(entry: str) -> str:
    """Return a JavaScript file with all that it imports as a script of no module, for a head."""
    return classic(entry, text)


@cache
def text(name: str) -> str:
    """Return a file below this folder as text; raises OSError where there is none."""
    return files(__name__).joinpath(name).read_text(encoding="utf-8")


def script_json(data: Any) -> str:
    """Return data as JSON that may stand in a script element: no "<" is left in it."""
    return json.dumps(data, ensure_ascii=False).replace("<", "\\u003c")


def styles(*names: str) -> list[str]:
    """Return CSS files below this folder as texts, in order."""
    return [text(name) for name in names]
