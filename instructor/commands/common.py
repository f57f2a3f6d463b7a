"""What the commands of `wetslip class` share: how they are added, their usual arguments, how problems are told."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

Handler = Callable[[argparse.Namespace], int]

DONE, IN_PART = 0, 1
LOOKED = "looked"  # set on the arguments by a command that this time only looked
UNSAID = ("run", "folder", "class_command", "version")
MODULE_HELP = "such as 03_reference_cell"


def add(
    commands: Any,
    name: str,
    handler: Handler,
    about: str,
    more: str = "",
    examples: str = "",
    noted: bool = True,
) -> argparse.ArgumentParser:
    """Add one command.

    Parameters
    ----------
    commands : the subparsers of `wetslip class`
    name : as it is typed
    handler : from the arguments to the exit code; it imports what it needs
    about : one line, without a stop, for the list of commands and the head of its own help
    more : paragraphs of its own help, as they are to be printed
    examples : lines of examples, as they are to be printed
    noted : whether the class's history tells of it
    """
    description = about[0].upper() + about[1:] + "."
    if more:
        description += "\n\n" + more.strip()
    parser: argparse.ArgumentParser = commands.add_parser(
        name,
        help=about,
        description=description,
        epilog=f"examples:\n{examples.rstrip()}" if examples else None,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.set_defaults(run=_noting(name, handler) if noted else handler)
    return parser


def _noting(name: str, handler: Handler) -> Handler:
    """Return a handler that, once done, adds a line to the history of the class in --folder."""

    def run(arguments: argparse.Namespace) -> int:
        outcome = handler(arguments)
        folder = getattr(arguments, "folder", None)
        if folder is not None and not getattr(arguments, LOOKED, False):
            from instructor.records.history import note

            given = {key: value for key, value in vars(arguments).items() if key not in UNSAID and value}
            note(folder.expanduser().absolute(), name, given, outcome)
        return outcome

    return run


def add_folder(parser: argparse.ArgumentParser) -> None:
    """Add --folder, the class folder."""
    parser.add_argument(
        "--folder", type=Path, default=Path(), help="the class folder (default: the current folder)"
    )


def add_module(parser: argparse.ArgumentParser) -> None:
    """Add MODULE, the module's id."""
    parser.add_argument("module", metavar="MODULE", help=MODULE_HELP)


def tell_problems(problems: Sequence[str]) -> int:
    """Print each sentence on the error stream; return the exit code, which says whether there was any."""
    for sentence in problems:
        print(f"wetslip: {sentence}", file=sys.stderr)
    return IN_PART if problems else DONE
