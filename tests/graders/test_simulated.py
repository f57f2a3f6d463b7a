"""A simulated class with a declared mix of mistakes: how many wrong answers are named, and how many by the wrong name (ours)."""

from __future__ import annotations

import pytest

from graders.mistake import UNNAMED
from graders.simulated import MIX, Confusion, confusion

NAMED, MISNAMED = 0.90, 0.02


def well_understood(count):
    found = confusion(count)
    assert found.wrong > 0.3 * count
    assert found.named >= NAMED, found.table()
    assert found.misnamed <= MISNAMED, found.table()


def test_the_mix_is_whole():
    assert sum(share for _, share in MIX) == pytest.approx(1.0)


def test_a_class_of_three_hundred_is_understood():
    well_understood(300)


@pytest.mark.long
def test_a_class_of_a_thousand_is_understood():
    well_understood(1000)


def test_the_shares_are_counted_over_wrong_answers():
    found = Confusion()
    for meant, told in [("a", "a"), ("a", "b"), ("careless", UNNAMED), ("careless", "b")]:
        found.add(meant, told)
    assert (found.wrong, found.named, found.misnamed) == (4, 0.75, 0.25)
    assert found.table()[0].endswith("a -> b")
