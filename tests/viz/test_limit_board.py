"""The ladder in words: every rung has its formula with values that evaluate to what is shown."""

import csv
import dataclasses
import io
import math
import re

import pytest

from assets_demo import DEMO_DESIGNS, FOLDER
from kinematics import DesignError, load_design
from kinematics.design.allowables import CONFIDENCES
from kinematics.limits.speed_limits import SUBJECTS, speed_limits
from tests.conftest import changed
from viz.limits.limit_board import (
    CAUTION,
    CONFIDENCE,
    CSV_HEAD,
    LIMIT_SENTENCES,
    WORDS,
    first_key,
    ladder_message,
    margin_rows,
    margin_table_csv,
    sentence,
    sheet_message,
)

DEMOS = {stem: load_design(FOLDER / f"{stem}.toml") for stem in DEMO_DESIGNS}
TOURING = DEMOS["touring_six"]
ALL_KEYS = [criterion.key for _, criteria in SUBJECTS for criterion in criteria]
SUPERSCRIPT = str.maketrans("⁻⁰¹²³⁴⁵⁶⁷⁸⁹", "-0123456789")
# those whose last line is one expression of numbers, so that it can be evaluated here
PLAIN = (
    "mean_piston_speed", "piston_acceleration", "ring_lift", "pin_bending", "pin_shear",
    "boss_pressure", "small_end_pressure", "rod_yield", "rod_fatigue", "buckling_in_plane",
    "buckling_across", "joint_opening", "bolt_fatigue", "bolt_yield", "split_slip",
    "big_end_specific_load",
    "crankpin_speed", "main_specific_load", "main_journal_speed", "oil_supply", "shaft_stress",
    "irregularity",
)  # fmt: skip
SCALE = {"MPa": 1e6, "%": 0.01, "km/s²": 1e3, "N/mm": 1e3}


def evaluated(expression: str) -> float:
    """The value of an expression as it stands on the page."""
    plain = expression.replace("\u2009", "").replace("−", "-").replace("·", "*")
    plain = plain.replace("π", str(math.pi))
    plain = re.sub(r"([⁻⁰¹²³⁴-⁹]+)", lambda m: f"**({m[1].translate(SUPERSCRIPT)})", plain)
    assert re.fullmatch(r"[-+*/(). 0-9e]+", plain), plain
    return float(eval(plain))


def test_every_criterion_has_words_and_a_plain_sentence():
    assert set(WORDS) == set(LIMIT_SENTENCES) == set(ALL_KEYS)
    assert set(CONFIDENCE) == set(CONFIDENCES)


@pytest.mark.parametrize("stem", DEMO_DESIGNS)
@pytest.mark.parametrize("key", PLAIN)
def test_what_is_put_in_evaluates_to_what_is_shown(stem, key):
    """Five digits are put in and four shown: they agree to 0.1 %."""
    ladder = speed_limits(DEMOS[stem])
    if ladder.rung(key) is None:
        assert (stem, key) == ("measured_six", "irregularity")
        return
    lines = sheet_message(ladder, key)["put_in"].split("\n")
    line = [line for line in lines if line.count(" = ") == 2][-1]
    _, expression, shown = line.split(" = ")
    number, _, unit = shown.partition(" ")
    value = float(number.replace("\u2009", "")) * SCALE.get(unit, 1.0)
    assert evaluated(expression) == pytest.approx(value, rel=1e-3)


@pytest.mark.parametrize("stem", DEMO_DESIGNS)
def test_every_sheet_is_whole(stem):
    ladder = speed_limits(DEMOS[stem])
    for rung in ladder.rungs:
        sheet = sheet_message(ladder, rung.criterion.key)
        for part in ("formula", "put_in", "conventions", "source", "origin", "headline"):
            assert sheet[part], (rung.criterion.key, part)
        assert "nan" not in sheet["put_in"]
        assert sheet["caution"] == CAUTION


def test_the_sentence_names_the_lowest_rung_with_its_numbers():
    words = sentence(speed_limits(TOURING))
    limit = round(speed_limits(TOURING).lowest.limit * 30 / math.pi)
    shown = f"{limit:,}".replace(",", "\u2009")
    assert words.startswith(
        f"The shaft reaches its allowable vibratory stress first, at {shown} rpm: "
    )
    assert f"{limit - 5800} rpm above the rated speed, {limit - 6000} rpm above the red" in words


def test_the_sentence_says_what_gas_overloads_at_the_rated_speed():
    words = sentence(speed_limits(changed(TOURING, "limits", boss_pressure=36e6)))
    assert words.startswith("Over at the rated speed already, by gas: Piston pin, boss pressure")


def test_the_sentence_says_an_uneven_idle_and_a_red_line_that_is_too_low():
    design = changed(TOURING, "torsion", flywheel_inertia=0.02)
    assert "At idle it turns too unevenly" in sentence(speed_limits(design))
    low = changed(TOURING, "limits", red_line=400.0)
    assert "lies below the rated speed and is not used" in sentence(speed_limits(low))


def test_the_sentence_says_where_gas_alone_is_too_much():
    design = changed(dataclasses.replace(TOURING, full_load=()), "limits", small_end_pressure=68e6)
    assert "gas alone is too much for one part: Piston pin" in sentence(speed_limits(design))


def test_the_sentence_says_what_is_over_at_every_speed():
    words = sentence(speed_limits(changed(TOURING, "limits", pin_bending=25e6)))
    assert words.startswith("The piston pins reach their allowable bending at every speed")


def test_the_pinned_ladder_gives_changes():
    heavy = changed(TOURING, "piston", assembly_mass=0.5)
    message = ladder_message(speed_limits(heavy), speed_limits(TOURING), "Touring six")
    rungs = {rung["key"]: rung for rung in message["rungs"]}
    assert rungs["joint_opening"]["change_text"].startswith("−")
    assert rungs["mean_piston_speed"]["change_text"] == ""
    assert rungs["joint_opening"]["pinned_limit"] > rungs["joint_opening"]["limit"]
    assert message["pinned"] == "Touring six"


def test_sensitivities_have_their_sign_and_unit():
    ladder = speed_limits(TOURING)
    sheet = sheet_message(ladder, "mean_piston_speed")
    stroke = next(one for one in sheet["sensitivities"] if one["label"] == "Stroke")
    assert stroke["text"].startswith("−67.9 rpm per mm")  # −n/s = −6383/94
    assert stroke["effect"] == "more of it lowers the limit"


def test_the_csv_reads_back_with_every_rung_and_the_caution():
    ladder = speed_limits(TOURING)
    rows = list(csv.reader(io.StringIO(margin_table_csv(ladder))))
    assert tuple(rows[0]) == CSV_HEAD
    assert len(rows) == len(ladder.rungs) + 2
    assert rows[-1] == [CAUTION]
    assert all(len(row) == len(CSV_HEAD) for row in rows[1:-1])
    assert not any("\u2009" in cell or "−" in cell for row in rows for cell in row)


def test_the_table_keeps_parts_together_from_piston_to_flywheel():
    parts = [row[0] for row in margin_rows(speed_limits(TOURING))]
    assert parts[0] == "Piston"
    runs = [part for i, part in enumerate(parts) if i == 0 or parts[i - 1] != part]
    assert len(runs) == len(set(runs))


def test_a_rung_that_is_not_there_is_refused():
    with pytest.raises(DesignError, match="no rung"):
        sheet_message(speed_limits(TOURING), "nothing")
    assert first_key(speed_limits(TOURING)) == "shaft_stress"


@pytest.mark.parametrize("stem", DEMO_DESIGNS)
def test_the_sheet_tells_how_far_the_stiffness_formulas_are_apart(stem):
    rung = speed_limits(DEMOS[stem]).rung("shaft_stress")
    words = WORDS["shaft_stress"].put_in(rung)
    found = float(re.search(r"differ by (\d+) %", words)[1])
    band = rung.parts.chain.stiffness_band.values()
    assert found == pytest.approx(100 * (max(band) / min(band) - 1), abs=0.5)
