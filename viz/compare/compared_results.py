"""The results of two designs as rows: main numbers and films at a speed, and all limits."""

import math
from collections.abc import Iterator
from dataclasses import replace

from kinematics.design.design import Design
from kinematics.errors import DesignError
from kinematics.limits.speed_limits import Ladder, Rung, speed_limits
from kinematics.train.cycle import Cycle
from kinematics.units import UNITS, shown_unit
from viz.compare.compared_inputs import part_words
from viz.compare.compared_row import DIRECTION, Compared, Entries, Entry, Side, paired_rows
from viz.film.film_model_words import models_apart
from viz.film.film_numbers import film_numbers
from viz.film.shown_films import LIMITS, TITLES, ShownBearing, ShownFilms
from viz.limits.limit_board import limit_text, margin_text, shown_value
from viz.limits.margin_table import margin_share
from viz.limits.rung_marks import DAGGER, band_range
from viz.number_words import MISSING, format_number, signed, with_unit
from viz.speed_words import rpm
from viz.train.main_number import MainNumber
from viz.train.main_numbers import SIDE_THRUST, main_numbers
from viz.verdict_words import AT_SPEED, EDGE

MAIN = "Main numbers"
OF_ONE_BEARING = ("big_end_load", "main_load", "big_end_specific_load", "main_specific_load")


def result_rows(a: Cycle, b: Cycle) -> list[Compared]:
    """Return the rows of two cycles, each at its speed: main numbers and films."""
    return paired_rows(main_entries(a), main_entries(b), MISSING, MISSING) + _film_rows(a, b)


def main_entries(cycle: Cycle) -> Entries:
    """Return the main numbers; a peak with two directions is an entry for each, as a size."""
    scales = _free_scales(cycle)
    found: Entries = {}
    for number in main_numbers(cycle):
        if number.key == "side_thrust":
            found |= _side_thrusts(cycle, number)
        elif number.key in ("rod_compression", "rod_tension"):
            size = replace(number, value=max(number.value, 0.0))
            found[number.key] = _number(size, MAIN, none=number.place if number.value <= 0 else "")
        else:
            entry = _number(number, MAIN)
            where = number.place.split(",")[0] if number.key in OF_ONE_BEARING else ""
            found[number.key] = replace(entry, scale=scales.get(number.key, 0.0), where=where)
    return found


def _side_thrusts(cycle: Cycle, known: MainNumber) -> Entries:
    """Return the largest side thrust on the major and on the minor thrust side."""
    thrust, found = cycle.forces.side_thrust, {}
    for side, peak in (("major", thrust.max()), ("minor", -thrust.min())):
        size = shown_unit(SIDE_THRUST.unit).from_si(max(float(peak), 0.0))
        number = replace(known, value=size, label=f"{known.label}, {side} side")
        found[f"side_thrust_{side}"] = _number(number, MAIN, none="" if size > 0 else "none")
    return found


def _free_scales(cycle: Cycle) -> dict[str, float]:
    """Return what free loads are measured by, as shown: one piston's m·r·ω², a throw apart."""
    train = cycle.train
    force = train.masses.piston * train.crank.crank_radius * cycle.speed**2
    moment = force * cycle.design.layout.throw_spacing
    sizes = {"free_force": ("N", force), "free_moment": ("Nm", moment)}
    return {key: shown_unit(unit).from_si(size) for key, (unit, size) in sizes.items()}


def _number(number: MainNumber, part: str, *, none: str = "") -> Entry:
    """Return a number as an entry; `none` is what is said of a zero."""
    unit = DIRECTION if number.unit == UNITS["deg"].symbol else number.unit
    known = math.isfinite(number.value)
    text = none or (number.words if known else number.place)
    return Entry(part, number.label, unit, Side((number.value,) if known else (), text))


def _film_rows(a: Cycle, b: Cycle) -> list[Compared]:
    """Return the film numbers of the bearings that are worst, each the same bearing in both."""
    (ours, a_lacks), (theirs, b_lacks) = _films(a), _films(b)
    models = models_apart(a.design.oil, b.design.oil)
    rows: list[Compared] = []
    for kind in LIMITS:
        for prefix, index, words in _worst_of_both(kind, ours, theirs):
            part = f"{words}, two film models" if models else words
            left, right = (
                _film_entries(_bearing(films, kind, index), part) for films in (ours, theirs)
            )
            rows += [
                replace(row, key=f"{prefix}.{row.key}")
                for row in paired_rows(left, right, a_lacks, b_lacks)
            ]
    return rows


def _worst_of_both(
    kind: str, ours: ShownFilms | None, theirs: ShownFilms | None
) -> Iterator[tuple[str, int, str]]:
    """Yield B's worst bearing of a kind, and A's if it is another: key, index, what it is."""
    before, after = (_worst(films, kind) for films in (ours, theirs))
    title = TITLES[kind]
    known = after or before
    if known is None:
        return
    if before is None or before.index == known.index:
        yield kind, known.index, f"Worst {title.lower()} ({known.index + 1})"
        return
    yield kind, known.index, f"{title} {known.index + 1}, worst of B"
    yield f"{kind}_a", before.index, f"{title} {before.index + 1}, worst of A"


def _films(cycle: Cycle) -> tuple[ShownFilms | None, str]:
    """Return the films of a cycle, or None and why there are none."""
    try:
        return ShownFilms(cycle), MISSING
    except DesignError as error:
        return None, _short(error)


def _short(error: DesignError) -> str:
    """Return an error as a cell shows it: what is missing, else the whole of it."""
    head = error.message.split(":")[0].split(";")[0]
    return f"{part_words(error.field)} {head}" if error.field else head


def _worst(films: ShownFilms | None, kind: str) -> ShownBearing | None:
    return (
        next((bearing for bearing in films.sorted if bearing.kind == kind), None) if films else None
    )


def _bearing(films: ShownFilms | None, kind: str, index: int) -> ShownBearing | None:
    return films.bearing(f"{kind}_{index + 1}") if films else None


def _film_entries(bearing: ShownBearing | None, part: str) -> Entries:
    if bearing is None:
        return {}
    found = {number.key: _number(number, part) for number in film_numbers(bearing)}
    judged = found["least_film"]
    share = 100 * (bearing.least / bearing.limit - 1)
    side = replace(
        judged.side, margin=_film_margin(bearing), verdict=bearing.state, margin_share=share
    )
    found["least_film"] = replace(judged, side=side)
    least = shown_unit("um").from_si(bearing.least)  # what tilt takes from
    found["edge_film"] = replace(found["edge_film"], scale=least, level=True)
    return found


def _film_margin(bearing: ShownBearing) -> str:
    """Return how far the film is above its allowable, and whether the edge film is below it."""
    share = 100 * (bearing.least / bearing.limit - 1)
    words = f"{signed(share, f'{abs(share):.0f}')} % on {with_unit(bearing.limit, 'um')}"
    return f"{words}; {AT_SPEED[EDGE]}" if bearing.state == EDGE else words


def limit_rows(a: Design, b: Design) -> list[Compared]:
    """Return for every rung of either ladder its limit speed and its value where most is used.

    Raises DesignError where a pressure cannot be made.
    """
    ladders = speed_limits(a), speed_limits(b)
    left, right = (dict(_rung_entries(ladder)) for ladder in ladders)
    rows = []
    for key in dict.fromkeys([*left, *right]):
        lacks = [_why_unjudged(ladder, key.split(".")[1]) for ladder in ladders]
        ours, theirs = ({key: side[key]} if key in side else {} for side in (left, right))
        rows += paired_rows(ours, theirs, *lacks)
    return rows


def _rung_entries(ladder: Ladder) -> Iterator[tuple[str, Entry]]:
    for rung in ladder.rungs:
        criterion, verdict = rung.criterion, ladder.verdict(rung)
        unit = shown_unit(criterion.unit)
        value = unit.from_si(rung.value_at)
        where = "at idle" if criterion.at_idle else "at maximum use up to rated speed"
        left, share = _left(rung)
        left += f" {DAGGER}" if rung.left_out else ""
        side = Side((value,), shown_value(rung, rung.value_at), left, verdict, share)
        label = f"{criterion.label}, {where}"
        yield f"value.{criterion.key}", Entry(criterion.part, label, unit.symbol, side)
        if not criterion.at_idle:
            label, side = f"{criterion.label}, limit speed", _limit(ladder, rung)
            yield f"limit.{criterion.key}", Entry(criterion.part, label, "rpm", side)


def _limit(ladder: Ladder, rung: Rung) -> Side:
    """Return a rung's limit speed: infinite if it never gives, in words if it always does."""
    values = (rpm(rung.limit),) if rung.limit > 0 else ()
    text, margin = limit_text(ladder, rung), margin_text(ladder, rung)
    words, share = "" if margin == MISSING else margin, margin_share(ladder, rung)
    if rung is ladder.lowest and (others := band_range(rung)):
        words += f"; {others} by other models"
    return Side(values, text, words, ladder.verdict(rung), share)


def _left(rung: Rung) -> tuple[str, float | None]:
    """Return what a rung leaves of its allowable, in words and in %."""
    left = 100 * (1 - rung.use_at)
    if not math.isfinite(left):
        return "over", None
    size = format_number(abs(left), 3)
    return (f"{size} % left" if left >= 0 else f"over by {size} %"), left


def _why_unjudged(ladder: Ladder, key: str) -> str:
    for absent in ladder.unjudged:
        if absent.criterion.key == key:
            lacking = " and ".join(part_words(group).lower() for group in absent.lacking)
            return f"needs {lacking}" if lacking else "not assessed"
    return MISSING
