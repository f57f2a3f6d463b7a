"""The command ``wetslip boat``: what a person who writes a boat file wants to know of it."""

from __future__ import annotations

import argparse
import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

from instructor.errors import ClassError

if TYPE_CHECKING:
    from course.boats.description import Boat

CHECK = """\
Read a boat file (YAML), say in one sentence what is wrong with it if anything
is, and otherwise draw her, warn of what looks implausible, and say what the
engine predicts: each metal's potential by itself, bonded without anodes and
with them, how long her anodes last, and what each fault would do to the
readings.
"""
CHECK_END = """\
Potentials are mV against the silver/silver-chloride cell in the water she lies
in (an open cell: in fresh water it reads some 120 mV too negative), in the
middle of what that marina offers by way of water. Rates of loss are those of
the moment, tens of per cent either way.

examples:
  wetslip boat check datasets/boats/marsh_lantern.yaml
  wetslip boat check mine.yaml --marina lark_water --figure mine.png
  wetslip boat check mine.yaml --no-faults --no-figure

exit code: 0 when the file is sound, 2 when it is not. Warnings are no errors.
"""
SCHEMA = """\
Print the JSON schema of a boat file. An editor that checks YAML against a
schema then completes names as you write and marks what is not allowed; how it
is told where the schema lies, its own manual says.
"""
TRACES = """\
Write what every fault of every boat of the fleet does to the readings, as one
text: healthy first, then each fault at a middling severity.
"""


def _part(parts: Any, name: str, words: str, description: str, epilog: str = "") -> argparse.ArgumentParser:
    found: argparse.ArgumentParser = parts.add_parser(
        name,
        help=words,
        description=description,
        epilog=epilog,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    return found


def add_parser(subparsers: Any) -> None:
    """Add ``boat`` and its parts to the command."""
    parser = subparsers.add_parser("boat", help="look at a boat file", description="Look at boat files.")
    parts = parser.add_subparsers(title="parts", metavar="PART", required=True)
    check = _part(
        parts, "check", "validate a boat file, draw it, say what the engine predicts", CHECK, CHECK_END
    )
    check.add_argument("file", type=Path, metavar="FILE", help="a boat as YAML, as in datasets/boats")
    check.add_argument("--marina", metavar="ID", help="where she lies (default: as marina.yaml says)")
    check.add_argument("--figure", type=Path, metavar="PNG", help="where to draw her (default: her id, here)")
    check.add_argument("--no-figure", action="store_true", help="do not draw her")
    check.add_argument("--no-faults", action="store_true", help="leave out the table of faults")
    check.set_defaults(run=run_check)
    schema = _part(parts, "schema", "print the JSON schema of a boat file", SCHEMA)
    schema.add_argument("--output", type=Path, metavar="FILE", help="write it there instead")
    schema.set_defaults(run=run_schema)
    traces = _part(parts, "traces", "what every fault does to every boat", TRACES)
    traces.add_argument("--output", type=Path, metavar="FILE", help="write it there (default: print it)")
    traces.set_defaults(run=run_traces)


def _boat(path: Path) -> Boat:
    from course.boats.description import BoatError, read_boat

    try:
        return read_boat(path)
    except BoatError as error:
        raise ClassError(str(error)) from error


def run_check(arguments: argparse.Namespace) -> int:
    """Check one file and print what was found. Raises ClassError for a file or a marina that cannot be used."""
    from course.boats.datasets import UnknownName
    from instructor.boat.figure import draw
    from instructor.boat.report import afloat_in, report
    from instructor.boat.traces import fault_table
    from instructor.boat.warnings import warnings

    boat = _boat(arguments.file)
    try:
        afloat = afloat_in(boat, arguments.marina)
    except UnknownName as error:
        raise ClassError(str(error)) from error
    print("\n".join(report(afloat)))
    found = warnings(afloat)
    print("\n" + (f"{len(found)} things look implausible:" if found else "Nothing looks implausible."))
    for sentence in found:
        print(f"  - {sentence}")
    if not arguments.no_faults:
        print("\n" + "\n".join(fault_table(boat, arguments.marina)))
    if not arguments.no_figure:
        target = arguments.figure or Path(f"{boat.id}.png")
        draw(afloat.plan, target)
        print(f"\nDrawn in {target}.")
    return 0


def _write(text: str, target: Path | None) -> None:
    if target is None:
        print(text)
    else:
        target.write_text(text + "\n", encoding="utf-8")
        print(f"Written to {target}.")


def run_schema(arguments: argparse.Namespace) -> int:
    """Print or write the schema."""
    from instructor.boat.schema import boat_schema

    _write(json.dumps(boat_schema(), indent=2, ensure_ascii=False), arguments.output)
    return 0


def run_traces(arguments: argparse.Namespace) -> int:
    """Print or write the traces of the whole fleet."""
    from course.boats.datasets import load
    from course.boats.description import fleet_boat
    from instructor.boat.report import afloat_in, report
    from instructor.boat.traces import fault_table

    parts = []
    for marina, row in load("marina").items():
        for name in row["boats"]:
            boat = fleet_boat(name)
            lines = [*report(afloat_in(boat, marina)), "", *fault_table(boat, marina)]
            parts.append("\n".join(lines))
    _write("\n\n\n".join(parts), arguments.output)
    return 0
