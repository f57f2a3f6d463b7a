"""nbgrader's gradebook, written and read through its own interface only."""

from __future__ import annotations

import os
import sys
import warnings
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from instructor.errors import ClassError
from instructor.layout import ClassFolder
from instructor.roster import Learner


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


@contextmanager
def open_gradebook(folder: ClassFolder) -> Iterator[Any]:
    """Open the class's gradebook, making it if there is none.

    Raises
    ------
    ClassError : the database is damaged, locked by another program or cannot be written
    """
    from nbgrader.api import Gradebook
    from sqlalchemy.exc import DatabaseError, SAWarning

    put_tools_on_path()
    try:
        with warnings.catch_warnings(), Gradebook(folder.database_url) as gradebook:
            # nbgrader makes its rows in an order that its database library warns of; they come out right
            warnings.simplefilter("ignore", SAWarning)
            yield gradebook
    except DatabaseError as problem:
        raise ClassError(
            f"The gradebook '{folder.root / 'gradebook.db'}' could not be used: {problem.orig}."
        ) from problem


def put_learners(gradebook: Any, learners: Sequence[Learner]) -> None:
    """Enter the roster: added to and corrected, nobody is taken out.

    nbgrader keeps a name in two parts; the last word is taken for the family name.
    """
    for learner in learners:
        first, _, last = learner.name.rpartition(" ")
        gradebook.update_or_create_student(
            learner.id, first_name=first, last_name=last, email=learner.email or None
        )


def put_scores(
    gradebook: Any, module: str, learner: str, timestamp: str | None, scores: Mapping[str, float]
) -> None:
    """Enter one learner's marks of one module in one go.

    Parameters
    ----------
    gradebook : as opened by `open_gradebook`
    module, learner : their ids
    timestamp : when the work came in, as written in its timestamp.txt
    scores : grade id of a check cell -> points

    A score that an instructor gave by hand stays and is put up for review, as nbgrader's own autograde does.
    """
    when = {} if timestamp is None else {"timestamp": timestamp}
    gradebook.update_or_create_submission(module, learner, **when)
    notebook = gradebook.find_submission_notebook(module, module, learner)
    for grade in notebook.grades:
        if grade.name in scores:
            grade.auto_score = scores[grade.name]
            grade.needs_manual_grade = grade.manual_score is not None
    gradebook.db.commit()


def read_scores(gradebook: Any, module: str, learner: str) -> dict[str, Score]:
    """Return what the gradebook says of each check cell: {} when it knows of no such submission."""
    from nbgrader.api import MissingEntry

    try:
        notebook = gradebook.find_submission_notebook(module, module, learner)
    except MissingEntry:
        return {}
    return {
        grade.name: Score(float(grade.score), float(grade.max_score), grade.manual_score)
        for grade in notebook.grades
    }
