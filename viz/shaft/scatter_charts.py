"""The charts of a tolerance study: two clouds, how large the residual is, what scatters most."""

import math
from typing import Any

import numpy as np
from bokeh.models import ColumnDataSource, Scatter

from kinematics.array import Array
from kinematics.balancing.scatter_study import ScatterStudy
from viz.chart import Bar, Chart, Label, Line, Mark
from viz.chart_figure import ChartPicture, chart_message, chart_picture
from viz.number_words import as_drawn, axis, capitalised, format_number, with_unit
from viz.shaft.scatter_words import KIND_WORDS, PLANE_WORDS, count_words
from viz.themed import add_glyph

DRAWN = 2000  # points of a cloud at most
NEGLIGIBLE_SCATTER = 1e-6  # of what is permissible: less is no cloud
FAR = 3.0  # of the cloud: a permissible circle beyond is told, not drawn
SHARES = (50, 95, 99)  # [%], the percentiles of a study
POINTS = {"within": ("circle", 3, "reference"), "beyond": ("x", 5, "gas")}  # mark, size, colour
AROUND = np.linspace(0, 2 * math.pi, 181)
GROUPS = ("residual on the machine", "free force of the 1st order")


def scatter_pictures() -> tuple[ChartPicture, ...]:
    """Return the tab's empty figures: both clouds, the sizes, the shares."""
    return (
        _cloud_picture("scatter_front", "Residual, front plane"),
        _cloud_picture("scatter_rear", "Residual, rear plane"),
        *share_pictures(),
    )


def share_pictures() -> tuple[ChartPicture, ...]:
    """Return the empty figures of plain charts: the sizes, the shares."""
    shares = chart_picture("scatter_shares", "Contributions to the scatter")
    shares.figure.yaxis.visible = False
    shares.figure.ygrid.visible = False
    return chart_picture("scatter_sizes", "Distribution of the residual"), shares


def _cloud_picture(name: str, title: str) -> ChartPicture:
    """Return a figure for a chart with points of shafts within and beyond under it."""
    picture = chart_picture(name, title, polar=True)
    for which, (mark, size, colour) in POINTS.items():
        points_name = f"{name}_{which}_points"
        source = ColumnDataSource({"x": [], "y": []}, name=points_name)
        points = Scatter(x="x", y="y", size=size, marker=mark)
        add_glyph(
            picture.figure, source, points, level="underlay", line_color=colour, fill_color=colour
        )
        picture.sources[points_name] = source
    return picture


def study_messages(study: ScatterStudy) -> dict[str, dict[str, Any]]:
    """Return what the tab's figures show of a study, by their names."""
    return {
        "scatter_front": _cloud_message(study, 0),
        "scatter_rear": _cloud_message(study, 1),
        "scatter_sizes": chart_message(size_chart(study)),
        "scatter_shares": chart_message(share_chart(study)),
    }


def _cloud_message(study: ScatterStudy, place: int) -> dict[str, Any]:
    message = chart_message(cloud_chart(study, place))
    for which, points in cloud_points(study, place).items():
        message["sources"][f"{which}_points"] = {"x": points[0].tolist(), "y": points[1].tolist()}
    return message


def cloud_points(study: ScatterStudy, place: int) -> dict[str, Array]:
    """Return the points (2, n) drawn of a plane, within and beyond what it permits, as shown.

    x points to the right, toward 90°, y up, toward throw 1.
    """
    samples = study.scatter.residual.samples[:DRAWN, place]
    points = as_drawn(np.stack((samples.imag, samples.real)).astype(np.float32), "g_mm")
    beyond = np.abs(samples) > study.tolerance.amounts[place]
    return {"within": points[:, ~beyond], "beyond": points[:, beyond]}


def cloud_chart(study: ScatterStudy, place: int) -> Chart:
    """Return a plane's circles: what is permissible, and what 95 % of the shafts stay below."""
    allowed, most = study.tolerance.amounts[place], study.residual_percentiles[1, place]
    cloud = max(float(most), float(np.abs(study.scatter.residual.samples[:DRAWN, place]).max()))
    seen = allowed <= FAR * cloud or cloud < NEGLIGIBLE_SCATTER * allowed
    circles = max(float(most), float(allowed) if seen else 0.0)
    reach = float(as_drawn(max(1.3 * circles, 1.03 * cloud), "g_mm"))
    radius, bound = (float(as_drawn(float(size), "g_mm")) for size in (most, allowed))
    lines = [
        Line("ring", [0, 0], [-reach, reach]), Line("ring", [-reach, reach], [0, 0]),
        _circle("inertia", radius, "95 % circle"),
    ]  # fmt: skip
    told = f"permissible {_amount(allowed)}"
    labels = [
        Label("ring", 0.02 * reach, 0.88 * reach, "0°"),
        Label("ring", 0.98 * reach, 0, "90°", "right"),
        Label("inertia", 0, radius, f"95 %: {_amount(most)}", "center"),
    ]
    if seen:
        lines.append(_circle("allowed", bound, "permissible"))
        labels.append(Label("allowed", 0, max(-bound - 0.15 * reach, -reach), told, "center"))
    else:
        labels.append(Label("allowed", 0, -reach, f"{told}, far outside", "center"))
    mean = study.scatter.residual.mean[place]
    at = as_drawn(np.array([mean.imag, mean.real]), "g_mm")
    marks = [Mark("mean", float(at[0]), float(at[1]))] if np.hypot(*at) > 0.05 * reach else []
    labels += [Label("mean", mark.x + 0.05 * reach, mark.y - 0.1 * reach, "mean") for mark in marks]
    return Chart(
        f"Residual in the {PLANE_WORDS[place]} plane",
        axis("toward 90°", "g_mm"), axis("toward throw 1", "g_mm"),
        (-reach, reach), (-reach, reach), tuple(lines), tuple(labels), tuple(marks),
        words=_cloud_words(study, place),
    )  # fmt: skip


def _circle(role: str, radius: float, name: str) -> Line:
    return Line(role, radius * np.sin(AROUND), radius * np.cos(AROUND), name)


def _amount(unbalance: float) -> str:
    return with_unit(float(unbalance), "g_mm")


def _cloud_words(study: ScatterStudy, place: int) -> str:
    """Return a cloud in words."""
    count, allowed = len(study.within), study.tolerance.amounts[place]
    beyond = float((study.sizes[:, place] > allowed).mean())
    mean = abs(study.scatter.residual.mean[place])
    spread = math.sqrt(study.scatter.residual.variance[place])
    return (
        f"Residual unbalance in the {PLANE_WORDS[place]} plane, polar, 0° at the top toward "
        f"throw 1, clockwise. {count_words(min(count, DRAWN))} of {count_words(count)} shafts as "
        f"points; mean {_amount(0.0 if mean < NEGLIGIBLE_SCATTER * allowed else mean)}, spread "
        f"{_amount(spread)}. 95 % stay inside {_amount(study.residual_percentiles[1, place])}; "
        f"{100 * beyond:.1f} % are beyond the permissible {_amount(allowed)}."
    )


def size_chart(study: ScatterStudy) -> Chart:
    """Return what share of shafts stays below a residual, of both planes, percentiles labelled."""
    share = np.concatenate((np.linspace(0, 98, 99), np.linspace(98.2, 100, 10)))
    sizes = as_drawn(np.percentile(study.sizes, share, axis=0), "g_mm")
    allowed = as_drawn(study.tolerance.amounts, "g_mm")
    marked = as_drawn(study.residual_percentiles, "g_mm")
    far, bound = float(marked.max()), float(allowed.max())
    seen = bound <= FAR * far or far < NEGLIGIBLE_SCATTER * bound
    right = 1.55 * max(far, bound if seen else 0.0)
    lines, labels = [], []
    for place, (role, stroke) in enumerate((("main", "—"), ("inertia", "–·"))):
        name = f"{PLANE_WORDS[place]} plane"
        lines.append(Line(role, sizes[:, place], share, name))
        labels.append(Label(role, 0.012 * right, 88 - 10 * place, f"{stroke} {name}"))
        if seen:
            lines.append(Line("allowed", [allowed[place]] * 2, [0, 100], f"permissible, {name}"))
    labels.append(_allowed_label(study, allowed, right, seen=seen))
    marks: list[Mark] = []
    for row, (percent, both) in enumerate(zip(SHARES, marked, strict=True)):
        marks += [
            Mark(role, float(x), percent) for role, x in zip(("main", "inertia"), both, strict=True)
        ]
        x = float(both.max())
        lines.insert(0, Line("ring", [x, x], [0, percent]))
        numbers = ", ".join(format_number(float(amount), 3) for amount in both)
        side = "right" if row == len(SHARES) - 1 else "left"
        at = 0.99 * right if side == "right" else x
        labels.append(Label("main", at, 4 + 13 * row, f" {percent} %: {numbers} ", side))
    return Chart(
        f"Distribution of the residual, {count_words(len(study.sizes))} shafts",
        axis("residual unbalance", "g_mm"), "share of shafts below, %",
        (0, right), (0, 114), tuple(lines), tuple(labels), tuple(marks),
    )  # fmt: skip


def _allowed_label(study: ScatterStudy, allowed: Array, right: float, *, seen: bool) -> Label:
    """Return what is permissible, over the lines or, where they are far off, in their place."""
    both = " and ".join(format_number(float(amount), 3) for amount in allowed)
    far = "" if seen else ", far above"
    words = f"permissible by {study.grade}: {both}{far}"
    return Label("allowed", 0.99 * right, 102, words, "right")


def share_chart(study: ScatterStudy) -> Chart:
    """Return bars of each kind's share of the variance: of the residual, and of the free force."""
    found = (study.kinds.residual.sum(axis=1), study.kinds.force[:, 0].sum(axis=1))
    rows: list[tuple[str, str, float]] = []
    for group, own in zip(GROUPS, found, strict=True):
        rows.append((group, "", 0.0))
        whole = float(own.sum())
        if whole <= 0:
            rows.append(("nothing scatters", "", 0.0))
            continue
        names = [words for words, _ in KIND_WORDS.values()]
        shares = [
            (name, 100 * float(variance) / whole) for name, variance in zip(names, own, strict=True)
        ]
        shares.sort(key=lambda pair: -pair[1])
        rows += [(name, group, share) for name, share in shares if share > 0]
    count, most = len(rows), max(share for _, _, share in rows)
    right = 1.7 * max(most, 1.0)
    bars, labels = [], []
    for row, (name, group, share) in enumerate(rows):
        bottom = count - row - 0.86
        if not group:
            role = "main" if name in GROUPS else "faint"
            labels.append(Label(role, 0.0, bottom, capitalised(name)))
            continue
        bars.append(Bar("steel", 0, share, bottom, bottom + 0.72, f"{group}: {name}"))
        labels.append(Label("main", share, bottom, f" {name} {format_number(share, 2)} %"))
    return Chart(
        "Contributions to the scatter", "share of the variance, %", "kind of part",
        (0, right), (0, count), labels=tuple(labels), bars=tuple(bars),
        x_ticks=tuple(float(tick) for tick in range(0, 101, 20) if tick <= right),
    )  # fmt: skip
