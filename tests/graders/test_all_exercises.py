"""Graders graded: every exercise of every module, by a learner who is right and by one for each named mistake."""

from __future__ import annotations

from functools import cache

import pytest

from graders.exercise import KINDS
from graders.exercises import EXERCISES, MODULES, objectives_of
from graders.marking import mark
from graders.mistake import FOLLOWS
from graders.objectives import without_exercise, without_objective
from graders.parts import NumberPart
from graders.personal import plan_for
from graders.trial import answer_row, mistakes, right

IDS = tuple(EXERCISES)
QUICK = tuple(name for name in IDS if EXERCISES[name].kind != "hunt")  # hunts: test_hunt, and the long run
FEW, MANY = range(3), range(50)
NONSENSE = {"number": "31415926", "text": "", "choice": "0", "several": "0", "order": "0"}
FEWEST_MISTAKES = 3


@cache
def task_of(name, seed):
    exercise = EXERCISES[name]
    return exercise.task(plan_for(exercise, f"learner{seed}", "TRY"))


def hold(name, seed, with_mistakes=True):
    """Everything that must hold of one exercise for one learner."""
    task = task_of(name, seed)
    done = right(task)
    assert [(part.part, part.given, part.reason) for part in done.mark.parts if not part.right] == []
    assert done.mark.points == done.mark.out_of == task.exercise.points
    assert all(part.mistake in (None, FOLLOWS) for part in done.mark.parts)
    made = list(mistakes(task)) if with_mistakes else []
    assert [(t.part, t.mistake, t.values, t.told) for t in made if not t.recognised] == []
    for one in made:
        assert one.told.points < one.told.out_of
        assert "{" not in one.told.reason
        assert not one.told.reason[0].islower()
    return made


def scores_nothing(name, seed):
    """Blank, nonsense and another learner's answers score nothing."""
    task = task_of(name, seed)
    exercise, plan = task.exercise, task.plan
    assert mark(exercise, plan, [], [], task).points == 0
    typed = {field.name: NONSENSE[field.kind] for field in exercise.fields}
    assert mark(exercise, plan, [answer_row(exercise, plan, typed)], [], task).points == 0
    other = task_of(name, seed + 1)
    copied = other.exercise.right_values(other, {}) if not exercise.bench else {}
    foreign = answer_row(exercise, other.plan, copied)
    assert mark(exercise, plan, [foreign], [], task).points == 0
    relabelled = mark(exercise, plan, [answer_row(exercise, plan, copied)], [], task)
    for part in exercise.parts:
        if isinstance(part, NumberPart) and not exercise.bench:
            value, truth = float(copied[part.field]), part.truth(task)
            marked = next(m for m in relabelled.parts if m.part == part.field)
            assert marked.right == part.meets(value, truth) or marked.mistake == FOLLOWS


@pytest.mark.parametrize("name", QUICK)
def test_right_answers_earn_all_points_and_every_mistake_is_recognised_as_itself(name):
    seeds = FEW if not EXERCISES[name].bench else range(1)
    for seed in seeds:
        hold(name, seed)


@pytest.mark.parametrize("name", [name for name in QUICK if EXERCISES[name].bench])
def test_right_hands_at_the_bench_earn_all_points(name):
    for seed in FEW[1:]:
        hold(name, seed, with_mistakes=False)


@pytest.mark.parametrize("name", QUICK)
def test_blank_nonsense_and_another_learners_answers_score_nothing(name):
    scores_nothing(name, 0)


@pytest.mark.long
@pytest.mark.parametrize("name", IDS)
def test_fifty_learners(name):
    found = set()
    for seed in MANY:
        found |= {one.mistake for one in hold(name, seed)}
        scores_nothing(name, seed)
    never = sorted(set(EXERCISES[name].mistakes) - found)
    assert not never or EXERCISES[name].bench, f"never made in {len(MANY)} draws: {never}"


@pytest.mark.parametrize("name", IDS)
def test_an_exercise_is_whole(name):
    exercise = EXERCISES[name]
    assert exercise.kind in KINDS
    assert name.startswith(exercise.module[:2])
    assert len(exercise.hints) == 3
    fields = [field.name for field in exercise.fields]
    assert len(set(fields)) == len(fields) > 0
    assert exercise.kind == "write" or len(exercise.mistakes) >= FEWEST_MISTAKES
    if name not in QUICK:
        return
    task = task_of(name, 0)
    for text in (exercise.asked(task), *(exercise.hint(task, step) for step in (1, 2, 3))):
        assert "{" not in text
    assert exercise.method_for(task)


def test_objectives_and_exercises_cover_each_other():
    assert without_exercise() == ()
    assert without_objective() == ()
    ids = [objective.id for module in MODULES for objective in objectives_of(module)]
    assert len(set(ids)) == len(ids)
    assert all(
        objective.startswith(module[:2])
        for module in MODULES
        for objective in (o.id for o in objectives_of(module))
    )


def test_the_course_is_as_large_as_it_says_and_marks_steps():
    assert len(EXERCISES) >= 70
    assert sum(len(set(exercise.mistakes)) for exercise in EXERCISES.values()) >= 210
    assert {exercise.kind for exercise in EXERCISES.values()} == set(KINDS)
    stepped = [name for name in IDS if len(task_parts(EXERCISES[name])) >= 2]
    assert len(stepped) >= 0.9 * len(IDS)


def task_parts(exercise):
    """The marked steps of an exercise, as a blank answer shows them."""
    if exercise.kind == "hunt":
        return exercise.parts
    task = task_of(exercise.id, 0)
    return mark(exercise, task.plan, [], [], task).parts
