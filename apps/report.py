"""The report of a design as one HTML file: `report_html` is its text, `write_report` writes it."""

from datetime import date
from pathlib import Path

from apps.version import program_version
from kinematics import Cycle, Design, solve_cycle
from kinematics.design.design_file import clean_text
from kinematics.units import UNITS
from kinematics.whole_file import write_whole
from viz.report.report_page import Issue, report_page
from viz.report.reviewed import Reviewed

LONGEST_QUESTION = 300


def report_html(
    design: Design,
    speed_rpm: float | None = None,
    against: Design | None = None,
    *,
    today: date | None = None,
    question: str = "",
) -> str:
    """Return the report of a design at a speed [rpm], the rated one if none is given.

    `against` is another design that it is compared with, at the same speed; `today` is the date
    that the report bears, `question` what the review is to answer, cut at a
    length. Raises DesignError where a design or the speed cannot be solved.
    """
    rated = UNITS["rpm"].from_si(design.layout.rated_speed)
    speed = rated if speed_rpm is None else speed_rpm
    this = Reviewed(_solved(design, speed))
    other = None if against is None else Reviewed(_solved(against, speed))
    day = today or date.today()
    return report_page(
        this,
        other,
        Issue(day.isoformat(), program_version(), clean_text(question, LONGEST_QUESTION)),
    )


def write_report(
    design: Design,
    path: Path,
    speed_rpm: float | None = None,
    against: Design | None = None,
    *,
    today: date | None = None,
    question: str = "",
) -> None:
    """Write the report of `report_html` to a file, whole or not at all."""
    html = report_html(design, speed_rpm, against, today=today, question=question)
    write_whole(path, html)


def _solved(design: Design, speed_rpm: float) -> Cycle:
    cycle = solve_cycle(design, speed_rpm)
    _ = cycle.train.pressure  # a pressure that cannot be made is refused here
    return cycle
