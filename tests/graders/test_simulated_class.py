"""A simulated class with a declared mix of mistakes: how many wrong answers are named, and how many by a wrong name."""

from __future__ import annotations

import pytest

from course.boats.draws import Draw
from graders.exercises import EXERCISES
from graders.mistake import UNNAMED
from graders.personal import plan_for
from graders.simulated_class import MIX, SLIPS, Confusion, answers, report, sit
from graders.simulated_class.confusion import ANOTHER, EITHER, ITSELF, NAMELESS, Told
from graders.simulated_class.words import FEWEST

NAMED, MISNAMED = 0.90, 0.02  # ours
UNDECIDED = 0.02  # ours: at most so many may be told as either this or that
SLOW = "05.5"  # a half year of weighings takes a third of a second to draw
PAPER = [exercise for exercise in EXERCISES.values() if not exercise.bench]
BENCH = [exercise for exercise in EXERCISES.values() if exercise.bench]


def well_understood(found):
    said = report(found)
    assert found.named >= NAMED, said
    assert found.share(ANOTHER) <= MISNAMED, said
    return found


@pytest.fixture(scope="module")
def small():
    """A class of ten, in all exercises on paper but one."""
    return sit([exercise for exercise in PAPER if exercise.id != SLOW], 10)


def test_a_small_class_is_understood(small):
    found = well_understood(small)
    assert len(found.wrong) > 300
    assert {one.way for one in found.wrong} == set(MIX) - {"right"}


@pytest.mark.long
def test_a_class_of_a_thousand_is_understood_and_no_mistake_is_taken_for_another_in_more_than_two_in_a_hundred():
    found = well_understood(sit(PAPER, 1000))
    shares = found.misnamed(FEWEST)
    assert max(shares.values(), default=0) <= MISNAMED
    assert found.share(EITHER) <= UNDECIDED
    assert {one.called for one in found.wrong if one.kind == "number"} > set(SLIPS) - {"blank"}


@pytest.mark.long
def test_a_class_at_the_bench_is_understood():
    well_understood(sit(BENCH, 10))


def test_numbers_are_understood_without_the_help_of_choices(small):
    numbers = Confusion([one for one in small.wrong if one.kind == "number"])
    assert len(numbers.wrong) > 80
    assert numbers.named >= NAMED, report(numbers)


def test_the_same_class_sits_again_the_same():
    exercise = EXERCISES["02.2"]
    task = exercise.task(plan_for(exercise, "ana", "TRY"))
    drawn = [answers(task, Draw(f"seed {k}")) for k in range(20)]
    assert drawn == [answers(task, Draw(f"seed {k}")) for k in range(20)]
    assert len({tuple(one.values.items()) for one in drawn}) > 5


def test_a_share_is_counted_over_wrong_answers_and_a_blank_is_none():
    found = Confusion()
    for made, told in [("a", "a"), ("a", "b"), ("unrelated", UNNAMED), ("unrelated", "b"), ("a", "blank")]:
        names = frozenset() if made == "unrelated" else frozenset({made})
        found.add(Told("01.1", "x", "number", "one mistake", made, told, names))
    assert (len(found.wrong), found.blank, found.named) == (4, 1, 0.75)
    assert [found.share(outcome) for outcome in (ITSELF, ANOTHER, NAMELESS)] == [0.25, 0.5, 0.25]
    assert found.misnamed(1) == {"01.1 x unrelated": 0.5, "01.1 x a": 0.5}
    assert "| 01.1 x a | b | 1 |" in report(found)


def test_either_this_or_that_is_counted_apart():
    found = Confusion()
    for names, also in (({"a"}, "b"), ({"b"}, "b"), ({"c"}, "b")):
        found.add(Told("01.1", "x", "number", "one mistake", "made", "a", frozenset(names), also))
    assert [found.share(outcome) for outcome in (ITSELF, EITHER, ANOTHER)] == pytest.approx([0, 2 / 3, 1 / 3])
    assert "| 01.1 x made | a or b | 3 |" in report(found)
