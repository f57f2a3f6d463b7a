"""Knowledge tracing and spacing.

Outside: Corbett and Anderson (1995), by secondary defaults; with known .2, learn .1, guess .2, slip .1, worked by hand for the
rows below. Boxes: Leitner's, doubling days.
"""

from __future__ import annotations

from datetime import date
from itertools import pairwise

import pytest

from graders.exercises import EXERCISES
from graders.mastery import Tracing, first_tries, guess_of, standings
from graders.progress import due, told
from graders.spacing import after

DAY = date(2031, 5, 4)


@pytest.mark.parametrize(
    ("answers", "chances"),
    [
        ("111", (0.5765, 0.8737, 0.9720)),
        ("01101111", (0.1273, 0.4566, 0.8118, 0.4152, 0.7855, 0.9485, 0.9893, 0.9978)),
    ],
)
def test_the_published_sequences(answers, chances):
    assert Tracing().trace(answer == "1" for answer in answers) == pytest.approx(chances, abs=5e-5)


def test_a_right_answer_always_speaks_for_knowing():
    with pytest.raises(ValueError, match="must be under 1"):
        Tracing(guess=0.6, slip=0.4)
    for known in (0.05, 0.5, 0.95):
        assert Tracing().after(known, True) > Tracing().after(known, False)


def test_what_is_easily_guessed_counts_less():
    assert Tracing().after(0.3, True, guess=0.5) < Tracing().after(0.3, True)
    assert all(0 < guess_of(exercise) <= 0.85 for exercise in EXERCISES.values())


def row(slip, right, exercise="02.1"):
    return {"exercise": exercise, "slip": slip, "right": right}


def test_only_the_first_try_on_each_plan_counts():
    rows = [row("a", False), row("a", True), row("b", True), {"exercise": "02.1", "slip": "c", "values": {}}]
    assert first_tries(rows) == (("02.1", False), ("02.1", True))


def test_no_mastery_from_fewer_than_three_right_answers():
    two = standings([row(slip, True) for slip in "ab"], Tracing(known=0.9))
    assert two[0].chance > 0.95
    assert not two[0].mastered
    (three,) = standings([row(slip, True) for slip in "abc"])
    assert (three.objective, three.tries, three.right, three.mastered) == ("02.look_up", 3, 3, True)


def test_rows_of_any_shape_are_passed_over():
    assert (
        standings([{"right": True}, {"right": 1, "exercise": "02.1", "slip": "a"}, row("a", True, "99.9")])
        == ()
    )


def test_boxes_double_and_a_wrong_answer_goes_back_to_the_first():
    days = [DAY]
    for _ in range(6):
        days.append(after([(day, True) for day in days]).due)
    assert [(b - a).days for a, b in pairwise(days)] == [1, 2, 4, 8, 16, 16]
    fallen = after([*((day, True) for day in days[:3]), (days[3], False)])
    assert (fallen.box, (fallen.due - days[3]).days) == (0, 1)


def test_a_learners_standing_is_told_by_module_with_what_is_due():
    rows = [
        {**row(slip, True), "at": f"2031-05-0{k}T09:00:00+00:00"} for k, slip in enumerate("abc", start=1)
    ]
    lines = told(rows, DAY)
    assert lines[0] == "02 galvanic series"
    assert "  mastered (3 of 3 right): look a metal up for a given cell and water" in lines
    assert any(line.startswith("  not tried: ") for line in lines)
    assert due(rows, DAY) == ()
    assert due(rows, date(2031, 5, 7)) == ("02.1",)
    assert told([], DAY) == ("Nothing is answered yet.",)
