"""What the rev-limit page sends to the browser: lines over speed, sentences and verdicts.

The browser reads between the speeds, straight in speed² as the ladder does, and fills the
sentences in; nothing comes back while the slider moves. A line's verdict at a speed is the
ladder's, were that speed the rated one: over where the criterion has been over at or below it,
marginal where less speed is in reserve than the red line has over the rated speed, or where what
is left out exceeds the allowable at the design's rated speed.
"""

import dataclasses
import math
from typing import Any

import numpy as np

from kinematics import solve_cycle
from kinematics.array import Array
from kinematics.limits.criterion import Criterion
from kinematics.limits.named_results import SUBJECTS
from kinematics.limits.speed_limits import Ladder, Rung
from kinematics.units import UNITS, shown_unit
from viz.firing_words import firing_words
from viz.limits.criterion_view import GROUPS, PINS, PISTONS, RINGS, RODS, Group
from viz.limits.criterion_views import full_name, story_of, view_of
from viz.limits.limit_board import CAUTION, assessment_message, limit_sentence, sentence
from viz.limits.plain_story import REFERENCES_FROM, Reference, SpokenNumber
from viz.limits.rung_marks import band_message, doubt_words
from viz.number_words import capitalised, format_number, operand
from viz.speed_words import rpm
from viz.train.main_numbers import main_numbers

SPEEDS, FILM_SPEEDS, RESONANT_SPEEDS = 241, 61, 181
KINK, FINER = 1e-3, 8  # off its chord, relative, a curve counts as sharp; parts of a step there
COSTLY = 10  # speeds of a criterion's first grid up to which its value counts as costly
TOP_OVER_RED_LINE, TOP_OVER_LIMIT = 1.25, 1.08
DIGITS = 7  # of what is sent


def rev_limit_message(
    ladder: Ladder, reference: Ladder | None = None, reference_words: str = ""
) -> dict[str, Any]:
    """Return the rev limit of a design in plain sentences: speeds in rpm, values as shown."""
    low, top = shown_range(ladder)
    first = ladder.lowest
    return {
        "name": ladder.design.name,
        "rated": rpm(ladder.rated),
        "redline": rpm(ladder.red_line),
        "low": low,
        "top": top,
        "cycle": UNITS["rpm"].factor
        / ladder.design.layout.cycle_angle,  # cycles per second and rpm
        "sentence": _with_state(ladder),
        "limit": rpm(first.limit) if first and first.limit > 0 else None,
        "first": first.criterion.key if first else "",
        "all": [_judged(rung) for rung in ladder.rungs if not rung.criterion.guide],
        "reference": reference_words if reference is not None else "",
        "lines": [
            line_message(ladder, group, rung)
            | {"reference": _reference_limit(ladder, reference, rung)}
            for group, rung in rev_limit_rungs(ladder)
        ],
        "not_shown": _not_shown(ladder),
        "references": f"Compared with: {_references(ladder)}. {REFERENCES_FROM}.",
        "caution": CAUTION,
    }


def lit_parts(ladder: Ladder) -> str:
    """Return which parts of the drawn train the governing limit is of: their role, or nothing."""
    first = ladder.lowest
    if first is None:
        return ""
    group = view_of(first.criterion).group
    if group in (PISTONS, RINGS, PINS):
        return "piston"
    return "rod" if group is RODS or first.criterion.key.startswith("big_end") else "steel"


def _with_state(ladder: Ladder) -> str:
    """Return what limits the speed; before it, which cylinders do not fire alike."""
    firing = firing_words(ladder.design)
    first = sentence(ladder, with_marginal=False)  # the lines above show what is marginal
    return f"{firing}. {first}" if firing else first


def shown_range(ladder: Ladder) -> tuple[float, float]:
    """Return the slider's ends [rpm], in tens: beyond the red line and the governing limit."""
    first = ladder.lowest
    top = TOP_OVER_RED_LINE * rpm(ladder.red_line)
    if first is not None:
        top = max(top, TOP_OVER_LIMIT * rpm(first.limit))
    top = min(top, rpm(ladder.high))
    return math.ceil(rpm(ladder.low) / 10 - 1e-9) * 10.0, math.floor(top / 10) * 10.0


def rev_limit_rungs(ladder: Ladder) -> list[tuple[Group, Rung]]:
    """Return the rung shown for each group; some only if over or of the governing limit."""
    found = []
    for group in GROUPS:
        rung = next((rung for rung in ladder.rungs if _is_in(rung.criterion, group)), None)
        if rung is None:
            continue
        if group.always or rung is ladder.lowest or ladder.verdict(rung) == "over":
            found.append((group, rung))
    return found


def _is_in(criterion: Criterion, group: Group) -> bool:
    """Return whether a group covers a criterion; what is assessed at idle alone has no line."""
    return not criterion.at_idle and view_of(criterion).group is group


def _not_shown(ladder: Ladder) -> list[str]:
    """Return the titles of the lines for which the design does not give enough."""
    shown = {group for group, _ in rev_limit_rungs(ladder)}
    return [
        group.title
        for group in GROUPS
        if group.always
        and group not in shown
        and any(_is_in(criterion, group) for _, criteria in SUBJECTS for criterion in criteria)
    ]


def line_message(ladder: Ladder, group: Group, rung: Rung) -> dict[str, Any]:
    """Return one line of the page over its own grid of speeds."""
    criterion = rung.criterion
    story, unit = story_of(criterion), shown_unit(criterion.unit)
    number, number_unit = story.number, _number_unit(story.number, rung)
    speed = _grid(ladder, rung)
    value = criterion.value(rung.parts, speed)
    own = None if number.of is None else number.of(rung.parts, speed)
    return {
        "key": criterion.key,
        "group": group.title,
        "label": full_name(criterion),
        "rpm": _sent(UNITS["rpm"].array_from_si(speed)),
        "use": _sent(criterion.use(value, rung.allowed.value)),
        "unit": unit.symbol,
        "spoken": None if own is None else _sent(number_unit.array_from_si(own)),
        "spoken_unit": number_unit.symbol,
        "spoken_label": number.label,
        "allowed": unit.from_si(rung.allowed.value),
        "at_least": criterion.at_least,
        "inverse": story.inverse,
        "guide": criterion.guide,
        "doubted": rung.is_doubted,
        "sentences": [
            {
                "words": template.words,
                "size": number_unit.from_si(template.reference.size)
                if template.reference
                else None,
                "least": number_unit.from_si(template.least)
                if math.isfinite(template.least)
                else None,
            }
            for template in story.sentences
        ],
        "over": _stretches(rung),
        "from": rpm(float(rung.speed[0])),
    }


def _grid(ladder: Ladder, rung: Rung) -> Array:
    """Return the speeds of a line [rad/s], also at limits, resonances and full-load rows."""
    low, top = (UNITS["rpm"].to_si(end) for end in shown_range(ladder))
    low = max(low, float(rung.speed[0]))
    ends = np.concatenate([np.ravel(rung.over), [ladder.rated], rung.parts.train.pressure.speeds])
    if rung.criterion.resonant:
        speeds = np.union1d(np.linspace(low, top, RESONANT_SPEEDS), rung.speed)
    else:
        speeds = np.geomspace(low, top, FILM_SPEEDS if _is_costly(rung) else SPEEDS)
    speeds = np.union1d(speeds, ends)
    speeds = speeds[(speeds >= low) & (speeds <= top)]
    if rung.criterion.resonant or _is_costly(rung):
        return speeds
    return np.union1d(speeds, _at_kinks(speeds, rung.criterion.value(rung.parts, speeds)))


def _is_costly(rung: Rung) -> bool:
    """Return whether a value takes so long that few speeds are asked for: a film."""
    return rung.criterion.speeds <= COSTLY


def _at_kinks(speed: Array, value: Array) -> Array:
    """Return further speeds beside those where a curve leaves its chord by more than KINK."""
    share = (speed[1:-1] - speed[:-2]) / (speed[2:] - speed[:-2])
    chord = (1 - share) * value[:-2] + share * value[2:]
    sharp = np.flatnonzero(np.abs(value[1:-1] - chord) > KINK * np.abs(chord)) + 1
    starts = np.union1d(sharp - 1, sharp)
    return np.linspace(speed[starts], speed[starts + 1], FINER + 1)[1:-1].ravel()


def _judged(rung: Rung) -> dict[str, Any]:
    """Return what the browser needs for the verdict on all criteria together."""
    return {
        "words": limit_sentence(rung),
        "doubt": doubt_words(rung),
        "over": _stretches(rung),
        "idle": rung.use_at > 1 if rung.criterion.at_idle else None,
    }


def _stretches(rung: Rung) -> list[list[float]]:
    return [[rpm(start), rpm(end)] for start, end in rung.over]


def _reference_limit(ladder: Ladder, reference: Ladder | None, rung: Rung) -> float | None:
    """Return the reference's limit [rpm] of the same criterion, where the slider reaches it."""
    before = reference.rung(rung.criterion.key) if reference is not None else None
    low, top = shown_range(ladder)
    return rpm(before.limit) if before and low < rpm(before.limit) <= top else None


def _number_unit(number: SpokenNumber, rung: Rung) -> Any:
    return shown_unit(number.unit or rung.criterion.unit)


def _sent(values: Array) -> list[float | None]:
    """Return values for JSON, what is infinite as None."""
    return [
        float(f"{value:.{DIGITS}g}") if math.isfinite(value) else None for value in values.tolist()
    ]


def _references(ladder: Ladder) -> str:
    """Return in words the sizes of all references, each once."""
    found: dict[Reference, None] = {}
    for _, rung in rev_limit_rungs(ladder):
        for template in story_of(rung.criterion).sentences:
            if template.reference:
                found[template.reference] = None
    return "; ".join(reference.words for reference in found)


def ladder_at(ladder: Ladder, key: str, speed: float) -> Ladder:
    """Return the ladder with one rung alone, shown and assessed at another speed [rad/s].

    The red line keeps its distance in proportion. It stays within the speeds assessed.
    """
    rung = ladder.rung(key)
    if rung is None:
        return dataclasses.replace(ladder, rungs=())
    speed = max(speed, float(rung.speed[0]))
    value = float(rung.criterion.value(rung.parts, np.array([speed]))[0])
    moved = dataclasses.replace(rung, at=speed, value_at=value)
    line = speed * (ladder.red_line / ladder.rated)
    return dataclasses.replace(ladder, rungs=(moved,), rated=speed, red_line=line)


def proof_message(ladder: Ladder, key: str, speed: float) -> dict[str, Any]:
    """Return how a line's numbers come about at a speed [rad/s]: formulas, values, comparison.

    Raises DesignError if the criterion is not on the ladder.
    """
    moved = ladder_at(ladder, key, speed)
    assessed = assessment_message(moved, key)
    rung = moved.rungs[0]
    whole = ladder.rung(key)
    spoken = story_of(rung.criterion).number
    shown = {name: assessed[name] for name in (
        "part", "label", "headline", "limit_text", "verdict", "formula", "substitution",
        "conventions", "origin", "confidence_text", "source", "validity", "left_out",
        "caution")}  # fmt: skip
    number = _main_number(rung, spoken.main_number)
    return shown | {
        "key": key,
        "comparison": _comparison(rung),
        "band": band_message(ladder, whole) if whole else None,
        "spoken_label": capitalised(spoken.label),
        "spoken_formula": number.formula if number else "",
        "spoken_substitution": number.substitution if number else "",
        "spoken_source": number.source if number else "",
    }


def _main_number(rung: Rung, key: str) -> Any:
    if not key:
        return None
    cycle = solve_cycle(rung.parts.design, rpm(rung.at))
    return next(number for number in main_numbers(cycle) if number.key == key)


def _comparison(rung: Rung) -> str:
    """Return the sentence's comparison with the values put in, empty where it compares nothing."""
    story, at = story_of(rung.criterion), np.array([rung.at])
    of = story.number.of
    value = rung.value_at if of is None else float(of(rung.parts, at)[0])
    reference = story.sentence_at(value).reference
    if reference is None:
        return ""
    terms = (reference.size, value) if story.inverse else (value, reference.size)
    times = format_number(story.times(value, reference), 3)
    words = f"{capitalised(reference.words)} ({REFERENCES_FROM.lower()})."
    return f"{words}\nn = {operand(terms[0])} / {operand(terms[1])} = {times}, in SI units"
