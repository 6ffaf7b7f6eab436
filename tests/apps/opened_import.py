"""An import of a file that has been given one, and the form that its reader then fills in."""

from apps.components.charts import TrainCharts
from apps.state import AppState


def opened_import(kind, text, name, design):
    """An import of a kind that has been given a file."""
    made = kind(AppState(design), TrainCharts())
    made.handle({"kind": "file", "name": name, "text": text, "serial": 1})
    return made


def form(made, **changes):
    """The settings that are shown, some of them changed, as the form sends them."""
    return {"kind": "settings", "serial": 2, **made.form.shown["fields"], **changes}
