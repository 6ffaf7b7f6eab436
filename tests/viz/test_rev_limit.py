"""The rev limit: numbers and verdicts are the ladder's, comparisons are computed."""

import json
import math
import re
from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np
import pytest

from assets_demo import DEMO_DESIGNS
from kinematics import DesignError, parse_design, solve_cycle, with_value
from kinematics.limits.limit_raising import RAISING_INPUTS, ReachedLimit, raising_changes, reaches
from kinematics.limits.speed_limits import SUBJECTS, Ladder, speed_limits
from kinematics.units import UNITS
from tests.conftest import SIX_TEXT
from tests.demos import DEMOS, demo_ladder
from tests.viz.evaluated import evaluated
from viz.limits.criterion_view import GROUPS, OTHERS
from viz.limits.criterion_views import VIEWS, story_of, view_of
from viz.limits.limit_board import sentence, sheet_message
from viz.limits.plain_story import HAIR, PERSON, SMALL_CAR
from viz.limits.rod_views import rod_pull
from viz.rev_limit.offer_price import misfits, price
from viz.rev_limit.rev_limit_lines import (
    ladder_at,
    proof_message,
    rev_limit_message,
    rev_limit_rungs,
    shown_range,
)
from viz.rev_limit.rev_limit_raise import (
    INPUT_NAMES,
    RAISING,
    Offer,
    _reach_line,
    gain_choices,
    intro,
    left_beside,
    offers,
    outcome,
    pairs,
    rest,
)
from viz.speed_words import rpm, rpm_text
from viz.train.main_numbers import main_numbers

CRITERIA = {one.key: one for _, criteria in SUBJECTS for one in criteria}
per_demo = pytest.mark.parametrize("stem", DEMO_DESIGNS)
SPEEDS = (0.4, 0.77, 0.93, 1.0, 1.04, 1.12)  # over the rated one


@cache
def demo_message(stem: str) -> dict[str, Any]:
    """What the page of a demo sends."""
    return rev_limit_message(demo_ladder(stem))


@cache
def demo_offers(stem: str, gain: float) -> list[Offer]:
    """What would raise a demo's governing limit."""
    return offers(demo_ladder(stem), gain)


def line_at(line, speed_rpm):
    """A line between its speeds, as the browser reads it."""
    use = [math.inf if one is None else one for one in line["use"]]
    share = float(np.interp(speed_rpm**2, np.square(line["rpm"]), use))
    return line["allowed"] / share if line["at_least"] else share * line["allowed"]


def verdict_at(line, speed_rpm, reserve, doubted=None):
    """The browser's verdict; `doubted` as the line has it, if not said."""
    start = min((one[0] for one in line["over"]), default=math.inf)
    if start <= speed_rpm:
        return "over"
    close = start < speed_rpm * reserve
    return "marginal" if close or (line["doubted"] if doubted is None else doubted) else "within"


def test_every_view_has_a_story_and_a_group_but_for_the_idle():
    for criterion in CRITERIA.values():
        if criterion.key in VIEWS and not criterion.at_idle:
            assert view_of(criterion).story, criterion.key
            assert view_of(criterion).group in set(GROUPS) - {OTHERS}, criterion.key


def test_some_sentence_fits_every_value():
    for criterion in CRITERIA.values():
        story = story_of(criterion)
        for value in (-1e6, 0.0, 1e-9, 1.0, 500.0, 1e4, 1e9):
            assert story.sentence_at(value) in story.sentences
        leasts = [one.least for one in story.sentences]
        assert leasts == sorted(leasts, reverse=True)
        assert leasts[-1] == -math.inf


def test_a_criterion_without_a_view_is_shown_in_a_plain_group():
    """The limits sheet has its numbers, the rev-limit page a line; nothing is empty."""
    ladder = demo_ladder("touring_six")
    ladder = replace(ladder, rungs=tuple(one for one in ladder if one.criterion.key in VIEWS))
    rung = ladder.rung("boss_pressure")
    unknown = replace(rung, criterion=replace(rung.criterion, key="unknown", label="Nobody's"))
    with_it = replace(ladder, rungs=(*ladder.rungs, unknown))
    sheet = sheet_message(replace(with_it, rungs=(unknown,)), "unknown")
    assert sheet["formula"] == sheet["substitution"] == sheet["source"] == sheet["own"] == ""
    assert sheet["headline"].startswith(sheet_message(ladder, "boss_pressure")["headline"][:8])
    lines = {line["key"]: line for line in rev_limit_message(with_it)["lines"]}
    assert lines["unknown"]["group"] == OTHERS.title
    assert lines["unknown"]["sentences"][0]["words"].endswith("used: Piston pin, nobody's.")
    assert set(lines) - {"unknown"} == {line["key"] for line in rev_limit_message(ladder)["lines"]}


@per_demo
def test_the_page_is_plain_json_of_six_to_eight_lines(stem):
    message = demo_message(stem)
    assert json.loads(json.dumps(message, allow_nan=False)) == message
    assert 6 <= sum(line["group"] != OTHERS.title for line in message["lines"]) <= 8
    assert message["sentence"] == sentence(demo_ladder(stem), with_marginal=False)
    assert "Common practice, no source" in message["references"]


@per_demo
def test_the_first_limit_has_its_line(stem):
    ladder = demo_ladder(stem)
    assert ladder.lowest.criterion.key in [
        rung.criterion.key for _, rung in rev_limit_rungs(ladder)
    ]
    assert shown_range(ladder)[1] > rpm(ladder.lowest.limit)
    assert shown_range(ladder)[1] > rpm(ladder.red_line)


def test_a_limit_of_a_part_not_always_shown_is_shown_where_it_is_the_first():
    design = with_value(DEMOS["touring_six"], "limits.pin_bending_MPa", 170)
    groups = [group.title for group, _ in rev_limit_rungs(speed_limits(design))]
    assert "Piston pins" in groups
    assert "Piston pins" not in [
        group.title for group, _ in rev_limit_rungs(demo_ladder("touring_six"))
    ]


@per_demo
def test_between_the_speeds_sent_values_are_the_cores(stem):
    """To 0.3 %, a third digit; resonances, and where films and slip turn sharply, to 3 %."""
    ladder = demo_ladder(stem)
    for (_, rung), line in zip(rev_limit_rungs(ladder), demo_message(stem)["lines"], strict=True):
        low, top = max(shown_range(ladder)[0], line["from"]), shown_range(ladder)[1]
        speeds = np.random.default_rng(5).uniform(low, top, 25)
        value = rung.criterion.value(rung.parts, speeds * UNITS["rpm"].factor)
        shown = UNITS[rung.criterion.unit].array_from_si(value)
        sharp = rung.criterion.resonant or line["key"] in (
            "big_end_film",
            "main_film",
            "split_slip",
        )
        read = [line_at(line, one) for one in speeds]
        for one, core in zip(read, shown, strict=True):
            if math.isfinite(one) and math.isfinite(core):
                assert one == pytest.approx(core, rel=0.03 if sharp else 3e-3)


@per_demo
def test_verdicts_are_the_ladders(stem):
    ladder = demo_ladder(stem)
    reserve = ladder.red_line / ladder.rated
    for (_, rung), line in zip(rev_limit_rungs(ladder), demo_message(stem)["lines"], strict=True):
        assert line["guide"] is rung.criterion.guide
        if line["guide"]:
            assert ladder.verdict(rung) == "guide"
            continue
        rated = verdict_at(line, rpm(ladder.rated), reserve)
        assert rated == ladder.verdict(rung)
        for share in SPEEDS:
            speed = share * ladder.rated
            moved = ladder_at(ladder, rung.criterion.key, speed)
            assert verdict_at(line, rpm(speed), reserve) == moved.verdict(moved.rungs[0])


@per_demo
def test_verdicts_are_those_of_a_design_rated_at_that_speed(stem):
    """The ladder of the same design, its rated speed and red line moved in proportion."""
    design, ladder = DEMOS[stem], demo_ladder(stem)
    reserve = ladder.red_line / ladder.rated
    speed = 1.05 * ladder.rated
    moved = replace(
        design,
        layout=replace(design.layout, rated_speed=speed),
        limits=replace(
            design.limits, red_line=speed * reserve,
            full_load_from=design.limits.full_load_from or ladder.rated / 3,
        ),
    )  # fmt: skip
    other = speed_limits(moved)
    for line in demo_message(stem)["lines"]:
        if line["guide"]:
            continue
        rung = other.rung(line["key"])  # its edge film is that at its own rated speed
        found = verdict_at(line, rpm(speed), reserve, doubted=rung.is_doubted)
        assert found == other.verdict(rung)


def test_all_rungs_over_speed_are_in_the_headline():
    ladder = demo_ladder("touring_six")
    shown = demo_message("touring_six")["all"]
    assert len(shown) == sum(not rung.criterion.guide for rung in ladder.rungs)
    assert [one["idle"] for one in shown].count(False) == 1  # the irregularity, within at idle


def test_the_pull_is_that_of_the_main_numbers():
    for stem in DEMO_DESIGNS:
        ladder = demo_ladder(stem)
        parts = ladder.rung("bolt_fatigue").parts
        pull = float(rod_pull(parts, np.array([ladder.rated]))[0])
        numbers = main_numbers(solve_cycle(DEMOS[stem], rpm(ladder.rated)))
        shown = next(one.value for one in numbers if one.key == "rod_tension")
        assert pull == pytest.approx(1e3 * shown, rel=1e-3)


def test_comparisons_in_hand_calculation():
    assert SMALL_CAR.size == pytest.approx(9810)
    assert PERSON.size == pytest.approx(735.75)
    bolt, film = (story_of(CRITERIA[key]) for key in ("bolt_fatigue", "big_end_film"))
    assert bolt.times(28_449.0, SMALL_CAR) == pytest.approx(2.9)
    assert film.times(2e-6, HAIR) == pytest.approx(35)
    inverse = {key for key, one in CRITERIA.items() if story_of(one).inverse}
    assert inverse == {"big_end_film", "main_film"}
    assert "cars" in bolt.sentence_at(9811.0).words
    assert "people" in bolt.sentence_at(9809.0).words
    assert "negligible" in bolt.sentence_at(-5.0).words


@per_demo
@pytest.mark.parametrize("share", [0.5, 1.0, 1.1])
def test_every_line_has_its_formula_with_values_at_that_speed(stem, share):
    ladder = demo_ladder(stem)
    for _, rung in rev_limit_rungs(ladder):
        proof = proof_message(ladder, rung.criterion.key, share * ladder.rated)
        assert all(
            proof[part] for part in ("formula", "substitution", "origin", "source", "caution")
        )
        if proof["comparison"]:
            expression, times = proof["comparison"].split("\n")[1].split(" = ")[1:]
            assert evaluated(expression) == pytest.approx(
                evaluated(times.partition(",")[0]), rel=6e-3
            )


def test_the_proof_is_of_the_speed_asked_for():
    ladder = demo_ladder("touring_six")
    speed = UNITS["rpm"].to_si(4321)
    proof = proof_message(ladder, "mean_piston_speed", speed)
    assert "4\u2009321 rpm" in proof["headline"]
    stroke = ladder.rung("mean_piston_speed").parts.train.crank.stroke
    assert evaluated(proof["substitution"].split(" = ")[1]) == pytest.approx(
        2 * stroke * 4321 / 60, rel=1e-4
    )


def test_what_is_reference_is_a_limit_of_each_line():
    ladder = demo_ladder("touring_six")
    other = speed_limits(with_value(DEMOS["touring_six"], "cylinder.stroke_mm", 90))
    message = rev_limit_message(ladder, other, "another")
    assert message["reference"] == "another"
    for line in message["lines"]:
        limit = rpm(other.rung(line["key"]).limit)
        assert line["reference"] == (limit if limit <= message["top"] else None)
    assert all(line["reference"] is None for line in demo_message("touring_six")["lines"])


@per_demo
def test_what_it_takes_is_what_the_changed_design_says(stem):
    ladder = demo_ladder(stem)
    gain = gain_choices(ladder)["usual"]
    found = demo_offers(stem, gain)
    assert 1 < len(found) <= 5
    for one in found:
        new = speed_limits(with_value(DEMOS[stem], one.change.key, one.value))
        told = outcome(ladder, one, gain)
        reached = new.rung(ladder.lowest.criterion.key).limit
        assert f"{rpm(reached):,.0f}".replace(",", "\u2009") in told["result"]
        gained = rpm(new.lowest.limit - ladder.lowest.limit)
        first = new.lowest.criterion.key == ladder.lowest.criterion.key
        assert ("But" in told["result"]) != first
        spoils = "And at" in told["result"] or "no longer fits" in told["result"]
        assert (told["outcome"] == "reached") == (gained >= gain - 1 and not spoils)


def test_the_words_before_the_offers_count_those_that_are_enough():
    ladder = demo_ladder("touring_six")
    aim = f"To reach {rpm_text(ladder.lowest.limit + UNITS['rpm'].to_si(200))}, "
    for outcomes, words in [
        (["reached", ""], "one of these:"),
        (["reached", "short", "reached"], "2 of 3 changes are enough:"),
        (["short", "reached"], "1 of 2 changes is enough:"),
        (["short", "refused"], "none of 2 changes is enough:"),
    ]:
        assert intro(ladder, 200, outcomes) == aim + words


def test_a_pair_is_offered_where_none_alone_is_enough():
    """The pilot boat's mains govern, then a criterion of its own; each pair's ladder is its own."""
    ladder = demo_ladder("pilot_boat_six")
    gain = gain_choices(ladder)["usual"]
    found = demo_offers("pilot_boat_six", gain)
    alone = [outcome(ladder, one, gain) for one in found]
    assert "reached" not in {one["outcome"] for one in alone}
    both = pairs(ladder, gain, found, alone)
    assert both
    for pair in both:
        first = with_value(ladder.design, pair.change.key, pair.value)
        second = with_value(first, pair.beside.change.key, pair.beside.value)
        limit = speed_limits(second).lowest.limit
        assert limit > speed_limits(first).lowest.limit
        told = outcome(ladder, pair, gain)
        assert (told["outcome"] == "reached") == (rpm(limit - ladder.lowest.limit) >= gain - 1)
        assert pair.words.count(", and ") == 1
    stay = left_beside(both, alone)
    assert len(stay) + len(both) == 4
    assert all(alone[place]["fits"] for place in stay)
    assert left_beside([], alone) == [0, 1, 2, 3, 4]
    assert pairs(ladder, gain, found, [one | {"outcome": "reached"} for one in alone]) == []


def test_the_price_of_a_shorter_stroke():
    """Displacement is in proportion to the stroke; half of it comes off the height."""
    before = DEMOS["hill_climb_six"]
    shorter = with_value(before, "cylinder.stroke_mm", 70.2)
    told = price(before, shorter)
    lost = [
        solve_cycle(one, rpm(one.layout.rated_speed)).indicated_power for one in (before, shorter)
    ]
    kilowatts = float(re.search(r"power −([\d.]+)", told)[1])
    assert kilowatts == pytest.approx((lost[0] - lost[1]) / 1e3, rel=0.02)
    assert told.startswith("Price: displacement −10 %, power −")
    assert re.search(r"TDC height −3\.9.mm", told)
    assert price(before, with_value(before, "piston.assembly_mass_g", 300)) == ""
    longer = price(before, with_value(before, "cylinder.rod_length_mm", 150))
    assert re.fullmatch(r"Price: TDC height \+2.mm\.", longer)


def test_what_no_longer_fits_is_told_and_is_not_enough():
    before = DEMOS["short_rod_six"]
    wider = with_value(before, "big_end.diameter_mm", 52.4)
    assert [one.question.field for one in misfits(before, wider)]
    assert misfits(wider, wider) == ()
    ladder = demo_ladder("short_rod_six")
    gain = gain_choices(ladder)["usual"]
    larger = next(one for one in demo_offers("short_rod_six", gain) if "crankpins" in one.words)
    told = outcome(ladder, larger, gain)
    assert "It then no longer fits: " in told["result"]
    assert (told["outcome"], told["fits"]) == ("short", False)


@per_demo
def test_every_input_not_offered_is_told_of_once(stem):
    ladder = demo_ladder(stem)
    gain = gain_choices(ladder)["usual"]
    found = demo_offers(stem, gain)
    told = rest(ladder, gain, found)
    offered = {one.change.key for one in found}
    measured = {"pressure.peak_bar"} if DEMOS[stem].pressure.source == "trace" else set()
    for key in set(RAISING_INPUTS) - offered - measured:
        starts = tuple(words.removesuffix(" by").capitalize() for words in RAISING[key])
        lines = [line for line in told["lines"] if line.startswith(starts)]
        named = INPUT_NAMES[key] in re.split(r": |, |\. |\.$", told["after"])
        assert len(lines) + named == 1, key


@cache
def bolts_first(rod_mass: float = 450.0) -> Ladder:
    """The hill-climb six with so high a safety required of its bolts that they fail first."""
    weak = with_value(DEMOS["hill_climb_six"], "limits.bolt_fatigue_safety", 3.8)
    ladder = speed_limits(with_value(weak, "rod.mass_g", rod_mass))
    assert ladder.lowest.criterion.key == "bolt_fatigue"
    return ladder


@cache
def lightest_rod(ladder: Ladder) -> ReachedLimit:
    return next(
        one for one in reaches(ladder, ladder.lowest, 2 * ladder.lowest.limit)
        if one.key == "rod.mass_g"
    )  # fmt: skip


def test_what_a_bound_stops_is_told_with_the_bound():
    """A rod cannot be lighter than its shank, small end and cap."""
    ladder = bolts_first()
    least = 1e3 * lightest_rod(ladder).to
    gain = 0.2 * rpm(ladder.lowest.limit)
    line = next(
        one for one in rest(ladder, gain, offers(ladder, gain))["lines"] if "rod lighter" in one
    )
    found = re.fullmatch(r"Each rod lighter, to (.*) g: (.*) rpm; less is rejected (.*)", line)
    assert float(found[1].replace("\u2009", "")) == pytest.approx(least, rel=1e-3)
    lightest = with_value(ladder.design, "rod.mass_g", least + 1e-3)
    reached = rpm(speed_limits(lightest).rung("bolt_fatigue").limit)
    assert float(found[2].replace("\u2009", "")) == pytest.approx(reached, abs=1)
    assert found[3].startswith("(must be more than shank, small end and cap")


def test_what_is_refused_at_once_is_told_with_the_reason():
    """A rod as light as its parts already: a lighter one would help, but is refused."""
    ladder = bolts_first(1e3 * lightest_rod(bolts_first()).to + 1e-6)
    gain = 0.2 * rpm(ladder.lowest.limit)
    told = rest(ladder, gain, offers(ladder, gain))
    line = next(one for one in told["lines"] if one.startswith("Each rod lighter"))
    assert ": rejected from " in line
    assert "must be more than shank, small end and cap" in line
    assert "rod mass" not in told["after"]


def test_what_another_part_refuses_is_told_with_that_part():
    ladder = bolts_first()
    found = reaches(ladder, ladder.lowest, 1.6 * ladder.lowest.limit)
    one = next(one for one in found if one.key == "cylinder.bore_mm")
    assert one.to == pytest.approx(ladder.design.piston_pin.length, rel=1e-4)
    said = _reach_line(ladder.design, one, ladder.lowest.limit)
    assert said.startswith("A bore narrower, to 57.5 mm: ")
    assert "less is rejected (piston pin length, must be less than " in said


def test_what_is_enough_but_not_offered_is_told_as_enough():
    """The shaft's vibration is the governing limit; many inputs raise it."""
    ladder = demo_ladder("touring_six")
    assert ladder.lowest.criterion.key == "shaft_stress"
    gain = 100
    found = demo_offers("touring_six", gain)
    wanted = ladder.lowest.limit + UNITS["rpm"].to_si(gain)
    every = {one.key for one in raising_changes(ladder, ladder.lowest, wanted)}
    left = every - {one.change.key for one in found}
    assert left
    said = re.search(
        r"Also sufficient, by larger changes: (.*?)\.", rest(ladder, gain, found)["after"]
    )
    assert set(said[1].split(", ")) == {INPUT_NAMES[key] for key in left}


@cache
def oil_first() -> Ladder:
    """The V6 with so high a safety required of its oil supply that this governs."""
    ladder = speed_limits(with_value(DEMOS["v6_60_six_throws"], "limits.oil_reserve", 2.6))
    assert ladder.lowest.criterion.key == "oil_supply"
    return ladder


def test_what_has_no_effect_is_told_as_such():
    ladder = oil_first()
    told = rest(ladder, 500, offers(ladder, 500))
    assert told["lines"] == []
    assert told["title"] == "No other input raises this limit"
    assert told["after"].startswith("No effect on this limit: stroke, rod length, ")


def test_a_smaller_journal_is_honest_about_what_it_spoils():
    """Thinner mains need less oil pressure, and twist more: another limit governs then."""
    ladder = oil_first()
    thinner = next(one for one in offers(ladder, 1500) if "journals smaller" in one.words)
    told = outcome(ladder, thinner, 1500)
    assert "But the shaft reaches its allowable vibratory stress first" in told["result"]
    limit, wanted = rpm(ladder.lowest.limit), rpm(ladder.lowest.limit) + 1500
    gained = float(
        re.search(r": ([\d\u2009]+) rpm gained", told["result"])[1].replace("\u2009", "")
    )
    assert 0 < gained < wanted - limit - 50


def test_a_red_line_beyond_the_limit_is_a_choice():
    base = DEMOS["hill_climb_six"]
    limit = rpm(demo_ladder("hill_climb_six").lowest.limit)
    ladder = speed_limits(with_value(base, "limits.red_line_rpm", limit + 236))
    gain, words = gain_choices(ladder)["choices"][0]
    assert "to the red line" in words
    assert rpm(ladder.lowest.limit) + gain == pytest.approx(rpm(ladder.red_line), abs=1)


def test_every_input_has_its_words():
    assert set(RAISING) == set(RAISING_INPUTS)


def test_a_bare_design_tells_what_it_can_and_says_what_is_left_out():
    ladder = speed_limits(parse_design(SIX_TEXT))
    message = json.loads(json.dumps(rev_limit_message(ladder), allow_nan=False))
    told = [line["group"] for line in message["lines"] if line["group"] != OTHERS.title]
    assert told == ["Pistons", "Bearing shells", "Oil film"]
    assert message["not_shown"] == ["Piston rings", "Rods and bolts", "Crankshaft"]


def test_over_at_every_speed_there_is_nothing_to_raise():
    design = with_value(parse_design(SIX_TEXT), "limits.big_end_specific_load_MPa", 2)
    ladder = speed_limits(design)
    message = rev_limit_message(ladder)
    assert message["limit"] is None
    assert message["sentence"].startswith("The big-end shells reach")
    assert gain_choices(ladder) == {"choices": [], "usual": 0}
    with pytest.raises(DesignError, match="no governing limit"):
        offers(ladder, 200)


def test_a_change_that_is_refused_says_why():
    ladder = demo_ladder("touring_six")
    stroke = next(one for one in demo_offers("touring_six", 500) if "stroke" in one.words)
    told = outcome(ladder, replace(stroke, value=1e6), 500)
    assert told["outcome"] == "refused"
    assert told["result"].startswith("Rejected: ")
