"""Own criteria in the design file: what a table may hold, and the way there and back."""

import dataclasses

import pytest

from kinematics import DesignError, design_text, load_demo, parse_design, with_value
from kinematics.design.own_criterion import MOST_CRITERIA, OwnCriterion

DESIGN = load_demo("inline_four")
OWN = OwnCriterion(
    "Side thrust per bore", "side_thrust/cylinder.bore_mm", 120, "workshop's own rule (invented)",
    "N_mm",
)  # fmt: skip
TABLE = {
    "name": '"Peak torque"', "expression": '"peak_torque"', "allowable": "900",
    "source": '"test bench"', "unit": '"Nm"',
}  # fmt: skip


def parsed(**changed):
    table = TABLE | changed
    rows = "\n".join(f"{key} = {value}" for key, value in table.items() if value is not None)
    return parse_design(f"{design_text(DESIGN)}\n[[criterion]]\n{rows}\n")


def test_there_and_back():
    design = dataclasses.replace(DESIGN, criteria=(OWN, parsed(at_least="true").criteria[0]))
    assert parse_design(design_text(design)) == design
    assert design.criteria[1] == OwnCriterion(
        "Peak torque", "peak_torque", 900, "test bench", "Nm", True
    )


@pytest.mark.parametrize(
    ("changed", "message"),
    [
        ({"source": None}, "criterion.1.source: is missing"),
        ({"source": '"  "'}, "criterion.1.source: is missing"),
        ({"name": None}, "criterion.1.name: is missing"),
        ({"name": '"..."'}, "criterion.1.name: must have a letter or a digit"),
        ({"name": '"' + "a" * 61 + '"'}, "criterion.1.name: must be text of at most 60"),
        ({"name": "3"}, "criterion.1.name: must be text"),
        ({"allowable": "0"}, "criterion.1.allowable: must be 1e-09 to 1e\\+09"),
        ({"allowable": "-3"}, "criterion.1.allowable: must be"),
        ({"allowable": '"3"'}, "criterion.1.allowable: must be a number"),
        ({"allowable": "nan"}, "criterion.1.allowable: must be"),
        ({"unit": '"m/s"'}, "criterion.1.unit: must be a unit .*did you mean m_s"),
        ({"unit": '"degC"'}, "criterion.1.unit: must be a unit"),
        ({"at_least": '"yes"'}, "criterion.1.at_least: must be true or false"),
        ({"at_least": "1"}, "criterion.1.at_least: must be true or false"),
        ({"expression": '"open(1)"'}, "criterion.1.expression: holds 'open"),
        ({"expression": '""'}, "criterion.1.expression: cannot be read"),
        ({"expression": '"speed < 3"'}, "criterion.1.expression: holds"),
        ({"expresion": '"speed"'}, "criterion.1.expresion: unknown key; did you mean expression"),
    ],
)
def test_what_is_wrong_is_named_with_its_key(changed, message):
    with pytest.raises(DesignError, match=message):
        parsed(**changed)


def test_names_differ_and_are_not_too_many():
    twins = (OWN, dataclasses.replace(OWN, name="side thrust PER bore!"))
    with pytest.raises(DesignError, match=r"criterion\.2\.name: must differ from that of row 1"):
        dataclasses.replace(DESIGN, criteria=twins)
    many = tuple(dataclasses.replace(OWN, name=f"c {i}") for i in range(MOST_CRITERIA + 1))
    with pytest.raises(DesignError, match="criterion: must be at most 12"):
        dataclasses.replace(DESIGN, criteria=many)
    with pytest.raises(DesignError, match=r"\[\[criterion\]\]"):
        parse_design(f"criterion = 3\n{design_text(DESIGN)}")


def test_control_characters_go_from_a_text():
    assert parsed(name='"Peak\\u202e torque"').criteria[0].name == "Peak torque"


def test_an_allowable_is_a_field_like_others():
    design = with_value(dataclasses.replace(DESIGN, criteria=(OWN,)), "criterion.1.allowable", 99)
    assert design.criteria[0].allowable == 99
