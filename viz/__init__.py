"""The pictures: a result in, a figure or a browser component out; no physics.

The names here are for notebooks: each takes a result and returns a filled Bokeh figure. They are
loaded when first asked for, so that words and tables need no Bokeh.
"""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from viz.notebook import (
        plot_film,
        plot_forces,
        plot_ladder,
        plot_orbit,
        plot_polar,
        plot_torque,
    )

__all__ = ["plot_film", "plot_forces", "plot_ladder", "plot_orbit", "plot_polar", "plot_torque"]


def __getattr__(name: str) -> Any:
    """Return the function of a name in `__all__`; raises AttributeError for any other."""
    if name not in __all__:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module("viz.notebook"), name)


def __dir__() -> list[str]:
    """Return the names of the module, those not yet loaded among them."""
    return [*globals(), *__all__]
