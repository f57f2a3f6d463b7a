"""`wetslip class feedback`."""

from __future__ import annotations

import argparse
from typing import Any

from instructor.commands.common import add, add_folder, add_module, tell_problems

MORE = """\
Each page is one HTML file that needs nothing else, prints well, and holds only
that learner's work: every part with its points and reason, what their logbook
shows, what a good method finds on their boat, a figure of their readings, and
what you wrote in formgrader. 'wetslip class mark --feedback' and 'wetslip class
report' write them too; use this after marking written answers, or for one learner.
"""


def add_parser(commands: Any) -> None:
    """Add the command."""
    parser = add(commands, "feedback", run, "write the learners' feedback pages", MORE)
    add_module(parser)
    parser.add_argument("learners", metavar="ID", nargs="*", help="only for these")
    add_folder(parser)


def run(arguments: argparse.Namespace) -> int:
    """Write the pages and say where they are."""
    from instructor.layout import open_class
    from instructor.names import counted
    from instructor.report.feedback import write_pages

    folder = open_class(arguments.folder)
    with folder.locked():
        pages = write_pages(folder, arguments.module, arguments.learners)
    print(f"Wrote {counted(len(pages.written), 'feedback page')} under '{folder.root / 'feedback'}'.")
    return tell_problems(pages.problems)
