"""Origins in a design and its file: round trips, no physics, every fault in one message."""

import dataclasses
import datetime

import pytest

from kinematics import DesignError, design_text, load_demo, parse_design, speed_limits, with_value
from kinematics.design.design_groups import ENTRIES, without_stale_origins
from kinematics.design.design_origin import (
    LONGEST_ORIGIN_NOTE,
    MOST_CHARACTERS,
    NO_ORIGINS,
    WORDS,
    Origins,
    ValueOrigin,
    read_origin,
)
from kinematics.train.cycle import rigid_train, solve_cycle

DEMO = load_demo("hill_climb_six")
PISTON = "piston.assembly_mass_g"
PLAIN = dataclasses.replace(DEMO, origins=NO_ORIGINS, revision="", author="", date="")
KEYS = [key for key, entry in ENTRIES.items() if entry.value(PLAIN) is not None]


def with_origin_line(line: str, head: str = "") -> str:
    return f"{head}{design_text(PLAIN)}\n[origin]\n{line}\n"


def refusal(text: str) -> str:
    with pytest.raises(DesignError) as caught:
        parse_design(text)
    assert len(str(caught.value)) < 500
    return str(caught.value)


def test_the_demo_names_origins_of_four_kinds() -> None:
    assert {origin.word for origin in DEMO.origins.values()} == set(WORDS)
    assert all(ENTRIES[key].value(DEMO) is not None for key in DEMO.origins)
    assert DEMO.origins["piston.assembly_mass_g"].word == "measured"
    assert DEMO.date == "2026-05-31"


def test_every_field_may_have_an_origin_and_keeps_it_through_the_file() -> None:
    origins = {
        key: ValueOrigin(WORDS[place % 4], f'part {place}, “±5 %” \\ "x": a note')
        for place, key in enumerate(KEYS)
    }
    assert {"counterweight.unbalance_kg_mm", "full_load.peak_percent"} <= origins.keys()
    design = dataclasses.replace(
        PLAIN, origins=Origins(origins), revision="B 2", author="Drawing office", date="2026-02-28"
    )
    back = parse_design(design_text(design))
    assert back == design
    assert back.papers == design.papers


def test_the_longest_notes_fit_the_file() -> None:
    note = '"' * LONGEST_ORIGIN_NOTE
    fitting = MOST_CHARACTERS // max(len(key) + 2 * len(f"drawing: {note}") for key in KEYS)
    assert fitting > 50
    for count in (fitting, len(KEYS)):
        origins = {key: ValueOrigin("drawing", note) for key in KEYS[:count]}
        if count == fitting:
            design = dataclasses.replace(PLAIN, origins=Origins(origins))
            assert parse_design(design_text(design)).origins == design.origins
        else:
            with pytest.raises(DesignError, match=f"at most {MOST_CHARACTERS} characters"):
                Origins(origins)


def test_origins_and_papers_are_no_physics() -> None:
    assert PLAIN == DEMO
    assert hash(PLAIN) == hash(DEMO)
    assert rigid_train(PLAIN) is rigid_train(DEMO)
    assert speed_limits(PLAIN) is speed_limits(DEMO)
    assert solve_cycle(PLAIN, 8000).design is PLAIN
    assert solve_cycle(DEMO, 8000).design is DEMO


def test_a_design_without_origins_says_nothing_of_them() -> None:
    text = design_text(PLAIN)
    for word in ("origin", "revision", "author", "date"):
        assert word not in text


def test_origins_are_a_value() -> None:
    one = Origins(
        {"rod.mass_g": ValueOrigin("drawing"), "piston.assembly_mass_g": read_origin("assumed: x")}
    )
    other = Origins(dict(reversed(list(one.items()))))
    assert one == other
    assert hash(one) == hash(other)
    assert list(one) == sorted(one)
    assert one.with_origin("rod.mass_g", None) == Origins(
        {"piston.assembly_mass_g": ValueOrigin("assumed", "x")}
    )
    assert repr(one) == "Origins(2 values)"


def test_an_origin_of_a_value_left_out_is_not_written() -> None:
    origins = Origins({"torsion.damper_stiffness_kNm_rad": ValueOrigin("drawing")})
    assert parse_design(design_text(dataclasses.replace(PLAIN, origins=origins))).origins == {}


def test_a_changed_value_loses_its_origin_and_the_others_stay() -> None:
    changed = with_value(DEMO, "piston.assembly_mass_g", 350)
    kept = without_stale_origins(changed, DEMO).origins
    assert kept == DEMO.origins.with_origin("piston.assembly_mass_g", None)
    again = dataclasses.replace(
        changed, origins=DEMO.origins.with_origin("piston.assembly_mass_g", ValueOrigin("drawing"))
    )
    assert without_stale_origins(again, DEMO) is again
    assert without_stale_origins(DEMO, DEMO) is DEMO


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ('"piston.mass_g" = "measured"', "origin.piston.mass_g: there is no such field"),
        ('"piston.assembly_mass_g" = "guessed"', "must be one of drawing, measured, assumed"),
        ('"piston.assembly_mass_g" = "default"', "must be one of drawing"),
        ('"piston.assembly_mass_g" = ""', "must be one of drawing"),
        ('"piston.assembly_mass_g" = ": scale"', "must be one of drawing"),
        ('"piston.assembly_mass_g" = "Measured"', "did you mean measured?"),
        ('"piston.assembly_mass_g" = 3', "must be text (got 3)"),
        ('"piston.assembly_mass_g" = ["measured"]', "must be text"),
        ('"piston.assembly_mass_g" = 2026-01-01', "must be text"),
        ('piston.assembly_mass_g = "measured"', "must be one key in quotes"),
        ('"torsion.damper_stiffness_kNm_rad" = "drawing"', "a value that the design gives"),
        ('"full_load.2.peak_percent" = "drawing"', "there is no such field"),
        ('"counterweights.1.web" = "drawing"', "there is no such field"),
        ('"counterweight.1.web" = "drawing"', "there is no such field"),
        ('"" = "drawing"', "there is no such field"),
        ('"name" = "drawing"', "there is no such field"),
        ('"origins.x" = "drawing"', "there is no such field"),
        (f'"rod.mass_g" = "drawing: {"x" * 161}"', "at most 160 characters"),
        (f'"rod.mass_g" = "{"drawing " * 900}"', "must be one of"),
        (f'"{"k" * 9000}" = "drawing"', "there is no such field"),
    ],
)  # fmt: skip
def test_a_bad_origin_is_named(line: str, words: str) -> None:
    message = refusal(with_origin_line(line))
    assert message.startswith("origin")
    assert words in message


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("origin = 3", "origin: must be a table"),
        ('origin = "measured"', "origin: must be a table"),
        ("revision = 3", "revision: must be text"),
        ("author = []", "author: must be text"),
        ('date = "yesterday"', "date: must be a day such as 2026-05-31"),
        ('date = "2026-02-30"', "date: must be a day"),
        ('date = "20260530"', "date: must be a day"),
        ('date = "2026-W05-1"', "date: must be a day"),
        ("date = 2026", "date: must be text"),
        ("date = 10:20:30", "date: must be text"),
        ('revisoin = "A"', "did you mean revision?"),
    ],
)
def test_bad_papers_are_named(line: str, words: str) -> None:
    assert words in refusal(f"{line}\n{design_text(PLAIN)}")


def test_texts_are_cleaned_and_a_toml_date_is_a_day() -> None:
    text = f'author = "a\\u202Eb"\nrevision = "{"r" * 90}"\ndate = 2026-05-31\n{design_text(PLAIN)}'
    design = parse_design(text)
    assert (design.author, design.date) == ("ab", "2026-05-31")
    assert len(design.revision) == 40
    noted = parse_design(with_origin_line('"rod.mass_g" = "measured:  a\\u202Eb\\nc "'))
    assert noted.origins["rod.mass_g"] == ValueOrigin("measured", "ab c")
    day = datetime.date.fromisoformat(design.date)
    assert day.year == 2026
