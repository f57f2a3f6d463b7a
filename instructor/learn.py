"""``wetslip learn``: open the course."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

HELP = "open the course"
DESCRIPTION = """\
Opens the course in JupyterLab, on its first page, in your browser.

The course is copied into FOLDER the first time. Everything you do is kept
there, so opening the same folder again goes on where you stopped. A file that
is in the folder already is never overwritten. The folder may be moved, copied
or handed in as a whole.

With --pages the same modules open as pages without code: words, boats and
forms, and no cell in sight. It is the same folder and the same work; open it
either way, whenever you like. Pages are also the way in for a screen reader.

Nothing leaves this machine, and your own Jupyter settings are neither read
nor changed.
"""
EPILOG = """\
who you are:
  In a class, give the id and the cohort code your instructor gave you, both,
  the first time. They are kept in learner.json in the folder, and decide
  which boats you get. By yourself, leave them out: you get an id by lot.

examples:
  wetslip learn
  wetslip learn --pages
  wetslip learn "D:\\School work\\corrosion" --id mlind --cohort spring-b
  wetslip learn --no-browser --port 8890

exit code:
  0 when the course was closed, 2 when it could not be opened; then one
  sentence says why.
"""


def add_parser(subparsers: Any) -> None:
    """Add ``learn`` to the command's parser."""
    parser: argparse.ArgumentParser = subparsers.add_parser(
        "learn",
        help=HELP,
        description=DESCRIPTION,
        epilog=EPILOG,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument(
        "folder",
        metavar="FOLDER",
        nargs="?",
        type=Path,
        help="where your copy of the course is or shall be (default: the folder Wetslip in your home folder)",
    )
    parser.add_argument("--id", metavar="ID", help="your id on the class's roster")
    parser.add_argument("--cohort", metavar="CODE", help="the code of your class")
    parser.add_argument("--pages", action="store_true", help="show pages without code instead of JupyterLab")
    parser.add_argument("--no-browser", action="store_true", help="open no browser, only print the address")
    parser.add_argument(
        "--port", metavar="N", type=int, help="the port to listen on (default: the first free one from 8888)"
    )
    parser.set_defaults(run=run)


def run(arguments: argparse.Namespace) -> int:
    """Open the course; return the exit code."""
    from course import desk
    from course.learner import Learner, LearnerError
    from instructor.errors import ClassError

    folder = (arguments.folder or Path.home() / "Wetslip").expanduser().absolute()
    if (arguments.id is None) != (arguments.cohort is None):
        raise ClassError("Give --id and --cohort together, as your instructor gave them to you, or neither.")
    try:
        learner = desk.settle(folder, Learner(arguments.id, arguments.cohort) if arguments.id else None)
        laid = desk.lay_out(folder)
        say(f"{folder} is the folder of learner {learner.id}, cohort {learner.cohort}.")
        say(f"Course files copied into it: {laid.copied}; there already and left as they are: {laid.kept}.")
        desk.open_desk(
            folder, browser=not arguments.no_browser, port=arguments.port, say=say, as_pages=arguments.pages
        )
    except (desk.DeskError, LearnerError) as error:
        raise ClassError(str(error)) from error
    return 0


def say(sentence: str) -> None:
    """Print at once, also where the output is a pipe."""
    print(sentence, flush=True)
