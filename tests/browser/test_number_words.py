"""Numbers are written and read by the same rules in Python and in the browser's JavaScript."""

import csv
import json
import math
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from playwright.sync_api import Browser, Page

from apps.controls.form_number import typed_number
from kinematics import DesignError
from kinematics.units import UNITS, shown_unit, using_units
from viz.browser import bundle
from viz.number_words import format_short, format_whole, turn_text, with_unit

pytestmark = pytest.mark.browser

ROOT = Path(__file__).parents[1]
with (ROOT / "viz/numbers_as_read.csv").open(encoding="utf-8") as file:
    AS_READ = list(csv.DictReader(file))
AS_TYPED = json.loads((ROOT / "apps/numbers_as_typed.json").read_text())


@pytest.fixture(scope="module")
def blank(browser: Browser) -> Iterator[Page]:
    """A page with nothing but the functions that write and read numbers."""
    page = browser.new_page()
    for name in ("number_words", "number_box"):
        page.evaluate(
            """async (code) => Object.assign(
              window, await import(`data:text/javascript,${encodeURIComponent(code)}`))""",
            bundle(f"shared/{name}.js"),
        )
    yield page
    page.close()


def sent(value: float) -> float | str:
    """A value as it may go to the browser: what is not finite as a word."""
    return value if math.isfinite(value) else str(value)


NUMBER = """const number = (one) =>
  typeof one === "string" ? Number(one.replace("inf", "Infinity")) : one;"""


def test_every_number_of_the_table_reads_the_same_in_both_languages(blank):
    rows, python = [], []
    for row in AS_READ:
        with using_units(row["system"]):
            value, unit = float(row["si_value"]), shown_unit(row["unit_key"])
            python.append(with_unit(value, row["unit_key"], int(row["digits"])))
            shown = unit.from_si(value)
            raw = value / unit.factor - unit.offset  # as a script of the page divides it
            rows.append([sent(shown), sent(raw), int(row["digits"]), unit.symbol])
    written = blank.evaluate(
        f"""(rows) => {{ {NUMBER}
        return rows.map(([shown, raw, digits, symbol]) =>
          [shown, raw].map((one) => withUnit(formatNumber(number(one), digits), symbol))); }}""",
        rows,
    )
    wanted = [row["text"] for row in AS_READ]
    assert len(wanted) > 500
    assert {row["unit_key"] for row in AS_READ} == set(UNITS)
    assert python == wanted
    assert [one for one, _ in written] == wanted
    assert [one for _, one in written] == wanted


def test_any_number_reads_the_same_in_both_languages(blank):
    random = np.random.default_rng(5)
    values = (random.standard_normal(3000) * 10.0 ** random.uniform(-9, 13, 3000)).tolist()
    ties = [k / 8 * 10.0**power for k in range(1, 400, 2) for power in (-1, 0, 1, 2)]
    values += ties + [-one for one in ties] + [0.5, 1.5, 2.5, -0.5, 359.5, 359.49999999, 1e15, 1e16]
    written = blank.evaluate(
        """(values) => values.map((one) =>
          [formatShort(one, 5), formatShort(one, 2), formatWhole(one), turnText(one)])""",
        values,
    )
    python = [
        [format_short(one, 5), format_short(one, 2), format_whole(one), turn_text(one)]
        for one in values
    ]
    assert written == python


def test_single_precision_reads_like_the_number_it_came_from(blank):
    values = [k / 100 for k in range(1, 2000)] + [6358.5, 12.35, 12.45, 1264.5, 0.1265]
    single = np.array(values, dtype=np.float32).astype(float).tolist()
    written = blank.evaluate("(values) => values.map((one) => formatNumber(one))", single)
    plain = blank.evaluate("(values) => values.map((one) => formatNumber(one))", values)
    assert written == plain


@pytest.mark.parametrize(
    ("ticks", "texts"),
    [
        ([0, 2000, 4000, 10000], ["0", "2\u2009000", "4\u2009000", "10\u2009000"]),
        ([-0.5, -0.0, 0.5, 1], ["−0.5", "0", "0.5", "1.0"]),
        ([-20, -10, 0], ["−20", "−10", "0"]),
        ([0, 0.05, 0.1, 0.15000000000000002], ["0", "0.05", "0.10", "0.15"]),
        ([0, 1e-8, 2e-8], ["0", "1.00·10⁻⁸", "2.00·10⁻⁸"]),
        ([0, 5e10], ["0", "5.00·10¹⁰"]),
        ([], []),
        ([7], ["7"]),
    ],
)
def test_the_ticks_of_an_axis(blank, ticks, texts):
    assert blank.evaluate("(ticks) => tickTexts(ticks)", ticks) == texts


def test_every_text_of_the_table_is_read_the_same_in_both_languages(blank):
    def read(typed: str) -> list[object]:
        try:
            return [typed, typed_number(typed), ""]
        except DesignError as error:
            return [typed, None, error.message]

    found = blank.evaluate(
        """(texts) => texts.map((text) => {
          const { value = null, problem = "" } = parseNumber(text);
          return [text, value, problem];
        })""",
        [typed for typed, *_ in AS_TYPED],
    )
    assert len(AS_TYPED) > 60
    assert [read(typed) for typed, *_ in AS_TYPED] == AS_TYPED
    assert found == AS_TYPED


def test_what_the_program_writes_can_be_typed_again(blank):
    texts = [row["text"] for row in AS_READ if row["unit_key"] == "" and "·" not in row["text"]]
    for one in (one for one in texts if one != "–"):
        back = typed_number(one)
        assert blank.evaluate("(text) => parseNumber(text).value", one) == back
        assert float(one.replace("\u2009", "").replace("−", "-")) == back
