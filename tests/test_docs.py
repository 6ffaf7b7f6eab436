"""The pages for readers are true: made from the code, or tested against it."""

import importlib
import re
from pathlib import Path
from typing import Any

import pytest
from PIL import Image

from docs.make_design_file import PAGE as DESIGN_FILE
from docs.make_design_file import design_file_page
from docs.make_validation import PAGE as VALIDATION
from docs.make_validation import independent_checks, published_checks
from kinematics import journal_films, load_design, solve_cycle, speed_limits
from kinematics.declaration import declarations
from kinematics.shaft.shaft_geometry import shaft_geometry
from kinematics.units import SI_SYMBOLS, key_of

ROOT = Path(__file__).parent.parent
README = (ROOT / "README.md").read_text(encoding="utf-8")
USING = (ROOT / "docs" / "using.md").read_text(encoding="utf-8")
PAGES = [ROOT / "README.md", ROOT / "DEVELOPERS.md", *sorted((ROOT / "docs").glob("*.md"))]
LONGEST_README = 500
LARGEST_PICTURE = 2_000_000
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


def code_blocks(text: str, language: str) -> list[str]:
    blocks = re.findall(r"^```(\w*)\n(.*?)^```$", text, re.M | re.S)
    return [block for own, block in blocks if own == language]


def test_the_readme_is_short() -> None:
    """Prose, tables and code; the targets of links are not counted."""
    prose = re.sub(r"\]\([^)]*\)", "]", README)
    assert len(re.findall(r"\w[\w'’./-]*", prose)) <= LONGEST_README
    assert README.split("\n\n")[1].startswith("A crank-train development engineer")


def test_the_lines_of_python_print_what_the_readme_says(
    capsys: pytest.CaptureFixture[str],
) -> None:
    (lines,) = code_blocks(README, "python")
    assert len([line for line in lines.splitlines() if line]) == 6
    exec(lines, {})
    assert capsys.readouterr().out == code_blocks(README, "")[-1]


def test_the_moving_picture_is_small_and_moves() -> None:
    (name,) = re.findall(r"!\[.*\]\((\S+)\)", README)
    path = ROOT / name
    assert path.stat().st_size <= LARGEST_PICTURE
    with Image.open(path) as picture:
        assert getattr(picture, "n_frames", 1) > 10


@pytest.mark.parametrize("path", PAGES, ids=lambda path: path.name)
def test_links_lead_somewhere(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    headings = {
        re.sub(r"[^\w -]", "", heading).strip().lower().replace(" ", "-")
        for heading in re.findall(r"^#+ (.+)$", text, re.M)
    }
    for link in re.findall(r"\]\(([^)\s]+)\)", text):
        file, _, place = link.partition("#")
        assert (path.parent / file).exists() if file else place in headings, link


def test_labels_named_in_the_page_on_use_are_on_screen() -> None:
    sources = [*(ROOT / "apps").rglob("*.py"), *(ROOT / "viz").rglob("*.*")]
    screen = "\n".join(
        path.read_text(encoding="utf-8")
        for path in sources
        if path.suffix in {".py", ".js", ".html"}
    )
    labels = re.findall(r"(?<!\*)\*([A-Z][^*\n]*)\*(?!\*)", USING)
    assert len(labels) > 15
    assert not [label for label in labels if label not in screen]


def test_every_demo_is_described() -> None:
    for path in (ROOT / "assets_demo").glob("*.toml"):
        assert f"`{path.name}`" in USING


def test_the_page_on_validation_has_every_check() -> None:
    """If it has not: python docs/make_validation.py."""
    page = VALIDATION.read_text(encoding="utf-8")
    for check in (*published_checks(), *independent_checks()):
        assert f"\n| {check.title} |" in page
        assert check.standing in page
        for node in check.nodes:
            file, _, test = node.partition("::")
            assert f"def {test}" in (ROOT / file).read_text(encoding="utf-8")


def test_the_architecture_names_every_module_of_the_core() -> None:
    text = (ROOT / "docs" / "architecture.md").read_text(encoding="utf-8")
    rows = [line.split("|")[1] for line in text.splitlines() if line.startswith("| `")]
    named_there = set(re.findall(r"`(\w+)`", " ".join(rows)))
    modules = {path.stem for path in (ROOT / "kinematics").rglob("*.py")} - {"__init__"}
    assert named_there == modules


@pytest.mark.parametrize("page", ["DEVELOPERS.md", "docs/architecture.md"])
def test_files_and_modules_named_for_developers_exist(page: str) -> None:
    text = (ROOT / page).read_text(encoding="utf-8")
    folders = ("kinematics", "viz", "apps", "tests", "tools", "assets_demo", "docs")
    paths = [path for folder in folders for path in (ROOT / folder).rglob("*")]
    files = {path.name for path in paths}
    assert not {name for name in re.findall(r"`(\w+\.(?:js|css|html|py|npz))`", text)} - files
    modules = {".".join(path.relative_to(ROOT).with_suffix("").parts) for path in paths}
    for name in re.findall(r"`((?:kinematics|viz|apps)(?:\.\w+)+)", text):
        whole, _, last = name.rpartition(".")
        assert (
            name in modules
            or f"def {last}" in source(whole)
            or f"{last} =" in source(whole)
            or (f"class {last}" in source(whole))
        ), name


def source(module: str) -> str:
    """The text of a module or of a package's front door, empty where there is none."""
    path = ROOT.joinpath(*module.split("."))
    found = path / "__init__.py" if path.is_dir() else path.with_suffix(".py")
    return found.read_text(encoding="utf-8") if found.exists() else ""
