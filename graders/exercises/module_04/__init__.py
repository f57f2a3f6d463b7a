"""Module 04, bonding and anodes."""

from __future__ import annotations

from graders.exercise import Objective
from graders.exercises.module_04.alloys import ALLOY
from graders.exercises.module_04.common import MODULE
from graders.exercises.module_04.join import ISOLATE_OR_BOND, MOVING_PARTS
from graders.exercises.module_04.signs import AS_NEW, NO_ANODES, OVER
from graders.exercises.module_04.sizing import FIRST, MASS
from graders.exercises.module_04.survey import SURVEY
from graders.exercises.module_04.wire import WIRE

OBJECTIVES = (
    Objective("04.isolate_or_bond", "choose between isolating a metal and bonding it"),
    Objective("04.survey", "survey bonding resistance"),
    Objective("04.moving_parts", "handle shafts, rudders, trim tabs and drives"),
    Objective("04.alloy", "choose the anode alloy for the water"),
    Objective("04.size", "size and place anodes"),
    Objective("04.over", "recognise overprotection and its damage to aluminium, paint and wood"),
    Objective("04.none", "say when no protection is needed"),
)
EXERCISES = (ISOLATE_OR_BOND, SURVEY, WIRE, MOVING_PARTS, ALLOY, MASS, FIRST, OVER, AS_NEW, NO_ANODES)

__all__ = ["EXERCISES", "MODULE", "OBJECTIVES"]
