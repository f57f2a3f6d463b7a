"""`wetslip class paper` and `wetslip class demonstration`."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from instructor.commands.common import DONE, add, add_folder, add_module

PAPER = """\
Writes paper/MODULE.html to print, and paper/MODULE-key.html for yourself: each
exercise with a figure of the boat and the readings of someone who took them
rightly, to be worked out by hand. Without an ID everybody gets the same boat;
with IDs, each their own released one.
"""
DEMONSTRATION = """\
Makes a folder to show from, on a projector: its learner is nobody on the
roster, and whoever opens the course with the same id and cohort has the very
same boats and can follow at their own screen. Nothing of it is ever marked.
"""
DEMONSTRATOR = "demonstration"


def add_parser(commands: Any) -> None:
    """Add both commands."""
    parser = add(commands, "paper", run, "put a module on paper, with a key", PAPER)
    add_module(parser)
    parser.add_argument("learners", metavar="ID", nargs="*", help="a sheet for each of these")
    add_folder(parser)
    show = add(
        commands,
        "demonstration",
        run_demonstration,
        "make a folder with the same boats for all",
        DEMONSTRATION,
    )
    show.add_argument("target", metavar="FOLDER", type=Path)
    add_folder(show)


def run(arguments: argparse.Namespace) -> int:
    """Write the sheets and name them."""
    from instructor.handout.paper import write_paper
    from instructor.layout import open_class

    folder = open_class(arguments.folder)
    for path in write_paper(folder, arguments.module, arguments.learners):
        print(path)
    return DONE


def run_demonstration(arguments: argparse.Namespace) -> int:
    """Make the folder and say how others follow."""
    import shutil

    from course.learner import Learner, LearnerError, write_learner
    from instructor.errors import ClassError
    from instructor.layout import open_class
    from instructor.people.roster import read_roster

    folder = open_class(arguments.folder)
    if DEMONSTRATOR in {learner.id for learner in read_roster(folder.roster)}:
        raise ClassError(
            f"Somebody on the roster has the id '{DEMONSTRATOR}', so their boats would be shown."
        )
    target = arguments.target.expanduser().resolve()
    target.mkdir(parents=True, exist_ok=True)
    try:
        write_learner(target, Learner(DEMONSTRATOR, folder.cohort))
    except LearnerError as problem:
        raise ClassError(str(problem)) from None
    for own in sorted((folder.root / "handout").glob("*.zip")):
        shutil.copytree(folder.root / "release" / own.stem, target / own.stem, dirs_exist_ok=True)
    print(f"To show from it: wetslip learn '{target}'")
    print(
        f"To follow on the same boats: wetslip learn demonstration --id {DEMONSTRATOR} --cohort {folder.cohort}"
    )
    return DONE
