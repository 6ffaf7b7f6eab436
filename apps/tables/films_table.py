"""The table of all bearings' films as text for a terminal, and every film over the angle as CSV."""

import numpy as np

from apps.tables.limits_table import aligned, firing_lines
from kinematics.units import shown_unit
from viz.csv_text import csv_text
from viz.film.film_board import NOTE, model_note, oil_words, table_message
from viz.film.shown_films import ShownFilms
from viz.limits.limit_board import CAUTION
from viz.speed_words import rpm_text

# column name, unit, attribute of the films
CURVES = (
    ("film", "um", "film"),
    ("peak_pressure", "MPa", "peak_pressure"),
    ("pressure_angle", "deg", "pressure_angle"),
    ("specific_load", "MPa", "specific_load"),
)


def films_text(shown: ShownFilms) -> str:
    """Return the films in words: the table, the one nearest its limit first, and the caution."""
    message = table_message(shown)
    head = [f"{title} {unit}".rstrip() for title, unit in message["columns"]] + [
        message["state_title"]
    ]
    rows = [[*row["cells"], row["words"]] for row in message["rows"]]
    lines = [
        shown.cycle.design.name,
        f"Oil films at {rpm_text(shown.cycle.speed)}. {oil_words(shown)}",
        *firing_lines(shown.cycle.design),
        "",
        *aligned([head, *rows]),
        "",
        f"{NOTE} {model_note(shown)}",
        CAUTION,
    ]
    return "\n".join([*lines, ""])


def films_csv(shown: ShownFilms) -> str:
    """Return film, pressure and place of every bearing as CSV: a column each, a row per angle."""
    names, columns = ["crank_angle_deg"], [np.degrees(shown.cycle.crank_angle)]
    for bearing in shown.bearings:
        for name, unit, attribute in CURVES:
            names.append(f"{bearing.key}_{name}_{shown_unit(unit).key}")
            columns.append(
                shown_unit(unit).array_from_si(getattr(bearing.films, attribute)[bearing.index])
            )
        for component, axis in enumerate("xy"):
            names.append(f"{bearing.key}_eccentricity_{axis}")
            columns.append(bearing.films.eccentricity[bearing.index, component])
    return csv_text([names, *np.column_stack(columns).tolist()])
