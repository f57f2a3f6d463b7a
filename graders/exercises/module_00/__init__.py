"""Module 00, before you start."""

from __future__ import annotations

from graders.exercise import Objective
from graders.exercises.module_00.first_reading import FIRST
from graders.exercises.module_00.licensed import ALONE, FIRST_ORDER
from graders.exercises.module_00.licensed import MODULE as MODULE

OBJECTIVES = (
    Objective("00.bench", "use the notebook, the meter and the logbook"),
    Objective("00.dangers", "say what on a dock can kill"),
    Objective("00.licensed", "say what is left to licensed people"),
)
EXERCISES = (ALONE, FIRST_ORDER, FIRST)

__all__ = ["EXERCISES", "MODULE", "OBJECTIVES"]
