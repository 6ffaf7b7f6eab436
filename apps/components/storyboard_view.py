"""The storyboard as browser components: the list of steps with its form, and the stage."""

import numpy as np
import param

from apps.components.asking import AskingComponent
from viz.browser import bundle, styles


class StepList(AskingComponent):
    """Shows the steps and the selected one's form; the tab keeps the storyboard over a reload.

    It asks with `{kind}` of add, take, use, go, delete, undelete or save, `{kind: "pick", index}`,
    `{kind: "move", by}`, `{kind: "change", key, value}`, `{kind: "open", name, text}` and, after a
    reload, `{kind: "restore", text, index}` until that is answered.
    """

    board = param.String(default="", doc="as JSON: steps, index of the selected one, form or null")

    _esm = bundle("storyboard/storyboard_list.js")
    _stylesheets = styles("shared/base.css", "storyboard/storyboard_list.css")

    def keep(self, content: str, index: int) -> None:
        """Let the browser's tab keep a storyboard's text; this also answers a restored one."""
        self.send("keep", text=content, index=index)

    def answer(self) -> None:
        """Say that a restored storyboard was dealt with, though not taken."""
        self.send("answered")


LADDER_STYLES = "".join(
    styles("shared/base.css", "limits/ladder.css", "storyboard/storyboard_ladder.css")
)


class StoryboardStage(AskingComponent):
    """The stage: the selected step's picture, headline number and note, on the page or full screen.

    It asks with `{kind: "pick", index}` for another step. `step` is set last, when the rows of its
    picture are there.
    """

    blob = param.Array(default=np.zeros(0, np.uint8), doc="scene or films of the step's design")
    reference_blob = param.Array(default=np.zeros(0, np.uint8), doc="the same of the reference")
    step = param.String(default="", doc="step_scene.step_message, index and count, as JSON")
    feeds = param.List(default=[], doc="feed of each figure that a scene feeds")
    ladder_styles = param.String(default=LADDER_STYLES, doc="CSS of the ladder in its own root")

    _esm = bundle("storyboard/storyboard_view.js")
    _stylesheets = styles("shared/base.css", "storyboard/storyboard_view.css")
