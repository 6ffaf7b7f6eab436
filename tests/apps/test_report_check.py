"""A report solved again: the same, or what differs; whatever is no report is a message."""

import base64
import dataclasses
import json
import re
import tracemalloc
from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest

import apps.report_check
from apps.command_line import main
from apps.report import report_html
from apps.report_check import MOST_BYTES, check_report
from kinematics import Design, DesignError, design_text, with_value
from kinematics.limits.attribution import ladder_attribution
from kinematics.limits.speed_limits import speed_limits
from kinematics.units import using_units
from tests.conftest import six
from tests.demos import DEMOS
from viz.report.carried import sha256
from viz.review.review_card import card_limits, card_message

START = '<script type="application/json" id="report-carried">'
PAIR = "hill_climb_six"


def lighter() -> Design:
    """The demo with a lighter piston and more speed."""
    design = with_value(DEMOS[PAIR], "layout.rated_speed_rpm", 8900)
    design = with_value(design, "piston.assembly_mass_g", 330)
    return dataclasses.replace(design, name='Light </script><b data-number="x">')


@cache
def pair_text() -> str:
    """The report of the lighter demo against the demo itself."""
    return report_html(lighter(), None, DEMOS[PAIR], question="Can the speed rise by 400 rpm?")


@cache
def small_text() -> str:
    """A report of a design of little, which is soon solved."""
    return report_html(dataclasses.replace(six(), big_end=None, main_bearing=None, oil=None), 6000)


@pytest.fixture
def file(tmp_path: Path) -> Callable[[str | bytes], Path]:
    """Write a text as a file."""

    def written(text: str | bytes) -> Path:
        path = tmp_path / "report.html"
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        return path

    return written


def carried(text: str) -> dict:
    start = text.index(START) + len(START)
    return json.loads(text[start : text.index("</script>", start)])


def with_carried(text: str, change: Callable[[dict], object]) -> str:
    """The report with something else in what it carries."""
    found = carried(text)
    change(found)
    start = text.index(START) + len(START)
    own = json.dumps(found).replace("<", "\\u003c")
    return text[:start] + own + text[text.index("</script>", start) :]


def test_a_pair_of_demos_is_the_same_when_solved_again(file) -> None:
    findings = check_report(file(pair_text()))
    assert findings.differences == ()
    assert findings.count > 800
    assert findings.lines[-1].startswith(f"All {findings.count} numbers are the same")
    assert "versions differ" not in findings.lines[0]
    assert any(line.startswith("Not compared: ") for line in findings.lines)
    assert any(f"All {findings.formulas} formula texts" in line for line in findings.lines)
    for design in (lighter(), DEMOS[PAIR]):
        assert any(line.endswith(sha256(design_text(design))) for line in findings.lines)


def test_a_report_without_another_design_is_the_same(file, capsys) -> None:
    assert main(["report", "--check", str(file(small_text()))]) == 0
    assert "numbers are the same" in capsys.readouterr().out


def test_a_report_in_us_units_is_the_same_and_carries_metric_numbers(file) -> None:
    with using_units("us"):
        text = report_html(six(), 6000)
    assert check_report(file(text)).differences == ()
    assert carried(text)["numbers"]["main.indicated_power"][1] == "kW"
    assert " hp" in text


def test_it_carries_the_designs_and_every_number_it_marks() -> None:
    text = pair_text()
    found = carried(text)
    for side, design in (("this", lighter()), ("other", DEMOS[PAIR])):
        assert found["designs"][side]["text"] == design_text(design)
        assert f'data-number="sha256.{side}">{sha256(design_text(design))}<' in text
    assert "Can the speed rise by 400 rpm?" in text
    marked = set(re.findall(r'data-number="([^"]+)"', text))
    assert set(found["numbers"]) <= marked
    for kind in ("main.", "film.", "bearing.big_end_1.", "limit.", "rated.", "shared.", "limits."):
        assert any(key.startswith(kind) for key in found["numbers"]), kind


def test_front_and_review_card_give_one_answer() -> None:
    a, b = (speed_limits(design) for design in (DEMOS[PAIR], lighter()))
    printed = dict(apps.report_check._printed(pair_text()))
    assert printed["answer"] == " ".join(card_message(a, b)["answer"].split())
    for move in card_limits(ladder_attribution(a, b))["lines"]:
        assert " ".join(move.split()) in printed.values()


@pytest.mark.parametrize("key", ["main.mean_torque", "limit.rod_fatigue", "rated.big_end.loss.a"])
def test_a_carried_number_that_is_altered_is_found(key, file) -> None:
    text = pair_text()

    def more(found: dict) -> None:
        found["numbers"][key][0] *= 1 + 3e-6

    findings = check_report(file(with_carried(text, more)))
    assert [one.key for one in findings.differences] == [key]
    assert f"1 of {findings.count} numbers differ" in " ".join(findings.lines)


def test_a_printed_number_that_is_altered_is_found(file, capsys) -> None:
    text = small_text()
    (before,) = set(re.findall(r'data-number="main.mean_torque">([^<]+)<', text))
    altered = text.replace(f'"main.mean_torque">{before}', '"main.mean_torque">999 N·m')
    assert main(["report", "--check", str(file(altered))]) == 1
    out = capsys.readouterr().out
    assert "main.mean_torque: the report says 999 N·m" in out
    assert " ".join(before.split()) in out
    gone = text.replace('data-number="verdict"', 'data-number="verdikt"')
    assert {one.key for one in check_report(file(gone)).differences} == {"verdict", "verdikt"}


@pytest.mark.parametrize(
    ("key", "words", "said"),
    [
        ("fit.axial_stack.outcome", "fits well", "numbers differ"),
        ("formula.rung.rod_fatigue", "n = 2", "formula texts differ"),
        ("values.rung.rod_fatigue", "n = 2", "numbers differ"),
        ("by.used.rod_fatigue.1", "+99.9", "numbers differ"),
        ("moves.rod_fatigue", "Limit of nothing", "numbers differ"),
        ("headline.rung.rod_fatigue", "2 at 1 rpm", "numbers differ"),
    ],
)
def test_fit_formulas_and_attributions_are_compared_too(key, words, said, file) -> None:
    text = pair_text()
    altered = re.sub(rf'(data-number="{re.escape(key)}">)[^<]+', rf"\g<1>{words}", text)
    assert altered != text
    findings = check_report(file(altered))
    assert [one.key for one in findings.differences] == [key]
    assert any(line.endswith(f"{said}:") for line in findings.lines)


@pytest.mark.parametrize("part", ["train", "film"])
def test_a_scene_that_is_altered_is_found(part, file) -> None:
    text = pair_text()
    start = text.index('id="report-data">') + len('id="report-data">')
    end = text.index("</script>", start)
    data = json.loads(text[start:end])
    blob = bytearray(base64.b64decode(data[part]["blob"]))
    blob[-4:] = b"\x00\x00\x80\x47"  # 65 536 as a float32
    data[part]["blob"] = base64.b64encode(blob).decode()
    own = json.dumps(data).replace("<", "\\u003c")
    findings = check_report(file(text[:start] + own + text[end:]))
    assert [one.key for one in findings.differences] == [f"drawn.{part}.blob"]
    assert f"{part}.blob" in " ".join(findings.lines)


def test_a_number_within_the_tolerance_is_the_same(file) -> None:
    def hardly(found: dict) -> None:
        found["numbers"]["main.mean_torque"][0] *= 1 + 1e-8

    assert check_report(file(with_carried(small_text(), hardly))).differences == ()


def test_a_design_that_is_altered_is_found_by_its_hash(file, capsys) -> None:
    def longer(found: dict) -> None:
        design = found["designs"]["this"]
        design["text"] = design["text"].replace("rod_length_mm = 145.0", "rod_length_mm = 146.0")

    assert main(["report", "--check", str(file(with_carried(small_text(), longer)))]) == 2
    assert "is altered: the design has the SHA-256" in capsys.readouterr().err


def test_a_design_altered_with_its_hashes_gives_other_numbers(file) -> None:
    text = small_text()
    own = carried(text)["designs"]["this"]
    other = own["text"].replace("rod_length_mm = 145.0", "rod_length_mm = 146.0")

    def longer(found: dict) -> None:
        found["designs"]["this"] |= {"text": other, "sha256": sha256(other)}

    altered = with_carried(text.replace(own["sha256"], sha256(other)), longer)
    assert "main.rod_ratio" in {one.key for one in check_report(file(altered)).differences}


def test_another_version_is_named(file, monkeypatch) -> None:
    monkeypatch.setattr(apps.report_check, "program_version", lambda: "99.0")
    findings = check_report(file(small_text()))
    assert "checked by 99.0: versions differ" in findings.lines[0]
    assert findings.differences == ()


def put(*path: str, value: object) -> Callable[[dict], None]:
    """Return what puts a value at a path of what is carried."""

    def change(found: dict) -> None:
        for key in path[:-1]:
            found = found[key]
        found[path[-1]] = value

    return change


HOSTILE: dict[str, Callable[[], str | bytes]] = {
    "nothing": lambda: "",
    "another page": lambda: "<!DOCTYPE html><title>Report</title><p>12 kN</p>",
    "no text": lambda: b"\xff\xfe" + small_text().encode("utf-16-le"),
    "not UTF-8": lambda: small_text().encode() + b"\xe9",
    "two of it": lambda: small_text() + f"{START}{{}}</script>",
    "no end": lambda: START + '{"form": 1',
    "no JSON": lambda: START + "alert(1)</script>",
    "a list": lambda: START + "[]</script>",
    "NaN": lambda: with_carried(small_text(), put("rpm", value=float("nan"))),
    "infinity": lambda: with_carried(small_text(), put("rpm", value=float("inf"))),
    "nested": lambda: START + "[" * 200_000 + "</script>",
    "a long number": lambda: START + '{"form": 1' + "0" * 10_000 + "}</script>",
    "another form": lambda: with_carried(small_text(), put("form", value=2)),
    "no designs": lambda: with_carried(small_text(), put("designs", value={})),
    "three designs": lambda: with_carried(small_text(), put("designs", "third", value={})),
    "a word as a design": lambda: with_carried(small_text(), put("designs", "this", value="six")),
    "a number as a design": lambda: with_carried(
        small_text(), put("designs", "this", "text", value=6)
    ),
    "no version": lambda: with_carried(small_text(), put("version", value=None)),
    "unknown units": lambda: with_carried(small_text(), put("units", value="cubits")),
    "a word as the speed": lambda: with_carried(small_text(), put("rpm", value="6000")),
    "true as the speed": lambda: with_carried(small_text(), put("rpm", value=True)),
    "no speed": lambda: with_carried(small_text(), put("rpm", value=-1.0)),
    "a speed out of range": lambda: with_carried(small_text(), put("rpm", value=1e9)),
    "numbers as a list": lambda: with_carried(small_text(), put("numbers", value=[1])),
    "a number of three": lambda: with_carried(
        small_text(), put("numbers", "main.mean_torque", value=[1, "N·m", 2])
    ),
    "a word as a number": lambda: with_carried(
        small_text(), put("numbers", "main.mean_torque", value=["much", "N·m"])
    ),
    "many numbers": lambda: with_carried(
        small_text(), put("numbers", value={str(i): [1, ""] for i in range(30_000)})
    ),
    "a hash of nothing": lambda: with_carried(
        small_text(), put("designs", "this", "sha256", value="")
    ),
    "no hash printed": lambda: small_text().replace("sha256.this", "sha256.that"),
}


@pytest.mark.parametrize("name", HOSTILE)
def test_what_is_no_report_is_a_message(name, file, capsys) -> None:
    assert main(["report", "--check", str(file(HOSTILE[name]()))]) == 2
    err = capsys.readouterr().err
    assert err.count("\n") == 1
    assert len(err) < 500


def test_a_design_that_is_none_is_a_message_though_its_hash_is_right(file) -> None:
    def other(found: dict) -> None:
        found["designs"]["this"] = {"name": "", "text": "x = [", "sha256": sha256("x = [")}

    text = small_text()
    own = carried(text)["designs"]["this"]["sha256"]
    altered = with_carried(text.replace(own, sha256("x = [")), other)
    with pytest.raises(DesignError, match="carries a design that cannot be read"):
        check_report(file(altered))


def test_a_large_file_is_not_read_whole(tmp_path) -> None:
    path = tmp_path / "large.html"
    with path.open("wb") as stream:
        stream.truncate(10 * MOST_BYTES)
    tracemalloc.start()
    with pytest.raises(DesignError, match="must be at most 40 MB"):
        check_report(path)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert peak < 3 * MOST_BYTES


def test_control_characters_of_a_report_do_not_reach_the_console(file, capsys) -> None:
    text = small_text().replace('"main.mean_torque">', '"main.mean_torque">\x1b[31m\u202e')
    assert main(["report", "--check", str(file(text))]) == 1
    out = capsys.readouterr().out
    assert "\x1b" not in out
    assert "\u202e" not in out


@pytest.mark.parametrize(
    "arguments",
    [
        [],
        ["--check", "no-such-file.html"],
        ["design.toml"],
        ["--out", "x.html"],
        ["--check", "x.html", "--out", "y.html"],
        ["design.toml", "--check", "x.html"],
        ["--check", "x.html", "--question", "why"],
    ],
)
def test_the_command_says_what_is_wrong_with_its_arguments(arguments, capsys) -> None:
    assert main(["report", *arguments]) == 2
    assert capsys.readouterr().err.count("\n") == 1
