"""The command line: `sixthrow serve`, `solve`, `films`, `limits`, `report` and `solids`."""

import argparse
import math
import os
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from apps.plain_text import print_anywhere
from apps.version import program_version

if TYPE_CHECKING:
    from kinematics import Design

INTERRUPTED = 130  # 128 and the signal, as shells have it
PIPE_CLOSED = 141


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command line; returns 0, or 2 after one line on what was wrong.

    `report --check` returns 1 where numbers differ.
    """
    for stream in (sys.stdout, sys.stderr):
        print_anywhere(stream)
    try:
        try:
            return _run(arguments)
        finally:
            sys.stdout.flush()
    except KeyboardInterrupt:
        return INTERRUPTED
    except BrokenPipeError:
        _hush()
        return PIPE_CLOSED


def _run(arguments: Sequence[str] | None) -> int:
    from kinematics import DesignError  # here, where an interrupt is taken
    from kinematics.units import using_units

    given = _parser().parse_args(arguments)
    try:
        with using_units(given.units):
            return int(given.run(given))
    except DesignError as error:
        print(f"sixthrow: {error}", file=sys.stderr)
    except BrokenPipeError:
        raise
    except OSError as error:
        print(
            f"sixthrow: {error.filename or ''} {error.strerror or error}".strip(), file=sys.stderr
        )
    return 2


def _hush() -> None:
    """Let nothing more be printed: whoever read it is gone."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="sixthrow",
        description="A six-throw crank train, computed and shown. For teaching and design review; "
        "release needs tests, codes and licensed practice.",
    )
    parser.add_argument("--version", action="version", version=f"sixthrow {program_version()}")
    commands = parser.add_subparsers(required=True, metavar="COMMAND")
    serve = commands.add_parser("serve", help="open the page in the browser")
    serve.add_argument("--port", type=int, help="port (0: any free; default $PORT or 5006)")
    serve.add_argument("--address", default="127.0.0.1", help="address to listen on")
    serve.add_argument("--no-browser", action="store_true", help="do not open a browser")
    serve.set_defaults(run=_serve, units="si")
    solve = commands.add_parser("solve", help="write one cycle as CSV")
    solve.add_argument("design", type=Path, metavar="DESIGN", help="design file (TOML)")
    solve.add_argument("--speed", type=float, required=True, metavar="RPM")
    _written(solve, "FILE.csv", required=True)
    solve.set_defaults(run=_solve)
    films = commands.add_parser("films", help="print the oil film of every bearing")
    films.add_argument("design", type=Path, metavar="DESIGN", help="design file (TOML)")
    films.add_argument("--speed", type=float, metavar="RPM", help="default: rated speed")
    _written(films, "FILE.csv", help="also write every film as CSV")
    films.set_defaults(run=_films)
    limits = commands.add_parser("limits", help="print the speed limits and their margins")
    limits.add_argument("design", type=Path, metavar="DESIGN", help="design file (TOML)")
    _written(limits, "FILE.csv", help="also write the table as CSV")
    limits.set_defaults(run=_limits)
    report = commands.add_parser("report", help="write a design review as one HTML file")
    report.add_argument("design", type=Path, nargs="?", metavar="DESIGN", help="design file (TOML)")
    report.add_argument("--against", type=Path, metavar="OTHER", help="design to compare with")
    report.add_argument("--speed", type=float, metavar="RPM", help="default: rated speed")
    report.add_argument("--question", metavar="TEXT", help="what the review is to answer")
    report.add_argument(
        "--check", type=Path, metavar="FILE.html",
        help="solve a report's own designs again: are its numbers the same?",
    )  # fmt: skip
    _written(report, "FILE.html")
    report.set_defaults(run=_report)
    solids = commands.add_parser("solids", help="write the crank train as glTF or STL")
    solids.add_argument("design", type=Path, metavar="DESIGN", help="design file (TOML)")
    solids.add_argument(
        "--angle", type=float, default=0.0, metavar="DEG", help="crank angle (default: 0)"
    )
    _written(solids, "FILE.glb|.gltf|.stl|.zip", required=True, help="zip: an STL for each part")
    solids.set_defaults(run=_solids)
    return parser


def _written(
    command: argparse.ArgumentParser, name: str, *, required: bool = False, help: str = ""
) -> None:
    from kinematics.units import SYSTEMS

    command.add_argument("--out", type=Path, required=required, metavar=name, help=help or None)
    command.add_argument("--force", action="store_true", help="replace an existing file")
    command.add_argument(
        "--units", choices=tuple(SYSTEMS), default="si", help="units of output (default: si)"
    )


def _serve(given: argparse.Namespace) -> int:
    from apps.server import may_show, serve

    serve(port=given.port, address=given.address, show=may_show() and not given.no_browser)
    return INTERRUPTED


def _loaded(given: argparse.Namespace, *more: Path) -> "list[Design]":
    """Return the designs read, once it is known that the output will be no harm to their files."""
    from apps.output_file import check_output, files_of
    from kinematics import load_design

    paths = [given.design, *more]
    designs = [load_design(path) for path in paths]
    if given.out is not None:
        read = [
            file
            for path, design in zip(paths, designs, strict=True)
            for file in files_of(path, design)
        ]
        check_output(given.out, read, force=given.force)
    return designs


def _solve(given: argparse.Namespace) -> int:
    from apps.tables.cycle_table import cycle_csv
    from kinematics import solve_cycle
    from kinematics.whole_file import write_whole

    (design,) = _loaded(given)
    cycle = solve_cycle(design, given.speed)
    for warning in cycle.train.warnings:
        print(f"sixthrow: warning: {warning}", file=sys.stderr)
    write_whole(given.out, cycle_csv(cycle))
    return 0


def _films(given: argparse.Namespace) -> int:
    from apps.tables.films_table import films_csv, films_text
    from kinematics import solve_cycle
    from kinematics.units import UNITS
    from kinematics.whole_file import write_whole
    from viz.film.shown_films import ShownFilms

    (design,) = _loaded(given)
    rated = UNITS["rpm"].from_si(design.layout.rated_speed)
    shown = ShownFilms(solve_cycle(design, rated if given.speed is None else given.speed))
    if given.out is not None:
        write_whole(given.out, films_csv(shown))
    print(films_text(shown), end="")
    return 0


def _limits(given: argparse.Namespace) -> int:
    from apps.tables.limits_table import limits_text
    from kinematics.limits.speed_limits import speed_limits
    from kinematics.whole_file import write_whole
    from viz.limits.margin_table import margin_table_csv

    (design,) = _loaded(given)
    ladder = speed_limits(design)
    if given.out is not None:
        write_whole(given.out, margin_table_csv(ladder))
    print(limits_text(ladder), end="")
    return 0


def _report(given: argparse.Namespace) -> int:
    from kinematics import DesignError

    if given.check is not None:
        return _check_report(given)
    for name, value in (("DESIGN", given.design), ("--out", given.out)):
        if value is None:
            raise DesignError(name, "is missing; a report needs DESIGN and --out, or --check alone")
    from apps.report import write_report

    design, *against = _loaded(given, *([given.against] if given.against else []))
    other = against[0] if against else None
    write_report(design, given.out, given.speed, other, question=given.question or "")
    return 0


def _solids(given: argparse.Namespace) -> int:
    from apps.solid_files import solid_file
    from kinematics import DesignError
    from kinematics.units import UNITS
    from kinematics.whole_file import write_whole

    (design,) = _loaded(given)
    if not math.isfinite(given.angle):
        raise DesignError("--angle", f"must be finite (got {given.angle})")
    angle = UNITS["deg"].to_si(given.angle)
    write_whole(given.out, solid_file(design, given.out.suffix.lower(), angle))
    return 0


def _check_report(given: argparse.Namespace) -> int:
    from apps.report_check import check_report
    from kinematics import DesignError

    if any((given.design, given.against, given.out, given.speed, given.question)):
        raise DesignError("--check", "must stand alone: it reads all from the report")
    findings = check_report(given.check)
    print("\n".join(findings.lines))
    return 1 if findings.differences else 0
