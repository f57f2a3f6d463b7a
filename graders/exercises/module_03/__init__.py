"""Module 03, the reference cell."""

from __future__ import annotations

from graders.exercise import Objective
from graders.exercises.module_03.baseline import BASELINE
from graders.exercises.module_03.common import MODULE
from graders.exercises.module_03.hull_potential import HULL_POTENTIAL
from graders.exercises.module_03.verdict import VERDICT

OBJECTIVES = (
    Objective("03.measure", "take a hull potential properly"),
    Objective("03.baseline", "make a baseline and say what the anodes shift"),
    Objective("03.judge", "judge protection from reading and baseline"),
)
EXERCISES = (HULL_POTENTIAL, BASELINE, VERDICT)

__all__ = ["EXERCISES", "MODULE", "OBJECTIVES"]
