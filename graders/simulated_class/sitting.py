"""A class sits down: every learner does every exercise, is marked, and the wrong answers are counted."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from course.boats.draws import Draw, seed_for
from graders.exercise import Exercise
from graders.marking import mark
from graders.mistake import FOLLOWS
from graders.personal import plan_for
from graders.simulated_class.at_bench import COHORT, told_at_bench
from graders.simulated_class.confusion import Confusion, Told
from graders.simulated_class.learners import answers
from graders.simulated_class.made import NO_NAMES
from graders.trial import answer_row


def _kinds(exercise: Exercise) -> dict[str, str]:
    return {field.name: field.kind for field in exercise.fields}


def _told(exercise: Exercise, learner: str) -> Iterator[Told | None]:
    """Yield the wrong answers of one learner in one exercise, and None for each part that is right."""
    task = exercise.task(plan_for(exercise, learner, COHORT))
    found = answers(task, Draw(seed_for("simulated class", COHORT, learner, exercise.id, 0)))
    kinds = _kinds(exercise)
    for part in mark(exercise, task.plan, [answer_row(exercise, task.plan, found.values)], [], task).parts:
        if part.mistake is None or part.mistake == FOLLOWS:
            yield None
            continue
        made = found.made.get(part.part)
        called, names = (made.called, made.names) if made else ("nothing", NO_NAMES)
        yield Told(
            exercise.id, part.part, kinds[part.part], found.way, called, part.mistake, names, part.also
        )


def sit(exercises: Iterable[Exercise], learners: int) -> Confusion:
    """Return how a class of so many learners is understood, each doing every exercise, on paper or at the bench."""
    confusion = Confusion()
    for exercise in exercises:
        work = told_at_bench if exercise.bench else _told
        for ordinal in range(1, learners + 1):
            for one in work(exercise, f"simulated-{ordinal}"):
                if one is None:
                    confusion.right += 1
                else:
                    confusion.add(one)
    return confusion
