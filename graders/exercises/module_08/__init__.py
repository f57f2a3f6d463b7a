"""Module 08, the survey."""

from __future__ import annotations

from graders.exercise import Objective
from graders.exercises.module_08.common import MODULE
from graders.exercises.module_08.paper import ORDER, RANK, WRITE
from graders.exercises.module_08.surveys import THREE, TWO

OBJECTIVES = (
    Objective("08.survey", "survey a whole boat with several things wrong"),
    Objective("08.rank", "rank the findings"),
    Objective("08.write", "write them up"),
)
EXERCISES = (ORDER, TWO, THREE, RANK, WRITE)

__all__ = ["EXERCISES", "MODULE", "OBJECTIVES"]
