"""What would raise the governing limit, in plain sentences, each change recalculated."""

import math
import re
from dataclasses import dataclass, replace
from typing import Any

from kinematics.design.design import Design
from kinematics.design.design_field import group_field, with_value
from kinematics.errors import DesignError
from kinematics.limits.limit_raising import (
    LARGEST,
    Change,
    ReachedLimit,
    allowable_change,
    raising_changes,
    reaches,
)
from kinematics.limits.speed_limits import Ladder, Rung, speed_limits
from kinematics.units import UNITS, from_shown, shown_unit
from viz.compare.compared_inputs import part_words
from viz.limits.limit_board import limit_sentence
from viz.number_words import (
    capitalised,
    format_number,
    format_short,
    format_whole,
    join_unit,
    short_with_unit,
)
from viz.rev_limit.offer_price import misfits, price
from viz.speed_words import rpm, rpm_text

GAINS = (100, 200, 500, 1000)  # [rpm]
USUAL_GAIN = 0.06  # of the limit
REACHED, SHORT, REFUSED = "reached", "short", "refused"  # what an offer comes to
MOST_CHANGES = 5
MOST_PAIRS = 2
MOST_WITH_PAIRS = 4  # offers where pairs are among them, so that all are in one view
LEAST_GAIN = 1.0  # [rpm] that is shown
RAISING: dict[str, tuple[str, str]] = {  # more of it, less of it
    "cylinder.stroke_mm": ("a stroke longer by", "a stroke shorter by"),
    "cylinder.rod_length_mm": ("rods longer by", "rods shorter by"),
    "piston.assembly_mass_g": ("each piston heavier by", "each piston lighter by"),
    "rod.mass_g": ("each rod heavier by", "each rod lighter by"),
    "cylinder.bore_mm": ("a bore wider by", "a bore narrower by"),
    "pressure.peak_bar": ("a peak pressure higher by", "a peak pressure lower by"),
    "big_end.width_mm": ("big ends wider by", "big ends narrower by"),
    "main_bearing.width_mm": ("mains wider by", "mains narrower by"),
    "top_ring.axial_height_mm": ("top rings higher by", "top rings lower by"),
    "main_bearing.diameter_mm": ("main journals larger by", "main journals smaller by"),
    "big_end.diameter_mm": ("crankpins larger by", "crankpins smaller by"),
    "crank_throw.web_thickness_mm": ("crank webs thicker by", "crank webs thinner by"),
    "rod_bolts.diameter_mm": ("rod bolts larger by", "rod bolts smaller by"),
    "crank_throw.oil_bore_mm": ("oil holes wider by", "oil holes narrower by"),
    "main_bearing.groove_arc_deg": ("oil grooves longer by", "oil grooves shorter by"),
    "oil.supply_pressure_bar": ("an oil supply higher by", "an oil supply lower by"),
}
INPUT_NAMES = {
    "cylinder.stroke_mm": "stroke", "cylinder.rod_length_mm": "rod length",
    "piston.assembly_mass_g": "piston mass", "rod.mass_g": "rod mass", "cylinder.bore_mm": "bore",
    "pressure.peak_bar": "peak pressure", "big_end.width_mm": "big-end width",
    "main_bearing.width_mm": "main width", "top_ring.axial_height_mm": "ring height",
    "main_bearing.diameter_mm": "main diameter", "big_end.diameter_mm": "crankpin diameter",
    "crank_throw.web_thickness_mm": "web thickness", "rod_bolts.diameter_mm": "bolt diameter",
    "crank_throw.oil_bore_mm": "oil hole", "main_bearing.groove_arc_deg": "groove arc",
    "oil.supply_pressure_bar": "oil supply",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Offer:
    """A change that would raise the governing limit; `value` is in the field's unit."""

    change: Change
    value: float
    words: str
    slope: str = ""  # the change by the derivative alone, in words
    beside: "Offer | None" = None  # a second change that goes with it

    def design(self, before: Design) -> Design:
        """Return a design with the change; DesignError where it refuses it."""
        changed = with_value(before, self.change.key, self.value)
        return self.beside.design(changed) if self.beside else changed


def whole(number: float) -> str:
    """Return a number without decimals, thin spaces in it."""
    return format_whole(number)


def gain_choices(ladder: Ladder) -> dict[str, Any]:
    """Return the speeds that may be gained [rpm], in words, and the usual one; none if no limit."""
    first = ladder.lowest
    if first is None or first.limit == 0:
        return {"choices": [], "usual": 0}
    limit = rpm(first.limit)
    choices = [[gain, f"{whole(gain)} rpm"] for gain in GAINS if gain < limit / 3]
    to_line = math.ceil(rpm(ladder.red_line) - limit)
    if 0 < to_line < limit / 3:
        choices.insert(0, [to_line, f"{whole(to_line)} rpm, to the red line"])
    usual = min(GAINS, key=lambda gain: abs(math.log(gain / (USUAL_GAIN * limit))))
    return {"choices": choices, "usual": usual}


def offers(ladder: Ladder, gain_rpm: float) -> list[Offer]:
    """Return what would raise the governing limit, each alone, the smallest change first.

    Raises DesignError where there is no governing limit to raise.
    """
    first = ladder.lowest
    if first is None or first.limit == 0:
        raise DesignError("", "there is no governing limit to raise")
    wanted = _wanted(ladder, gain_rpm)
    changes = [*raising_changes(ladder, first, wanted)[: MOST_CHANGES - 1]]
    allowed = allowable_change(ladder, first, wanted)
    return [_offer(ladder.design, change) for change in changes] + (
        [_better_part(first, allowed)] if allowed else []
    )


def pairs(
    ladder: Ladder, gain_rpm: float, found: list[Offer], outcomes: list[dict[str, Any]]
) -> list[Offer]:
    """Return pairs of changes where none alone is enough: an offer, and what the next limit takes.

    Of the offers that raise the limit without harm, at most `MOST_PAIRS`.
    """
    if any(one["outcome"] == REACHED for one in outcomes):
        return []
    short = [
        offer for offer, one in zip(found, outcomes, strict=True)
        if one["outcome"] == SHORT and one["fits"]
    ]  # fmt: skip
    made = (_pair(ladder, offer, gain_rpm) for offer in short[:MOST_PAIRS])
    return [pair for pair in made if pair]


def left_beside(both: list[Offer], outcomes: list[dict[str, Any]]) -> list[int]:
    """Return the places of the offers that stay beside pairs: those that fit first, in order."""
    places = range(len(outcomes))
    if not both:
        return list(places)
    fit_first = sorted(places, key=lambda place: not outcomes[place]["fits"])
    return sorted(fit_first[: MOST_WITH_PAIRS - len(both)])


def _pair(ladder: Ladder, offer: Offer, gain_rpm: float) -> Offer | None:
    """Return an offer with the smallest change that moves the limit which then comes first."""
    design, wanted = offer.design(ladder.design), _wanted(ladder, gain_rpm)
    changed = speed_limits(design)
    then = changed.lowest
    if then is None or not 0 < then.limit < wanted:
        return None
    for change in raising_changes(changed, then, wanted):
        if change.key != offer.change.key:
            second = _offer(design, change)
            return replace(
                offer, words=f"{offer.words}, and {second.words}", slope="", beside=second
            )
    return None


def intro(ladder: Ladder, gain_rpm: float, outcomes: list[str]) -> str:
    """Return the words before the offers: how many, of those all recalculated, are enough."""
    aim = f"To reach {rpm_text(_wanted(ladder, gain_rpm))}"
    if "" in outcomes:
        return f"{aim}, one of these:"
    enough = outcomes.count(REACHED)
    is_or_are = "are" if enough > 1 else "is"
    return f"{aim}, {enough or 'none'} of {len(outcomes)} changes {is_or_are} enough:"


def rest(ladder: Ladder, gain_rpm: float, found: list[Offer]) -> dict[str, Any]:
    """Return the words on the inputs not offered: what each alone gives, what is rejected.

    Text with `title`, `lines` and `after`; empty where there is no governing limit.
    """
    first, wanted = ladder.lowest, _wanted(ladder, gain_rpm)
    if first is None:
        return {"title": "", "lines": [], "after": ""}
    kinds: dict[str, list[ReachedLimit]] = {"enough": [], "line": [], "worse": [], "idle": []}
    for reach in reaches(ladder, first, wanted, tuple(offer.change for offer in found)):
        kinds[_kind(reach, first.limit, wanted)].append(reach)
    after = [_listed("Also sufficient, by larger changes", kinds["enough"]),
             _listed("No gain in either direction", kinds["worse"]),
             _listed("No effect on this limit", kinds["idle"]),
             f"Each was varied alone, by up to {format_number(100 * LARGEST, 2)} % either way, "
             "all else unchanged."]  # fmt: skip
    other = "No input raises" if kinds["enough"] else "No other input raises"
    return {
        "title": "Not sufficient alone" if kinds["line"] else f"{other} this limit",
        "lines": [_reach_line(ladder.design, reach, first.limit) for reach in kinds["line"]],
        "after": " ".join(line for line in after if line),
    }


def _kind(reach: ReachedLimit, now: float, wanted: float) -> str:
    """Return how an input is shown: in a `line` with its gain, or what rejects it at once."""
    if not reach.effect:
        return "idle"
    if reach.limit >= wanted:
        return "enough"
    return "line" if _gains(reach, now) or reach.stopped else "worse"


def _gains(reach: ReachedLimit, now: float) -> bool:
    return rpm(reach.limit - now) >= LEAST_GAIN


def _wanted(ladder: Ladder, gain_rpm: float) -> float:
    first = ladder.lowest
    return UNITS["rpm"].to_si(gain_rpm) + (first.limit if first else 0.0)


def _listed(words: str, found: list[ReachedLimit]) -> str:
    names = ", ".join(INPUT_NAMES[reach.key] for reach in found)
    return f"{words}: {names}." if names else ""


def _reach_line(design: Design, reach: ReachedLimit, now: float) -> str:
    """Return how far an input alone carries the limit, and what rejects more of it, and why."""
    key, by = group_field(design, reach.key)[2].unit.key, reach.to - reach.before
    words = capitalised(RAISING[reach.key][0 if reach.more else 1])
    reached = rpm_text(reach.limit)
    if reach.stopped is None:
        share = format_number(100 * abs(by) / reach.before, 2)
        return f"{words} {share} % ({short_with_unit(reach.to, key, 3)}): {reached}"
    what, value = words.removesuffix(" by"), short_with_unit(reach.to, key, 4)
    reason = _reason(reach.stopped, reach.key)
    if not _gains(reach, now):
        return f"{what}: rejected from {value} on ({reason})"
    beyond = "more" if reach.more else "less"
    return f"{what}, to {value}: {reached}; {beyond} is rejected ({reason})"


def _reason(error: DesignError, key: str) -> str:
    """Return why a value is rejected, in a few words: without the value, or the remedy."""
    message = re.sub(r" \(got [^()]*\)", "", error.message)
    why = message.partition(": give ")[0].partition("; or ")[0]
    group, _, field = error.field.partition(".")
    where = " ".join(part_words(part).lower() for part in (group, field.rpartition("_")[0]) if part)
    return why if error.field in ("", key) else f"{where}, {why}"


def _offer(design: Design, change: Change) -> Offer:
    """Return a change in words, rounded outward to two digits so that it still does it."""
    declared = group_field(design, change.key)[2]
    unit = declared.shown_unit
    shown, guess = unit.from_si(change.by), unit.from_si(change.by_slope)
    step = 10.0 ** (math.floor(math.log10(abs(shown))) - 1)
    rounded = math.copysign(math.ceil(abs(shown) / step - 1e-9) * step, shown)
    value = float(f"{unit.from_si(change.before) + rounded:.9g}")
    words = RAISING[change.key][0 if rounded > 0 else 1]
    slope = f"linear estimate {join_unit(format_number(abs(guess), 2), unit.symbol)}"
    return Offer(
        change, from_shown(value, declared.unit.key),
        f"{words} {join_unit(format_number(abs(rounded), 2), unit.symbol)} "
        f"({join_unit(format_short(value, 6), unit.symbol)})", slope,
    )  # fmt: skip


def _better_part(rung: Rung, change: Change) -> Offer:
    """Return the offer of a part with a higher allowable, rounded to the generous side."""
    unit, least = shown_unit(rung.criterion.unit), rung.criterion.at_least
    shown, before = unit.from_si(change.before + change.by), unit.from_si(change.before)
    step = 10.0 ** (math.floor(math.log10(abs(shown))) - 2)
    steps = math.floor(shown / step + 1e-9) if least else math.ceil(shown / step - 1e-9)
    value = float(f"{steps * step:.9g}")
    label = rung.criterion.label[0].lower() + rung.criterion.label[1:]
    carried = join_unit(format_number(value, 3), unit.symbol)
    words = f"parts proved by test to carry more: {label} {carried} allowed"
    own = from_shown(value, rung.criterion.unit)
    return Offer(change, own, f"{words} instead of {format_number(before, 3)}")


def outcome(ladder: Ladder, offer: Offer, gain_rpm: float) -> dict[str, Any]:
    """Return what a changed design's own ladder shows: the limit reached, and which governs."""
    first = ladder.lowest
    assert first is not None
    try:
        design = offer.design(ladder.design)
        new = speed_limits(design)
    except DesignError as error:
        return {"outcome": REFUSED, "result": f"Rejected: {error}", "fits": False}
    own = new.rung(first.criterion.key)
    reached = math.inf if own is None else own.limit
    then = new.lowest
    gained = round(rpm((then.limit if then else new.high) - first.limit))
    worse, misfit = _worse(ladder, new), _misfit(ladder.design, design)
    words = [_reached(reached, new, offer.slope), _then(then, first, gained), worse, misfit,
             price(ladder.design, design)]  # fmt: skip
    good = gained >= gain_rpm - 1 and not worse and not misfit
    return {
        "outcome": REACHED if good else SHORT if gained > 0 and not worse else REFUSED,
        "result": " ".join(word for word in words if word),
        "fits": not misfit,
    }


def _reached(limit: float, ladder: Ladder, slope: str) -> str:
    """Say where the changed design's own ladder has the limit, and the linear estimate."""
    speed = rpm_text(limit) if limit < math.inf else f"none up to {rpm_text(ladder.high)}"
    return f"Recalculated: {speed}" + (f" ({slope})." if slope else ".")


def _then(then: Rung | None, first: Rung, gained: int) -> str:
    """Say whether another criterion comes first now, and what is gained in all."""
    if then is None or then.criterion.key == first.criterion.key:
        return ""
    words = limit_sentence(then)
    in_all = f"{whole(gained)} rpm gained" if gained > 0 else "nothing gained"
    return f"But {words[0].lower()}{words[1:]} first, at {rpm_text(then.limit)}: {in_all}."


def _misfit(before: Design, after: Design) -> str:
    """Say what no longer fits."""
    found = misfits(before, after)
    return f"It then no longer fits: {found[0].brief}." if found else ""


def _worse(before: Ladder, after: Ladder) -> str:
    """Say what the change overloads at the rated speed."""
    over = [
        rung for rung in after.rungs
        if after.verdict(rung) == "over" and (old := before.rung(rung.criterion.key)) is not None
        and before.verdict(old) != "over"
    ]  # fmt: skip
    if not over:
        return ""
    words = limit_sentence(over[0])
    return f"And at the rated speed already {words[0].lower()}{words[1:]}."
