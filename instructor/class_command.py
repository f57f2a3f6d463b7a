"""`wetslip class ...`: the instructor's commands. Work is imported only when a command runs."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

Handler = Callable[[argparse.Namespace], int]

DONE, IN_PART = 0, 1

DESCRIPTION = """\
The instructor's side of Wetslip: a class in a folder.

The usual order:
  wetslip class new marina-class --roster roster.csv
  cd marina-class
  wetslip class release 03_reference_cell
  wetslip class take-in 03_reference_cell ../handed-in
  wetslip class mark 03_reference_cell
  wetslip class report 03_reference_cell
  wetslip class open

To see all of it at once on an invented class: wetslip class example FOLDER
"""


def add_parser(subparsers: Any) -> None:
    """Add `class` and its commands; each sets `run`, a function from the arguments to an exit code."""
    parser = subparsers.add_parser(
        "class",
        help="the instructor's side: roster, release, take in, mark, report",
        description=DESCRIPTION,
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    commands = parser.add_subparsers(dest="class_command", metavar="COMMAND", required=True)
    _add_new(commands)
    _add_on_module(commands, "release", _release, "draw every learner's slips of a module and make it ready")
    _add_take_in(commands)
    _add_on_module(commands, "mark", _mark, "mark every submission of a module; no learner's code is run")
    _add_on_module(commands, "report", _report, "write a feedback page for each learner and a class summary")
    _add_open(commands)
    _add_example(commands)


def _add(commands: Any, name: str, handler: Handler, about: str) -> argparse.ArgumentParser:
    parser: argparse.ArgumentParser = commands.add_parser(name, help=about, description=_sentence(about))
    parser.set_defaults(run=handler)
    return parser


def _sentence(about: str) -> str:
    return about[0].upper() + about[1:] + "."


def _add_folder(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--folder", type=Path, default=Path(), help="the class folder (default: the current folder)"
    )


def _add_new(commands: Any) -> None:
    parser = _add(commands, "new", _new, "make a class folder from a roster")
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


def _add_on_module(commands: Any, name: str, handler: Handler, about: str) -> None:
    parser = _add(commands, name, handler, about)
    parser.add_argument("module", metavar="MODULE", help="such as 03_reference_cell")
    _add_folder(parser)


def _add_take_in(commands: Any) -> None:
    about = "take in what learners handed in; earlier versions are kept"
    parser = _add(commands, "take-in", _take_in, about)
    parser.add_argument("module", metavar="MODULE", help="such as 03_reference_cell")
    parser.add_argument(
        "place",
        metavar="HANDED_IN",
        type=Path,
        help="one folder a learner in it, named by id, with learner.json and the module's folder in it",
    )
    _add_folder(parser)


def _add_open(commands: Any) -> None:
    parser = _add(commands, "open", _open, "open nbgrader's formgrader on the class")
    parser.add_argument("--no-browser", action="store_true", help="only print the address")
    parser.add_argument("--port", type=int, help="the port to use (default: the first free one from 8888)")
    _add_folder(parser)


def _add_example(commands: Any) -> None:
    about = "make an invented class of scripted learners and run everything on it, from roster to report"
    parser = _add(commands, "example", _example, about)
    parser.add_argument("target", metavar="FOLDER", type=Path, help="the folder to make")


def _tell_problems(problems: tuple[str, ...]) -> int:
    for sentence in problems:
        print(f"wetslip: {sentence}", file=sys.stderr)
    return IN_PART if problems else DONE


def _new(arguments: argparse.Namespace) -> int:
    from instructor.new_class import make_class

    folder, learners = make_class(arguments.target, arguments.roster, arguments.cohort)
    print(f"Made the class of {len(learners)} in '{folder.root}'.")
    print(f"Each learner begins with: wetslip learn --id THEIR_ID --cohort {folder.cohort}")
    return DONE


def _release(arguments: argparse.Namespace) -> int:
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


def _take_in(arguments: argparse.Namespace) -> int:
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
    return _tell_problems(taken.problems)


def _mark(arguments: argparse.Namespace) -> int:
    from instructor.layout import open_class
    from instructor.marking import mark_class

    folder = open_class(arguments.folder)
    with folder.locked():
        outcome = mark_class(folder, arguments.module)
    print(f"Marked {len(outcome.marked)} submissions of '{arguments.module}'.")
    if outcome.absent:
        print(f"Nothing handed in by: {', '.join(outcome.absent)}")
    return _tell_problems(outcome.problems)


def _report(arguments: argparse.Namespace) -> int:
    from instructor.layout import open_class
    from instructor.report import report_class

    folder = open_class(arguments.folder)
    with folder.locked():
        outcome = report_class(folder, arguments.module)
    print(f"Wrote {len(outcome.pages)} feedback pages under '{folder.root / 'feedback'}'.")
    print(f"Class report: {outcome.summary}")
    return _tell_problems(outcome.problems)


def _open(arguments: argparse.Namespace) -> int:
    from instructor.formgrader import open_formgrader
    from instructor.layout import open_class

    open_formgrader(open_class(arguments.folder), arguments.port, not arguments.no_browser)
    return DONE


def _example(arguments: argparse.Namespace) -> int:
    from instructor.example import make_example

    summary = make_example(arguments.target)
    print(f"Open this: {summary}")
    return DONE
