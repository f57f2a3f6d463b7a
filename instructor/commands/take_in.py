"""`wetslip class take-in`."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

from instructor.commands.common import add, add_folder, add_module, tell_problems

if TYPE_CHECKING:
    from instructor.intake.take_in import How, TakenIn

MORE = """\
HANDED_IN is a folder, or a zip, with one folder or one zip a learner in it, as
they come by mail, on a stick or from a learning platform. Each holds the
learner's learner.json and the module's folder, at any depth.

A folder is matched to a learner by id, e-mail or full name, and its
learner.json must agree. A name that fits nobody, or two, is asked about at a
terminal, and otherwise left with a sentence; --match settles it and is
remembered. Nothing is guessed.

Run it as often as you like: what is new comes in, what is unchanged stays,
and every earlier version is kept under received/.

The time of handing in, on which lateness depends, is the time of this command
unless --at says otherwise; nbgrader's exchange brings its own times. When you
match a name afterwards, give the same --at again.
"""
EXAMPLES = """\
  wetslip class take-in 03_reference_cell ../handed-in
  wetslip class take-in 03_reference_cell download.zip --at "2031-05-04 17:00"
  wetslip class take-in 03_reference_cell mails --match "homework final=ann"
  wetslip class take-in 03_reference_cell --exchange /srv/exchange
"""


def add_parser(commands: Any) -> None:
    """Add the command."""
    about = "take in what learners handed in; earlier versions are kept"
    parser = add(commands, "take-in", run, about, MORE, EXAMPLES)
    add_module(parser)
    parser.add_argument(
        "place", metavar="HANDED_IN", type=Path, nargs="?", help="the folder or zip to take in"
    )
    parser.add_argument(
        "--match", action="append", default=[], metavar="FOLDER=ID", help="say whose a folder is; repeatable"
    )
    parser.add_argument("--at", metavar="TIME", help="when it was all handed in, such as '2031-05-04 17:00'")
    parser.add_argument(
        "--exchange", type=Path, metavar="FOLDER", help="take in from nbgrader's exchange (POSIX only)"
    )
    add_folder(parser)


def run(arguments: argparse.Namespace) -> int:
    """Take in, and say what came and what was left."""
    from instructor.errors import ClassError
    from instructor.handout.when import parse_time
    from instructor.intake.take_in import How
    from instructor.layout import open_class

    if (arguments.place is None) == (arguments.exchange is None):
        raise ClassError("Name either a folder or zip to take in, or --exchange with its folder.")
    folder = open_class(arguments.folder)
    at = parse_time(arguments.at) if arguments.at else None
    how = How(tuple(arguments.match), _ask if sys.stdin.isatty() else None, at)
    with folder.locked():
        taken = _taken(folder, arguments, how)
    print(
        f"Taken in: {len(taken.new)} new, {len(taken.unchanged)} unchanged, "
        f"{len(taken.problems)} left where they are."
    )
    if taken.absent:
        print(f"Nothing yet from: {', '.join(taken.absent)}")
    return tell_problems(taken.problems)


def _taken(folder: Any, arguments: argparse.Namespace, how: How) -> TakenIn:
    if arguments.exchange is not None:
        from instructor.intake.exchange import take_in_exchange

        return take_in_exchange(folder, arguments.module, arguments.exchange, how)
    from instructor.intake.take_in import take_in

    return take_in(folder, arguments.module, arguments.place, how)


def _ask(name: str, question: str) -> str:
    print(question)
    return input(f"Whose is '{name}'? An id, or nothing to leave it: ")
