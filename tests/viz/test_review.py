"""The review card: what it says is what the ladders, cycles and attributions say."""

import dataclasses
import re
from functools import cache

import pytest

from kinematics import solve_cycle, with_value
from kinematics.limits.attribution import LadderAttribution
from kinematics.limits.speed_limits import Ladder, speed_limits
from kinematics.units import using_units
from tests.demos import DEMOS, demo_ladder
from viz.compare.comparison import compared
from viz.rev_limit.rev_limit_raise import offers
from viz.review.answer_words import answer, answer_verdict
from viz.review.limit_moves import limit_moves
from viz.review.review_card import AXIS, card_attributions, card_message
from viz.review.review_differences import difference_words, proposal_words
from viz.review.review_needs import MOST, needed_message
from viz.review.review_rows import (
    CLOSE,
    GROUPS,
    NOT_ASSESSED,
    VERDICT,
    grouped_pairs,
    used_text,
    verdict_of,
)
from viz.review.review_table import review_csv
from viz.review.variant_table import Column, variants_csv, variants_message
from viz.speed_words import rpm, rpm_text

DEMO = "pilot_boat_six"


@cache
def attribution() -> LadderAttribution:
    a = demo_ladder(DEMO)
    design = with_value(a.design, "layout.rated_speed_rpm", 2700)
    design = with_value(design, "piston.assembly_mass_g", 3035)
    return LadderAttribution(a, speed_limits(design))


@cache
def card():
    found = attribution()
    return card_message(found.a, found.b)


@cache
def moves():
    return card_attributions(attribution())


def rows():
    return {row["key"]: row for group in card()["groups"] for row in group["rows"]}


def a_and_b() -> tuple[Ladder, Ladder]:
    return attribution().a, attribution().b


def test_every_criterion_of_both_stands_in_one_group():
    keys = [row["key"] for group in card()["groups"] for row in group["rows"]]
    assert len(keys) == len(set(keys))
    assert set(keys) == {rung.criterion.key for ladder in a_and_b() for rung in ladder}
    assert [group["key"] for group in card()["groups"]] == list(GROUPS)


def test_verdicts_that_change_come_first_and_are_the_ladders():
    a, b = a_and_b()
    first = card()["groups"][0]
    assert {row["key"] for row in first["rows"]} == {
        rung.criterion.key for rung in b
        if verdict_of(a, rung.criterion.key) != verdict_of(b, rung.criterion.key)
    }  # fmt: skip
    row = rows()["main_film"]
    assert row["verdicts"] == [a.verdict(a["main_film"]), b.verdict(b["main_film"])]
    assert row["verdicts"] == ["marginal", "over"]
    assert first["rows"][0]["key"] == "main_film"


def test_what_governs_is_marked_and_stands_among_the_first_groups():
    governing = [row["key"] for row in rows().values() if row["governs"]]
    assert governing == [attribution().b.lowest.criterion.key]
    groups = grouped_pairs(*a_and_b())
    assert governing[0] in {pair.key for name in (VERDICT, CLOSE) for pair in groups[name]}


def test_the_closest_are_not_within_or_use_most():
    groups = grouped_pairs(*a_and_b())
    close = [pair for pair in groups[CLOSE] if pair.verdicts[1] == "within"]
    shown = {pair.key for name in (VERDICT, CLOSE) for pair in groups[name]}
    rest = [rung.use_at for rung in attribution().b
            if rung.criterion.key not in shown and not rung.criterion.guide]  # fmt: skip
    assert all(max(rest) <= pair.b.use_at for pair in close if pair.b is not attribution().b.lowest)


@pytest.mark.parametrize("key", ["main_film", "rod_fatigue", "ring_lift", "mean_piston_speed"])
def test_uses_are_those_of_the_ladder(key):
    a, b = a_and_b()
    assert rows()[key]["used"] == [used_text(a[key]), used_text(b[key])]
    by = [float(cell["text"].replace("−", "-")) for cell in moves()["rungs"][key]["by"]]
    assert sum(by) == pytest.approx(
        100 * (b[key].use_at - a[key].use_at), abs=0.05 * len(by) + 0.01
    )


def test_main_numbers_are_those_of_the_comparison():
    a, b = a_and_b()
    view = compared(a.design, b.design, 2000).views[0]
    results = {row.key: row for row in view.results}
    for row in card()["numbers"]:
        assert row["values"] == [results[row["key"]].a.text, results[row["key"]].b.text]
        assert row["difference"] == results[row["key"]].difference


def test_power_is_attributed_to_the_speed_alone():
    speed, mass, rest = moves()["numbers"]["indicated_power"]["by"]
    assert speed["text"].startswith("+1")
    assert mass["text"] == rest["text"] == "0.0 %"


def test_a_faster_engine_pays_in_piston_speed_in_proportion():
    cells = moves()["numbers"]["mean_piston_speed"]["by"]
    assert cells[0]["text"] == f"+{100 * (2700 / 2300 - 1):.1f} %"


def test_the_answer_names_what_is_over_the_governing_limit_and_what_changed():
    words = card()["answer"]
    assert words.startswith(
        "Over up to 2\u2009700 rpm: minimum oil film thickness (main bearings) 105 %, "
    )
    assert f"Governing limit {rpm_text(attribution().b.lowest.limit)}" in words
    assert "marginal to over" in words
    assert card()["verdict"] == "over"


def test_the_answer_to_no_change_is_that_nothing_changes():
    a = demo_ladder(DEMO)
    both = LadderAttribution(a, a)
    message = card_message(a, a)
    assert "No verdict changes." in message["answer"]
    assert message["differences"] == []
    assert card_attributions(both)["rungs"]["rod_fatigue"]["by"][0]["text"] == "0.0"


def test_a_design_that_lacks_groups_says_what_is_not_assessed():
    a = demo_ladder(DEMO)
    b = speed_limits(dataclasses.replace(a.design, rod_shank=None, oil=None))
    both = LadderAttribution(a, b)
    message = card_message(a, b)
    row = next(
        row for group in message["groups"] for row in group["rows"] if row["key"] == "rod_fatigue"
    )
    assert row["verdicts"][1] == NOT_ASSESSED
    assert row["used"][1] == "–"
    assert card_attributions(both)["rungs"]["rod_fatigue"]["by"] == [None, None, None]
    assert "not assessed" in message["answer"]


def test_differences_are_worded_in_the_units_shown():
    a, b = (ladder.design for ladder in a_and_b())
    speed, mass = difference_words(a, b)
    assert (speed.label, speed.by) == ("Rated speed", "+400 rpm")
    assert (mass.by, mass.values) == ("−15 g", "3\u2009050 g to 3\u2009035 g")
    with using_units("us"):
        assert difference_words(a, b)[1].by.endswith(("oz", "lb"))


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"torsion": None}, "torsion changed"),
        ({"name": "other"}, ""),
    ],
)
def test_groups_and_lists_are_worded_too(changes, words):
    a = DEMOS[DEMO]
    b = dataclasses.replace(a, **changes)
    assert proposal_words(a, b) == words


def test_a_choice_and_a_list_are_worded_without_a_number():
    a = DEMOS[DEMO]
    b = dataclasses.replace(
        a, layout=dataclasses.replace(a.layout, firing_order=(1, 2, 3, 6, 5, 4))
    )
    (found,) = difference_words(a, b)
    assert found.by == "changed"
    assert found.values.endswith("to 1-2-3-6-5-4")


def test_the_axis_runs_from_08_to_16_of_the_rated_speeds():
    assert card()["axis"] == pytest.approx([AXIS[0] * 2300, AXIS[1] * 2700])


def test_what_is_needed_is_offered_below_the_red_line_alone():
    design = demo_ladder("hill_climb_six").design
    limit = rpm(demo_ladder("hill_climb_six").lowest.limit)
    above, below = (
        speed_limits(with_value(design, "limits.red_line_rpm", limit + by)) for by in (200, -200)
    )
    needed = needed_message(above)
    assert needed["offers"] == [offer.words for offer in offers(above, 200)[:MOST]]
    assert "red line" in needed["title"]
    assert needed_message(below) == {"title": "", "offers": []}


def test_the_file_holds_all_rows_the_question_and_the_caution():
    content = review_csv("=What, if?", attribution())
    lines = content.splitlines()
    assert lines[0] == 'Question,"\'=What, if?"'
    assert sum(line.startswith("Main numbers,") for line in lines) == len(card()["numbers"])
    keys, moves = rows(), len(limit_moves(attribution()))
    assert len(lines) == len(keys) + len(card()["numbers"]) + moves + 6
    assert "design review" in lines[-1]


def columns() -> list[Column]:
    a, b = (ladder.design for ladder in a_and_b())
    cycles = [solve_cycle(design, 2000) for design in (a, b)]
    return [Column("A", "boat", "reference", cycles[0]), Column("B", "+400", "boat", cycles[1], 0)]


def test_variants_are_columns_of_the_ladders_own_numbers():
    message = variants_message(columns())
    table = {row["label"]: row["cells"] for row in message["rows"]}
    a, b = a_and_b()
    assert table["Differs from A by"] == ["–", "rated speed +400 rpm, piston assembly −15 g"]
    assert table["Used: shank fatigue (rod)"] == [used_text(a["rod_fatigue"]),
                                                 used_text(b["rod_fatigue"])]  # fmt: skip
    assert table["Over"] == [
        "none",
        "minimum oil film thickness (main bearings); corrected piston speed (own criterion)",
    ]
    power = next(row for row in card()["numbers"] if row["key"] == "indicated_power")
    assert table["Indicated power"] == power["values"]
    assert [column["verdict"] for column in message["columns"]] == ["marginal", "over"]


def test_the_variants_file_names_its_columns():
    head = variants_csv(columns()).splitlines()[0]
    assert head == ",A: boat,B: +400"


def test_what_moves_the_limits_adds_up():
    a, b = a_and_b()
    (first, *_) = limit_moves(attribution())
    assert first.key == b.lowest.criterion.key
    moved = round(rpm(b[first.key].limit - a[first.key].limit))
    numbers = [
        int(found.replace("\u2009", "").replace("−", "-").replace("+", ""))
        for found in re.findall(r"(?:moves|:|,|rest) ([+−]?[\d\u2009]+)", first.words)
    ]
    assert numbers[0] == moved
    assert sum(numbers[1:]) == pytest.approx(moved, abs=len(numbers))


def test_answer_is_a_function_of_the_ladders_alone():
    a, b = a_and_b()
    assert answer(b, a) == card()["answer"]
    move = rpm_text(abs(b.lowest.limit - a.lowest.limit))
    assert f"{move} {'more' if b.lowest.limit > a.lowest.limit else 'less'} than A" in answer(b, a)


def test_an_answer_says_what_does_not_fit_and_is_not_within():
    a = demo_ladder("hill_climb_six")
    b = speed_limits(with_value(a.design, "cylinder.rod_length_mm", 150.0))
    assert "Does not fit: crown " in answer(b, a)
    assert answer_verdict(b) == "marginal"
    assert "fit" not in answer(a, None)


def test_the_answer_on_one_design_names_no_other():
    a = demo_ladder(DEMO)
    words = answer(a, None)
    assert words.startswith("Holds 2\u2009300 rpm, but marginal")
    assert f"Governing limit {rpm_text(a.lowest.limit)}, " in words
    assert words.endswith("kW at rated.")
    assert "(A " not in words
