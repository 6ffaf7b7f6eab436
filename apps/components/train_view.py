"""The moving train with its time bar; in the browser it also feeds every figure of the page."""

import numpy as np
import param

from apps.components.asking import BrowserComponent
from viz.browser import bundle, styles


class TrainView(BrowserComponent):
    """Draws scenes; nothing comes back to Python while it plays."""

    blob = param.Array(default=np.zeros(0, np.uint8), doc="scene.scene_bytes of the design")
    reference_blob = param.Array(default=np.zeros(0, np.uint8), doc="the same of the reference")
    speed = param.Number(default=0.0, doc="crank speed [rad/s]")
    feeds = param.List(default=[], doc="feed of each figure on the page")

    _esm = bundle("train/train_view.js")
    _stylesheets = styles("shared/base.css", "train/train_view.css")
