"""Module 02, the galvanic series."""

from __future__ import annotations

from graders.exercise import Objective
from graders.exercises.module_02.areas import AREAS
from graders.exercises.module_02.catchment import CATCHMENT
from graders.exercises.module_02.common import MODULE
from graders.exercises.module_02.couple import COUPLE
from graders.exercises.module_02.fastenings import FASTENINGS
from graders.exercises.module_02.fresh import FRESH
from graders.exercises.module_02.look_up import LOOK_UP
from graders.exercises.module_02.painting import PAINTING
from graders.exercises.module_02.pairs import PAIR
from graders.exercises.module_02.unprotected import UNPROTECTED

OBJECTIVES = (
    Objective("02.look_up", "look a metal up for a given cell and water"),
    Objective("02.predict", "predict which of a pair suffers, and how fast"),
    Objective("02.area_ratio", "see why area ratio beats voltage"),
    Objective("02.choose", "choose fastenings and fittings"),
)
EXERCISES = (LOOK_UP, COUPLE, AREAS, PAIR, CATCHMENT, FASTENINGS, UNPROTECTED, FRESH, PAINTING)

__all__ = ["EXERCISES", "MODULE", "OBJECTIVES"]
