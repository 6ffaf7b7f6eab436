"""The report's section on fit: every check with its values, and hostile text as text."""

import dataclasses
from html.parser import HTMLParser

from kinematics import fit_checks, load_demo, with_value
from viz.report.report_fit import HEADS, fit_section

HILL = load_demo("hill_climb_six")


class Cells(HTMLParser):
    """The cells of a table's rows by the row's key, and all text."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.rows: dict[str, list[str]] = {}
        self.words = ""
        self._row: list[str] | None = None
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag == "tr":
            self._row = self.rows.setdefault(dict(attrs).get("data-key") or "heads", [])
        elif tag in ("td", "th") and self._row is not None:
            self._row.append("")

    def handle_data(self, data: str) -> None:
        self.words += data
        if self._row:
            self._row[-1] += data


def test_the_section_has_every_check_with_its_values() -> None:
    design = with_value(HILL, "main_bearing.width_mm", 38.0)
    page = Cells(str(fit_section(design)))
    assert [cell.strip() for cell in page.rows.pop("heads")] == list(HEADS)
    checks = {check.key: check for check in fit_checks(design)}
    assert set(page.rows) == set(checks)
    for key, cells in page.rows.items():
        assert len(cells) == len(HEADS)
        assert cells[1] == checks[key].outcome
        assert checks[key].values in cells[5]
        assert cells[6].strip() == checks[key].question.source
    assert "Does not fit: axial stack is 0.5 mm too long" in page.words
    assert page.rows["axial_stack"][2:4] == ["97.5 mm", "at most 97 mm"]


def test_what_is_not_checked_says_why() -> None:
    page = Cells(str(fit_section(dataclasses.replace(HILL, rod_bolts=None))))
    assert page.rows["bolt_range"][1] == "not checked"
    assert page.rows["bolt_range"][4].startswith("rod_bolts is missing")
