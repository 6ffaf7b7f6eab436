"""The ladder in words: every rung has its formula with values that evaluate to what is shown."""

import csv
import dataclasses
import io
import math
import re
from functools import cache

import pytest

from assets_demo import DEMO_DESIGNS
from kinematics import DesignError
from kinematics.design.allowables import CONFIDENCES
from kinematics.limits.named_results import SUBJECTS
from kinematics.limits.speed_limits import assessed, speed_limits
from kinematics.train.cycle import rigid_train
from tests.conftest import changed
from tests.demos import DEMOS, demo_ladder, demo_sheets
from tests.viz.evaluated import evaluated, is_numeric, shown_in_si
from viz.limits.criterion_views import VIEWS, view_of
from viz.limits.limit_board import (
    CAUTION,
    CONFIDENCE,
    bands_by_rung,
    first_key,
    ladder_message,
    limit_text,
    sentence,
    sheet_message,
)
from viz.limits.margin_table import CSV_HEAD, TABLE, margin_rows, margin_table_csv
from viz.limits.rung_marks import band_message
from viz.speed_words import rpm

TOURING = DEMOS["touring_six"]
ALL_KEYS = [criterion.key for _, criteria in SUBJECTS for criterion in criteria]
SUBJECT_OF = {one.key: subject for subject, criteria in SUBJECTS for one in criteria}
CRITERIA = {one.key: one for _, criteria in SUBJECTS for one in criteria}


def test_every_criterion_has_a_view():
    missing = [key for key in CRITERIA if key not in VIEWS]
    assert not missing, "; ".join(
        f"add a CriterionView for {key} to viz/limits/<part>_views.py" for key in missing
    )
    assert set(VIEWS) == set(CRITERIA), "a view is left over"


def test_every_confidence_has_its_words():
    assert set(CONFIDENCE) == set(CONFIDENCES)


@cache
def rungs_of(stem):
    """The demo's rungs, and those whose allowable it does not give, allowed what they reach."""
    ladder = demo_ladder(stem)
    rungs = list(ladder.rungs)
    for absent in ladder.unjudged:
        criterion, value = absent.criterion, absent.value_at_rated
        if criterion.limit and math.isfinite(value):
            design = changed(DEMOS[stem], "limits", **{criterion.limit: value})
            parts = SUBJECT_OF[criterion.key](rigid_train(design))
            rungs.append(assessed(criterion, parts, (ladder.low, ladder.high), ladder.rated))
    return tuple(rungs)


def check_substitution(rung):
    """The last "symbol = expression = value" is the rung's value; five digits are put in."""
    lines = view_of(rung.criterion).substitution(rung).split("\n")
    line = [line for line in lines if line.count(" = ") == 2][-1]
    _, expression, shown = line.split(" = ")
    assert shown_in_si(shown) == pytest.approx(rung.value_at, rel=1e-3), (rung.criterion.key, line)
    assert evaluated(expression) == pytest.approx(rung.value_at, rel=1e-3), line


def test_every_formula_with_values_evaluates_to_the_rung_s_value():
    seen = set()
    for stem in DEMO_DESIGNS:
        for rung in rungs_of(stem):
            if rung.criterion.key in VIEWS:
                check_substitution(rung)
                seen.add(rung.criterion.key)
    assert seen == set(VIEWS)


@pytest.mark.parametrize(
    ("group", "values", "keys"),
    [
        ("piston_pin", {"inner_diameter": 0.0195}, ("pin_ovalisation", "pin_hoop")),
        ("crank_material", {"treatment": "none"}, ("pin_fillet", "journal_fillet")),
        ("rod_material", {"fatigue_line": "gerber"}, ("rod_fatigue",)),
        ("rod_material", {"fatigue_line": "asme_elliptic"}, ("rod_fatigue",)),
        ("rod_bolts", {"load_factor": None}, ("joint_opening", "bolt_fatigue", "bolt_yield")),
    ],
)
def test_the_other_branches_of_a_formula_evaluate_too(group, values, keys):
    ladder = speed_limits(changed(TOURING, group, **values))
    for key in keys:
        check_substitution(ladder.rung(key))


def test_steps_before_the_last_evaluate_too():
    """Every line that reads "symbol = numbers = number unit", perhaps after a name and a colon."""
    count = 0
    for stem in DEMO_DESIGNS:
        for rung in rungs_of(stem):
            for line in view_of(rung.criterion).substitution(rung).split("\n"):
                steps = line.rpartition(": ")[2].split(" = ")
                if len(steps) == 3 and is_numeric(steps[1]):
                    number = evaluated(steps[1]) * (1e6 if steps[0] == "σ_A" else 1)  # fits MPa
                    assert number == pytest.approx(shown_in_si(steps[2]), rel=2e-3), line
                    count += 1
    assert count > len(VIEWS) * len(DEMO_DESIGNS)


@pytest.mark.parametrize("stem", DEMO_DESIGNS)
def test_every_sheet_is_whole(stem):
    ladder = demo_ladder(stem)
    for rung, sheet in zip(ladder.rungs, demo_sheets(stem), strict=True):
        assert sheet["origin"]
        assert sheet["headline"]
        if rung.criterion.key in VIEWS:
            for part in ("formula", "substitution", "conventions", "source", "own"):
                assert sheet[part], (rung.criterion.key, part)
        assert "nan" not in sheet["substitution"]
        assert sheet["caution"] == CAUTION


def test_sheets_made_together_are_those_made_one_by_one():
    for rung, sheet in zip(demo_ladder("inline_four"), demo_sheets("inline_four"), strict=True):
        assert sheet == sheet_message(demo_ladder("inline_four"), rung.criterion.key)


def test_the_sentence_names_the_lowest_rung_with_its_numbers():
    words = sentence(demo_ladder("touring_six"))
    limit = round(demo_ladder("touring_six").lowest.limit * 30 / math.pi)
    shown = f"{limit:,}".replace(",", "\u2009")
    assert words.startswith(
        f"The shaft reaches its allowable vibratory stress first, at {shown} rpm, "
    )
    band = demo_ladder("touring_six").lowest.band
    low, high = (f"{rpm(end.limit):,.0f}" for end in (band.lowest, band.highest))
    others = f"{low} to {high} rpm by other models: ".replace(",", "\u2009")
    assert f"{shown} rpm, {others}" in words
    assert others not in sentence(demo_ladder("touring_six"), with_band=False)
    assert f"{limit - 5800} rpm above the rated speed, {limit - 6000} rpm above the red" in words


def test_the_sentence_says_what_gas_overloads_at_the_rated_speed():
    words = sentence(speed_limits(changed(TOURING, "limits", boss_pressure=36e6)))
    assert words.startswith("Over at the rated speed already, by gas: Piston pin, boss pressure")


def test_the_idle_s_sheet_says_how_far_the_speed_sags_with_a_misfire():
    sheet = sheet_message(demo_ladder("touring_six"), "irregularity")["misfire"]
    assert "Δω = ΔE/(J·ω)" in sheet["formula"]
    quotient, rad, turns = sheet["substitution"].splitlines()[-1].removeprefix("Δω = ").split(" = ")
    work, inertia, speed = map(float, re.findall(r"[\d.]+", quotient))
    drop = work / (inertia * speed)
    assert float(rad.removesuffix(" rad/s")) == pytest.approx(drop, rel=1e-3)
    assert float(turns.removesuffix(" rpm")) == pytest.approx(drop * 30 / math.pi, rel=1e-3)
    assert (
        "Δω" not in sheet_message(demo_ladder("touring_six"), "shaft_stress")["misfire"]["formula"]
    )


def test_the_sentence_says_an_uneven_idle_and_a_red_line_that_is_too_low():
    design = changed(TOURING, "torsion", flywheel_inertia=0.02)
    assert "Over at idle: cyclic irregularity, " in sentence(speed_limits(design), with_band=False)
    low = changed(TOURING, "limits", red_line=400.0)
    words = sentence(speed_limits(low), with_band=False)
    assert "lies below the rated speed and is ignored" in words


def test_the_sentence_says_where_gas_alone_is_too_much():
    design = changed(dataclasses.replace(TOURING, full_load=()), "limits", small_end_pressure=68e6)
    assert "gas alone exceeds the allowable of Piston pin" in sentence(speed_limits(design))


def test_the_sentence_says_what_is_over_at_every_speed():
    words = sentence(speed_limits(changed(TOURING, "limits", pin_bending=25e6)))
    assert words.startswith("The piston pins reach their allowable bending stress at every speed")


def test_the_reference_ladder_gives_changes():
    heavy = changed(TOURING, "piston", assembly_mass=0.5)
    message = ladder_message(
        speed_limits(heavy), demo_ladder("touring_six"), "Touring six",
        with_misfires=False, with_bands=False,
    )  # fmt: skip
    rungs = {rung["key"]: rung for rung in message["rungs"]}
    assert rungs["joint_opening"]["change_text"].startswith("−")
    assert rungs["mean_piston_speed"]["change_text"] == ""
    assert rungs["joint_opening"]["reference_limit"] > rungs["joint_opening"]["limit"]
    assert message["reference"] == "Touring six"


def test_sensitivities_have_their_sign_and_unit():
    ladder = demo_ladder("touring_six")
    sheet = sheet_message(ladder, "mean_piston_speed")
    stroke = next(one for one in sheet["sensitivities"] if one["label"] == "Stroke")
    assert stroke["text"].startswith("−67.9 rpm per mm")  # −n/s = −6383/94
    assert stroke["effect"] == "more of it lowers the limit"


def test_the_csv_reads_back_with_every_rung_and_the_caution():
    ladder = demo_ladder("touring_six")
    rows = list(csv.reader(io.StringIO(margin_table_csv(ladder))))
    assert tuple(rows[0]) == CSV_HEAD
    assert len(rows) == len(ladder.rungs) + 2
    assert rows[-1] == [CAUTION]
    assert all(len(row) == len(CSV_HEAD) for row in rows[1:-1])
    assert not any("\u2009" in cell or "−" in cell for row in rows for cell in row)


def test_bands_and_marks_are_in_the_file_the_table_and_the_sheet():
    ladder = demo_ladder("touring_six")
    rows = list(csv.DictReader(io.StringIO(margin_table_csv(ladder))))
    table = {(row[0], row[1]): dict(zip(TABLE, row, strict=True)) for row in margin_rows(ladder)}
    seen = 0
    for rung, sheet in zip(ladder.rungs, demo_sheets("touring_six"), strict=True):
        part, label = rung.criterion.part, rung.criterion.label
        row = next(row for row in rows if (row["Part"], row["Criterion"]) == (part, label))
        words = sheet["left_out"]
        assert len(words) == len(rung.left_out)
        for shown, mark in zip(words, rung.left_out, strict=True):
            assert shown.endswith(f"; {mark.direction}.")
            plain = shown.replace("\u2009", "").replace("−", "-").replace("°", " °")
            assert plain == mark.words
        filed = " ".join(words).replace("\u2009", "").replace("−", "-")  # as every CSV has it
        assert row["Left out, and applies here"] == filed
        assert table[part, label]["Left out, and applies here"] == (" ".join(words) or "–")
        low = row["Lowest limit by other models, rpm"]
        if rung.band is not None and 0 < rung.band.lowest.limit < math.inf:
            assert float(low) == pytest.approx(rpm(rung.band.lowest.limit), rel=1e-6)
            assert rung.band.lowest.model in table[part, label]["Limit by other models"]
            seen += 1
        else:
            assert low == ""
    assert seen > 5


def test_bands_that_come_later_are_those_that_come_with_the_ladder():
    ladder = demo_ladder("touring_six")
    with_them, without = (ladder_message(ladder, None, "", with_bands=on) for on in (True, False))
    *_, last = bands_by_rung(ladder)
    assert all(rung["band"] is None for rung in without["rungs"])
    assert last["sentence"] == with_them["sentence"]
    for rung in with_them["rungs"]:
        assert rung["band"] == last["bands"].get(rung["key"])
        if rung["band"] and rung["limit"]:
            assert rung["band"]["low"] <= rung["limit"] * (1 + 1e-12) <= rung["band"]["high"] + 1e-6
    first = next(bands_by_rung(ladder))
    assert list(first["bands"]) == [ladder.lowest.criterion.key]


def test_ends_of_a_band_are_named_with_limit_and_value():
    ladder = demo_ladder("touring_six")
    band = band_message(ladder, ladder["main_specific_load"])
    own, other = band["ends"]
    assert own["model"] == "continuous shaft, used here"
    assert own["limit_text"] == limit_text(ladder, ladder["main_specific_load"])
    assert other["model"] == "determinate shaft"
    assert other["value_text"].endswith("MPa")
    assert band["text"].endswith("(determinate shaft)")
    assert band_message(ladder, ladder["boss_pressure"]) is None


def test_the_table_keeps_parts_together_from_piston_to_flywheel():
    parts = [row[0] for row in margin_rows(demo_ladder("touring_six"))]
    assert parts[0] == "Piston"
    runs = [part for i, part in enumerate(parts) if i == 0 or parts[i - 1] != part]
    assert len(runs) == len(set(runs))


def test_a_rung_that_is_not_there_is_refused():
    with pytest.raises(DesignError, match="no rung"):
        sheet_message(demo_ladder("touring_six"), "nothing")
    assert first_key(demo_ladder("touring_six")) == "shaft_stress"


@pytest.mark.parametrize("stem", DEMO_DESIGNS)
def test_the_sheet_tells_how_far_the_stiffness_formulas_are_apart(stem):
    rung = demo_ladder(stem).rung("shaft_stress")
    words = view_of(rung.criterion).substitution(rung)
    found = float(re.search(r"differ by (\d+) %", words)[1])
    band = rung.parts.chain.stiffness_band.values()
    assert found == pytest.approx(100 * (max(band) / min(band) - 1), abs=0.5)
