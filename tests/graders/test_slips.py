"""Slips of the pen in a number: told as what they are, in words that do not tell the number."""

from __future__ import annotations

import pytest

from graders.exercises import EXERCISES
from graders.marking import mark
from graders.numbers import rounded
from graders.parts.slips import exchanged, numbers_in
from graders.personal import plan_for
from graders.trial import answer_row, mistakes, right


@pytest.fixture(scope="module")
def told():
    """Return what is told of an answer to an exercise with one field changed; the change is made to the right number."""

    def tell(name, field, change):
        exercise = EXERCISES[name]
        task = exercise.task(plan_for(exercise, "ana", "TRY"))
        values = dict(right(task).values)
        written = change(float(values[field]))
        values[field] = written if isinstance(written, str) else f"{written:.10g}"
        marked = mark(exercise, task.plan, [answer_row(exercise, task.plan, values)], [], task)
        return next(part for part in marked.parts if part.part == field)

    return tell


@pytest.mark.parametrize(
    ("change", "mistake"),
    [
        (lambda value: value / 1000, "unit"),
        (lambda value: -value, "sign"),
        (lambda value: -value / 1000, "unit"),
        (lambda value: value * 10, "decimal_point"),
        (lambda value: value / 100, "decimal_point"),
        (lambda value: min(exchanged(value)), "figures_exchanged"),
        (lambda value: rounded(value, 2)[0], "rounded_too_far"),
        (lambda value: rounded(value, 2)[1], "rounded_too_far"),
        (lambda value: value * 1.2345, "unnamed"),
        (lambda _value: "", "blank"),
        (lambda value: value, None),
    ],
)
def test_a_slip_is_told_as_what_it_is(told, change, mistake):
    part = told("02.1", "reading", change)
    assert part.mistake == mistake
    assert part.right == (mistake is None)


def test_a_number_of_the_question_is_told_as_such(told):
    exercise = EXERCISES["01.9"]
    task = exercise.task(plan_for(exercise, "ana", "TRY"))
    number = max(numbers_in(exercise.asked(task)))
    part = told("01.9", "needed", lambda _value: number)
    assert part.mistake == "given_number"
    assert f"{number:g}" in part.reason


def test_a_mistake_with_the_sign_turned_is_still_that_mistake(told):
    exercise = EXERCISES["02.1"]
    task = exercise.task(plan_for(exercise, "ana", "TRY"))
    one = next(trial for trial in mistakes(task) if trial.part == "reading" and trial.mistake == "wrong_way")
    part = told("02.1", "reading", lambda _value: -float(one.values["reading"]))
    assert part.mistake == "wrong_way"
    assert part.reason.endswith("And the sign is not right either.")
    assert part.points == 0


def test_rounding_earns_half_only_where_it_is_near(told):
    near = told("04.6", "mean", lambda value: rounded(value, 2)[0])
    far = told("04.6", "mean", lambda value: rounded(value, 1)[0])
    assert {near.mistake, far.mistake} == {"rounded_too_far"}
    assert near.points > far.points == 0


@pytest.mark.parametrize(
    ("value", "others"),
    [
        (943.0, {493.0, 934.0}),
        (-12.5, {-21.5, -15.2}),
        (0.05, set()),
        (11.0, set()),
        (120.0, {210.0, 102.0}),
        (0.45, {0.54}),
    ],
)
def test_neighbouring_figures_change_places(value, others):
    assert set(exchanged(value)) - {value} == others


@pytest.mark.parametrize(
    ("value", "figures", "near", "cut"),
    [
        (1.49, 1, 1.0, 1.0),
        (1.69, 1, 2.0, 1.0),
        (-946.0, 2, -950.0, -940.0),
        (0.0967, 1, 0.1, 0.09),
        (9.96, 1, 10.0, 9.0),
    ],
)
def test_rounded_and_cut_off(value, figures, near, cut):
    assert rounded(value, figures) == (near, cut)


def test_numbers_in_a_text_are_no_parts_of_words():
    assert numbers_in("A316 and 12 mV at -0.5 V, 3 m2, B401") == {12.0, -0.5, 3.0}
