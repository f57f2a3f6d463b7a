"""`wetslip class remove`."""

from __future__ import annotations

import argparse
from typing import Any

from instructor.commands.common import DONE, IN_PART, add, add_folder

MORE = """\
Deletes the learner's line on the roster, their rows in the gradebook, all work
taken in, marks, feedback, boats, extensions, and their id in the history. The
class's reports, exports and sheets on paper name everyone, so they are deleted
too and are to be made again, and so are gradebooks that 'restore' put aside.
Without --yes nothing is done but to list it.

What it cannot reach: backups and appeal files made before, files you sent to
others, and the learner's own copy.
"""


def add_parser(commands: Any) -> None:
    """Add the command."""
    parser = add(
        commands, "remove", run, "remove a learner and everything that tells of them", MORE, noted=False
    )
    parser.add_argument("id", metavar="ID")
    parser.add_argument("--yes", action="store_true", help="do it")
    add_folder(parser)


def run(arguments: argparse.Namespace) -> int:
    """List what would go, or remove it."""
    from instructor.layout import open_class
    from instructor.people.removal import holdings, remove, summary

    folder = open_class(arguments.folder)
    with folder.locked():
        paths = remove(folder, arguments.id) if arguments.yes else holdings(folder, arguments.id)
    names = summary(folder, paths)
    slips = [name for name in names if name.startswith("slips/")]
    for name in names:
        if name not in slips:
            print(f"  {name}")
    if slips:
        print(f"  slips/: the {len(slips)} boats that are theirs alone")
    if arguments.yes:
        print(f"'{arguments.id}' is removed. Make reports, exports and sheets again for the others.")
        return DONE
    print(f"This, and every line about '{arguments.id}', would be deleted; add --yes to do it.")
    return IN_PART
