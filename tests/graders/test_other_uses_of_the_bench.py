"""Readings taken in ways module 03 does not teach are named as what they are, and nothing is stumbled over."""

from __future__ import annotations

import pytest

from course.boats.afloat import Afloat
from course.instruments.replay import replay
from course.instruments.slip import Slip
from graders.exercises import EXERCISES
from graders.method import mistake_in
from graders.personal import plan_for


@pytest.fixture(scope="module")
def plan():
    return plan_for(EXERCISES["03.1"], "ana", "CR26")


def wired(plan, folder):
    slip = Slip(plan, folder)
    slip.plug("cell lead", "COM")
    slip.plug("test lead", "V")
    slip.clip("common_bonding_point")
    slip.hang_cell(5.6, 1.0)
    slip.turn_dial("2 V")
    slip.wait(40)
    return slip


def analogue(slip):
    slip.take_meter("analogue")
    slip.turn_dial("2.5 V")


def ohms(slip):
    slip.turn_dial("20 kohm")


def auto(slip):
    slip.turn_dial("auto V")


def isolator(slip):
    slip.clip("isolator_shore")


@pytest.mark.parametrize(
    ("use", "named"), [(analogue, "no_circuit"), (ohms, "no_circuit"), (auto, None), (isolator, None)]
)
def test_a_use_is_named(plan, tmp_path, use, named):
    slip = wired(plan, tmp_path)
    use(slip)
    slip.record()
    afloat = Afloat(plan)
    reading = replay(afloat, slip.rows).readings[-1]
    assert reading.replays
    found = mistake_in(afloat, reading, afloat.start)
    assert (found.name if found else None) == named
