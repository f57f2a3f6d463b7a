"""Module 06, shore power and neighbours."""

from __future__ import annotations

from graders.exercise import Objective
from graders.exercises.module_06.choice import CHOICE
from graders.exercises.module_06.common import MODULE
from graders.exercises.module_06.dock import DOCK
from graders.exercises.module_06.green_wire import SHORE
from graders.exercises.module_06.isolator_test import TEST
from graders.exercises.module_06.isolators import HOLDS, NOT_DONE, TESTED
from graders.exercises.module_06.shock import SHOCK

OBJECTIVES = (
    Objective("06.cell", "explain the many-boat cell"),
    Objective("06.isolator", "test a galvanic isolator, and read the test"),
    Objective(
        "06.choose",
        "choose between an isolator and an isolation transformer, weighing safety, weight and cost",
    ),
    Objective("06.limits", "say what each of them does not do"),
    Objective("06.cautions", "say the cautions of alternating current near water"),
)
EXERCISES = (DOCK, TESTED, TEST, CHOICE, NOT_DONE, SHOCK, SHORE, HOLDS)

__all__ = ["EXERCISES", "MODULE", "OBJECTIVES"]
