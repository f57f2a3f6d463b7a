"""`wetslip class ...`: the instructor's commands, each in a module of `instructor.commands`."""

from __future__ import annotations

import argparse
import importlib
from typing import Any

COMMANDS = (  # in the order of the help
    "guide",
    "new",
    "roster",
    "release",
    "due",
    "take_in",
    "mark",
    "report",
    "feedback",
    "open_class",
    "comment",
    "export",
    "appeal",
    "backup",
    "paper",
    "own_module",
    "history",
    "remove",
    "example",
)

DESCRIPTION = """\
The instructor's side of Wetslip: a class in a folder.

The usual order:
  wetslip class new marina-class --roster roster.csv
  cd marina-class
  wetslip class release 03_reference_cell
  wetslip class take-in 03_reference_cell ../handed-in
  wetslip class mark 03_reference_cell
  wetslip class report 03_reference_cell
  wetslip class open

To see all of it at once on an invented class: wetslip class example FOLDER
To read how to run a class, and what it cannot do: wetslip class guide
"""


def add_parser(subparsers: Any) -> None:
    """Add `class` and its commands; each sets `run`, a function from the arguments to an exit code."""
    parser = subparsers.add_parser(
        "class",
        help="the instructor's side: roster, release, take in, mark, report",
        description=DESCRIPTION,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    commands = parser.add_subparsers(dest="class_command", metavar="COMMAND", required=True)
    for name in COMMANDS:
        importlib.import_module(f"instructor.commands.{name}").add_parser(commands)
