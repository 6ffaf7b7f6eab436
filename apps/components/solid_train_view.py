"""The moving train of the crank train's page: flat, or in space once that is asked for."""

from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import panel
import param
from panel.io.resources import get_dist_path

from apps.components.asking import AskingComponent, MessageHandler
from apps.components.train_view import TrainView
from viz.browser import bundle, styles

_LIBRARY = "bundled/abstractvtkplot"  # of Panel's own files


class SolidTrainView(AskingComponent, TrainView):
    """Draws the train in space from its solids, which it asks for while it shows them."""

    solids = param.Array(default=np.zeros(0, np.uint8), doc="solid_bytes of the design")
    deflection = param.Array(default=np.zeros(0, np.uint8), doc="deflection_bytes of the cycle")
    library = param.String(default="", doc="where this server has what draws in space")

    _esm = bundle("solid/solid_train_view.js")
    _stylesheets = styles("shared/base.css", "train/train_view.css", "solid/solid.css")

    def __init__(self, on_ask: MessageHandler, **params: Any) -> None:
        super().__init__(on_ask, library=library_address(), **params)


def library_address() -> str:
    """Return where this server has the library that draws in space; empty where Panel has none."""
    return f"{get_dist_path(cdn=False)}{found}" if (found := _library()) else ""


@cache
def _library() -> str:
    """Return the library's file below Panel's own."""
    folder = Path(panel.__file__).parent / "dist"
    found = sorted(folder.glob(f"{_LIBRARY}/*/vtk.js"))
    return found[-1].relative_to(folder).as_posix() if found else ""
