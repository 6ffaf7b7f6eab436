"""The command line: `sixthrow serve`, `solve`, `films`, `limits` and `report`."""

import argparse
import sys
from collections.abc import Sequence
from pathlib import Path

from apps.cycle_table import write_cycle_table
from kinematics import DesignError, load_design, solve_cycle
from kinematics.speed_limits import speed_limits
from kinematics.units import SYSTEMS, UNITS, shown_in


def main(arguments: Sequence[str] | None = None) -> int:
    """Run the command line; returns 0, or 2 after one line on what was wrong."""
    parser = _parser()
    given = parser.parse_args(arguments)
    try:
        with shown_in(given.units):
            return int(given.run(given))
    except DesignError as error:
        print(f"sixthrow: {error}", file=sys.stderr)
    except OSError as error:
        print(
            f"sixthrow: {error.filename or ''} {error.strerror or error}".strip(), file=sys.stderr
        )
    return 2


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="sixthrow",
        description="A six-throw crank train, computed and shown. For teaching and design review; "
        "release needs tests, codes and licensed practice.",
    )
    commands = parser.add_subparsers(required=True, metavar="COMMAND")
    serve = commands.add_parser("serve", help="open the page in the browser")
    serve.add_argument("--port", type=int, help="0 takes a free one; else PORT, else 5006")
    serve.add_argument("--address", default="127.0.0.1", help="address to listen on")
    serve.add_argument("--no-browser", action="store_true", help="do not open a browser")
    serve.set_defaults(run=_serve, units="si")
    solve = commands.add_parser("solve", help="write one cycle as CSV")
    solve.add_argument("design", type=Path, metavar="DESIGN", help="design file (TOML)")
    solve.add_argument("--speed", type=float, required=True, metavar="RPM")
    solve.add_argument("--out", type=Path, required=True, metavar="FILE.csv")
    _units(solve)
    solve.set_defaults(run=_solve)
    films = commands.add_parser("films", help="say how thick every bearing's oil film is")
    films.add_argument("design", type=Path, metavar="DESIGN", help="design file (TOML)")
    films.add_argument("--speed", type=float, metavar="RPM", help="else the rated speed")
    films.add_argument("--out", type=Path, metavar="FILE.csv", help="also write every film as CSV")
    _units(films)
    films.set_defaults(run=_films)
    limits = commands.add_parser("limits", help="say what limits the speed, and by how much")
    limits.add_argument("design", type=Path, metavar="DESIGN", help="design file (TOML)")
    limits.add_argument("--out", type=Path, metavar="FILE.csv", help="also write the table as CSV")
    _units(limits)
    limits.set_defaults(run=_limits)
    report = commands.add_parser("report", help="write a design review as one HTML file")
    report.add_argument("design", type=Path, metavar="DESIGN", help="design file (TOML)")
    report.add_argument("--against", type=Path, metavar="OTHER", help="a design to compare it with")
    report.add_argument("--speed", type=float, metavar="RPM", help="else the rated speed")
    report.add_argument("--out", type=Path, required=True, metavar="FILE.html")
    _units(report)
    report.set_defaults(run=_report)
    return parser


def _units(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "--units", choices=tuple(SYSTEMS), default="si", help="of what is written; else si"
    )


def _serve(given: argparse.Namespace) -> int:
    from apps.server import may_show, serve

    serve(port=given.port, address=given.address, show=may_show() and not given.no_browser)
    return 0


def _solve(given: argparse.Namespace) -> int:
    cycle = solve_cycle(load_design(given.design), given.speed)
    for warning in cycle.train.warnings:
        print(f"sixthrow: warning: {warning}", file=sys.stderr)
    write_cycle_table(cycle, given.out)
    return 0


def _films(given: argparse.Namespace) -> int:
    from apps.films_table import films_text, write_films_csv
    from viz.shown_films import ShownFilms

    design = load_design(given.design)
    rated = UNITS["rpm"].from_si(design.layout.rated_speed)
    shown = ShownFilms(solve_cycle(design, rated if given.speed is None else given.speed))
    if given.out is not None:
        write_films_csv(shown, given.out)
    print(films_text(shown), end="")
    return 0


def _limits(given: argparse.Namespace) -> int:
    from apps.limits_table import limits_text, write_limits_csv

    ladder = speed_limits(load_design(given.design))
    if given.out is not None:
        write_limits_csv(ladder, given.out)
    print(limits_text(ladder), end="")
    return 0


def _report(given: argparse.Namespace) -> int:
    from apps.report import write_report

    against = None if given.against is None else load_design(given.against)
    write_report(load_design(given.design), given.out, given.speed, against)
    return 0
