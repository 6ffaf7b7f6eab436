"""Figures as a page places them: their Bokeh JSON, of which the browser makes them by itself."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from bokeh.document import Document
from bokeh.model import Model

from kinematics.units import shown_system
from viz.browser import script_json
from viz.themed import Picture

Pictures = Callable[[], Iterable[Picture]]


@dataclass(frozen=True, slots=True, eq=False)
class Placed:
    """A figure as a page places it: its Bokeh JSON, and its feed if the browser feeds it."""

    name: str
    title: str
    item: dict[str, Any]
    feed: dict[str, Any]

    @staticmethod
    def of(picture: Picture, title: str = "") -> "Placed":
        """Make one of a picture, under its own title if none is given."""
        item = {"name": picture.name, "doc": _document(picture.figure)}
        return Placed(picture.name, title or picture.title, item, picture.feed)


def placed(*makers: Pictures) -> dict[str, Placed]:
    """Return the empty figures of some makers by name; they are built once a system of units."""
    return {figure.name: figure for make in makers for figure in _built(make, shown_system())}


@lru_cache(maxsize=64)
def _built(make: Pictures, _system: str) -> tuple[Placed, ...]:
    return tuple(Placed.of(picture) for picture in make())


@lru_cache(maxsize=64)
def items_json(figures: tuple[Placed, ...]) -> str:
    """Return the figures' JSON as it may stand in a script element."""
    return script_json([figure.item for figure in figures])


def _document(figure: Model) -> Any:
    """Return the JSON of a document with a figure alone.

    The document at hand is left alone: in a thread it is another reader's, or gone.
    """
    document = Document(title="")
    document.config.notifications = None  # its own view would lie over the page
    document.add_root(figure)
    return document.to_json(deferred=False)
