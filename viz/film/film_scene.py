"""One message that holds all the browser draws of the films: a JSON header and float32 rows.

It is packed as a scene is: header length, header, padding to 4 bytes, rows. Bearings that do the
same at their own time share their rows.
"""

import json
import math
from typing import Any

import numpy as np
from numpy.typing import NDArray

from kinematics.array import Array
from kinematics.design.design_bearings import MainBearing, PlainBearing
from kinematics.film.journal_film import BearingFilms
from kinematics.film.oil_supply import LoadDensity, load_densities
from kinematics.film.running_bearings import row_of
from kinematics.mechanics.firing_order import firing_angles
from kinematics.units import UNITS, shown_unit
from viz.film.groove_words import groove_words
from viz.film.shown_films import LIMITS, ShownBearing, ShownFilms
from viz.train.scene import packed
from viz.verdict_words import AT_SPEED

SECTORS = 72  # of the wear map
FINE_SECTORS = 360


def film_bytes(shown: ShownFilms) -> NDArray[np.uint8]:
    """Return the films of a cycle as one message."""
    cycle = shown.cycle
    like: list[tuple[int, int]] = []
    blocks: dict[str, list[Array]] = {name: [] for name in _ROWS}
    wear: list[Array] = []
    for kind in LIMITS:
        rows, before = row_of(cycle.train, kind), 1 + max((row for row, _ in like), default=-1)
        like += [(before + row, behind) for row, behind in rows]
        owners = [rows.index((row, 0)) for row in range(1 + max(row for row, _ in rows))]
        films, limit = shown.of(kind), shown.allowed(kind).value
        for name, values in _rows(films, limit).items():
            blocks[name].append(values[owners])
        wear += list(load_densities(films.load[owners], sectors=FINE_SECTORS))
    index: dict[str, Any] = {}
    body: list[Array] = []
    place = 0
    for name, unit in _ROWS.items():
        values = shown_unit(unit).array_from_si(np.concatenate(blocks[name]))
        index[name] = {
            "unit": shown_unit(unit).symbol, "perCylinder": True, "gas": place,
            "shape": list(values.shape[:-1]),
        }  # fmt: skip
        body.append(np.ravel(values))
        place += values.size
    firing = np.degrees(firing_angles(cycle.design.layout))
    bearings = shown.bearings
    header = {
        "name": cycle.design.name,
        "cycleDegrees": math.degrees(cycle.design.layout.cycle_angle),
        "points": cycle.train.points,
        "rodRatio": 1 / cycle.design.cylinder.rod_ratio,
        "speed": 1,
        "rpm": UNITS["rpm"].from_si(cycle.speed),
        "bearings": [
            _described(
                bearing,
                wear[row],
                float(firing[bearing.index]) if bearing.kind == "big_end" else None,
            )
            for bearing, (row, _) in zip(bearings, like, strict=True)
        ],
        "order": [bearings.index(bearing) for bearing in shown.sorted],
        "like": like,
        "rows": index,
    }
    return packed(json.dumps(header), np.concatenate(body))


# row: unit of the screen
_ROWS = {
    "eccentricity": "",
    "load": "kN",
    "film": "um",
    "limit": "um",
    "pressure": "MPa",
    "specific": "MPa",
    "pressure_place": "deg",
}


def _rows(films: BearingFilms, limit: float) -> dict[str, Array]:
    return {
        "eccentricity": films.eccentricity,
        "load": films.load,
        "film": films.film,
        "limit": np.full(films.film.shape, limit),
        "pressure": films.peak_pressure,
        "specific": films.specific_load,
        "pressure_place": films.pressure_angle,
    }


def _described(bearing: ShownBearing, wear: Array, firing: float | None) -> dict[str, Any]:
    size, films = bearing.films.bearing, bearing.films
    angle = np.arange(FINE_SECTORS) * 2 * math.pi / FINE_SECTORS
    coarse = wear[:: FINE_SECTORS // SECTORS] / shown_unit("kN").factor
    return {
        "key": bearing.key,
        "title": bearing.title,
        "kind": bearing.kind,
        "diameter": shown_unit("mm").from_si(size.diameter),
        "width": shown_unit("mm").from_si(size.width),
        "clearance": shown_unit("um").from_si(size.radial_clearance),
        "limit": shown_unit("um").from_si(bearing.limit),
        "least": shown_unit("um").from_si(bearing.least),
        "leastDegrees": bearing.minimum_degrees,
        "leastPlace": math.degrees(films.minimum_place[bearing.index]),
        "peakPressure": shown_unit("MPa").from_si(float(films.peak_pressure[bearing.index].max())),
        "groove": _groove(size),
        "state": bearing.state,
        "stateWords": AT_SPEED[bearing.state],
        "firing": firing,
        "wearShell": [round(float(value), 4) for value in coarse],
        "quietShell": math.degrees(LoadDensity(angle, wear).least_loaded_angle),
    }


def _groove(size: PlainBearing) -> dict[str, Any] | None:
    """Return the open groove of a main's shell, angles from its y axis in the sense of rotation."""
    if not isinstance(size, MainBearing) or size.groove_arc == 0:
        return None
    return {
        "middle": math.degrees(size.groove_angle),
        "arc": math.degrees(size.groove_arc),
        "words": groove_words(size),
    }
