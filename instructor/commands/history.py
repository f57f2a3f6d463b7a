"""`wetslip class history`."""

from __future__ import annotations

import argparse
from typing import Any

from instructor.commands.common import DONE, add, add_folder


def add_parser(commands: Any) -> None:
    """Add the command."""
    about = "show what was done to the class, when, and from whose account"
    add_folder(add(commands, "history", run, about, noted=False))


def run(arguments: argparse.Namespace) -> int:
    """Print one line a command, oldest first."""
    from instructor.history import rows
    from instructor.layout import open_class

    folder = open_class(arguments.folder)
    for row in rows(folder.root):
        given = row.get("with")
        values = [str(value) for value in given.values()] if isinstance(given, dict) else []
        print(f"{row.get('at')}  {row.get('by')}  {row.get('command')} {' '.join(values)}".rstrip())
    return DONE
