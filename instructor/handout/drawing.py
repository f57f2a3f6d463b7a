"""Everybody's slips of a module, drawn over the cores: pure work, that the release stores."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from instructor.marking.pool import spread

if TYPE_CHECKING:
    from course.boats.plan import SlipPlan


@dataclass(frozen=True)
class Slips:
    """One learner's slips of a module by exercise, and how many draws were refused on the way; or why there are none."""

    learner: str
    plans: dict[str, SlipPlan] = field(default_factory=dict)
    refused: int = 0
    problem: str = ""


def drawn(module: str, cohort: str, learners: Sequence[str], jobs: int = 0) -> Iterator[Slips]:
    """Yield the slips of each learner, as they come. One that cannot be drawn says so in ``problem``."""
    return spread(_slips_of, (module, cohort), learners, _fatal, jobs)


def _slips_of(common: tuple[str, str], learner: str) -> Slips:
    from course.boats.personal import seed_for
    from graders.exercises import MODULES
    from graders.personal import NoSlip, accept

    module, cohort = common
    plans, refused = {}, 0
    for exercise in MODULES[module]:
        try:
            found = accept(exercise, seed_for("assignment", cohort, learner, exercise.id, 0))
        except NoSlip as error:
            return Slips(learner, problem=str(error))
        plans[exercise.id] = found.plan
        refused += found.refused
    return Slips(learner, plans, refused)


def _fatal(learner: str) -> Slips:
    return Slips(learner, problem=f"the process that drew the slips of '{learner}' was ended by the system.")
