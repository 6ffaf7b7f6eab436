"""What is printed where the console has fewer characters: readable stand-ins, never an error."""

import io

import pytest

from apps.plain_text import print_anywhere, stand_in


def printed(text, encoding):
    stream = io.TextIOWrapper(io.BytesIO(), encoding=encoding)
    print_anywhere(stream)
    stream.write(text)
    stream.flush()
    return stream.buffer.getvalue().decode(encoding)


@pytest.mark.parametrize(
    ("text", "plain"),
    [
        ("✓ ▮ ✕", "+ ! x"),
        ("1\u2009230\u202f480 mm²", "1 230 480 mm2"),
        ("−3.2 µm, kg·m², 45°", "-3.2 um, kg.m2, 45 deg"),
        ("φ ω Δ", "phi omega delta"),
        ("é ﬁ …", "e fi ..."),
        ("日本 \U0001f600", "?? ?"),
    ],
)
def test_ascii_stand_ins(text, plain):
    assert printed(text, "ascii") == plain


def test_an_encoding_keeps_what_it_has():
    assert printed("µm² ✓ −1", "cp1252") == "µm² + -1"
    assert printed("µm² ✓ −1", "utf-8") == "µm² ✓ −1"
    assert printed("\udcff", "utf-8") == "?"


def test_every_stand_in_is_ascii():
    for code in range(0x80, 0x3000):
        assert stand_in(chr(code)).isascii()
