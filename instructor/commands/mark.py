"""`wetslip class mark`."""

from __future__ import annotations

import argparse
from typing import Any

from instructor.commands.common import add, add_folder, add_module, tell_problems


def add_parser(commands: Any) -> None:
    """Add the command."""
    parser = add(commands, "mark", run, "mark every submission of a module; no learner's code is run")
    add_module(parser)
    add_folder(parser)


def run(arguments: argparse.Namespace) -> int:
    """Mark, and say who was and who could not be."""
    from instructor.layout import open_class
    from instructor.marking import mark_class

    folder = open_class(arguments.folder)
    with folder.locked():
        outcome = mark_class(folder, arguments.module)
    print(f"Marked {len(outcome.marked)} submissions of '{arguments.module}'.")
    if outcome.absent:
        print(f"Nothing handed in by: {', '.join(outcome.absent)}")
    return tell_problems(outcome.problems)
