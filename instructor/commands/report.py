"""`wetslip class report`."""

from __future__ import annotations

import argparse
from typing import Any

from instructor.commands.common import add, add_folder, add_module, tell_problems


def add_parser(commands: Any) -> None:
    """Add the command."""
    parser = add(commands, "report", run, "write a feedback page for each learner and a class summary")
    add_module(parser)
    add_folder(parser)


def run(arguments: argparse.Namespace) -> int:
    """Write the pages and say where they are."""
    from instructor.layout import open_class
    from instructor.names import counted
    from instructor.report.run import report_class

    folder = open_class(arguments.folder)
    with folder.locked():
        outcome = report_class(folder, arguments.module)
    print(f"Wrote {counted(len(outcome.pages), 'feedback page')} under '{folder.root / 'feedback'}'.")
    print(f"Class report: {outcome.summary}")
    return tell_problems(outcome.problems)
