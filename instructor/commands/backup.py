"""`wetslip class backup` and `wetslip class restore`."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from instructor.commands.common import DONE, add, add_folder

MORE = """\
The backup is one zip with everything in the class folder: it holds names and
marks, so keep it as you keep those.
"""
RESTORE = """\
Makes the class folder FOLDER from a backup; each file is compared with what
was written then. With --gradebook only the gradebook of an existing class is
put back, and the one it had is kept beside it.
"""


def add_parser(commands: Any) -> None:
    """Add both commands."""
    parser = add(commands, "backup", run, "write the whole class into one file", MORE)
    parser.add_argument("file", metavar="FILE", type=Path, help="the zip to write")
    add_folder(parser)
    back = add(commands, "restore", run_restore, "make a class again from a backup", RESTORE, noted=False)
    back.add_argument("file", metavar="FILE", type=Path)
    back.add_argument(
        "target", metavar="FOLDER", type=Path, help="an empty or new folder, or with --gradebook the class"
    )
    back.add_argument("--gradebook", action="store_true", help="only the gradebook")


def run(arguments: argparse.Namespace) -> int:
    """Back up, and say how much."""
    from instructor.layout import open_class
    from instructor.records.backup import back_up

    folder = open_class(arguments.folder)
    with folder.locked():
        count = back_up(folder, arguments.file)
    print(f"Backed up {count} files of the class to '{arguments.file}'.")
    return DONE


def run_restore(arguments: argparse.Namespace) -> int:
    """Restore the class, or its gradebook."""
    from instructor.layout import open_class
    from instructor.records.backup import restore, restore_gradebook

    if arguments.gradebook:
        folder = open_class(arguments.target)
        with folder.locked():
            kept = restore_gradebook(arguments.file, folder)
        print(f"The gradebook is restored; the one before is kept as '{kept}'.")
        return DONE
    folder = restore(arguments.file, arguments.target)
    print(f"The class of cohort {folder.cohort} is restored in '{folder.root}'.")
    return DONE
