"""Design files: every hostile text is refused in one message, every design comes back equal."""

import dataclasses
import random
import re
import unicodedata
from pathlib import Path

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kinematics import Design, DesignError, design_text, load_design, parse_design, save_design
from kinematics.declaration import Declaration, declarations
from kinematics.design.design import LONGEST_NAME, LONGEST_NOTE
from kinematics.design.design_file import MOST_DESIGN_BYTES, MOST_PLAIN_BYTES, clean_text
from kinematics.train.cycle import RigidTrain
from tests.conftest import GROUPS, SIX_TEXT, changed, six, tried
from tests.kinematics.random_designs import designs

SLOW = settings(max_examples=40, deadline=None, suppress_health_check=list(HealthCheck))
TRACE = "crank_angle_deg,cylinder_pressure_bar\n" + "".join(
    f"{k * 10},{5 + k % 3}\n" for k in range(72)
)


def edited(old: str, new: str) -> str:
    assert old in SIX_TEXT
    return SIX_TEXT.replace(old, new, 1)


def refusal(text: str | bytes) -> DesignError:
    with pytest.raises(DesignError) as caught:
        parse_design(text)
    assert len(str(caught.value)) < 500
    assert "\n" not in str(caught.value).strip().split("(at line")[0]
    return caught.value


def keys() -> list[tuple[str, str, bool]]:
    """(group, key, may be left out) of every declared key."""
    fields = []
    for group in GROUPS:
        record = getattr(six(), group)
        defaults = {
            f.name for f in dataclasses.fields(record) if f.default is not dataclasses.MISSING
        }
        fields += [(group, key, name in defaults) for name, key, _ in declarations(record)]
    return fields


KEYS = [pytest.param(*one, id=f"{one[0]}.{one[1]}") for one in keys()]


def with_key(group: str, key: str, value: str | None) -> str:
    """The example with a key's line replaced, added, or taken out for None."""
    head, rest = SIX_TEXT.split(f"\n[{group}]\n")
    body, *tail = re.split(r"\n(?=\[)", rest, maxsplit=1)
    lines = [line for line in body.splitlines() if not line.startswith(f"{key} =")]
    if value is not None:
        lines.append(f"{key} = {value}")
    return "\n".join([f"{head}\n[{group}]", *lines, "", *tail])


def test_the_example_is_read_in_si() -> None:
    design = six()
    assert design.cylinder.bore == pytest.approx(0.086)
    assert design.rod.inertia_about_cg == pytest.approx(2.1e-3)
    assert design.counterweights[0].unbalance == pytest.approx(0.018)
    assert design.counterweights[0].angle == pytest.approx(np.pi)
    assert design.pressure.peak == pytest.approx(92e5)
    assert design.oil.inlet_temperature == pytest.approx(373.15)
    assert design.big_end.radial_clearance == pytest.approx(30e-6)
    assert design.layout.rated_speed == pytest.approx(7000 * np.pi / 30)
    assert design.layout.throw_angles[1] == pytest.approx(4 * np.pi / 3)


@pytest.mark.parametrize(("group", "key", "may_miss"), KEYS)
def test_a_missing_key_is_named(group: str, key: str, may_miss: bool) -> None:
    text = with_key(group, key, None)
    model = re.sub(r"_(bar|deg)$", "", key) in (
        "intake", "exhaust", "peak", "peak_angle", "compression_exponent", "expansion_exponent"
    )  # fmt: skip
    if may_miss and not (group == "pressure" and model):
        assert parse_design(text) is not None
        return
    error = refusal(text)
    assert error.field == f"{group}.{key}"
    assert "is missing" in error.message
    assert "must be" in error.message


@pytest.mark.parametrize(("group", "key", "may_miss"), KEYS)
def test_a_wrong_value_names_its_key(group: str, key: str, may_miss: bool) -> None:
    for value in (
        "nan", "-inf", "1e308", "true", "{ a = 1 }", "2020-01-01", "[[[1]]]", '["a"]', "9" * 4000
    ):  # fmt: skip
        assert refusal(with_key(group, key, value)).field == f"{group}.{key}", value


@pytest.mark.parametrize(("group", "key", "may_miss"), KEYS)
def test_an_unknown_key_is_named_and_the_near_one_offered(group, key, may_miss) -> None:
    error = refusal(with_key(group, f"{key}x", "1"))
    assert error.field == f"{group}.{key}x"
    assert "unknown key; did you mean" in error.message


@pytest.mark.parametrize("group", GROUPS)
def test_missing_groups(group: str) -> None:
    head, rest = SIX_TEXT.split(f"\n[{group}]\n")
    tail = re.split(r"\n(?=\[)", rest, maxsplit=1)[1:]
    text = "\n".join([head, "", *tail])
    if group in ("big_end", "main_bearing", "oil"):
        assert getattr(parse_design(text), group) is None
    else:
        assert refusal(text).field == group


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "schema: must be 1"),
        ("schema = 2\n", "schema: must be 1"),
        (edited("schema = 1", 'schema = "1"'), "schema: must be 1"),
        (edited("bore_mm = 86.0", "bore_mm = 86,0"), "not a TOML file"),
        (edited("bore_mm = 86.0", "bore_mm = 86.0\nbore_mm = 87.0"), "line 1"),
        (SIX_TEXT + "\n[oil]\ngrade = 'x'\n", "twice"),
        (SIX_TEXT + "\n[turbo]\nboost_bar = 1\n", "turbo: unknown key"),
        (edited("[[counterweight]]", "[counterweight]"), "counterweight: must be a list"),
        (edited("[crank]", "[[crank]]"), "crank: must be a table"),
        (edited('name = "Hill-climb six"', "name = 7"), "name: must be text (got 7)"),
        (edited('name = "Hill-climb six"', "name.a = 7"), "name: must be text"),
        (edited("bore_mm = 86.0", "bore_mm = " + "[" * 20_000 + "]" * 20_000), "nested too deep"),
        (edited("bore_mm = 86.0", "bore_mm = " + "{a=" * 12_000 + "1" + "}" * 12_000), "too deep"),
        (edited("bore_mm = 86.0", "bore_mm = " + "[{a=" * 9000 + "1" + "}]" * 9000), "too deep"),
        (edited("bore_mm = 86.0", "bore_mm." + "a." * 2000 + "a = 1"), "more than 5 parts"),
        (edited("bore_mm = 86.0", "bore_mm." + '"a" . ' * 8000 + "a = 1"), "more than 5 parts"),
        ("[" + "a." * 30_000 + "a]\n", "more than 5 parts"),
        ("[" + "a." * 30_000, "more than 5 parts"),
        (edited("bore_mm = 86.0", "bore_mm.a.b.'c'.d . e = 1"), "more than 5 parts"),
        (edited("[oil]", "[oil.a.b.c.d.e]"), "more than 5 parts"),
        (edited("bore_mm = 86.0", "bore_mm = {a.b.c.d.e.f = 1}"), "more than 5 parts"),
        (edited("bore_mm = 86.0", "bore_mm.a.b.c.d = 1"), "must be a number, 20 to 600 mm (got {"),
        (edited("86.0", "1" * 50_000), "number too long"),
        (SIX_TEXT + "#" * 64_000, "must be at most 64 kB besides a pressure trace"),
        (edited("[0, 240, 120, 120, 240, 0]", str(list(range(2000)))), "at most 1000"),
        ("x" * (MOST_DESIGN_BYTES + 1), "must be at most 1 MB"),
        (b"\xff" * 5_000_000, "must be at most 1 MB"),
        (SIX_TEXT.encode("utf-16"), "not UTF-8"),
        (SIX_TEXT.encode("utf-8") + b"\xff", "not UTF-8"),
        (SIX_TEXT + "\0", "not a TOML file"),
        (edited("Hill-climb", "Hill\0climb"), "not a TOML file"),
        (SIX_TEXT.replace("\n", "\r"), "not a TOML file"),
        (edited("bore_mm = 86.0", '"<script>alert(1)</script>" = 1'), "<script>"),
    ],
    ids=[
        "empty", "newer schema", "schema as text", "decimal comma", "twice a key", "twice a group",
        "unknown group", "counterweight", "list of crank", "name a number", "name a table",
        "deep list", "deep table", "deep mixture", "deep key", "deep quoted key", "deep header",
        "deep open header", "six parts", "six parts of a header", "six parts within",
        "table for a number", "long number", "long text", "long list", "large text",
        "large bytes", "UTF-16", "bad byte", "NUL", "NUL in text", "CR", "markup",
    ],
)  # fmt: skip
def test_hostile_texts(text: str | bytes, words: str) -> None:
    assert words in str(refusal(text))


@pytest.mark.parametrize(
    "text",
    [
        SIX_TEXT.replace("\n", "\r\n"),
        "\ufeff" + SIX_TEXT,
        SIX_TEXT.encode(),
        b"\xef\xbb\xbf" + SIX_TEXT.encode(),
    ],
    ids=["CRLF", "byte-order mark", "bytes", "bytes with mark"],
)
def test_ways_of_writing_the_same(text: str | bytes) -> None:
    assert parse_design(text) == six()


def test_many_dots_are_not_a_long_key() -> None:
    numbers = ", ".join(["1.5"] * 72)
    angles = ", ".join(f"{k * 10}.0" for k in range(72))
    trace = f'source = "trace"\ncrank_angle_deg = [{angles}]\ncylinder_pressure_bar = [{numbers}]'
    assert parse_design(edited('source = "model"', trace)).pressure.trace is not None
    dotted = edited("An invented engine", "Wait" + "." * 200 + " so 1. this 2. that")
    assert "...." in parse_design(dotted).note


@pytest.mark.parametrize(
    "name", ["<img src=x onerror=alert(1)>", "[x](javascript:alert(1))", "{{7*7}}", "@{x}", "π µ ×"]
)
def test_names_are_kept_as_text(name: str) -> None:
    assert parse_design(edited("Hill-climb six", name)).name == name


def test_names_lose_control_and_direction_marks_and_are_cut() -> None:
    marked = parse_design(edited("Hill-climb six", "a\\u202Eb\\u0007c\\nd\\u200Be"))
    assert marked.name == "abc de"
    long = parse_design(edited("Hill-climb six", "x" * 10_000))
    assert long.name == "x" * (LONGEST_NAME - 1) + "…"
    note = parse_design(edited("An invented engine for demonstration", "y" * 10_000))
    assert len(note.note) == LONGEST_NOTE


@given(st.text(max_size=300), st.integers(1, 100))
def test_clean_text_is_clean_and_settled(text: str, longest: int) -> None:
    once = clean_text(text, longest)
    assert len(once) <= longest
    assert not {unicodedata.category(char) for char in once} & {"Cc", "Cf", "Cs", "Co"}
    assert clean_text(once, longest) == once


@SLOW
@given(designs())
def test_any_design_comes_back_equal(design: Design) -> None:
    assert parse_design(design_text(design)) == design


@settings(max_examples=3, deadline=None, suppress_health_check=list(HealthCheck))
@given(designs(), st.floats(0.0201, 0.5999))
def test_a_hundred_round_trips_settle_at_once(design: Design, bore: float) -> None:
    """Even from values of more digits than a file keeps."""
    text = first = design_text(changed(design, "cylinder", bore=bore))
    for _ in range(100):
        text = design_text(parse_design(text))
    assert text == first


def test_a_design_with_a_trace_comes_back_equal(tmp_path: Path) -> None:
    (tmp_path / "six.csv").write_text(TRACE)
    text = edited('source = "model"', 'source = "trace"\nfile = "six.csv"')
    (tmp_path / "six.toml").write_text(text)
    design = load_design(tmp_path / "six.toml")
    assert len(design.pressure.trace.pressure) == 72
    save_design(design, tmp_path / "again.toml")
    (tmp_path / "six.csv").unlink()
    assert load_design(tmp_path / "again.toml") == design
    assert RigidTrain(design).pressure.only.max() == pytest.approx(7e5)


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("gone.csv", "gone.csv cannot be read"),
        ("../six.csv", "must be a file beside the design"),
        ("/etc/hostname", "must be a file beside the design"),
        ("..", "must be a file beside the design"),
        ("", "must be a file beside the design"),
        ("large.csv", "must be at most 2 MB"),
        ("bad.csv", "line 3"),
        ("folder", "cannot be read"),
    ],
)
def test_trace_files_that_cannot_be_used(tmp_path: Path, name: str, words: str) -> None:
    (tmp_path / "large.csv").write_bytes(b"1" * 2_000_001)
    (tmp_path / "bad.csv").write_text(TRACE.replace("10,6", "10;6"))
    (tmp_path / "folder").mkdir()
    (tmp_path / "six.toml").write_text(
        edited('source = "model"', f'source = "trace"\nfile = "{name}"')
    )
    with pytest.raises(DesignError, match=re.escape(words)) as caught:
        load_design(tmp_path / "six.toml")
    assert caught.value.field == "pressure.file"


def test_a_trace_file_needs_a_folder() -> None:
    error = refusal(edited('source = "model"', 'source = "trace"\nfile = "six.csv"'))
    assert error.field == "pressure.file"


@pytest.mark.parametrize(
    "value", ["nan", "inf", "-inf", "1e308", "1" + "0" * 400, '"5"', "true", "0", "-1"]
)
@pytest.mark.parametrize("column", ["crank_angle_deg", "cylinder_pressure_bar"])
def test_traces_inside_a_design_are_checked(value: str, column: str) -> None:
    columns = {
        "crank_angle_deg": [str(k * 10) for k in range(72)],
        "cylinder_pressure_bar": ["5"] * 72,
    }
    columns[column][9] = value
    lines = "\n".join(f"{name} = [{', '.join(values)}]" for name, values in columns.items())
    error = refusal(edited('source = "model"', f'source = "trace"\n{lines}'))
    assert error.field.startswith("pressure.")


@pytest.mark.parametrize("path", ["gone.toml", "."])
def test_files_that_cannot_be_read(tmp_path: Path, path: str) -> None:
    with pytest.raises(DesignError, match="cannot be read"):
        load_design(tmp_path / path)


def test_large_files_are_refused_unread(tmp_path: Path) -> None:
    (tmp_path / "large.toml").write_bytes(b"#" * 1_000_001)
    with pytest.raises(DesignError, match=r"large\.toml must be at most 1 MB"):
        load_design(tmp_path / "large.toml")


def test_a_device_without_an_end_is_refused() -> None:
    with pytest.raises(DesignError, match="zero must be at most 1 MB"):
        load_design("/dev/zero")


ODD_WORDS = (b"nan", b"1e999", b"[[", b"]]", b"{", b'"', b"'''", b".", b"=", b"\xff", b"\0", b"-1")


def damaged(good: bytes, dice: random.Random) -> bytes:
    """Bytes changed, doubled, cut out, and odd words put in, at one to six places."""
    for _ in range(dice.randint(1, 6)):
        start = dice.randrange(len(good))
        end = start + dice.randrange(40)
        put = dice.choice(
            (
                good[:start] + bytes([dice.randrange(256)]) + good[start + 1 :],
                good[:start] + good[end:],
                good[:end] + good[start:],
                good[:start] + dice.choice(ODD_WORDS) + good[start:],
            )
        )
        good = put or b"?"
    return good


@pytest.mark.parametrize("seed", range(8))
def test_no_damage_gets_past_the_door_but_as_a_design_error(seed: int) -> None:
    dice = random.Random(seed)
    for _ in range(150):
        data = damaged(SIX_TEXT.encode(), dice)
        found = tried(lambda: parse_design(data))  # noqa: B023
        if isinstance(found, DesignError):
            assert str(found)
        else:
            assert parse_design(design_text(found)) == found


@given(st.one_of(st.binary(max_size=300), st.text(max_size=300)))
def test_no_bytes_but_as_a_design_error(data: bytes | str) -> None:
    with pytest.raises(DesignError):
        parse_design(data)


def trace_inside(angles: list[float]) -> str:
    """The example with a trace inside."""
    bars = [5.0 + k % 3 for k in range(len(angles))]
    lines = f"crank_angle_deg = {angles}\ncylinder_pressure_bar = {bars}"
    return edited('source = "model"', f'source = "trace"\n{lines}')


@pytest.mark.parametrize("step", [1.0, 300.0])
def test_a_trace_inside_a_design_spans_one_cycle(step: float) -> None:
    assert "one cycle" in refusal(trace_inside([k * step for k in range(72)])).message


def test_a_two_stroke_reads_its_trace_file(tmp_path: Path) -> None:
    (tmp_path / "turn.csv").write_text("\n".join(TRACE.splitlines()[:37]))
    text = edited('source = "model"', 'source = "trace"\nfile = "turn.csv"')
    text = text.replace("strokes_per_cycle = 4", "strokes_per_cycle = 2")
    text = text.replace("[0, 240, 120, 120, 240, 0]", "[0, 180, 240, 60, 120, 300]")
    text = text.replace("[1, 5, 3, 6, 2, 4]", "[1, 6, 3, 2, 5, 4]")
    (tmp_path / "six.toml").write_text(text)
    assert RigidTrain(load_design(tmp_path / "six.toml")).pressure.only.max() == pytest.approx(7e5)


def test_many_tables_with_long_keys_are_refused_before_they_are_read(monkeypatch) -> None:
    """The reader would take seconds over them; it is never asked."""

    def never(text: str) -> None:
        raise AssertionError("the reader was asked")

    monkeypatch.setattr("kinematics.design.design_file.tomllib.loads", never)
    tables = "".join(f"[{'a.' * 48}k{i}]\n" for i in range(9000))
    assert 900_000 < len(tables) < MOST_DESIGN_BYTES
    assert "must be at most 64 kB" in refusal(tables).message
    assert "more than 5 parts" in refusal(tables[:60_000]).message


def test_a_long_trace_inside_counts_by_itself() -> None:
    text = design_text(parse_design(trace_inside([k * 0.036 for k in range(20_000)])))
    assert 5 * MOST_PLAIN_BYTES < len(text) < MOST_DESIGN_BYTES
    assert design_text(parse_design(text)) == text
    assert "64 kB" in refusal(text + "#" * MOST_PLAIN_BYTES).message


@pytest.mark.parametrize(
    "words", ["see a.b.c.d.e.f", "www.a.b.c.d.e.f/g", "[1.2.3.4.5.6", "1.2.3 …"]
)
def test_dotted_words_in_a_note_are_no_keys(words: str) -> None:
    assert parse_design(edited("An invented engine", words)).note.startswith(words)


NUMBERS = [
    (group, key, declared)
    for group in GROUPS
    for _, key, declared in declarations(getattr(six(), group))
    if declared.kind == "number"
]


@pytest.mark.parametrize(("group", "key", "declared"), NUMBERS)
def test_a_number_all_but_zero_is_refused(group: str, key: str, declared: Declaration) -> None:
    wanted = "must be"
    if declared.low <= 0 <= declared.high:
        wanted = "must be 0, or at least 1e-100 away"
    for size in ("5e-324", "-5e-324", "2e-308", "1e-101"):
        error = refusal(with_key(group, key, f"[{size}]" if declared.many else size))
        assert error.field == f"{group}.{key}", size
        assert wanted in error.message, size


def test_a_vanishing_oil_pressure_is_refused_at_the_record_too() -> None:
    with pytest.raises(DesignError, match="must be 0, or at least 1e-100 away"):
        changed(six(), "oil", supply_pressure=5e-324)
    assert changed(six(), "oil", supply_pressure=0.0).oil.supply_pressure == 0
