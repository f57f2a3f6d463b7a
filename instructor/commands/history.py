"""`wetslip class history`."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from typing import Any

from instructor.commands.common import DONE, add, add_folder


def add_parser(commands: Any) -> None:
    """Add the command."""
    about = "show what was done to the class, when, and from whose account"
    add_folder(add(commands, "history", run, about, noted=False))


def run(arguments: argparse.Namespace) -> int:
    """Print one line a command, oldest first."""
    from instructor.layout import open_class
    from instructor.records.history import rows

    folder = open_class(arguments.folder)
    for row in rows(folder.root):
        given = row.get("with")
        words = " ".join(_words(given)) if isinstance(given, dict) else ""
        print(f"{row.get('at')}  {row.get('by')}  {row.get('command')} {words}".rstrip())
    return DONE


def _words(given: dict[str, Any]) -> Iterator[str]:
    """Yield what a command was given, much as it was typed."""
    for key, value in given.items():
        if value is True:
            yield f"--{key.replace('_', '-')}"
        elif isinstance(value, list):
            yield from map(str, value)
        else:
            yield str(value)
