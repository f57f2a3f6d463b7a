"""`wetslip class new`."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from instructor.commands.common import DONE, add


def add_parser(commands: Any) -> None:
    """Add the command."""
    parser = add(commands, "new", run, "make a class folder from a roster")
    parser.add_argument("target", metavar="FOLDER", type=Path, help="the folder to make")
    parser.add_argument(
        "--roster",
        type=Path,
        required=True,
        help="CSV file with the columns id, name and, if wanted, email, group, extra time (per cent)",
    )
    parser.add_argument(
        "--cohort",
        help="the class's code, which learners give once to 'wetslip learn' (default: one is invented)",
    )


def run(arguments: argparse.Namespace) -> int:
    """Make the class and say how learners begin."""
    from instructor.new_class import make_class

    folder, learners = make_class(arguments.target, arguments.roster, arguments.cohort)
    print(f"Made the class of {len(learners)} in '{folder.root}'.")
    print(f"Each learner begins with: wetslip learn --id THEIR_ID --cohort {folder.cohort}")
    return DONE
