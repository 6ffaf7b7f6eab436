"""What the scripts of a report read: scenes, figures, the ladder and tables as files."""

import base64
import json
from typing import Any

from kinematics.units import UNITS
from viz.browser import text
from viz.chart import Chart
from viz.chart_figure import chart_picture, draw
from viz.film.film_board import table_csv
from viz.film.film_charts import shape_chart
from viz.film.film_scene import film_bytes
from viz.limits.limit_board import ladder_message
from viz.limits.limit_charts import rung_charts
from viz.limits.margin_table import margin_table_csv
from viz.placed import Placed
from viz.report.reviewed import Reviewed
from viz.train.scene import scene_bytes


def report_charts(this: Reviewed, other: Reviewed | None) -> list[Placed]:
    """Return the charts that are drawn beforehand."""
    found = []
    if this.ladder.rungs:
        key = this.ladder.rungs[0].criterion.key
        charts = rung_charts(this.ladder, key, other.ladder if other else None)
        charts.pop("limit_polar", None)  # a polar chart asks for scripts of its own
        found += [_drawn(name, chart) for name, chart in charts.items()]
    if this.films:
        found.append(_drawn("film_shape", shape_chart(this.films.sorted[0])))
    return found


def _drawn(name: str, chart: Chart) -> Placed:
    """Return a figure with a chart in it, under the chart's title."""
    picture = chart_picture(name, chart.title)
    draw(picture, chart)
    return Placed.of(picture)


def report_data(
    this: Reviewed,
    other: Reviewed | None,
    train: tuple[Placed, ...],
    film: tuple[Placed, ...],
    charts: list[Placed],
) -> dict[str, Any]:
    """Return what the page's scripts read."""
    data: dict[str, Any] = {
        "name": this.design.name,
        "rpm": UNITS["rpm"].from_si(this.cycle.speed),
        "figures": [figure.item for figure in (*train, *film, *charts)],
        "train": _part(scene_bytes(this.cycle), other and scene_bytes(other.cycle), train)
        | {"speed": this.cycle.speed, "styles": _styles("train/train_view.css")},
        "film": None,
        "ladder": _ladder(this, other),
        "files": {"margins": margin_table_csv(this.ladder)},
    }
    if this.films:
        before = film_bytes(other.films) if other and other.films else None
        data["film"] = _part(film_bytes(this.films), before, film)
        data["film"] |= {
            "selected": this.films.sorted[0].key,
            "styles": _styles("film/film_view.css"),
        }
        data["files"]["bearings"] = table_csv(this.films)
    return data


def _ladder(this: Reviewed, other: Reviewed | None) -> dict[str, Any]:
    words = f"{other.design.name} at {other.speed_text}" if other else ""
    message = ladder_message(this.ladder, other.ladder if other else None, words)
    ladder = json.dumps(message | {"name": this.design.name})
    return {"ladder": ladder, "selected": "", "styles": _styles("limits/ladder.css")}


def _part(blob: Any, reference: Any, figures: tuple[Placed, ...]) -> dict[str, Any]:
    return {
        "blob": _base64(blob),
        "reference_blob": "" if reference is None else _base64(reference),
        "feeds": [figure.feed for figure in figures],
    }


def _styles(name: str) -> str:
    return text("shared/base.css") + text(name) + text("report/report_part.css")


def _base64(message: Any) -> str:
    return base64.b64encode(message.tobytes()).decode("ascii")
