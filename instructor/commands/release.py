"""`wetslip class release`."""

from __future__ import annotations

import argparse
from typing import Any

from instructor.commands.common import DONE, add, add_folder, add_module


def add_parser(commands: Any) -> None:
    """Add the command."""
    parser = add(commands, "release", run, "draw every learner's slips of a module and make it ready")
    add_module(parser)
    add_folder(parser)


def run(arguments: argparse.Namespace) -> int:
    """Release, or go on with a release, and say for how many."""
    from instructor.layout import open_class
    from instructor.release import release

    folder = open_class(arguments.folder)
    with folder.locked():
        outcome = release(folder, arguments.module)
    if outcome.kept and outcome.drawn:
        print(
            f"'{outcome.module}' was released to {outcome.kept} already, whose slips stay as they are;",
            end=" ",
        )
        print(f"slips were drawn for {outcome.drawn} more.")
    elif outcome.kept:
        print(f"'{outcome.module}' was released already to all {outcome.kept}; their slips stay as they are.")
    else:
        print(f"Released '{outcome.module}' to {outcome.drawn} learners.")
    return DONE
