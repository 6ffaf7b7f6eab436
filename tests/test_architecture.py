"""The rules of the house: arrows point one way, the core is pure, modules stay small."""

import ast
import importlib
import inspect
import re
import sys
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
LAYERS = ("kinematics", "viz", "apps")  # each may use those before it
ROOT_MODULES = (
    "root"  # the modules of a package that are in no folder and have no place of their own
)
ORDER = {  # of folders and modules in a package: each may use those before it
    "kinematics": (
        ROOT_MODULES, "mechanics", "strength", "torsion", "throw", "design", "train", "shaft",
        "solid", "balancing", "film", "fit", "limits",
    ),
    "viz": (
        ROOT_MODULES, "fit", "train", "solid", "film", "limits", "shaft", "compare", "rev_limit",
        "review", "lessons", "storyboard", "browser", "placed", "report",
    ),
    "apps": (
        ROOT_MODULES, "controls", "state", "components", "lessons", "glossary", "storyboard",
        "report", "pages", "tables", "server", "command_line", "__main__",
    ),
}  # fmt: skip
ALLOWED_IN_CORE = {"numpy", "scipy", "tomli_w"}
STATE_OF_THE_PROGRAM = {"panel", "param"}
LONGEST_MODULE = 500
LONGEST_BODY = 60
TEXTS = {".py", ".md", ".toml", ".csv", ".js", ".css", ".html", ".json", ".yml", ".yaml", ".svg"}
FOLDERS = (*LAYERS, "assets_demo", "tests", "docs")
HOSTS = {"localhost", "127.0.0.1", "[::1]", "www.w3.org"}  # the last names XML vocabularies
NAMES_FOR_TESTS = (".example", ".invalid", ".test")  # reserved, RFC 2606


def modules(package: str) -> list[Path]:
    return sorted((ROOT / package).rglob("*.py"))


ALL = [path for package in (*LAYERS, "assets_demo") for path in modules(package)]


def module_name(path: Path) -> str:
    parts = path.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


MODULES = {module_name(path) for path in ALL}


@cache
def tree_of(path: Path) -> ast.Module:
    return ast.parse(path.read_text(encoding="utf-8"))


def imports(path: Path) -> set[str]:
    """Full names of all imported modules, wherever in the file they stand."""
    found: set[str] = set()
    for node in ast.walk(tree_of(path)):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: relative import"
            found.add(node.module or "")
    return found


def top(name: str) -> str:
    return name.partition(".")[0]


@pytest.mark.parametrize("layer", LAYERS)
def test_arrows_point_one_way(layer: str) -> None:
    above = set(LAYERS[LAYERS.index(layer) + 1 :]) | {"tests"}
    for path in modules(layer):
        assert not {top(name) for name in imports(path)} & above, path


def imported_modules(path: Path) -> set[str]:
    """Full names of the modules of the project that a file imports, submodules by their own."""
    found: set[str] = set()
    for node in ast.walk(tree_of(path)):
        if isinstance(node, ast.ImportFrom):
            whole = {f"{node.module}.{alias.name}" for alias in node.names}
            found |= {name for name in whole if name in MODULES} or {node.module or ""}
    return (found | imports(path)) & MODULES


def place(name: str) -> str:
    """Where in its package's order a module stands: its folder's name, its own, or the root."""
    package, *rest = name.split(".")
    own = rest[0] if rest else ""
    return own if len(rest) > 1 or own in ORDER[package] else ROOT_MODULES


@pytest.mark.parametrize("package", LAYERS)
def test_every_folder_has_its_place(package: str) -> None:
    folders = {path.parent.name for path in modules(package) if path.parent.parent.name == package}
    own = {path.stem for path in modules(package) if path.parent.name == package}
    assert folders <= set(ORDER[package])
    assert set(ORDER[package]) <= folders | own | {ROOT_MODULES}


@pytest.mark.parametrize("package", LAYERS)
def test_folders_use_those_before_them(package: str) -> None:
    """Beside the front door, which shows things of every folder."""
    order = ORDER[package]
    for path in modules(package):
        here = place(module_name(path))
        if path == ROOT / package / "__init__.py":
            continue
        for name in imported_modules(path):
            if top(name) == package and place(name) != here:
                later = order.index(place(name)) > order.index(here)
                assert not later, f"{module_name(path)} ({here}) uses {name} ({place(name)})"


def test_the_core_needs_only_numbers() -> None:
    own = set(sys.stdlib_module_names) | ALLOWED_IN_CORE | {"kinematics"}
    for path in modules("kinematics"):
        assert not {top(name) for name in imports(path)} - own, path


def test_pictures_keep_no_state_of_the_program() -> None:
    """Figures and scenes come out of results alone; components and state are the program's."""
    for path in modules("viz"):
        assert not {top(name) for name in imports(path)} & STATE_OF_THE_PROGRAM, path


def test_inside_the_core_nothing_goes_through_the_front_door() -> None:
    """Modules of the core import one another where things are defined."""
    for path in modules("kinematics"):
        assert "kinematics" not in imports(path), path


def test_the_demos_are_data_that_import_nothing() -> None:
    """So the core may find them by the name of their package."""
    used = {top(name) for name in imports(ROOT / "assets_demo" / "__init__.py")}
    assert used <= set(sys.stdlib_module_names)


def test_no_cycles() -> None:
    graph = {
        module_name(path): {name for name in imports(path) if top(name) in LAYERS} for path in ALL
    }
    done: set[str] = set()

    def visit(name: str, way: tuple[str, ...]) -> None:
        assert name not in way, " → ".join((*way, name))
        if name in done:
            return
        for other in graph.get(name, ()):
            visit(other, (*way, name))
        done.add(name)

    for name in graph:
        visit(name, ())


def public_things(package: str) -> Iterator[tuple[str, object]]:
    """Every public function, class, method and property that a package defines."""
    for path in modules(package):
        module = importlib.import_module(module_name(path))
        for name, thing in vars(module).items():
            own = getattr(thing, "__module__", None) == module.__name__
            if name.startswith("_") or not own or not callable(thing):
                continue
            if not inspect.isclass(thing) and not inspect.isfunction(inspect.unwrap(thing)):
                continue
            yield f"{module.__name__}.{name}", thing
            if inspect.isclass(thing):
                for key, member in vars(thing).items():
                    if not key.startswith("_") and callable(member) | isinstance(member, property):
                        yield f"{module.__name__}.{name}.{key}", member


def test_everything_public_in_the_core_says_what_it_is() -> None:
    silent = [name for name, thing in public_things("kinematics") if not inspect.getdoc(thing)]
    assert not silent
    assert len(dict(public_things("kinematics"))) > 80  # the search itself works


def test_most_of_the_core_names_its_source() -> None:
    """Public functions, methods and properties: who says so, or what it follows from."""
    named = re.compile(r"^\s*References?(:|\s*\n\s*-{3,})", re.MULTILINE)
    docs = [
        inspect.getdoc(inspect.unwrap(thing) if callable(thing) else thing) or ""
        for _, thing in public_things("kinematics")
        if not inspect.isclass(thing)
    ]
    assert sum(bool(named.search(doc)) for doc in docs) >= 0.6 * len(docs)


def test_modules_open_with_a_docstring_and_stay_short() -> None:
    for path in ALL:
        lines = path.read_text(encoding="utf-8").splitlines()
        assert len(lines) <= LONGEST_MODULE, path
        assert ast.get_docstring(tree_of(path)) or not lines, path


def test_bodies_stay_short() -> None:
    """Counted without the docstring."""
    nodes = [(module, node) for module in ALL for node in ast.walk(tree_of(module))]
    for path, node in nodes:
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            body = node.body[1:] if ast.get_docstring(node) else node.body
            if body:
                length = (body[-1].end_lineno or 0) - body[0].lineno + 1
                assert length <= LONGEST_BODY, f"{path}: {node.name}"


def test_no_catch_all_names() -> None:
    for path in ALL:
        assert not re.search(r"(^|_)(utils?|helpers?|managers?|misc|common)$", path.stem), path


def texts() -> list[Path]:
    """Every text that belongs to the project."""
    inside = [path for folder in FOLDERS for path in (ROOT / folder).rglob("*")]
    found = [path for path in (*ROOT.glob("*"), *inside) if path.is_file()]
    return sorted(
        path
        for path in found
        if (path.suffix in TEXTS or path.name == "Makefile") and "__pycache__" not in path.parts
    )


def test_no_paths_of_a_machine() -> None:
    pattern = re.compile(r"/(home|root|Users|work|tmp/venv)/|[A-Z]:\\Users")
    for path in texts():
        found = pattern.search(path.read_text(encoding="utf-8"))
        assert found is None, f"{path.relative_to(ROOT)}: {found.group()}"


def test_no_addresses_of_other_hosts() -> None:
    """Pages, scripts and styles complete without a network; texts cite books, not links."""
    pattern = re.compile(r"\b(?:https?|wss?)://(\[[^\]]*\]|[\w.-]+)", re.IGNORECASE)
    for path in texts():
        for host in pattern.findall(path.read_text(encoding="utf-8")):
            allowed = host in HOSTS or host.endswith(NAMES_FOR_TESTS)
            assert allowed, f"{path.relative_to(ROOT)}: {host}"


def test_scripts_and_styles_load_nothing_from_elsewhere() -> None:
    pattern = re.compile(r"""(?:src|href|url|import|from)\s*[=(]?\s*["'(]\s*//""")
    for path in texts():
        if path.suffix in {".js", ".css", ".html"}:
            assert not pattern.search(path.read_text(encoding="utf-8")), path
