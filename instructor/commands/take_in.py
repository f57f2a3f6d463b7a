"""`wetslip class take-in`."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from instructor.commands.common import add, add_folder, add_module, tell_problems


def add_parser(commands: Any) -> None:
    """Add the command."""
    parser = add(commands, "take-in", run, "take in what learners handed in; earlier versions are kept")
    add_module(parser)
    parser.add_argument(
        "place",
        metavar="HANDED_IN",
        type=Path,
        help="one folder a learner in it, named by id, with learner.json and the module's folder in it",
    )
    add_folder(parser)


def run(arguments: argparse.Namespace) -> int:
    """Take in, and say what came and what was left."""
    from instructor.layout import open_class
    from instructor.take_in import take_in

    folder = open_class(arguments.folder)
    with folder.locked():
        taken = take_in(folder, arguments.module, arguments.place)
    print(
        f"Taken in: {len(taken.new)} new, {len(taken.unchanged)} unchanged, "
        f"{len(taken.problems)} left where they are."
    )
    if taken.absent:
        print(f"Nothing from: {', '.join(taken.absent)}")
    return tell_problems(taken.problems)
