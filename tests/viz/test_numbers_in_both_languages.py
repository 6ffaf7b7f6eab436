"""Numbers are written and read by the same rules in Python and in the browser's JavaScript."""

import csv
import json
import math
from pathlib import Path
from typing import Any

import numpy as np

from apps.controls.form_number import typed_number
from kinematics import DesignError
from kinematics.units import UNITS, shown_unit, using_units
from tests.in_node import in_node
from viz.number_words import format_short, format_whole, turn_text, with_unit

ROOT = Path(__file__).parents[1]
with (ROOT / "viz/numbers_as_read.csv").open(encoding="utf-8") as file:
    AS_READ = list(csv.DictReader(file))
AS_TYPED = json.loads((ROOT / "apps/numbers_as_typed.json").read_text())


def written_in_node(call: str, values: list[Any]) -> Any:
    """What the browser's writer of numbers makes of each value; `call` names it `one`."""
    names = "formatNumber, formatShort, formatWhole, turnText, withUnit"
    return in_node(names, "shared/number_words.js", f"given.map((one) => {call})", values)


def sent(value: float) -> float | str:
    """A value as JSON may hold it: what is not finite as a word that JavaScript's Number reads."""
    return value if math.isfinite(value) else str(value).replace("inf", "Infinity")


def test_every_number_of_the_table_reads_the_same_in_both_languages():
    rows, python = [], []
    for row in AS_READ:
        with using_units(row["system"]):
            value, unit = float(row["si_value"]), shown_unit(row["unit_key"])
            python.append(with_unit(value, row["unit_key"], int(row["digits"])))
            shown = unit.from_si(value)
            raw = value / unit.factor - unit.offset  # as a script of the page divides it
            rows.append([sent(shown), sent(raw), int(row["digits"]), unit.symbol])
    written = written_in_node(
        "one.slice(0, 2).map((value) => withUnit(formatNumber(Number(value), one[2]), one[3]))",
        rows,
    )
    wanted = [row["text"] for row in AS_READ]
    assert len(wanted) > 500
    assert {row["unit_key"] for row in AS_READ} == set(UNITS)
    assert python == wanted
    assert [one for one, _ in written] == wanted
    assert [one for _, one in written] == wanted


def test_any_number_reads_the_same_in_both_languages():
    random = np.random.default_rng(5)
    values = (random.standard_normal(3000) * 10.0 ** random.uniform(-9, 13, 3000)).tolist()
    ties = [k / 8 * 10.0**power for k in range(1, 400, 2) for power in (-1, 0, 1, 2)]
    values += ties + [-one for one in ties] + [0.5, 1.5, 2.5, -0.5, 359.5, 359.49999999, 1e15, 1e16]
    written = written_in_node(
        "[formatShort(one, 5), formatShort(one, 2), formatWhole(one), turnText(one)]", values
    )
    python = [
        [format_short(one, 5), format_short(one, 2), format_whole(one), turn_text(one)]
        for one in values
    ]
    assert written == python


def test_single_precision_reads_like_the_number_it_came_from():
    values = [k / 100 for k in range(1, 2000)] + [6358.5, 12.35, 12.45, 1264.5, 0.1265]
    single = np.array(values, dtype=np.float32).astype(float).tolist()
    written = written_in_node("formatNumber(one)", single)
    plain = written_in_node("formatNumber(one)", values)
    assert written == plain


def read_in_node(texts: list[str]) -> list[list[Any]]:
    """Each text with the number that the browser reads in it, or what is wrong with it."""
    call = """given.map((text) => {
      const { value = null, problem = "" } = parseNumber(text);
      return [text, value, problem]; })"""
    return in_node("parseNumber", "shared/typed_number.js", call, texts)


def test_every_text_of_the_table_is_read_the_same_in_both_languages():
    def read(typed: str) -> list[object]:
        try:
            return [typed, typed_number(typed), ""]
        except DesignError as error:
            return [typed, None, error.message]

    found = read_in_node([typed for typed, *_ in AS_TYPED])
    assert len(AS_TYPED) > 60
    assert [read(typed) for typed, *_ in AS_TYPED] == AS_TYPED
    assert found == AS_TYPED


def test_what_the_program_writes_can_be_typed_again():
    texts = [row["text"] for row in AS_READ if row["unit_key"] == "" and "·" not in row["text"]]
    texts = [one for one in texts if one != "–"]
    back = [typed_number(one) for one in texts]
    assert [value for _, value, _ in read_in_node(texts)] == back
    assert [float(one.replace("\u2009", "").replace("−", "-")) for one in texts] == back
