"""`wetslip class mark`."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from instructor.commands.common import add, add_folder, add_module, tell_problems

if TYPE_CHECKING:
    from instructor.layout import ClassFolder
    from instructor.marking.marks import Change
    from instructor.report.feedback import Pages

MORE = """
Marks stand while the files they were made from and the exercises stand: only new submissions, and
those whose exercise was mended, are marked. Changes of earlier marks are listed, with the reason.
Stopped at any point, it is run again and goes on.
"""
EXAMPLES = """\
  wetslip class mark 03_reference_cell
  wetslip class mark 03_reference_cell --feedback
  wetslip class mark 03_reference_cell --again
  wetslip class mark 03_reference_cell --cluster tcp://10.0.0.5:8786
"""


def add_parser(commands: Any) -> None:
    """Add the command."""
    about = "mark every submission of a module; no learner's code is run"
    parser = add(commands, "mark", run, about, MORE, EXAMPLES)
    add_module(parser)
    add_folder(parser)
    parser.add_argument("--again", action="store_true", help="mark everybody anew")
    parser.add_argument(
        "--feedback",
        action="store_true",
        help="then write the feedback pages, as 'wetslip class feedback' does",
    )
    parser.add_argument(
        "--jobs",
        type=_count,
        default=0,
        metavar="N",
        help="processes to use (default: as many as there are cores)",
    )
    parser.add_argument(
        "--cluster", default="", metavar="ADDRESS", help="a Dask scheduler that is to do the work"
    )


def _count(text: str) -> int:
    count = int(text)
    if not 1 <= count <= 1000:
        raise ValueError
    return count


def run(arguments: argparse.Namespace) -> int:
    """Mark, and say who was, whose mark changed and who could not be marked."""
    from instructor.layout import open_class
    from instructor.marking.run import mark_class
    from instructor.names import counted

    folder = open_class(arguments.folder)
    with folder.locked():
        outcome = mark_class(folder, arguments.module, arguments.again, arguments.jobs, arguments.cluster)
        pages = _pages(folder, arguments) if arguments.feedback else None
    print(f"Marked {counted(len(outcome.marked), 'submission')} of '{arguments.module}'.")
    if outcome.standing:
        print(f"As they were marked before: {len(outcome.standing)}.")
    if outcome.absent:
        print(f"Nothing handed in by: {', '.join(outcome.absent)}")
    tell_changes(outcome.changes)
    for learner, sentence in outcome.damage:  # what it held was not marked
        print(f"To look at: '{learner}': {sentence}.")
    problems = outcome.problems
    if pages is not None:
        print(f"Wrote {counted(len(pages.written), 'feedback page')} under '{folder.root / 'feedback'}'.")
        problems += pages.problems
    return tell_problems(problems)


def _pages(folder: ClassFolder, arguments: argparse.Namespace) -> Pages:
    from instructor.report.feedback import write_pages

    return write_pages(folder, arguments.module, jobs=arguments.jobs)


def tell_changes(changes: Sequence[tuple[str, Change]]) -> None:
    """Print whose mark changed, and why."""
    from instructor.names import counted

    if changes:
        whose = len({learner for learner, _ in changes})
        print(f"Changed marks: {counted(whose, 'learner')}, {counted(len(changes), 'part')}.")
    for learner, change in changes:
        before, after = (
            f"{points:g}{f' ({mistake})' if mistake else ''}"
            for points, mistake in (
                (change.before, change.mistake_before),
                (change.after, change.mistake_after),
            )
        )
        print(
            f"  {learner}, {change.exercise} {change.part}: {before} -> {after} points, because {change.why}."
        )
