"""Module 07, the stray-current hunt."""

from __future__ import annotations

from graders.exercise import Objective
from graders.exercises.module_07.books import BOOK, REPAIR
from graders.exercises.module_07.clamps import CLAMP
from graders.exercises.module_07.common import MODULE
from graders.exercises.module_07.finding import FINDING
from graders.exercises.module_07.hunts import FIRST, SECOND, THIRD
from graders.exercises.module_07.order import ALL_OFF, ORDER

OBJECTIVES = (
    Objective("07.order", "hunt in order: baseline, all off, one circuit at a time"),
    Objective("07.tools", "use cell, clamp and bilge probe"),
    Objective("07.find", "find the source of a stray current"),
    Objective("07.prove", "repair, and prove the repair"),
    Objective("07.defences", "audit the defences that keep the next one away"),
)
EXERCISES = (ORDER, ALL_OFF, CLAMP, BOOK, FIRST, SECOND, THIRD, REPAIR, FINDING)

__all__ = ["EXERCISES", "MODULE", "OBJECTIVES"]
