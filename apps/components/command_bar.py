"""The top bar's browser component: pages, demo designs, files, the reference, the theme."""

from typing import Any

import param

from apps.components.asking import AskingComponent
from viz.browser import bundle, styles


class CommandBar(AskingComponent):
    """Shows what is open and hands each command of the reader to `on_ask`.

    The browser's tab keeps the design, and asks for it anew after each `revision`.
    """

    pages = param.List(default=[], doc="label and address of each page")
    page = param.String(default="", doc="label of the page that is shown")
    purpose = param.String(default="", doc="what that page is for")
    makes_steps = param.Boolean(default=True, doc="whether it can be a storyboard's step")
    keys = param.List(default=[], doc="key and what it does, for the list of keys")
    title = param.String(default="", doc="name of the design")
    note = param.String(default="", doc="its note")
    demos = param.List(default=[], doc="names of the demo designs")
    demo = param.String(default="", doc="name of the demo that is open, or empty")
    reference = param.String(default="", doc="words of the reference, or empty")
    on_trace = param.Boolean(default=False, doc="whether it can go back to the pressure model")
    trace = param.String(default="", doc="the measured trace that the design runs on, or empty")
    import_page = param.String(default="", doc="page that imports files; empty: this one")
    firing = param.String(default="", doc="which cylinders do not fire alike, or empty")
    fit = param.String(default="", doc="JSON of the line of fit, or empty")
    fit_list = param.String(default="", doc="JSON of all checks of fit, once asked for")
    message = param.Dict(default={}, doc="text, and bad if something went wrong")
    may_undo = param.Boolean(default=False, doc="whether there is a change to undo")
    may_redo = param.Boolean(default=False, doc="whether there is one to redo")
    revision = param.Integer(default=0, doc="counts the changes of what the tab stores")

    _esm = bundle("shared/command_bar.js")
    _stylesheets = styles("shared/base.css", "shared/command_bar.css", "shared/fit_line.css")

    def store_draft(self, draft: dict[str, Any]) -> None:
        """Let the browser's tab keep the design, for a reload or another page."""
        self.send("draft", **draft)

    def store_storyboard(self, content: str, index: int) -> None:
        """Let the browser's tab keep a storyboard's text, which has a new step at a place."""
        self.send("storyboard", text=content, index=index)

    def go(self, page: str, place: dict[str, Any]) -> None:
        """Let the browser go to another page with the design as it is, and to a place there."""
        self.send("go", page=page, place=place)

    def offer_file(self, name: str, content: str) -> None:
        """Let the browser save a text under a name."""
        self.send("file", name=name, text=content)
