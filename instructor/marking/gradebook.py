"""nbgrader's gradebook: written and read in one go, or through its own interface where the scheme is not one we know."""

from __future__ import annotations

import os
import sqlite3
import sys
import warnings
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from course.quickly import quickly
from instructor.errors import ClassError
from instructor.layout import ClassFolder
from instructor.marking.ledger import Ledger, ledger
from instructor.people.roster import Learner


@dataclass(frozen=True)
class Score:
    """What the gradebook says of one check cell; `by_hand` is an instructor's own score, or None."""

    points: float
    out_of: float
    by_hand: float | None


def put_tools_on_path() -> None:
    """Make nbgrader find `alembic`, which it calls by its bare name when it makes a gradebook."""
    tools = str(Path(sys.executable).parent)
    parts = os.environ.get("PATH", "").split(os.pathsep)
    if tools not in parts:
        os.environ["PATH"] = os.pathsep.join([tools, *filter(None, parts)])


def _unusable(folder: ClassFolder, problem: object) -> ClassError:
    return ClassError(f"The gradebook '{folder.root / 'gradebook.db'}' could not be used: {problem}.")


@contextmanager
def open_gradebook(folder: ClassFolder) -> Iterator[Any]:
    """Open the class's gradebook for the functions below, making it if there is none.

    What is entered counts when the block ends without an error.

    Raises
    ------
    ClassError : the database is damaged, locked by another program or cannot be written
    """
    try:
        with ledger(folder.root / "gradebook.db") as known:
            if known is not None:
                yield known
                return
    except sqlite3.DatabaseError as problem:
        raise _unusable(folder, problem) from problem
    with nbgraders_own(folder) as gradebook:
        yield gradebook


@contextmanager
def nbgraders_own(folder: ClassFolder) -> Iterator[Any]:
    """Open the class's gradebook through nbgrader's own interface, making it if there is none; raises as above."""
    quickly("nbformat")
    from nbgrader.api import Gradebook
    from sqlalchemy.exc import DatabaseError, SAWarning

    put_tools_on_path()
    try:
        with warnings.catch_warnings(), Gradebook(folder.database_url) as gradebook:
            # nbgrader makes its rows in an order that its database library warns of; they come out right
            warnings.simplefilter("ignore", SAWarning)
            yield gradebook
    except DatabaseError as problem:
        raise _unusable(folder, problem.orig) from problem


def put_learners(gradebook: Any, learners: Sequence[Learner]) -> None:
    """Enter the roster: added to and corrected, nobody is taken out.

    nbgrader keeps a name in two parts; the last word is taken for the family name.
    """
    if isinstance(gradebook, Ledger):
        gradebook.put_learners(learners)
        return
    for learner in learners:
        first, _, last = learner.name.rpartition(" ")
        gradebook.update_or_create_student(
            learner.id, first_name=first, last_name=last, email=learner.email or None
        )


def put_scores(
    gradebook: Any, module: str, learner: str, timestamp: datetime | None, scores: Mapping[str, float | None]
) -> None:
    """Enter one learner's marks of one module in one go.

    Parameters
    ----------
    gradebook : as opened by `open_gradebook`
    module, learner : their ids
    timestamp : when the work came in [UTC, without a zone], or None to leave what is there
    scores : grade id of a cell -> points, or None for a written answer that a person is to mark

    A score that an instructor gave by hand stays and is put up for review, as nbgrader's own autograde does.
    """
    if isinstance(gradebook, Ledger):
        gradebook.put_scores(module, learner, timestamp, scores)
        return
    when = {} if timestamp is None else {"timestamp": timestamp}
    gradebook.update_or_create_submission(module, learner, **when)
    notebook = gradebook.find_submission_notebook(module, module, learner)
    for grade in notebook.grades:
        if grade.name in scores:
            grade.auto_score = scores[grade.name]
            grade.needs_manual_grade = grade.manual_score is not None or scores[grade.name] is None
    gradebook.db.commit()


def read_scores(gradebook: Any, module: str, learner: str) -> dict[str, Score]:
    """Return what the gradebook says of each check cell: {} when it knows of no such submission."""
    if isinstance(gradebook, Ledger):
        return {
            name: Score(float(points), float(out_of), by_hand)
            for name, points, out_of, by_hand in gradebook.rows(module, learner)
        }
    from nbgrader.api import MissingEntry

    try:
        notebook = gradebook.find_submission_notebook(module, module, learner)
    except MissingEntry:
        return {}
    return {
        grade.name: Score(float(grade.score), float(grade.max_score), grade.manual_score)
        for grade in notebook.grades
    }
