"""Make docs/validation.md: every check against something outside, with the error reached.

The checks are tests. They run here under a recorder, which notes of every comparison that holds
how far it is from what was asked, and how far it may be.
"""

import ast
import math
import re
import sys
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from unittest.mock import patch

import numpy as np
import pytest

ApproxScalar = type(pytest.approx(1.0))
ROOT = Path(__file__).parents[1]
PAGE = ROOT / "docs" / "validation.md"
REFERENCES = ROOT / "tests" / "references"
INDEPENDENT = {  # what is checked and with which independent tool: the tests
    "Piston motion against derivatives taken symbolically by SymPy": (
        "tests/kinematics/mechanics/test_slider_crank.py::test_sympy_derives_the_same",
    ),
    "Pin forces and crank torque against MuJoCo's inverse dynamics of the same linkage": (
        "tests/kinematics/train/test_inverse_dynamics.py",
    ),
    "Journal orbits on real loads against SciPy's stiff solver": (
        "tests/kinematics/film/test_journal_orbit.py::test_orbit_against_a_stiff_solver",
    ),
    "Web outlines against meshes of trimesh and areas of Shapely": (
        "tests/kinematics/mechanics/test_web_outline.py",
    ),
    "Chamfer and pocket of webs against meshes of trimesh and layers of Shapely": (
        "tests/kinematics/mechanics/test_web_lightening.py",
    ),
    "Counterweights of minimum inertia against SciPy's general solver": (
        "tests/kinematics/shaft/test_counterweight_choice.py::test_a_general_solver_finds_no_better",
        "tests/kinematics/shaft/test_counterweight_choice.py"
        "::test_a_general_solver_finds_no_better_directions",
        "tests/kinematics/shaft/test_counterweight_choice.py"
        "::test_a_general_solver_finds_no_better_below_a_moment_bound",
    ),
    "Balancing holes against a search of all pairs of holes": (
        "tests/kinematics/balancing/test_drill_plan.py::test_a_search_of_all_holes_finds_no_fewer",
    ),
}
SHORT_FOR = {  # words of the tests, as the page says them
    "companion notebook": "public worked solutions",
    "public transcription": "public reprint",
}
STANDINGS = {  # a word in a source's note, and how the page marks it
    "from memory": "from memory",
    "public worked solutions": "public worked solutions, print not seen",
    "public reprint": "public reprint",
    "recomputed": "recomputed",
    "inferred": "part inferred",
    "assumed": "part inferred",
}
OPENING = """# Validation

*Made by `python docs/make_validation.py`, which runs the checks and records what they reach.*

{total} comparisons with values from outside the project: {published} published examples, tables
and relations, and {independent} independent tools. All run in `make test`.

- **Comparison**: one number or array. **Error**: the difference over the largest value compared;
  values that must be zero count as comparisons and have no share; below 10⁻⁸ it is *rounding*.
- **Largest error** is often the rounding of a printed answer, or the two-term series of a textbook
  beside the exact motion here; the note says which.
- **Source**: *printed values* were read in the book, standard or sheet. *Public worked solutions,
  print not seen*: a book's example as others typed it in. *Public reprint*: a standard as another
  body reprints it. *From memory*: not checked against the print. *Recomputed*: a tight value
  calculated independently beside the printed one. *Part inferred*: an input was not given.
- Wrong printed answers are kept as traps: a test fails if the program ever agrees with them.

Beyond these, the tests hold energy (gas work equals mean torque), momentum (bearing, side and gas
forces on the block sum to the free force), symmetry and scaling at random designs; every limit of
the ladder against a search on single solved cycles; and in Chromium, that what is plotted is what
the core gives. `make bench` times the core beside a plain loop, MuJoCo and SciPy in the same run.
"""


@dataclass
class Comparisons:
    """What the comparisons of some tests came to; errors are relative to the value asked."""

    count: int = 0
    errors: list[float] = field(default_factory=list)
    tolerances: list[float] = field(default_factory=list)

    def add(self, found: Any, wanted: Any, tolerance: Any) -> None:
        """Note one comparison of numbers or arrays."""
        found, wanted, tolerance = np.broadcast_arrays(found, wanted, tolerance)
        if not wanted.size or not np.isfinite(wanted).all() or not np.isfinite(found).all():
            return
        self.count += 1
        size, allowed = np.abs(wanted).max(), np.abs(tolerance).max()
        if size > allowed:  # of a value that is to be zero there is no share
            self.errors.append(float(np.abs(found - wanted).max() / size))
            self.tolerances.append(float(allowed / size))


class Recorder:
    """A pytest plugin that notes what is compared, by the test's node."""

    def __init__(self) -> None:
        self.by_node: defaultdict[str, Comparisons] = defaultdict(Comparisons)
        self.node = ""

    def pytest_runtest_call(self, item: pytest.Item) -> None:
        """Remember which test runs."""
        self.node = item.nodeid.partition("[")[0]

    def run(self, nodes: list[str]) -> int:
        """Run tests and note their comparisons; return pytest's exit code."""
        holds, all_close = ApproxScalar.__eq__, np.testing.assert_allclose

        def approx_holds(wanted: Any, found: Any) -> bool:
            result = holds(wanted, found)
            if result and isinstance(found, int | float | np.number):
                self.by_node[self.node].add(found, wanted.expected, wanted.tolerance)
            return result

        def recorded(found: Any, wanted: Any, rtol: float = 1e-7, atol: float = 0, **more: Any):
            all_close(found, wanted, rtol=rtol, atol=atol, **more)
            size = np.abs(np.asarray(wanted))
            self.by_node[self.node].add(found, wanted, atol + rtol * size)

        with (
            patch.object(ApproxScalar, "__eq__", approx_holds),
            patch.object(np.testing, "assert_allclose", recorded),
        ):
            return int(
                pytest.main(
                    ["-q", "-p", "no:cacheprovider", "--hypothesis-seed=0", *nodes], plugins=[self]
                )
            )

    def of(self, nodes: tuple[str, ...]) -> Comparisons:
        """Return the comparisons of some tests or files together."""
        whole = Comparisons()
        for node, own in self.by_node.items():
            if any(node == one or node.startswith(f"{one}::") for one in nodes):
                whole.count += own.count
                whole.errors += own.errors
                whole.tolerances += own.tolerances
        return whole


@dataclass(frozen=True)
class Check:
    """A check against something outside: its title, what its tests say of it, and their nodes."""

    title: str
    notes: str
    nodes: tuple[str, ...]

    @property
    def standing(self) -> str:
        """How well the source is known, in the words of the page."""
        found = {words for phrase, words in STANDINGS.items() if phrase in self.notes}
        return "; ".join(sorted(found)) or "printed values"


def published_checks() -> list[Check]:
    """Return the checks against published values, by the files of `tests/references`."""
    checks = []
    for path in sorted(REFERENCES.glob("test_*.py")):
        notes = ast.get_docstring(ast.parse(path.read_text(encoding="utf-8"))) or ""
        for words, shown in SHORT_FOR.items():
            notes = notes.replace(words, shown)
        title = notes.splitlines()[0].rstrip(".:")
        node = path.relative_to(ROOT).as_posix()
        checks.append(Check(title, re.sub(r"\s+", " ", notes), (node,)))
    return checks


def independent_checks() -> list[Check]:
    """Return the checks against independent tools."""
    return [Check(title, "", nodes) for title, nodes in INDEPENDENT.items()]


def validation_page(recorder: Recorder) -> Iterator[str]:
    """Yield the lines of the page as Markdown."""
    published, independent = published_checks(), independent_checks()
    total = sum(recorder.of(check.nodes).count for check in (*published, *independent))
    yield OPENING.format(total=total, published=len(published), independent=len(independent))
    yield "## Against published values\n"
    yield "| check | source | comparisons | widest tolerance | largest error |"
    yield "|---|---|---:|---:|---:|"
    yield from (_row(check, recorder, check.standing) for check in published)
    yield "\n## Against independent tools\n"
    yield "| check | comparisons | widest tolerance | largest error |"
    yield "|---|---:|---:|---:|"
    yield from (_row(check, recorder) for check in independent)
    yield "\n## Sources and notes\n"
    for check in published:
        yield f"- {check.notes} (`{Path(check.nodes[0]).name}`)"


def _row(check: Check, recorder: Recorder, *middle: str) -> str:
    found = recorder.of(check.nodes)
    figures = (
        (str(found.count), _share(max(found.tolerances)), _share(max(found.errors)))
        if found.errors
        else ("bounds only", "–", "–")
    )
    return "| " + " | ".join((check.title, *middle, *figures)) + " |"


def _share(value: float) -> str:
    """Return a share in percent, with two digits; below 10⁻⁸ it is rounding."""
    if value < 1e-8:
        return "rounding"
    digits = max(1 - math.floor(math.log10(100 * value)), 0)
    return f"{100 * value:.{digits}f} %"


def main() -> None:
    """Run the checks and write the page; nothing is written if one fails."""
    recorder = Recorder()
    nodes = [node for check in (*published_checks(), *independent_checks()) for node in check.nodes]
    if code := recorder.run(nodes):
        sys.exit(code)
    PAGE.write_text("\n".join(validation_page(recorder)) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
