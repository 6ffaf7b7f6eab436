"""Words of the trade: what people read has no phrase that the trade has a term for."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
FOLDERS = ("kinematics", "viz", "apps", "assets_demo")
NOT_SHOWN = {"Sales talk"}  # the label that a page had in old files

# pattern: the term in its place
TERMS = {
    r"\b[Oo]scillat": "reciprocating",
    r"[Ss]haft in one piece|cut at every main": "continuous or determinate shaft",
    r"[Ss]tiffness of a main": "main-bearing support stiffness",
    r"Sales talk": "rev limit",
    r"\b([Ii]s|[Rr]emains|[Aa]re) safe\b": "within",
    r"Order map": "Campbell diagram",
    r"[Tt]orque sum|sum of the phase vectors": "phase-vector sum",
    r"Small-end (push|pull)": "rod compression, rod tension",
    r"\b[Ii]ndicated mean pressure": "indicated mean effective pressure (IMEP)",
    r"\b[Ll]east (oil )?film|\b[Tt]hinnest film": "minimum oil film thickness",
    r"Oil in the film|Viscosity in the film": "effective oil temperature, effective viscosity",
    r"Crown worth having": "recommended crown",
    r"Quiet place": "least-loaded angle",
    r"the pin starves": "no oil reaches the crankpin",
    r"Web at the (main|pin)|Web relief": "web width, web lightening",
    r"[Tt]urned? aside": "offset angle",
    r"\b[Ll]east inertia": "minimum inertia",
    r"Shafts drawn": "sample size",
    r"No main above": "maximum main load",
    r"by themselves": "inherently balanced",
    r"[Dd]eepest hole|[Ll]east wall": "maximum depth, minimum wall",
    r"Static moment left|Bare throws": "residual static unbalance, couple without counterweights",
    r"crossed throws|throws in a plane": "cross-plane, flat-plane",
    r"Stress against yield|Bolts against yield": "shank yield, bolt yield",
    r"Opening of the joint|Slip in the split": "joint separation, slip at fracture face",
    r"Twist of the shaft|Swing of the free end": "torsional amplitude at free end",
    r"Irregularity at idle": "cyclic irregularity at idle",
    r"moment of momentum": "angular momentum",
    r"Work it out|[Ss]olved anew|Make the map|given up": "calculate, recalculated, cancelled",
    r"Keep as a step|Put it back|present scene": "add to storyboard, undo delete",
    r"Forget (progress|all)|Think again|\bNot so\.": "reset progress, not quite",
    r"\bPinned (?!at )|\bPinned:|\bpinned( [^m?]|,)|\bUnpin|Pin (anew|as reference)": "reference",
    r"values put in": "with values",
    r"companion notebook|public transcription": "public worked solutions, public reprint",
    r"found [^;\"]*; allowed|; allowed (is|are)\b": "must be Y to Z (got X)",
    r"[Ww]hat is permissible": "permissible",
    r"\b(turns|radians|times) a second|\ba turn of the crank": "per second, per turn",
}
WORDS_ALLOWED = re.compile(r"^[a-z0-9_.\-]+$")  # keys, names of files and of styles


def _strings(path: Path) -> Iterator[str]:
    """Yield what a file may show: string literals of Python and of scripts, texts of the rest."""
    text = path.read_text(encoding="utf-8")
    if path.suffix == ".py":
        tree = ast.parse(text)
        silent = {id(node.value) for node in ast.walk(tree) if isinstance(node, ast.Expr)}
        for node in ast.walk(tree):
            value = getattr(node, "value", None) if isinstance(node, ast.Constant) else None
            if isinstance(value, str) and id(node) not in silent:
                yield value
    elif path.suffix == ".js":
        text = re.sub(r"/\*.*?\*/|^\s*//.*?$", "", text, flags=re.DOTALL | re.MULTILINE)
        for literal in re.findall(r'"(?:[^"\\\n]|\\.)*"|`(?:[^`\\]|\\.)*`', text):
            yield re.sub(r"\$\{[^{}`]*\}", "{}", literal[1:-1])
    else:
        yield re.sub(r"\{[{%].*?[}%]\}|<[^<>]*class=[^<>]*>|^#.*?$", "", text, flags=re.MULTILINE)


def _shown() -> list[tuple[str, str]]:
    files = (
        path
        for folder in FOLDERS
        for path in sorted((ROOT / folder).rglob("*"))
        if path.suffix in (".py", ".js", ".html", ".toml", ".md")
    )
    return [
        (str(path.relative_to(ROOT)), one)
        for path in files
        for one in _strings(path)
        if not WORDS_ALLOWED.match(one) and one not in NOT_SHOWN
    ]


SHOWN = _shown()


@pytest.mark.parametrize("pattern", TERMS)
def test_what_is_shown_uses_the_terms_of_the_trade(pattern: str) -> None:
    old = re.compile(pattern)
    found = [f"{path}: {one[:120]}" for path, one in SHOWN if old.search(one)]
    assert not found, f"say {TERMS[pattern]}"


def test_every_kind_of_file_is_read() -> None:
    kinds = {path.rpartition(".")[2] for path, _ in SHOWN}
    assert kinds == {"py", "js", "html", "toml", "md"}
