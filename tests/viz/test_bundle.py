"""JavaScript modules joined into one: order, scopes, and what cannot be joined."""

import re
from pathlib import Path

import pytest

import viz.browser
from viz.browser import bundle, plain_script
from viz.browser.bundle import BundleError, bundled, classic

FOLDER = Path(viz.browser.__file__).parent
FILES = sorted(path.relative_to(FOLDER).as_posix() for path in FOLDER.rglob("*.js"))
EXPORTED = re.compile(r"^export ", re.MULTILINE)


def reader(files: dict[str, str]):
    """Files as a function that reads them."""

    def read(name: str) -> str:
        if name not in files:
            raise FileNotFoundError(name)
        return files[name]

    return read


def test_what_is_imported_stands_before_what_imports_it_and_once():
    files = {
        "a/entry.js": 'import { left } from "./left.js";\n'
        'import {\n  right,\n} from "../b/right.js";\nexport const sum = left + right;\n',
        "a/left.js": 'import { base } from "../b/base.js";\nexport const left = base + 1;\n',
        "b/right.js": 'import { base } from "./base.js";\nexport const right = base + 2;\n',
        "b/base.js": "export const base = 10;\n",
    }
    scopes = re.findall(r"^const \$(\w+) = \(", bundled("a/entry.js", reader(files)), re.M)
    assert scopes == ["b_base", "a_left", "b_right"]


def test_modules_may_use_one_name_for_different_things():
    files = {
        "entry.js": 'import { two } from "./other.js";\nconst STEP = 1;\n'
        "export const three = STEP + two();\n",
        "other.js": "const STEP = 2;\nexport function two() {\n  return STEP;\n}\n",
    }
    joined = bundled("entry.js", reader(files))
    inside = joined[joined.index("(() => {") : joined.index("})();")]
    assert "const STEP = 2;" in inside
    assert "return { two };" in inside
    assert "const STEP = 1;" not in inside
    assert joined.endswith("export const three = STEP + two();\n")
    assert len(EXPORTED.findall(joined)) == 1


def test_a_name_may_be_imported_as_another():
    files = {
        "entry.js": 'import { draw as drawAll } from "./pen.js";\ndrawAll();\n',
        "pen.js": "export async function draw() {}\n",
    }
    assert "const { draw: drawAll } = $pen;" in bundled("entry.js", reader(files))


@pytest.mark.parametrize(
    ("files", "words"),
    [
        (
            {
                "a.js": 'import { b } from "./b.js";\nexport const a = b;\n',
                "b.js": 'import { c } from "./c.js";\nexport const b = c;\n',
                "c.js": 'import { b } from "./b.js";\nexport const c = b;\n',
            },
            "modules import one another in a circle: b.js → c.js → b.js",
        ),
        (
            {"a.js": 'import { b } from "./b.js";\n'},
            "there is no file b.js, which a.js imports from",
        ),
        ({}, "there is no file a.js"),
        (
            {"a.js": 'import { one, two } from "./b.js";\n', "b.js": "export const one = 1;\n"},
            "a.js imports two, which b.js does not export",
        ),
        (
            {"a.js": 'import * as b from "./b.js";\n'},
            'a.js has an import or export of another form: import * as b from "./b.js";',
        ),
        (
            {"a.js": "export let count = 0;\n"},
            "a.js has an import or export of another form: export let count = 0;",
        ),
    ],
)
def test_what_cannot_be_joined_is_named(files, words):
    with pytest.raises(BundleError) as found:
        bundled("a.js", reader(files))
    assert str(found.value) == words


def test_a_plain_script_leaves_no_names_behind():
    files = {
        "a.js": 'import { one } from "./b.js";\nconst two = 2 * one;\n',
        "b.js": "export const one = 1;\n",
    }
    assert re.fullmatch(r"\(\(\) => \{\n.*\n\}\)\(\);", classic("a.js", reader(files)), re.S)
    with pytest.raises(BundleError, match=r"^b\.js is a plain script but exports one$"):
        classic("b.js", reader(files))


@pytest.mark.parametrize("name", FILES)
def test_every_file_can_be_an_entry(name):
    text = (FOLDER / name).read_text(encoding="utf-8")
    joined = bundle(name)
    assert joined.endswith(text.rpartition('";\n')[2])
    assert len(EXPORTED.findall(joined)) == len(EXPORTED.findall(text))
    assert not re.search(r"^import\b", joined, re.MULTILINE)


def test_what_stands_in_every_head_is_a_plain_script():
    for name in ("theme", "tick_labels", "glossary"):
        assert "export" not in re.findall(r"^\w+", plain_script(f"shared/{name}.js"), re.M)
