"""The ladder as the page and the command line show it: rungs, one sentence, the margin table."""

import math
from collections.abc import Iterator, Sequence
from typing import Any

from kinematics.declaration import Declaration
from kinematics.design.design_field import group_field
from kinematics.errors import DesignError
from kinematics.limits.limit_sensitivities import limit_sensitivities
from kinematics.limits.misfire import misfire_rung
from kinematics.limits.speed_limits import Ladder, NotAssessed, Rung
from viz.limits.criterion_view import CriterionView
from viz.limits.criterion_views import full_name, view_of
from viz.limits.damper_words import damper_sheet
from viz.limits.governing_words import limit_move, other_holder
from viz.limits.misfire_sag import SAG_CONVENTIONS, SAG_FORMULA, sag_values
from viz.limits.rung_marks import (
    band_message,
    band_range,
    left_out_words,
)
from viz.number_words import format_number, with_unit
from viz.speed_words import rpm, rpm_text
from viz.verdict_words import worst_verdict

INPUT_LABELS = {"big_end.width_mm": "Big-end width", "main_bearing.width_mm": "Main-bearing width"}
CAUTION = "For teaching and design review. Release needs tests, codes and licensed practice."
MISFIRE_FORMULA = (
    "T = Σ T_c − T_k + T_k,motored for each cylinder k, by order; then as above\n"
    "the cylinder shown uses most of the allowable up to the rated speed"
)
MISFIRE_CONVENTIONS = (
    "Cylinder k keeps its charge and compression but does not burn; the others fire at full load. "
    "A mark, not part of the verdict. Follows from the definition of the state."
)
CONFIDENCE = {
    "published": "The value was read in the book or standard named.",
    "memory": "Known from memory only, not checked against the source: typical, unverified.",
    "practice": "Common practice, no source.",
    "physics": "No guide value: it follows from equilibrium.",
    "weak": "A weak source: a guide at most, no proof.",
    "given": "Given in this design; where it comes from is for the designer to say.",
}


def shown_value(rung: Rung, value: float) -> str:
    """Return a value of a rung [SI] in its unit, or a word for no load at all."""
    if math.isinf(value):
        return "no load"
    return with_unit(value, rung.criterion.unit)


def limit_text(ladder: Ladder, rung: Rung) -> str:
    """Return the limit speed in words."""
    if rung.criterion.at_idle:
        return "assessed at idle only"
    if rung.limit == 0:
        return "over at every speed"
    if math.isfinite(rung.limit):
        over_low = f", and over below {rpm_text(rung.met_from)}" if rung.met_from > 0 else ""
        return rpm_text(rung.limit) + over_low
    if rung.met_from > 0:
        return f"over below {rpm_text(rung.met_from)}"
    return f"none up to {rpm_text(ladder.high)}"


def margin_text(ladder: Ladder, rung: Rung) -> str:
    """Return the limit speed less the rated speed, or a word where there is none to give."""
    if rung.rated_use > 1 and not 0 < rung.limit <= ladder.rated:
        return f"over at {'idle' if rung.criterion.at_idle else 'rated speed'}"
    if not 0 < rung.limit < math.inf:
        return "–"
    margin, share = rung.limit - ladder.rated, 100 * (rung.limit / ladder.rated - 1)
    sign = "+" if margin >= 0 else "−"
    return f"{sign}{rpm_text(abs(margin))} ({sign}{abs(share):.1f} %)"


def sentence(
    ladder: Ladder,
    reference: Ladder | None = None,
    *,
    with_band: bool = True,
    with_marginal: bool = True,
) -> str:
    """Return what limits the speed, in plain words with the numbers, against a reference's.

    `with_band` adds the governing limit by other models, which may take a while to compute;
    `with_marginal` what is marginal by an omission, where no line of its own says so.
    """
    first = _first(ladder, reference, with_band=with_band)
    words = [_everywhere(ladder), _over_at_rated(ladder), first, _gas_first(ladder)]
    words += [_doubted(ladder)] if with_marginal else []
    words += [_guides(ladder), _idle(ladder), _red_line(ladder)]
    return " ".join(part for part in words if part)


def limit_sentence(rung: Rung) -> str:
    """Return what happens at a rung's limit, as the start of a sentence."""
    view = view_of(rung.criterion)
    given = rung.allowed.origin.confidence == "given" and view.sentence_if_given
    return given or view.sentence or f"{full_name(rung.criterion)}, reaches its allowable"


def _everywhere(ladder: Ladder) -> str:
    found = [rung for rung in _physical(ladder) if rung.limit == 0]
    if not found:
        return ""
    first = found[0]
    return (
        f"{limit_sentence(first)} at every speed: {shown_value(first, first.value_at)} "
        f"against {shown_value(first, first.allowed.value)} at {rpm_text(first.at)}."
    )


def _physical(ladder: Ladder) -> list[Rung]:
    """Return the rungs that may govern: all but the guide values."""
    return [rung for rung in ladder.rungs if not rung.criterion.guide]


def _over_at_rated(ladder: Ladder) -> str:
    """Say what gas overloads at the rated speed already, though more speed would relieve it."""
    found = [
        rung for rung in _physical(ladder)
        if rung.rated_use > 1 and rung.limit > ladder.rated and not rung.criterion.at_idle
    ]  # fmt: skip
    if not found:
        return ""
    worst = max(found, key=lambda rung: rung.rated_use)
    others = f", and {len(found) - 1} more" if len(found) > 1 else ""
    return (
        f"Over at the rated speed already, by gas: {full_name(worst.criterion)}, "
        f"{format_number(100 * worst.rated_use, 3)} % of the allowable{others}."
    )


def _first(ladder: Ladder, reference: Ladder | None, *, with_band: bool) -> str:
    among = _physical(ladder) or ladder.rungs
    moving = [rung for rung in among if 0 < rung.limit < math.inf]
    if not moving:
        if any(rung.limit == 0 for rung in among):
            return ""
        return f"Nothing assessed here fails below {rpm_text(ladder.high)}."
    first = min(moving, key=lambda rung: rung.limit)
    over = first.limit - ladder.rated
    others = band_range(first) if with_band else ""
    words = (
        f"{limit_sentence(first)} first, at {rpm_text(first.limit)}"
        f"{f', {others} by other models' if others else ''}"
        f"{_against(ladder, reference)}: "
        f"{rpm_text(abs(over))} {'above' if over >= 0 else 'below'} the rated speed"
    )
    line = first.limit - ladder.red_line
    if over >= 0:
        words += f", {rpm_text(abs(line))} {'above' if line >= 0 else 'below'} the red line"
    return words + "."


def _against(ladder: Ladder, reference: Ladder | None) -> str:
    """Say how far the governing limit lies from a reference's, and what governs that one."""
    move = limit_move(ladder, reference, "the reference") if reference else ""
    if not move or reference is None or reference.lowest is None:
        return ""
    holder = other_holder(ladder, reference)
    by = f" by {holder}" if holder else ""
    return f", {move} ({rpm_text(reference.lowest.limit)}{by})"


def _gas_first(ladder: Ladder) -> str:
    """Say which criteria are over at low speed, where gas alone loads the parts."""
    found = [
        rung for rung in _physical(ladder)
        if rung.rated_use <= 1 and rung.met_from > 0 and rung.limit > 0
    ]  # fmt: skip
    if not found:
        return ""
    worst = max(found, key=lambda rung: rung.met_from)
    many = f"{len(found)} criteria, last " if len(found) > 1 else ""
    return (
        f"Below {rpm_text(worst.met_from)} gas alone exceeds the allowable of {many}"
        f"{full_name(worst.criterion)}."
    )


def _doubted(ladder: Ladder) -> str:
    """Say which criteria are marginal by what they leave out alone, as an edge film."""
    found = [
        full_name(rung.criterion) for rung in _physical(ladder)
        if rung.is_doubted and rung.use_at <= 1 and rung.limit > ladder.red_line
    ]  # fmt: skip
    return f"Marginal by what is left out (†): {'; '.join(found)}." if found else ""


def _guides(ladder: Ladder) -> str:
    """Say which guide values are passed up to the red line; they never govern."""
    found = [
        f"{full_name(rung.criterion)} at {rpm_text(rung.limit)}" for rung in ladder.rungs
        if rung.criterion.guide and 0 < rung.limit < ladder.red_line
    ]  # fmt: skip
    if not found or not _physical(ladder):
        return ""
    many = "Guide values" if len(found) > 1 else "Guide value"
    return f"{many} reached below the red line: {'; '.join(found)}."


def _idle(ladder: Ladder) -> str:
    rung = ladder.rung("irregularity")
    if rung is None or rung.use_at <= 1:
        return ""
    return (
        f"Over at idle: cyclic irregularity, {shown_value(rung, rung.value_at)} against "
        f"{shown_value(rung, rung.allowed.value)}."
    )


def _red_line(ladder: Ladder) -> str:
    given = ladder.design.limits.red_line
    if given is None or given >= ladder.rated:
        return ""
    return f"The given red line, {rpm_text(given)}, lies below the rated speed and is ignored."


def misfire_words(ladder: Ladder, rung: Rung) -> str:
    """Return a rung with its worst cylinder misfiring, in words; empty where there is none."""
    found = misfire_rung(ladder, rung)
    if found is None:
        return ""
    own = found.rung
    limit = "" if own.criterion.at_idle else f"; limit {limit_text(ladder, own)}"
    return (
        f"cylinder {found.cylinder}: {shown_value(own, own.value_at)} at {rpm_text(own.at)}, "
        f"{format_number(100 * own.use_at, 3)} % used{limit}"
    )


def ladder_message(
    ladder: Ladder,
    reference: Ladder | None,
    reference_words: str,
    *,
    with_misfires: bool = True,
    with_bands: bool = True,
) -> dict[str, Any]:
    """Return the ladder as the browser draws it; speeds in rpm.

    Marks of the worst misfire take about as long as the rungs of the crankshaft themselves, bands
    longer than the ladder does; `bands_by_rung` gives those afterwards.
    """
    return {
        "rated": rpm(ladder.rated),
        "redline": rpm(ladder.red_line),
        "low": rpm(ladder.low),
        "top": rpm(ladder.high),
        "reference": reference_words if reference is not None else "",
        "sentence": sentence(ladder, reference, with_band=with_bands),
        "verdict": worst_verdict({ladder.verdict(rung) for rung in ladder.rungs}),
        "rungs": [
            _rung_message(ladder, rung, reference)
            | {"misfire": _misfire_message(ladder, rung) if with_misfires else None}
            | {"band": band_message(ladder, rung) if with_bands else None}
            for rung in ladder.rungs
        ],
        "missing": [
            {"part": absent.criterion.part, "label": absent.criterion.label,
             "needs": ", ".join(absent.lacking)}
            for absent in ladder.unjudged if absent.lacking
        ],
        "unjudged": [
            _unjudged_message(absent) for absent in ladder.unjudged if not absent.lacking
        ],
    }  # fmt: skip


def bands_by_rung(ladder: Ladder, reference: Ladder | None = None) -> Iterator[dict[str, Any]]:
    """Yield the ladder's bands as they grow, the governing limit's first, last all of them.

    Each has the sentence with the band, against a reference's if there is one, and `bands` by
    the rung's key.
    """
    first, bands = ladder.lowest, {}
    order = [rung for rung in ladder.rungs if rung is first]
    order += [rung for rung in ladder.rungs if rung is not first]
    for rung in order:
        found = band_message(ladder, rung)
        if found is not None:
            bands[rung.criterion.key] = found
            yield {"sentence": sentence(ladder, reference), "bands": dict(bands)}


def _rung_message(ladder: Ladder, rung: Rung, reference: Ladder | None) -> dict[str, Any]:
    before = reference.rung(rung.criterion.key) if reference is not None else None
    return {
        "key": rung.criterion.key,
        "part": rung.criterion.part,
        "label": rung.criterion.label,
        "limit": _finite_rpm(rung.limit),
        "limit_text": _short_limit(ladder, rung),
        "verdict": ladder.verdict(rung),
        "over": [[rpm(start), rpm(end)] for start, end in rung.over],
        "value_text": shown_value(rung, rung.value_at),
        "allowable_text": shown_value(rung, rung.allowed.value),
        "use": rung.use_at,
        "used_at": rpm_text(rung.at),
        "guide": rung.criterion.guide,
        "doubted": rung.is_doubted,
        "margin_text": margin_text(ladder, rung),
        "left_out": left_out_words(rung),
        "origin": rung.allowed.origin.words,
        "confidence": rung.allowed.origin.confidence,
        "reference_limit": _finite_rpm(before.limit) if before else None,
        "change_text": _change(rung, before),
    }


def _misfire_message(ladder: Ladder, rung: Rung) -> dict[str, Any] | None:
    """Return the mark of a rung's worst misfire; None where there is none."""
    found = misfire_rung(ladder, rung)
    if found is None:
        return None
    return {
        "cylinder": found.cylinder,
        "limit": _finite_rpm(found.rung.limit),
        "words": misfire_words(ladder, rung),
    }


def _short_limit(ladder: Ladder, rung: Rung) -> str:
    return rpm_text(rung.limit) if 0 < rung.limit < math.inf else limit_text(ladder, rung)


def _finite_rpm(speed: float) -> float | None:
    return rpm(speed) if 0 < speed < math.inf else None


def _change(rung: Rung, before: Rung | None) -> str:
    if before is None or not (0 < rung.limit < math.inf and 0 < before.limit < math.inf):
        return ""
    change = rung.limit - before.limit
    if abs(rpm(change)) < 0.5:
        return ""
    return ("+" if change > 0 else "−") + rpm_text(abs(change))


def unjudged_value(absent: NotAssessed) -> str:
    """Return the value at the rated speed of what is not assessed, empty where there is none."""
    if not math.isfinite(absent.value_at_rated):
        return ""
    return with_unit(absent.value_at_rated, absent.criterion.unit)


def _unjudged_message(absent: NotAssessed) -> dict[str, str]:
    return {
        "part": absent.criterion.part,
        "label": absent.criterion.label,
        "value_text": unjudged_value(absent) or "–",
        "why": str(absent.why),
    }


def sheet_message(ladder: Ladder, key: str, *, is_quick: bool = False) -> dict[str, Any]:
    """Return all that is shown of one rung; raises DesignError if it is not on the ladder.

    Misfire and damper, which take longer, are left out where it must be quick.
    """
    rung = _rung_on(ladder, key)
    return _sheet(ladder, rung, sensitivity_messages(ladder, [rung]), is_quick=is_quick)


def sheet_messages(ladder: Ladder) -> list[dict[str, Any]]:
    """Return `sheet_message` of every rung, what moves their limits solved together."""
    moved_by = sensitivity_messages(ladder, ladder.rungs)
    return [_sheet(ladder, rung, moved_by) for rung in ladder.rungs]


def _sheet(
    ladder: Ladder, rung: Rung, moved_by: dict[str, list[dict[str, str]]], *, is_quick: bool = False
) -> dict[str, Any]:
    return assessment_message(ladder, rung.criterion.key) | {
        "misfire": None if is_quick else _misfire_sheet(ladder, rung),
        "damper": None if is_quick else damper_sheet(rung),
        "sensitivities": moved_by[rung.criterion.key],
    }


def _rung_on(ladder: Ladder, key: str) -> Rung:
    rung = ladder.rung(key)
    if rung is None:
        raise DesignError("", f"no rung {key!r} on this ladder")
    return rung


def assessment_message(ladder: Ladder, key: str) -> dict[str, Any]:
    """Return how a rung is assessed: value, formula with values, allowable, sources.

    Raises DesignError if it is not on the ladder.
    """
    rung = _rung_on(ladder, key)
    view, origin = view_of(rung.criterion), rung.allowed.origin
    where = "at least" if rung.criterion.at_least else "at most"
    return {
        "key": key,
        "part": rung.criterion.part,
        "label": rung.criterion.label,
        "headline": f"{shown_value(rung, rung.value_at)} at {rpm_text(rung.at)}; "
        f"{where} {shown_value(rung, rung.allowed.value)} allowed{_at_rated(ladder, rung)}",
        "limit_text": limit_text(ladder, rung),
        "verdict": ladder.verdict(rung),
        "formula": view.formula_of(rung),
        "substitution": view.substitution(rung),
        "conventions": view.conventions,
        "origin": origin.words,
        "confidence": origin.confidence,
        "confidence_text": CONFIDENCE[origin.confidence],
        "source": view.source_of(rung),
        "validity": view.warnings(rung),
        "left_out": left_out_words(rung),
        "own": own_picture(view),
        "caution": CAUTION,
    }


def _misfire_sheet(ladder: Ladder, rung: Rung) -> dict[str, str] | None:
    """Return what a sheet says of the worst misfire: words, formula and values."""
    found = misfire_rung(ladder, rung)
    if found is None:
        return None
    words, values = misfire_words(ladder, rung), view_of(rung.criterion).substitution(found.rung)
    at_idle = rung.criterion.at_idle
    return {
        "words": f"{words[0].upper()}{words[1:]}.",
        "formula": f"{MISFIRE_FORMULA}\n{SAG_FORMULA}" if at_idle else MISFIRE_FORMULA,
        "substitution": f"{values}\n{sag_values(found)}" if at_idle else values,
        "conventions": f"{MISFIRE_CONVENTIONS} {SAG_CONVENTIONS}" if at_idle
        else MISFIRE_CONVENTIONS,
    }  # fmt: skip


def _at_rated(ladder: Ladder, rung: Rung) -> str:
    """Say what share is used at the rated speed, where less is used there than at the worst."""
    if rung.criterion.at_idle or rung.at == ladder.rated:
        return ""
    worst, rated = (format_number(100 * use, 3) for use in (rung.use_at, rung.rated_use))
    return (
        f"; {worst} % used there, the maximum up to the rated speed; {rated} % at "
        f"{rpm_text(ladder.rated)}"
    )


def own_picture(view: CriterionView) -> str:
    """Return the figure of a criterion's own charts, empty where it has none."""
    if not view.charts:
        return ""
    return "limit_polar" if view.polar else "limit_own"


def sensitivity_messages(ladder: Ladder, rungs: Sequence[Rung]) -> dict[str, list[dict[str, str]]]:
    """Return what each input does to a limit, in rpm for one of its units, by the rung's key."""
    moved_by = limit_sensitivities(ladder, rungs) if rungs else {}
    return {
        rung.criterion.key: _moved_by(ladder, moved_by.get(rung.criterion.key, {}))
        for rung in rungs
    }


def _moved_by(ladder: Ladder, slopes: dict[str, float]) -> list[dict[str, str]]:
    """Return in words what each input does to a limit [rad/s per SI]."""
    messages = []
    for key in slopes:
        declared: Declaration = group_field(ladder.design, key)[2]
        unit = declared.shown_unit
        slope = rpm(slopes[key]) * unit.factor
        if abs(slope) < 5e-4:
            continue
        sign = "+" if slope > 0 else "−"
        messages.append(
            {
                "label": INPUT_LABELS.get(key, declared.label),
                "text": f"{sign}{format_number(abs(slope), 3)} rpm per {unit.symbol}",
                "effect": f"more of it {'raises' if slope > 0 else 'lowers'} the limit",
            }
        )
    return messages


def first_key(ladder: Ladder) -> str:
    """Return the key of the first rung, empty where there is none."""
    return ladder.rungs[0].criterion.key if ladder.rungs else ""
