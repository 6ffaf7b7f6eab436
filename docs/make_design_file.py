"""Make docs/design_file.md: every group and field of a design file, from the declarations."""

import dataclasses
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT))

from kinematics.declaration import Declaration, declarations  # noqa: E402
from kinematics.design.allowables import DEFAULTS, RED_LINE_OVER_RATED, Limits  # noqa: E402
from kinematics.design.design_file import (  # noqa: E402
    MOST_KEY_PARTS,
    MOST_PLAIN_BYTES,
    SCHEMA,
)
from kinematics.design.design_groups import (  # noqa: E402
    RECORD_OF_GROUP,
    REQUIRED_GROUPS,
    TABLE_LISTS,
)
from kinematics.design.design_origin import LONGEST_ORIGIN_NOTE, WORDS  # noqa: E402
from kinematics.design.design_pressure import MODEL_FIELDS, Pressure  # noqa: E402
from kinematics.design.own_criterion import MOST_CRITERIA, RESULT_UNITS  # noqa: E402
from kinematics.expression import DEEPEST, LARGEST_EXPONENT  # noqa: E402
from kinematics.limits.named_results import RESULTS  # noqa: E402
from kinematics.mechanics.pressure_trace import HIGHEST_COLUMN  # noqa: E402
from kinematics.units import UNITS  # noqa: E402

WORDS_OF_ORIGIN = ", ".join(f"`{word}`" for word in WORDS)
PAGE = ROOT / "docs" / "design_file.md"
CONFIDENCES = {
    "published": "published", "memory": "from memory", "practice": "common practice",
    "physics": "equilibrium", "weak": "weak source",
}  # fmt: skip
OPENING = f"""# The design file

*Made by `python docs/make_design_file.py` from the declarations in `kinematics/design`.*

A design is one TOML file. `assets_demo/hill_climb_six.toml` is a complete example.

- `schema = {SCHEMA}` comes first. `name` and `note` are text, as are `revision`, `author` and
  `date` (a day such as 2026-05-31), each optional.
- A key ends in its unit: `bore_mm`, `peak_bar`. A file is always metric, also when the screen
  shows US units.
- The groups {", ".join(f"`[{group}]`" for group in sorted(REQUIRED_GROUPS))} are required. Each
  other group may be left out; what needs it then says so.
- A wrong key, a missing value or a value out of range is reported with key, value and range.
- A file has at most {MOST_PLAIN_BYTES // 1000} kB beside its pressure trace; a key has at most
  {MOST_KEY_PARTS} parts.
- Cylinder 1, throw 1 and web 1 are at the front. Signs and frames are in
  [assumptions.md](assumptions.md).

A pressure trace (`source = "trace"`) is a CSV beside the design file, named by `file`, with the
columns `crank_angle_deg` (0 at firing TDC, rising, one cycle) and `cylinder_pressure_bar`
(absolute). A design saved by the program holds its trace inside, under keys of the same names;
where each cylinder has its own, `cylinder_pressure_bar` is a list of lists, one per cylinder from
the front, each over the angle from that cylinder's own firing TDC. `{HIGHEST_COLUMN}`,
of the same form, is the cycle of highest peak among those whose mean `cylinder_pressure_bar` is.

`[[full_load]]` is the full-load curve: 2 to 12 rows of rising speed. Between rows the pressure
varies linearly with speed; beyond the ends the end row holds. A trace ignores the curve, and the
page says so.

`[origin]` says where values are known from: a field's key in quotes, and one of
{WORDS_OF_ORIGIN}, with a note after a colon:
`"piston.assembly_mass_g" = "measured: scale, 12 parts"`. The key of a list is that of its
column: `"full_load.peak_percent"`. A note has at most {LONGEST_ORIGIN_NOTE} characters. What is
left out is "default". Origins are no physics: no result depends on them. When the program changes a
value, the value's origin goes.

`[limits]` replaces allowables. A default carries its source and how far it can be trusted:
published, common practice, equilibrium, weak source, or from memory (not checked).
"""


OWN_CRITERIA = f"""## Own criteria

Each `[[criterion]]`, at most {MOST_CRITERIA}, is a rung of the ladder beside the built-in ones:

```toml
[[criterion]]
name = "Corrected piston speed"
expression = "mean_piston_speed/sqrt(cylinder.stroke_mm/cylinder.bore_mm)"
allowable = 12.0
unit = "m_s"
source = "The workshop's own rule (invented)"
```

An expression holds names, numbers, `+ - * / ** ( )` (`^` is `**`), `abs(x)`, `sqrt(x)`,
`min(x, y)` and `max(x, y)`; lessons use the same language, with comparisons. An exponent is a
number from −{LARGEST_EXPONENT} to {LARGEST_EXPONENT}; at most {DEEPEST} operations stand within
one another. A name is a result below, at the speed that is looked at, or any single number of the
design by group and key (`cylinder.bore_mm`, with the default that is in force).

- With a `unit` the expression is computed in SI and must come out in that unit's kind; an angle
  counts as a kind of its own, so `speed` times a length is no speed. The allowable is in that unit.
- Without a `unit` the result is a plain number, and each name counts in the unit below, or that of
  its key. Nothing is converted or checked: this is for rules of thumb with numbers of their own.
- `at_least = true` where more is better. A value below zero uses nothing of an upper bound.
- An unknown name, a result of another kind, or a speed without a value (division by zero, the
  root of a negative number) leaves the criterion on the list of what is not assessed, with the
  reason.
- What a named result leaves out marks the criterion too; which way that errs is open.

Units: {", ".join(f"`{key}`" for key in RESULT_UNITS if key)}.

| name | result | unit |
|---|---|---|
"""


def _named_results() -> str:
    return "\n".join(
        f"| `{name}` | {result.label} | {UNITS[result.criterion.unit].symbol or '–'} |"
        for name, result in RESULTS.items()
    )


def design_file_page() -> str:
    """Return the page as Markdown."""
    parts = [OPENING]
    for group, record in RECORD_OF_GROUP.items():
        required = "required" if group in REQUIRED_GROUPS else "optional"
        parts += ["", *_section(f"[{group}]", record, required)]
    for key, (_, record) in TABLE_LISTS.items():
        parts += ["", *_section(f"[[{key}]]", record, "optional list")]
    parts += ["", OWN_CRITERIA + _named_results()]
    return "\n".join(parts) + "\n"


def _section(heading: str, record: Any, required: str) -> Iterator[str]:
    yield f"## `{heading}`"
    yield ""
    yield f"{(record.__doc__ or '').strip().splitlines()[0]} ({required})"
    yield ""
    yield "| key | what | unit | range | default | notes |"
    yield "|---|---|---|---|---|---|"
    defaults = {field.name: field.default for field in dataclasses.fields(record)}
    for attribute, key, declared in declarations(record):
        default = _default(record, attribute, defaults[attribute], declared)
        cells = (
            f"`{key}`", declared.label, declared.unit.symbol or "–", _range(declared), default,
            declared.explanation,
        )  # fmt: skip
        yield "| " + " | ".join(cells) + " |"


def _range(declared: Declaration) -> str:
    if declared.kind == "choice":
        return " or ".join(f"`{word}`" for word in declared.choices)
    if declared.kind == "flag":
        return declared.allowed
    if declared.kind == "text":
        return f"at most {declared.high:.0f} characters"
    many = ", each" if declared.many else ""
    return f"{_plain(declared.low)} to {_plain(declared.high)}{many}"


def _default(record: Any, attribute: str, value: Any, declared: Declaration) -> str:
    if value is dataclasses.MISSING:
        return "required"
    if record is Limits and attribute in DEFAULTS:
        allowed, origin = DEFAULTS[attribute]
        words = f"{origin.words} ({CONFIDENCES[origin.confidence]})"
        repeated = any(
            word in origin.words for word in ("from memory", "common practice", "weak source")
        )
        return f"{_plain(declared.unit.from_si(allowed))}: {origin.words if repeated else words}"
    if record is Limits and attribute == "red_line":
        return f"{RED_LINE_OVER_RATED:g} × rated speed (common practice)"
    if record is Pressure and attribute in MODEL_FIELDS:
        return "required by the model"
    if value is None:
        return "optional"
    if declared.kind == "flag":
        return f"`{str(value).lower()}`"
    if declared.kind in ("number", "whole"):
        return _plain(declared.unit.from_si(value))
    return f"`{value}`"


def _plain(value: float) -> str:
    """Return a number without a power of ten, with a true minus sign."""
    return f"{value:.12g}".replace("-", "−")


if __name__ == "__main__":
    PAGE.write_text(design_file_page(), encoding="utf-8")
