"""The pages for readers are true: made from the code, or tested against it."""

import importlib
import re
from pathlib import Path
from typing import Any

import pytest

from docs.make_design_file import PAGE as DESIGN_FILE
from docs.make_design_file import design_file_page
from kinematics import journal_films, load_design, solve_cycle, speed_limits
from kinematics.declaration import declarations
from kinematics.shaft.shaft_geometry import shaft_geometry
from kinematics.units import SI_SYMBOLS, key_of

ROOT = Path(__file__).parent.parent
NOMENCLATURE = (ROOT / "docs" / "nomenclature.md").read_text(encoding="utf-8")
ENTRIES = re.findall(r"^\|.*\| (.+) \| (.+) \| `([\w.\[\]]+)` \|$", NOMENCLATURE, re.M)
SI_OF = SI_SYMBOLS | {"deg": "rad", "rpm": "rad/s", "percent": "–"}  # beside those put in formulas


def test_the_page_on_the_design_file_is_current() -> None:
    """If it is not: python docs/make_design_file.py."""
    assert DESIGN_FILE.read_text(encoding="utf-8") == design_file_page()


@pytest.fixture(scope="module")
def results() -> dict[str, Any]:
    design = load_design(ROOT / "assets_demo" / "hill_climb_six.toml")
    cycle = solve_cycle(design, 8500)
    return {
        "design": design,
        "cycle": cycle,
        "films": journal_films(cycle),
        "ladder": speed_limits(design),
        "shaft": shaft_geometry(design),
    }


def named(expression: str, results: dict[str, Any]) -> Any:
    """The value of an entry, or what a full name imports."""
    if not expression.startswith("kinematics."):
        return eval(expression, {}, results)
    names, thing, at = expression.split("."), None, 0
    for at in range(1, len(names) + 1):
        try:
            thing = importlib.import_module(".".join(names[:at]))
        except ModuleNotFoundError:
            break
    else:
        return thing
    for name in names[at - 1 :]:
        thing = getattr(thing, name)
    return thing


@pytest.mark.parametrize(("si", "shown", "expression"), ENTRIES, ids=[e[2] for e in ENTRIES])
def test_every_entry_of_the_nomenclature_is_in_the_code(
    si: str, shown: str, expression: str, results: dict[str, Any]
) -> None:
    assert named(expression, results) is not None or "limits." in expression
    key = key_of(shown)
    if shown != "–":
        assert key is not None, f"{shown} is no unit of UNITS"
        assert SI_OF[key] == si
    of_design = re.fullmatch(r"design\.(\w+)\.(\w+)", expression)
    if of_design:
        group, attribute = of_design.groups()
        units = {
            name: declared.unit.symbol or "–"
            for name, _, declared in declarations(getattr(results["design"], group))
        }
        assert units.get(attribute, shown) == shown  # a property has no unit of its own


def test_the_nomenclature_is_read() -> None:
    assert len(ENTRIES) == NOMENCLATURE.count("` |")
    assert len(ENTRIES) > 50
