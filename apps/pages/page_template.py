"""A page's HTML: what stands in the shell that all pages share, with every part in its place."""

import json
from collections.abc import Iterable
from functools import cache
from typing import Any

import panel as pn
from bokeh.document import Document
from bokeh.events import ConnectionLost
from bokeh.io import curdoc
from bokeh.models import CustomJS
from jinja2 import Template
from panel.io.resources import get_dist_path

from apps.glossary import glossary_variables
from kinematics.units import shown_system, shown_units
from viz.browser import plain_script, text
from viz.placed import Placed, items_json

LOST = """
const banner = document.querySelector(".lost");
banner.querySelector("span").textContent =
  "Connection to the program lost. The page shows the last state; reload to continue.";
banner.classList.add("shown");
"""


class PageTemplate(pn.Template):
    """A page whose many roots are counted once, not anew with each; it knows the glossary.

    `page` names its HTML and CSS in viz/browser, as "film/bearings", `parts` fill the
    places there, `figures` those of their names, `variables` are what else the HTML asks for.
    """

    def __init__(
        self, page: str, parts: dict[str, Any], figures: Iterable[Placed] = (), **variables: Any
    ) -> None:
        super().__init__(text(f"{page}.html"))
        for place, part in parts.items():
            self.add_panel(place, part)
        glossary = glossary_variables()
        shared = {
            **glossary,
            "shell": _shell(),
            "styles": text("shared/page.css") + text(f"{page}.css") + glossary["glossary_css"],
            "theme_js": plain_script("shared/theme.js"),
            "ticks_js": plain_script("shared/tick_labels.js"),
            "figures": items_json(tuple(figures)),
            "figures_js": plain_script("figures/page_figures.js"),
            "units": json.dumps({"system": shown_system(), **shown_units()}),
        }
        for name, value in (shared | variables).items():
            self.add_variable(name, value)

    def server_doc(
        self, doc: Document | None = None, title: str | None = None, location: Any = True
    ) -> Document:
        """Return the document with the page in it; its style sheets are this server's always.

        Panel takes them from elsewhere where a socket, not a request of the page, makes it anew.
        """
        doc = doc or pn.state.curdoc or curdoc()
        doc.template_variables.setdefault("dist_url", get_dist_path(cdn=False))
        with doc.models.freeze():
            return super().server_doc(doc, title, location)


@cache
def _shell() -> Template:
    return pn.Template(text("shared/shell.html")).template


def served(page: PageTemplate) -> PageTemplate:
    """Return a page that says so when its connection is lost."""
    (pn.state.curdoc or curdoc()).js_on_event(ConnectionLost, CustomJS(code=LOST))
    return page
