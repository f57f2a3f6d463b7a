"""What a notebook calls: the bench of an exercise, its answer form, its marks. Here panels and marking meet.

Whatever a learner does wrong is answered with a sentence, never a traceback.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import asdict
from functools import lru_cache, wraps
from pathlib import Path
from typing import Any

from course.instruments.logbook import FILE_NAME as LOGBOOK
from course.instruments.rows import read_rows
from course.instruments.slip import Slip
from course.instruments.state import SlipError
from course.learner import (
    SELF_COHORT,
    Learner,
    LearnerError,
    learner_file,
    new_self_learner,
    read_learner,
    write_learner,
)
from graders.answers import Unanswerable, answers_in, last_values, record_answer
from graders.exercise import Exercise
from graders.exercises import UnknownExercise, exercise_named
from graders.marking import mark
from graders.marks import Mark
from graders.personal import plan_for

SPOKEN = (SlipError, UnknownExercise, LearnerError, Unanswerable)


def _spoken(instead: Any) -> Callable[[Callable[..., Any]], Callable[..., Any]]:
    """Return a decorator that says a learner's or a disk's fault in one sentence and hands back ``instead``."""

    def decorate(function: Callable[..., Any]) -> Callable[..., Any]:
        @wraps(function)
        def speaking(*args: Any, **kwargs: Any) -> Any:
            try:
                return function(*args, **kwargs)
            except SPOKEN as error:
                print(error)
            except OSError as error:
                print(f"The folder {Path.cwd()} cannot be used ({error.strerror}); nothing was lost.")
            return instead

        return speaking

    return decorate


def _learner(folder: Path) -> Learner:
    """Return who works in this folder; someone who came without ``wetslip learn`` is given an id of their own."""
    if learner_file(folder) is None:
        write_learner(folder, new_self_learner())
    return read_learner(folder)


@lru_cache(maxsize=32)
def _slip(exercise: Exercise, learner: Learner, folder: Path, practice: int | None) -> Slip:
    own = practice is None and learner.cohort != SELF_COHORT
    plan = plan_for(exercise, learner.id, learner.cohort, "assignment" if own else "practice", practice or 0)
    return Slip(plan, folder, exercise.title)


def _open(name: str, practice: int | None) -> tuple[Exercise, Learner, Slip]:
    folder = Path.cwd()
    exercise, learner = exercise_named(name), _learner(folder)
    opened = _slip(exercise, learner, folder, practice)
    opened.refresh()
    return exercise, learner, opened


def slip(name: str, practice: int | None = None) -> Slip:
    """Return the boat of an exercise as a plain object, with no picture.

    ``practice`` 1, 2, 3 ... is another boat for practice, whose answers are not part of an assignment.
    """
    return _open(name, practice)[2]


@_spoken(None)
def bench(name: str, practice: int | None = None) -> Any:
    """Return the boat of an exercise with her bench and logbook, to be shown."""
    from course.panels.bench import Bench

    return Bench(slip(name, practice))


def _marked(exercise: Exercise, opened: Slip) -> Mark:
    folder = opened.path.parent
    return mark(exercise, opened.plan, answers_in(folder).rows, read_rows(folder / LOGBOOK).rows)


@_spoken(None)
def exercise(name: str, practice: int | None = None) -> Any:
    """Return an exercise to be shown: what is asked, the boat with her bench, and the answer form that checks at once."""
    from course.panels.bench import Bench
    from course.panels.exercise import ExercisePanel

    asked, learner, opened = _open(name, practice)
    form = _form(asked, learner, opened)
    card = {"Boat": f"{opened.plan.boat.name}, {opened.plan.boat.kind}", **opened.plan.record_card}
    return ExercisePanel(f"{asked.id} {asked.title}", asked.prompt, card, Bench(opened), form)


def _form(asked: Exercise, learner: Learner, opened: Slip) -> Any:
    from course.panels.forms import AnswerForm, Field, Reply, ReplyLine

    folder = opened.path.parent

    def check_typed(values: dict[str, str]) -> Reply:
        try:
            record_answer(folder, asked, opened.plan.digest, learner.id, values)
        except Unanswerable as error:
            lines = tuple(ReplyLine("", "unread", fault) for fault in error.faults.values())
            return Reply(lines, "Not read yet, so it counts as no try.")
        except OSError as error:
            return Reply(
                (), f"Your answer could not be saved in {folder} ({error.strerror}); nothing was checked."
            )
        marked = _marked(asked, opened)
        lines = tuple(ReplyLine(p.title, "right" if p.right else "wrong", p.reason) for p in marked.parts)
        notices = tuple(ReplyLine("", "note", notice) for notice in marked.notices)
        return Reply(
            (*lines, *notices), f"{marked.points:g} of {marked.out_of:g} points, try {marked.tries}."
        )

    known = last_values(folder, asked, opened.plan.digest)
    fields = [Field(**asdict(field)) for field in asked.fields]
    return AnswerForm(f"Your answer to {asked.id}", fields, check_typed, initial=known)


@_spoken(0.0)
def record(name: str, practice: int | None = None, **values: object) -> float:
    """Write down an answer by field name, for someone who works without the form; prints the marks and returns the points."""
    asked, learner, opened = _open(name, practice)
    record_answer(opened.path.parent, asked, opened.plan.digest, learner.id, values)
    return _tell(_marked(asked, opened))


@_spoken(0.0)
def check(name: str, practice: int | None = None) -> float:
    """Print what is right and what is not, and why; return the points as a plain number between 0 and the most there are."""
    asked, _, opened = _open(name, practice)
    return _tell(_marked(asked, opened))


def _tell(marked: Mark) -> float:
    score = f"{marked.points:g} of {marked.out_of:g} points" if marked.tries else "not answered yet"
    print(f"{marked.exercise} {marked.title}: {score}.")
    for line in marked.notices:
        print(f"  Note: {line}")
    if marked.tries:
        for part in marked.parts:
            print(f"  {'Right' if part.right else 'Not yet'} - {part.title}: {part.reason}")
    return float(min(max(marked.points, 0.0), marked.out_of))
