"""The pictures: a result in, a figure or a browser component out; no physics.

The names here are for notebooks: each takes a result and returns a filled Bokeh figure.
"""

from viz.notebook import (
    plot_film,
    plot_forces,
    plot_ladder,
    plot_orbit,
    plot_polar,
    plot_torque,
)

__all__ = ["plot_film", "plot_forces", "plot_ladder", "plot_orbit", "plot_polar", "plot_torque"]
