"""`wetslip class release`."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any

from instructor.commands.common import DONE, add, add_folder, add_module

if TYPE_CHECKING:
    from instructor.layout import ClassFolder


def add_parser(commands: Any) -> None:
    """Add the command."""
    parser = add(commands, "release", run, "draw every learner's slips of a module and make it ready")
    add_module(parser)
    parser.add_argument(
        "--exchange", type=Path, metavar="FOLDER", help="put it into nbgrader's exchange too (POSIX only)"
    )
    add_folder(parser)


def run(arguments: argparse.Namespace) -> int:
    """Release, or go on with a release, and say for how many."""
    from instructor.handout.release import release
    from instructor.layout import open_class
    from instructor.names import counted

    folder = open_class(arguments.folder)
    with folder.locked():
        outcome = release(folder, arguments.module)
        there = _published(folder, arguments)
    if outcome.kept and outcome.drawn:
        print(
            f"'{outcome.module}' was released to {outcome.kept} already, whose slips stay as they are;",
            end=" ",
        )
        print(f"slips were drawn for {outcome.drawn} more.")
    elif outcome.kept:
        print(f"'{outcome.module}' was released already to all {outcome.kept}; their slips stay as they are.")
    else:
        print(f"Released '{outcome.module}' to {counted(outcome.drawn, 'learner')}.")
    if outcome.slips:
        print(
            f"{outcome.slips} slips were accepted; {outcome.refused} draws that would not have taught their point were refused."
        )
    handed = folder.root / "handout" / f"{outcome.module}.zip"
    if handed.exists():
        print(
            f"It is a module of your own: give learners '{handed}', to be unpacked in their Wetslip folder."
        )
    if there is not None:
        print(f"It lies in nbgrader's exchange as '{there}'.")
    return DONE


def _published(folder: ClassFolder, arguments: argparse.Namespace) -> Path | None:
    if arguments.exchange is None:
        return None
    from instructor.intake.exchange import publish

    return publish(folder, arguments.module, arguments.exchange)
