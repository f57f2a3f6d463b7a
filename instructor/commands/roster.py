"""`wetslip class roster` and `wetslip class learner`."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any

from instructor.commands.common import DONE, add, add_folder

if TYPE_CHECKING:
    from instructor.people.enrolment import Enrolled

MORE = """\
With FILE, a newer roster (CSV): who is new is added, who is known is
corrected in the columns the file has, and nobody is taken out (for that see
'wetslip class remove'). An id is never changed, since a learner's boats are
drawn from it. What was handed in and marked stays as it is.
"""
LEARNER_EXAMPLES = """\
  wetslip class learner ann --name "Ann Tarrow" --group B
  wetslip class learner bo --extra-time 25
"""


def add_parser(commands: Any) -> None:
    """Add both commands."""
    parser = add(commands, "roster", run, "show the roster, or take a newer one without losing work", MORE)
    parser.add_argument("file", metavar="FILE", type=Path, nargs="?", help="the newer roster")
    add_folder(parser)
    about = "add one learner to the roster, or correct what it says of one"
    one = add(commands, "learner", run_one, about, examples=LEARNER_EXAMPLES)
    one.add_argument("id", metavar="ID")
    for option in ("name", "email", "group"):
        one.add_argument(f"--{option}")
    one.add_argument("--extra-time", dest="extra time", metavar="PER_CENT")
    add_folder(one)


def run(arguments: argparse.Namespace) -> int:
    """Show the roster, or take a newer one."""
    from instructor.layout import open_class
    from instructor.names import counted
    from instructor.people.roster import read_roster

    folder = open_class(arguments.folder)
    if arguments.file is not None:
        from instructor.people.enrolment import enrol_file

        with folder.locked():
            _tell(enrol_file(folder, arguments.file))
        return DONE
    arguments.looked = True
    learners = read_roster(folder.roster)
    width = max(len(learner.id) for learner in learners)
    for learner in learners:
        more = [learner.email, learner.group and f"group {learner.group}"]
        more.append(f"{learner.extra_time:g} % extra time" if learner.extra_time else "")
        print(f"{learner.id:{width}}  {', '.join(filter(None, [learner.name, *more]))}")
    print(f"{counted(len(learners), 'learner')}, cohort {folder.cohort}.")
    return DONE


def run_one(arguments: argparse.Namespace) -> int:
    """Add or correct one learner."""
    from instructor.layout import open_class
    from instructor.people.enrolment import enrol_one
    from instructor.people.roster import COLUMNS, checked_learner

    folder = open_class(arguments.folder)
    given = {column: getattr(arguments, column) for column in COLUMNS}
    cells = {column: text for column, text in given.items() if text is not None}
    learner = checked_learner(cells, "the command")
    with folder.locked():
        _tell(enrol_one(folder, learner, [*cells]))
    return DONE


def _tell(enrolled: Enrolled) -> None:
    if enrolled.added:
        print(f"Added: {', '.join(enrolled.added)}.")
    if enrolled.corrected:
        print(f"Corrected: {', '.join(enrolled.corrected)}.")
    if not enrolled.added and not enrolled.corrected:
        print("Nothing was to be changed.")
    if enrolled.missing:
        print(f"Not in the file, and kept: {', '.join(enrolled.missing)}.")
    for module in enrolled.to_release:
        print(f"To draw the new learners' boats: wetslip class release {module}")
