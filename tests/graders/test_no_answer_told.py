"""Nothing that a learner reads before answering, or is told of a wrong answer, holds the right number.

A number of the question may by chance lie near the answer of one learner; what stands there for nearly every learner is told.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

import pytest

from course.desk import MODULES as FOLDER
from graders.exercises import EXERCISES
from graders.parts import NumberPart
from graders.parts.slips import numbers_in
from graders.personal import plan_for
from graders.task import Task
from graders.trial import mistakes
from instructor.prose.texts import passages

LEARNERS = range(6)
BY_CHANCE = 3  # of six learners
NUMBERED = [
    name
    for name, exercise in EXERCISES.items()
    if not exercise.bench and name != "05.5" and any(isinstance(part, NumberPart) for part in exercise.parts)
]
# where the answer is a row of a table that is given, in the question and in the lesson: finding the row is the exercise
LOOKED_UP = {"03.7"}


@cache
def tasks(name: str) -> tuple[Task, ...]:
    exercise = EXERCISES[name]
    return tuple(exercise.task(plan_for(exercise, f"learner{k}", "TRY")) for k in LEARNERS)


def read_first(task: Task) -> Iterator[str]:
    """Yield everything that stands before a learner who has not answered yet."""
    exercise = task.exercise
    yield exercise.asked(task)
    yield from (exercise.hint(task, step) for step in (1, 2, 3))
    yield from task.plan.record_card.values()
    for field in (field.for_task(task) for field in exercise.fields):
        yield field.label
        yield from (words for _, words in field.choices)
    if exercise.id not in LOOKED_UP:
        yield from (cell for make in exercise.tables for row in make(task).rows for cell in row)


def numbers_of(exercise):
    return [part for part in exercise.parts if isinstance(part, NumberPart)]


def holds(part: NumberPart, task: Task, numbers: frozenset[float]) -> bool:
    truth = part.truth(task)
    apart_from_nothing = abs(truth) > part.tolerance(truth)
    return apart_from_nothing and any(part.meets(number, truth) for number in numbers)


@pytest.mark.parametrize("name", NUMBERED)
def test_no_question_holds_its_answer(name):
    for part in numbers_of(EXERCISES[name]):
        told = [holds(part, task, numbers_in("\n".join(read_first(task)))) for task in tasks(name)]
        assert sum(told) <= BY_CHANCE, part.field


@pytest.mark.parametrize("name", NUMBERED)
def test_no_sentence_about_a_wrong_answer_tells_the_right_one(name):
    """Learners read it, and try again; numbers that the question shows, and the one they wrote, may be said again."""
    told: dict[tuple[str, str], int] = {}
    for task in tasks(name)[:3]:
        shown = numbers_in("\n".join(read_first(task)))
        for one in mistakes(task):
            for part in (part for part in numbers_of(EXERCISES[name]) if part.field == one.part):
                said = numbers_in(one.told.reason) - shown - {float(one.values[part.field])}
                told[part.field, one.mistake] = told.get((part.field, one.mistake), 0) + holds(
                    part, task, said
                )
    assert {where: times for where, times in told.items() if times > 1} == {}


@pytest.mark.parametrize("name", [name for name in NUMBERED if name not in LOOKED_UP])
def test_no_notebook_holds_a_learners_answer(name):
    (page,) = FOLDER.glob(f"{name[:2]}_*/*.ipynb")
    numbers = numbers_in("\n".join(passage.text for passage in passages(page)))
    for part in numbers_of(EXERCISES[name]):
        told = [holds(part, task, numbers) for task in tasks(name)]
        assert sum(told) <= BY_CHANCE, part.field


def test_a_number_told_is_found():
    """The check itself is seen to fail."""
    task = tasks("02.1")[0]
    part = next(part for part in numbers_of(task.exercise))
    truth = part.truth(task)
    assert holds(part, task, numbers_in(f"it is {part.written(truth)} {part.unit}, look"))
    assert not holds(part, task, numbers_in(f"it is {part.written(truth * 1.5)} {part.unit}, look"))
