"""The oil films of all bearings with their time bar; it also feeds the figures over the angle."""

import numpy as np
import param

from apps.components.asking import AskingComponent
from viz.browser import bundle, styles


class FilmView(AskingComponent):
    """Draws all bearings' orbits and the selected bearing; nothing comes to Python while it plays.

    It asks with `{kind: "pick", key}` for another bearing, and shows it without waiting. It also
    keeps the page's figures in the theme's colours and lets the page's tabs choose their panes.
    """

    blob = param.Array(default=np.zeros(0, np.uint8), doc="film_scene.film_bytes of the design")
    reference_blob = param.Array(default=np.zeros(0, np.uint8), doc="the same of the reference")
    selected = param.String(default="", doc="key of the bearing that is selected")
    feeds = param.List(default=[], doc="feed of each figure over the crank angle")

    _esm = bundle("film/film_view.js")
    _stylesheets = styles("shared/base.css", "film/film_view.css")
