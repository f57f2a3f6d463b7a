"""Personal slips: drawn from the learner's seed, and accepted only if they teach the point."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass

from course.boats.fresh_water import keep_field
from course.boats.personal import Draw, Purpose, draw_plan, seed_for
from course.boats.plan import SlipPlan
from graders.exercise import Exercise

MOST_DRAWS = 200


class NoSlip(RuntimeError):
    """No draw in a long row was fit to teach an exercise: a fault of the exercise, not of the learner."""


@dataclass(frozen=True)
class Accepted:
    """An accepted slip, and how many draws were refused before it."""

    plan: SlipPlan
    refused: int


def accept(exercise: Exercise, seed: str, purpose: Purpose = "assignment") -> Accepted:
    """Return the first slip drawn from a seed that the engine says teaches the exercise.

    Raises NoSlip when none of 200 draws does.
    """
    for tried in range(MOST_DRAWS):
        drawn_from = hashlib.sha256(f"{seed}|draw {tried}".encode()).hexdigest()
        plan = draw_plan(exercise.family, exercise.id, drawn_from, purpose)
        sheet = dict(exercise.draw(Draw(drawn_from), plan))
        plan = plan.model_copy(update={"sheet": sheet, "record_card": exercise.card(plan)})
        task = exercise.task(plan)
        if exercise.fit(task):
            done = {"sheet": {**sheet, **exercise.finish(task)}}
            if exercise.bench:  # at her bench and at marking she is met again, as she is and as she was sound
                for boat in (task.afloat.boat(task.afloat.start), plan.boat):
                    keep_field(boat, plan.berth)
            return Accepted(plan.model_copy(update=done), tried)
    raise NoSlip(
        f"none of {MOST_DRAWS} draws of exercise {exercise.id} separates its answer from its mistakes"
    )


def plan_for(
    exercise: Exercise, learner_id: str, cohort: str, purpose: Purpose = "assignment", attempt: int = 0
) -> SlipPlan:
    """Return one learner's slip of an exercise. Same arguments, same slip, everywhere."""
    return accept(exercise, seed_for(purpose, cohort, learner_id, exercise.id, attempt), purpose).plan
