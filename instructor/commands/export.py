"""`wetslip class export`."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from instructor.commands.common import DONE, MODULE_HELP, add, add_folder

MORE = """\
For each module MODULE.csv (a row a learner), MODULE-items.csv (a row a learner
and part) and MODULE-scores.json, whose fields are named as the scores of the
open LTI Assignment and Grade Services standard; and all-modules.csv.

No cell of a CSV file can run as a formula. --anonymous gives each learner a
name drawn by lot, the same in every export, and leaves out names, groups,
written answers and comments.
"""


def add_parser(commands: Any) -> None:
    """Add the command."""
    parser = add(commands, "export", run, "write the marks as CSV and JSON for other programs", MORE)
    parser.add_argument("modules", metavar="MODULE", nargs="*", help=f"{MODULE_HELP} (default: all released)")
    parser.add_argument(
        "--to", type=Path, metavar="FOLDER", help="where to (default: exports in the class folder)"
    )
    parser.add_argument("--group", help="only this group")
    parser.add_argument("--anonymous", action="store_true", help="pseudonyms in place of ids and names")
    add_folder(parser)


def run(arguments: argparse.Namespace) -> int:
    """Write the files and name them."""
    from instructor.layout import open_class
    from instructor.records.export import export

    folder = open_class(arguments.folder)
    target = (arguments.to or folder.root / "exports").expanduser().absolute()
    with folder.locked():
        written = export(folder, arguments.modules, target, arguments.group, arguments.anonymous)
    for path in written:
        print(path)
    return DONE
