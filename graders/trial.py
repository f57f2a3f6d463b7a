"""Trying an exercise out: its right answer and each of its mistakes, marked as a learner's work is."""

from __future__ import annotations

import tempfile
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from course.boats.plan import SlipPlan
from course.instruments.rows import Row
from course.instruments.slip import Slip
from graders.exercise import Exercise
from graders.hands import Hands
from graders.marking import mark
from graders.marks import Mark, PartMark
from graders.task import Task
from graders.versions import frozen_versions

Found = Mapping[str, object]


@dataclass(frozen=True)
class Trial:
    """One try at an exercise: what was answered, and its mark. ``part`` and ``mistake`` say what was to be recognised, if any."""

    values: Mapping[str, str]
    mark: Mark
    part: str = ""
    mistake: str = ""

    @property
    def told(self) -> PartMark:
        """Return the mark of the part the mistake was made in."""
        return next(part for part in self.mark.parts if part.part == self.part)

    @property
    def recognised(self) -> bool:
        """Return whether the mistake was recognised as itself."""
        return self.told.mistake == self.mistake


def answer_row(exercise: Exercise, plan: SlipPlan, values: Mapping[str, str]) -> Row:
    """Return an answer as it stands in a file of answers."""
    physics = frozen_versions()["physics"]
    return {"exercise": exercise.id, "slip": plan.digest, "physics": physics, "values": dict(values)}


def tried(task: Task, act: Callable[[Hands], Found], part: str = "", mistake: str = "") -> Trial:
    """Do an act at the bench of a fresh slip, answer what comes of it and mark it."""
    exercise, plan = task.exercise, task.plan
    with tempfile.TemporaryDirectory() as folder:
        hands = Hands(task, Slip(plan, Path(folder), exercise.title))
        values = exercise.right_values(task, act(hands))
        logbook = hands.slip.rows
    marked = mark(exercise, plan, [answer_row(exercise, plan, values)], logbook, task)
    return Trial(values, marked, part, mistake)


def _on_paper(task: Task, found: Found, part: str = "", mistake: str = "") -> Trial:
    exercise, plan = task.exercise, task.plan
    values = exercise.right_values(task, found)
    marked = mark(exercise, plan, [answer_row(exercise, plan, values)], [], task)
    return Trial(values, marked, part, mistake)


def _hands(exercise: Exercise) -> Callable[[Hands], Found]:
    if exercise.hands is None:
        raise ValueError(f"exercise {exercise.id} is at the bench and does not say how it is done")
    return exercise.hands


def right(task: Task) -> Trial:
    """Return the try of someone who does everything right."""
    return tried(task, _hands(task.exercise)) if task.exercise.bench else _on_paper(task, {})


def mistakes(task: Task) -> Iterator[Trial]:
    """Yield a try for each mistake that can be made on this plan, everything else being right."""
    exercise = task.exercise
    for example in exercise.examples:
        if example.when(task):
            yield tried(task, example.act, example.part, example.mistake)
    for part in exercise.parts:
        for name, answers in part.examples(task).items():
            (field,) = answers
            if exercise.bench:
                yield tried(task, _but(exercise, answers), field, name)
            else:
                yield _on_paper(task, answers, field, name)


def _but(exercise: Exercise, answers: Mapping[str, str]) -> Callable[[Hands], Found]:
    return lambda hands: {**_hands(exercise)(hands), **answers}
