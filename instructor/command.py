"""The command ``wetslip``.

Each part's work is imported when it is run, so that help answers at once, and so that ``doctor`` can speak
even where a library is missing or another package is in the way.
"""

from __future__ import annotations

import argparse
import importlib
import sys
from collections.abc import Sequence

from instructor.errors import ClassError, sentence_for

PARTS = (
    "instructor.learn",
    "instructor.class_command",
    "instructor.boat.command",
    "instructor.checks.command",
    "instructor.doctor",
    "instructor.notebooks",
)

DESCRIPTION = """\
Wetslip is a practical course in marine corrosion measurement. Its boats are
simulated: you measure on them as you would on a real one, and the same
simulation knows what is right and marks the work.
"""
EPILOG = """\
examples:
  wetslip learn                 open the course
  wetslip class example FOLDER  see a whole invented class, from roster to feedback
  wetslip doctor                when something does not work
  wetslip learn --help          a page about one part

exit code:
  0 when it was done, 1 when a check found something, 2 when it could not be
  done; then one sentence says why.
"""


def build_parser() -> argparse.ArgumentParser:
    """Return the parser of the whole command."""
    parser = argparse.ArgumentParser(
        prog="wetslip",
        description=DESCRIPTION,
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--version", action="store_true", help="print the version and stop")
    subparsers = parser.add_subparsers(title="parts", metavar="PART")
    for name in PARTS:
        importlib.import_module(name).add_parser(subparsers)
    return parser


def main(argv: Sequence[str] | None = None) -> int:
    """Run the command and return its exit code; an error a user can meet is one sentence on stderr."""
    for stream in (sys.stdout, sys.stderr):  # names and folders outside ASCII print on any terminal
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="backslashreplace")
    parser = build_parser()
    arguments = parser.parse_args(argv)
    if arguments.version:
        from course import __version__

        print(f"wetslip {__version__}")
        return 0
    if not hasattr(arguments, "run"):
        parser.print_help()
        return 0
    try:
        return int(arguments.run(arguments) or 0)
    except ClassError as error:
        sentence = str(error)
    except OSError as error:
        sentence = sentence_for(error)
    except KeyboardInterrupt:
        sentence = "Stopped."
    print(f"wetslip: {sentence}", file=sys.stderr)
    return 2
