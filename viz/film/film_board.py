"""The table of all bearings' films, on the page and as a file; and what the films leave out."""

from typing import Any

from kinematics import Design
from kinematics.design.design_bearings import MainBearing
from kinematics.design.oil_viscosity import HIGH_SHEAR_TEMPERATURE, high_shear_viscosity
from kinematics.film.film_bounds import RIGID_PRESSURE, conforming_peaks
from kinematics.units import shown_unit
from viz.csv_text import Cell, csv_text
from viz.film.film_model_words import THICKENED
from viz.film.groove_words import groove_range, groove_words
from viz.film.shown_films import LIMITS, TITLES, ShownBearing, ShownFilms
from viz.number_words import format_number, format_whole, with_unit
from viz.throw_words import design_stiffness_words
from viz.verdict_words import AT_SPEED, AT_SPEED_TITLE

# title, unit of the screen
COLUMNS = (
    ("Bearing", ""),
    ("Minimum film thickness", "um"),
    ("at φ", "deg"),
    ("Allowed", "um"),
    ("Edge film", "um"),
    ("Peak oil film pressure", "MPa"),
    ("Specific load", "MPa"),
    ("Oil temperature", "degC"),
    ("Oil flow", "l_min"),
    ("Oil feed", "percent"),
    ("Power loss", "W"),
)
TABLE_WIDTHS = (0.1, 1.5)  # width over diameter, of the table of films
NOTE = (
    "Met: the minimum film of a straight journal is at least the allowable at this speed, and so "
    "is the edge film, an estimate with misalignment and crown. The verdict up to the rated speed "
    "is the ladder's. "
    "Round rigid shells and journals, one viscosity per film. "
    "Elastic shells and shapes other than the crown are left out. Heat is carried by the oil that "
    "passes; oil feed is its share of what a full film would pass."
)


def sharing_words(design: Design) -> str:
    """Return how the mains share their loads, and how stiff the shaft is for it."""
    if not design.continuous:
        return (
            "Loads of the determinate shaft (simply supported throws); misalignment with each "
            "throw as a bar of crankpin section, which is too stiff."
        )
    return (
        "Loads and misalignment of the continuous shaft (statically indeterminate). "
        + design_stiffness_words(design)
    )


def table_message(shown: ShownFilms) -> dict[str, Any]:
    """Return the table of all bearings, the one closest to its limit first."""
    return {
        "columns": [[title, shown_unit(unit).symbol] for title, unit in COLUMNS],
        "rows": [
            {
                "key": bearing.key,
                "state": bearing.state,
                "words": AT_SPEED[bearing.state],
                "cells": [bearing.title, *_cells(bearing)],
            }
            for bearing in shown.sorted
        ],
        "state_title": AT_SPEED_TITLE,
        "note": " ".join(
            words
            for words in (
                NOTE,
                model_note(shown),
                groove_note(shown),
                sharing_words(shown.cycle.design),
                oil_words(shown),
                *pressure_words(shown),
            )
            if words
        ),
    }


def table_csv(shown: ShownFilms) -> str:
    """Return the same table as comma-separated values, with the state in words."""
    head = [f"{title}, {shown_unit(unit).symbol}".rstrip(", ") for title, unit in COLUMNS]
    rows: list[list[Cell]] = [
        [bearing.title, *table_values(bearing), AT_SPEED[bearing.state]] for bearing in shown.sorted
    ]
    return csv_text([[*head, AT_SPEED_TITLE], *rows])


def oil_words(shown: ShownFilms) -> str:
    """Return where the films' viscosity is from, in words."""
    oil = shown.cycle.design.oil
    if oil is None or not shown.films.heat_balanced:
        return "Viscosity as given in the design."
    source = "two viscosities given" if oil.viscosity_40 is not None else "its grade"
    high = high_shear_viscosity(oil)
    if high is None:
        return f"Viscosity by the heat balance, from {source}."
    origin = "minimum of SAE J300" if oil.high_shear_viscosity is None else "as given"
    return (
        f"Viscosity by the heat balance, from {source}, scaled to the high-shear viscosity "
        f"{with_unit(high, 'mPa_s')} at {with_unit(HIGH_SHEAR_TEMPERATURE, 'degC')} ({origin})."
    )


def pressure_words(shown: ShownFilms) -> list[str]:
    """Return where peak pressures are beyond what rigid shells can tell, in words."""
    return [
        f"{TITLES[kind]}s: rigid shell above {with_unit(RIGID_PRESSURE, 'MPa')}, so the peak "
        f"pressure is an upper bound; a shell that conforms has "
        f"{with_unit(float(conforming_peaks(shown.of(kind)).max()), 'MPa')}."
        for kind in LIMITS
        if shown.of(kind).peak_pressure.max() > RIGID_PRESSURE
    ]


def model_note(shown: ShownFilms) -> str:
    """Return which film model the films are by, and where it is stretched."""
    words = shown.model_words
    wide = [
        TITLES[kind].lower() + "s" for kind in LIMITS
        if not TABLE_WIDTHS[0] <= shown.of(kind).bearing.width_ratio <= TABLE_WIDTHS[1]
    ]  # fmt: skip
    parts = [f"Film model: {words.name}."]
    if shown.thickened:
        parts.append(f"Oil thickens under pressure: {THICKENED}.")
    if words.caution:
        parts.append(words.caution)
    if wide and words.tabled:
        parts.append(f"The {' and '.join(wide)} lie outside its table, L/D 0.1 to 1.5.")
    return " ".join(parts)


def groove_note(shown: ShownFilms) -> str:
    """Return what the mains' groove does to their films; "" where there is none."""
    mains = shown.of("main").bearing
    if not isinstance(mains, MainBearing) or mains.groove_arc == 0:
        return ""
    words = f"Mains: {groove_words(mains)}"
    return words if mains.is_parted else f"{words} {groove_range()}"


def table_values(bearing: ShownBearing) -> list[float]:
    """Return the numbers of a bearing's row, in the units of `COLUMNS` as shown."""
    films, i = bearing.films, bearing.index
    si = (
        bearing.least,
        films.crank_angle[bearing.at],
        bearing.limit,
        bearing.edge,
        films.peak_pressure[i].max(),
        films.specific_load[i].max(),
        films.temperature[i],
        films.passed_flow[i],
        films.filling[i],
        films.loss[i],
    )
    units = [shown_unit(unit) for _, unit in COLUMNS[1:]]
    return [unit.from_si(float(value)) for unit, value in zip(units, si, strict=True)]


def _cells(bearing: ShownBearing) -> list[str]:
    values = table_values(bearing)
    digits = [3, 3, 2, 3, 3, 3, 4, 3, 3, 3]
    cells = [format_number(value, count) for value, count in zip(values, digits, strict=True)]
    cells[1] = format_whole(values[1])
    return cells
