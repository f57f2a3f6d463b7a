"""Personal boats: the same seed is the same slip, different learners get different ones, and each teaches its point."""

from __future__ import annotations

import subprocess
import sys

import pytest

from course.boats.afloat import Afloat
from course.boats.personal import draw_plan, seed_for
from graders.exercises import EXERCISES
from graders.personal import accept, plan_for


def test_a_seed_is_a_pure_function_of_its_parts():
    one = seed_for("assignment", "CR26", "ana", "03.1", 0)
    assert one == seed_for("assignment", "CR26", "ana", "03.1", 0)
    others = {
        seed_for("practice", "CR26", "ana", "03.1", 0),
        seed_for("assignment", "CR27", "ana", "03.1", 0),
        seed_for("assignment", "CR26", "anb", "03.1", 0),
        seed_for("assignment", "CR26", "ana", "03.2", 0),
        seed_for("assignment", "CR26", "ana", "03.1", 1),
        seed_for("assignment", "CR2", "6ana", "03.1", 0),
    }
    assert len(others) == 6
    assert one not in others


def test_the_same_learner_gets_the_same_slip_in_another_process():
    exercise = EXERCISES["03.1"]
    here = plan_for(exercise, "ana", "CR26").digest
    program = (
        "from graders.exercises import EXERCISES; from graders.personal import plan_for; "
        "print(plan_for(EXERCISES['03.1'], 'ana', 'CR26').digest)"
    )
    there = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert there.stdout.strip() == here


def test_twenty_learners_get_twenty_boats():
    digests = {plan_for(EXERCISES["03.1"], f"learner{k}", "CR26").digest for k in range(20)}
    assert len(digests) == 20


@pytest.mark.parametrize("name", [name for name in EXERCISES if EXERCISES[name].kind != "hunt"])
def test_every_accepted_slip_teaches_its_point(name):
    exercise = EXERCISES[name]
    for attempt in range(8):
        accepted = accept(exercise, seed_for("practice", "", "ana", name, attempt))
        assert exercise.fit(exercise.task(accepted.plan))
        assert accepted.refused < 50


def test_the_three_verdicts_all_come_up():
    from graders.verdict import true_verdict

    plans = [plan_for(EXERCISES["03.3"], f"learner{k}", "CR26") for k in range(24)]
    assert {true_verdict(Afloat(plan)) for plan in plans} == {"unprotected", "protected", "overprotected"}


def test_a_plan_survives_storage_with_its_name():
    from course.boats.plan import SlipPlan

    plan = draw_plan("baseline", "03.2", seed_for("practice", "", "ana", "03.2", 0))
    assert SlipPlan.model_validate_json(plan.canonical_json()).digest == plan.digest
