"""One rule for a verdict and one table of its words, on every page and in every file."""

import dataclasses
import math
import re
from pathlib import Path

import pytest

from assets_demo import DEMO_DESIGNS
from tests.demos import demo_ladder, demo_sheets
from viz.limits.limit_board import ladder_message
from viz.limits.margin_table import margin_rows
from viz.verdict_words import AT_SPEED, GUIDE, MARGINAL, OVER, VERDICTS, WITHIN, worst_verdict

ROOT = Path(__file__).parents[2]
SHOWN = [*(ROOT / "viz").rglob("*.py"), *(ROOT / "apps").rglob("*.py"),
         *(ROOT / "viz" / "browser").rglob("*.*"), *(ROOT / "assets_demo").rglob("*.toml"),
         *ROOT.glob("*.md"), *(ROOT / "docs").glob("*.md"),
         ROOT / "kinematics" / "limits" / "speed_limits.py"]  # fmt: skip


@pytest.mark.parametrize("stem", DEMO_DESIGNS)
def test_every_table_names_the_ladders_verdict(stem):
    ladder = demo_ladder(stem)
    verdicts = {rung.criterion.key: ladder.verdict(rung) for rung in ladder.rungs}
    assert set(verdicts.values()) <= {*VERDICTS, GUIDE}
    message = ladder_message(ladder, None, "")
    assert {one["key"]: one["verdict"] for one in message["rungs"]} == verdicts
    assert message["verdict"] == worst_verdict(set(verdicts.values()))
    assert sorted(row[8] for row in margin_rows(ladder)) == sorted(verdicts.values())
    assert {sheet["key"]: sheet["verdict"] for sheet in demo_sheets(stem)} == verdicts


@pytest.mark.parametrize("stem", DEMO_DESIGNS)
def test_the_rule_is_rated_speed_and_red_line_and_the_edge_film(stem):
    ladder = demo_ladder(stem)
    for rung in ladder.rungs:
        if rung.criterion.guide:
            assert ladder.verdict(rung) == GUIDE
            continue
        first = min((start for start, _ in rung.over), default=math.inf)
        wanted = OVER if rung.use_at > 1 or first <= ladder.rated else WITHIN
        if wanted == WITHIN and (first < ladder.red_line or rung.is_doubted):
            wanted = MARGINAL
        assert ladder.verdict(rung) == wanted


def test_nothing_judged_has_no_verdict():
    bare = dataclasses.replace(demo_ladder("touring_six"), rungs=())
    assert ladder_message(bare, None, "")["verdict"] == ""
    assert worst_verdict({WITHIN, MARGINAL}) == MARGINAL
    assert worst_verdict({WITHIN, MARGINAL, OVER}) == OVER
    assert worst_verdict({WITHIN, GUIDE}) == WITHIN
    assert worst_verdict({GUIDE}) == ""


def test_no_verdict_says_safe():
    """A tool for teaching never calls a part safe; "on the safe side" of an assumption it may."""
    for path in SHOWN:
        text = re.sub(r"on the\s+(\"\s+\")?safe\s+side", "", path.read_text(encoding="utf-8"))
        found = re.findall(r"[^\n]*\bsafe\b[^\n]*", text)
        assert [line for line in found if "samesite" not in line.lower()] == [], path
    assert "safe" not in {*VERDICTS, *AT_SPEED, *AT_SPEED.values()}
