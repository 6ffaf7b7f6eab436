"""Measured files: what parts their columns is found; every bad row is named by its line."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kinematics.errors import DesignError
from kinematics.mechanics.trace_file import (
    MOST_BYTES,
    MOST_COLUMNS,
    Dialect,
    read_table,
)
from tests.conftest import tried
from tests.kinematics.mechanics.trace_texts import ANGLES, bars, text_of

WAYS = {
    "comma": (",", "."), "semicolon": (";", "."), "tab": ("\t", "."), "blanks": ("  ", "."),
    "decimal comma": (";", ","), "tab and decimal comma": ("\t", ","),
    "blanks and decimal comma": (" ", ","),
}  # fmt: skip


def with_line(number: int, line: str) -> str:
    lines = text_of().split("\n")
    lines[number - 1] = line
    return "\n".join(lines)


def refusal(text: str, dialect: Dialect | None = None) -> str:
    with pytest.raises(DesignError) as caught:
        read_table(text, dialect)
    assert caught.value.field in ("file", "separator", "decimal")
    assert len(caught.value.message) < 300
    return caught.value.message


@pytest.mark.parametrize(("mark", "decimal"), WAYS.values(), ids=WAYS)
@pytest.mark.parametrize("head", ["", "made on a test bed\nangle;p\ndeg;bar", "# 7;8"])
def test_ways_of_writing_the_same(mark: str, decimal: str, head: str) -> None:
    text = text_of(mark=mark, decimal=decimal, head=head.replace(";", mark))
    table = read_table(text)
    np.testing.assert_allclose(table.values[:, 0], ANGLES)
    np.testing.assert_allclose(table.values[:, 1], bars(), rtol=1e-5)
    assert table.dialect.decimal == ("comma" if decimal == "," else "point")
    assert read_table(text, table.dialect).values.shape == table.values.shape


@pytest.mark.parametrize(
    "change",
    [
        lambda text: text.replace("\n", "\r\n"),
        lambda text: text.replace("\n", "\r"),
        lambda text: "\ufeff" + text,
        lambda text: text.replace("\n", "\n \n"),
        lambda text: text.replace(",", " , "),
        lambda text: text.replace("\n", ",\n"),
        lambda text: text.replace("\n-350,", '\n"-350",'),
    ],
    ids=["CRLF", "CR", "byte-order mark", "blank lines", "spaces", "comma at the end", "quotes"],
)
def test_what_does_not_matter(change) -> None:
    np.testing.assert_allclose(read_table(change(text_of())).values[:, 1], bars(), rtol=1e-5)


def test_names_are_those_of_the_last_lines_of_the_head() -> None:
    table = read_table(text_of(head="six at full load\ncrank,cylinder 1\ndeg,kPa"))
    assert table.names == ("crank deg", "cylinder 1 kPa")
    assert table.lines[0] == 4
    assert table.first_rows[0][0] == "-360"


def test_a_column_of_text_is_kept_apart() -> None:
    rows = "\n".join(f"{a:g},run 7,{p:.4f}" for a, p in zip(ANGLES, bars(), strict=True))
    table = read_table("angle,note,p\n" + rows)
    assert table.is_number == (True, False, True)
    np.testing.assert_allclose(table.values[:, 2], bars(), atol=1e-4)


def test_integers_are_read_with_the_point() -> None:
    assert read_table("\n".join(f"{a};{a % 50}" for a in range(720))).dialect.decimal == "point"


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("-344", "must have 2 values"),
        ("-344,1,2", "must have 2 values as the first row of numbers (got 3)"),
        ("-344,", "must have 2 values"),
        ("-344,abc", "(got 'abc')"),
        ("-344,<script>alert(1)</script>", "(got '<script>alert(1)</sc')"),
        ("-344,nan", "line 10"),
        ("-344,inf", "line 10"),
        ("1e999,1", "finite"),
        ("-344,1e10", "at most 10⁹"),
        ("-344,1_0", "line 10"),
        ("-344,0x10", "line 10"),
        ("-344,1\0.5", "NUL"),
        ('-344,"1.8', "line 10"),
        ("-344,١", "line 10"),
        ("-344,1.5.2", "line 10"),
        ("=1+2,5", "line 10"),
    ],
)
def test_bad_rows_are_named_by_their_line(line: str, words: str) -> None:
    message = refusal(with_line(10, line))
    assert "line 10:" in message
    assert words in message


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "(got nothing)"),
        (" \n\t\n", "(got nothing)"),
        ("pressure\n1\n2\n3\n" * 30, "two to 64 columns"),
        ("nothing to see here\n" * 50, "two to 64 columns"),
        (text_of(ANGLES[:20]), "36 to 400000 rows of numbers (got 20)"),
        ("x" * (MOST_BYTES + 1), "must be at most 6 MB (got 6.0 MB)"),
        ("1," * 2_500_000, "two to 64 columns"),
        (("1," * 100 + "1\n") * 50, "two to 64 columns"),
        ("1,2\n" * 400_001, "(got 400001)"),
        ("title\n" * 300 + text_of(), "two to 64 columns"),
        ("a,b\n" + "1" * 200_000 + ",1\n" * 50, "two to 64"),
        ("[" * 20_000 + "\n" * 50, "two to 64"),
    ],
    ids=[
        "empty", "blank", "one column", "words", "few rows", "large", "one long line",
        "many columns", "many rows", "long head", "long number", "nested",
    ],
)  # fmt: skip
def test_bad_files(text: str, words: str) -> None:
    assert words in refusal(text)


def test_a_dialect_that_does_not_fit_says_so() -> None:
    words = refusal(text_of(), Dialect("semicolon", "point"))
    assert "must part rows of two to 64 numbers" in words
    for separator, decimal in (("pipe", "point"), ("comma", "dot"), ("comma", "comma")):
        with pytest.raises(DesignError, match="must"):
            Dialect(separator, decimal)


def test_mixed_decimal_marks_are_refused() -> None:
    text = text_of(mark=";", decimal=",").split("\n")
    text[20] = "-322;1.5"
    assert "line 21: must hold numbers with ',' as decimal mark (got '1.5')" in refusal(
        "\n".join(text)
    )


def test_names_lose_what_cannot_be_printed() -> None:
    name = "p\u202e\x07" + "x" * 500
    names = read_table(text_of(head=f"angle,{name}")).names
    assert names[1] == "p" + "x" * 59


@given(st.text(max_size=300))
def test_any_text_reads_or_is_refused(text: str) -> None:
    tried(lambda: read_table(text))


@given(st.data())
def test_any_damaged_file_reads_or_is_refused(data: st.DataObject) -> None:
    text = list(text_of())
    for _ in range(data.draw(st.integers(1, 4))):
        place = data.draw(st.integers(0, len(text) - 1))
        text[place] = data.draw(st.sampled_from(["", ",", ";", '"', "\n", "\0", "-", "e9", "ä"]))
    table = tried(lambda: read_table("".join(text)))
    if not isinstance(table, DesignError):
        assert np.isfinite(table.values[:, np.array(table.is_number)]).all()
        assert table.values.shape[1] <= MOST_COLUMNS
