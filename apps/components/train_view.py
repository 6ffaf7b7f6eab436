"""The moving train with its time bar; in the browser it also feeds every figure of the page."""

import numpy as np
import param

from apps.components.asking import BrowserComponent
from kinematics.train.cycle import Cycle, RigidTrain
from viz.browser import bundle, styles
from viz.train.scene import scene_bytes


class TrainView(BrowserComponent):
    """Draws scenes; nothing comes back to Python while it plays."""

    blob = param.Array(default=np.zeros(0, np.uint8), doc="scene.scene_bytes of the design")
    reference_blob = param.Array(default=np.zeros(0, np.uint8), doc="the same of the reference")
    speed = param.Number(default=0.0, doc="crank speed [rad/s]")
    marks = param.String(default="", doc="what a lesson draws on the engine, as JSON, or empty")
    lit = param.String(default="", doc="the parts picked out: piston, rod or steel, or empty")
    takes_keys = param.Boolean(default=True, doc="whether keys on the page turn the crank")
    feeds = param.List(default=[], doc="feed of each figure on the page")

    _esm = bundle("train/train_view.js")
    _stylesheets = styles("shared/base.css", "train/train_view.css")
    _sent: RigidTrain | None = None  # whose scene the browser has

    def show_cycle(self, cycle: Cycle) -> None:
        """Send what a new design or speed changes; at another speed alone, the speed."""
        if self._sent is cycle.train:
            self.speed = cycle.speed
            return
        self.param.update(blob=scene_bytes(cycle), speed=cycle.speed)
        self._sent = cycle.train
